//! The reader on the enquiries of the repository, against the readings that advisers expect.

mod scorer;

use scorer::{Grade, Scored, cases, score, vocabulary};

/// Parts of the corpus that are read rightly or rightly asked back, and misread: floors that only rise and fall.
const RIGHT: f64 = 0.78;
const MISREAD: f64 = 0.13;

#[test]
fn the_corpus_is_read_as_well_as_it_was() {
    let vocabulary = vocabulary();
    let files = [
        include_str!("corpus/a.jsonl"),
        include_str!("corpus/b.jsonl"),
        include_str!("corpus/c.jsonl"),
    ];
    let scored: Vec<Scored> = files
        .iter()
        .flat_map(|f| cases(f))
        .map(|case| score(&case, &vocabulary))
        .collect();
    assert!(scored.len() >= 500, "{} enquiries", scored.len());
    let part = |fits: fn(Grade) -> bool| scored.iter().filter(|s| fits(s.grade)).count() as f64 / scored.len() as f64;
    let (right, misread) = (part(Grade::is_right), part(|g| g == Grade::Misread));
    let worst: Vec<String> = scored
        .iter()
        .filter(|s| s.grade == Grade::Misread)
        .map(|s| format!("{} {}", s.case.id, s.faults.join("; ")))
        .collect();
    assert!(right >= RIGHT, "{right:.3} right");
    assert!(misread <= MISREAD, "{misread:.3} misread:\n{}", worst.join("\n"));
}
