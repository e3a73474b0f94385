//! Scores the reader on files of enquiries with expected readings: `cargo run -p enquiry --example score -- FILE...`.
//!
//! Options: `-q` for the summary alone, `-v` for what was right too, `--only KIND` for one kind, `--id ID` for one enquiry.

#[path = "../../tests/scorer/mod.rs"]
mod scorer;

use std::collections::BTreeMap;

use scorer::{Grade, Scored};

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
    let mut all: Vec<Scored> = Vec::new();
    for (_, file) in files {
        let text = std::fs::read_to_string(file).unwrap_or_else(|e| panic!("{file}: {e}"));
        for case in scorer::cases(&text) {
            if only.as_ref().is_some_and(|k| *k != case.kind) || id.as_ref().is_some_and(|k| *k != case.id) {
                continue;
            }
            all.push(scorer::score(&case, &vocabulary));
        }
    }
    if !quiet {
        for s in all.iter().filter(|s| loud || !s.grade.is_right()) {
            println!("--- {} {} [{:?}] {:?}", s.case.id, s.case.kind, s.grade, s.case.text);
            for fault in &s.faults {
                println!("      {fault}");
            }
            if loud {
                println!("   expect {}\n   got    {} asks {:?}", s.case.expect, s.got, s.asks);
            }
        }
    }
    let mut kinds: BTreeMap<&str, Vec<Grade>> = BTreeMap::new();
    let mut slots: BTreeMap<&str, usize> = BTreeMap::new();
    for s in &all {
        kinds.entry(&s.case.kind).or_default().push(s.grade);
        kinds.entry("all").or_default().push(s.grade);
        s.faults
            .iter()
            .for_each(|f| *slots.entry(f.split(':').next().unwrap_or("")).or_default() += 1);
    }
    println!(
        "{:<9}{:>6}{:>8}{:>8}{:>9}{:>9}{:>9}{:>9}",
        "kind", "of", "exact", "asked", "partial", "misread", "refused", "right %"
    );
    for (kind, grades) in &kinds {
        let count = |g: Grade| grades.iter().filter(|x| **x == g).count();
        let right = grades.iter().filter(|g| g.is_right()).count();
        println!(
            "{kind:<9}{:>6}{:>8}{:>8}{:>9}{:>9}{:>9}{:>9.1}",
            grades.len(),
            count(Grade::Exact),
            count(Grade::Asked),
            count(Grade::Partial),
            count(Grade::Misread),
            count(Grade::Refused),
            100.0 * right as f64 / grades.len() as f64
        );
    }
    let mut slots: Vec<_> = slots.into_iter().collect();
    slots.sort_by_key(|s| std::cmp::Reverse(s.1));
    println!(
        "faults by slot: {}",
        slots
            .iter()
            .map(|(s, n)| format!("{s} {n}"))
            .collect::<Vec<_>>()
            .join(", ")
    );
}
