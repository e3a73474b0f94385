//! Scores the reader on files of enquiries with expected readings: `cargo run -p enquiry --example score -- FILE...`.
//!
//! Options: `-q` for the summary alone, `-v` for what was right too, `--only KIND` for one kind, `--id ID` for one enquiry,
//! `--time` for how long reading takes instead (build with `--release`).

#[path = "../../tests/scorer/mod.rs"]
mod scorer;
mod table;

use std::time::Instant;

use scorer::Scored;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let value = |flag: &str| {
        args.iter()
            .position(|a| a == flag)
            .and_then(|i| args.get(i + 1))
            .cloned()
    };
    let (only, id) = (value("--only"), value("--id"));
    let quiet = args.iter().any(|a| a == "-q");
    let loud = args.iter().any(|a| a == "-v") || id.is_some();
    let files = args.iter().enumerate().filter(|(i, a)| {
        !a.starts_with('-')
            && !i
                .checked_sub(1)
                .is_some_and(|p| args[p] == "--only" || args[p] == "--id")
    });
    let vocabulary = scorer::vocabulary();
    if args.iter().any(|a| a == "--time") {
        let texts = files.flat_map(|(_, file)| {
            let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
            scorer::cases(&text).into_iter().map(|case| case.text)
        });
        time(&texts.collect::<Vec<_>>(), &vocabulary);
        return;
    }
    let mut all: Vec<Scored> = Vec::new();
    for (_, file) in files {
        let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
        for case in scorer::cases(&text) {
            if only.as_ref().is_some_and(|k| *k != case.kind) || id.as_ref().is_some_and(|k| *k != case.id) {
                continue;
            }
            all.push(scorer::score(
                &case,
                &enquiry::read(&case.text, &vocabulary),
                &vocabulary,
            ));
        }
    }
    for s in all.iter().filter(|s| !quiet && (loud || !s.grade.is_right())) {
        table::fault(s);
        if loud {
            println!("   expect {}\n   got    {} asks {:?}", s.case.expect, s.got, s.asks);
        }
    }
    table::print(&all);
}

/// How long reading takes: of all the texts, of the slowest, and of the longest text that is read, made of them all.
fn time(texts: &[String], vocabulary: &enquiry::Vocabulary) {
    let milliseconds = |text: &str| {
        // the best of three, so that what else the machine does counts less
        let runs = (0..3).map(|_| {
            let start = Instant::now();
            std::hint::black_box(enquiry::read(text, vocabulary));
            start.elapsed().as_secs_f64() * 1e3
        });
        runs.fold(f64::INFINITY, f64::min)
    };
    let taken: Vec<(f64, usize)> = texts.iter().map(|t| (milliseconds(t), t.chars().count())).collect();
    let (sum, characters) = taken.iter().fold((0.0, 0), |(ms, n), t| (ms + t.0, n + t.1));
    let slowest = taken
        .iter()
        .copied()
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap_or_default();
    println!("{} texts of {characters} characters", texts.len());
    println!(
        "1,000 characters on average: {:.2} ms",
        1e3 * sum / characters.max(1) as f64
    );
    println!("slowest text: {:.1} ms, {} characters", slowest.0, slowest.1);
    let mut long = texts.join("\n");
    long.truncate(long.floor_char_boundary(enquiry::LONGEST_TEXT));
    println!(
        "{} characters at once: {:.1} ms",
        long.chars().count(),
        milliseconds(&long)
    );
}
