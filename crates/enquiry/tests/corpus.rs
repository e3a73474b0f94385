//! The reader on the enquiries of the repository, against the readings that advisers expect.

mod scorer;

use scorer::{Grade, Scored, cases, score, vocabulary};

#[test]
fn the_first_corpus_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/a.jsonl"),
        include_str!("corpus/b.jsonl"),
        include_str!("corpus/c.jsonl"),
    ];
    assert_floors(&files, 510, 0.931, 0.0197);
}

#[test]
fn the_later_corpus_is_read_as_well_as_it_was() {
    let files = [include_str!("corpus/d.jsonl"), include_str!("corpus/e.jsonl")];
    assert_floors(&files, 340, 0.955, 0.0148);
}

#[test]
fn the_latest_corpus_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/f.jsonl"),
        include_str!("corpus/g.jsonl"),
        include_str!("corpus/h.jsonl"),
        include_str!("corpus/i.jsonl"),
        include_str!("corpus/j.jsonl"),
    ];
    assert_floors(&files, 500, 0.934, 0.024);
}

#[test]
fn the_newest_corpus_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/k.jsonl"),
        include_str!("corpus/l.jsonl"),
        include_str!("corpus/m.jsonl"),
        include_str!("corpus/n.jsonl"),
    ];
    assert_floors(&files, 400, 0.977, 0.0025);
}

#[test]
fn the_last_corpus_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/o.jsonl"),
        include_str!("corpus/p.jsonl"),
        include_str!("corpus/q.jsonl"),
        include_str!("corpus/r.jsonl"),
        include_str!("corpus/s.jsonl"),
        include_str!("corpus/t.jsonl"),
        include_str!("corpus/u.jsonl"),
    ];
    assert_floors(&files, 850, 0.962, 0.0059);
}

#[test]
fn the_corpus_of_further_countries_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/v.jsonl"),
        include_str!("corpus/w.jsonl"),
        include_str!("corpus/z.jsonl"),
    ];
    assert_floors(&files, 600, 0.953, 0.0167);
}

#[test]
fn the_corpus_of_everyday_inboxes_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/x.jsonl"),
        include_str!("corpus/y.jsonl"),
        include_str!("corpus/aa.jsonl"),
        include_str!("corpus/ab.jsonl"),
        include_str!("corpus/ac.jsonl"),
        include_str!("corpus/ad.jsonl"),
    ];
    assert_floors(&files, 720, 0.951, 0.0181);
}

#[test]
fn enquiries_that_taught_one_rule_alone() {
    assert_floors(&[include_str!("corpus/ae.jsonl")], 120, 0.95, 0.025);
}

#[test]
fn the_corpus_of_three_further_inboxes_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/af.jsonl"),
        include_str!("corpus/ag.jsonl"),
        include_str!("corpus/aj.jsonl"),
    ];
    assert_floors(&files, 390, 0.941, 0.0154);
}

#[test]
fn the_corpus_of_counts_that_must_be_worked_out_is_read_as_well_as_it_was() {
    let files = [
        include_str!("corpus/ak.jsonl"),
        include_str!("corpus/al.jsonl"),
        include_str!("corpus/am.jsonl"),
        include_str!("corpus/ap.jsonl"),
    ];
    assert_floors(&files, 540, 0.833, 0.0556);
}

#[test]
fn enquiries_that_nothing_was_learned_from() {
    let files = [
        include_str!("corpus/ah.jsonl"),
        include_str!("corpus/ai.jsonl"),
        include_str!("corpus/an.jsonl"),
        include_str!("corpus/ao.jsonl"),
    ];
    assert_floors(&files, 520, 0.796, 0.0962);
}

/// Holds files to the part of their enquiries that is read rightly or rightly asked back, and the part that is misread:
/// floors that only rise, and ceilings that only fall, save where more files are learned from: each then counts for less.
fn assert_floors(files: &[&str], enquiries: usize, least_right: f64, most_misread: f64) {
    let vocabulary = vocabulary();
    let scored: Vec<Scored> = files
        .iter()
        .flat_map(|f| cases(f))
        .map(|case| score(&case, &enquiry::read(&case.text, &vocabulary), &vocabulary))
        .collect();
    assert!(scored.len() >= enquiries, "{} enquiries", scored.len());
    let part = |fits: fn(Grade) -> bool| scored.iter().filter(|s| fits(s.grade)).count() as f64 / scored.len() as f64;
    let (right, misread) = (part(Grade::is_right), part(|g| g == Grade::Misread));
    let worst: Vec<String> = scored
        .iter()
        .filter(|s| s.grade == Grade::Misread)
        .map(|s| format!("{} {}", s.case.id, s.faults.join("; ")))
        .collect();
    assert!(right >= least_right, "{right:.3} right");
    assert!(misread <= most_misread, "{misread:.3} misread:\n{}", worst.join("\n"));
}
