//! What was scored, as tables.

use std::collections::BTreeMap;

use crate::scorer::{Grade, Scored};

/// One case and what was wrong.
pub fn fault(s: &Scored) {
    println!("--- {} {} [{:?}] {:?}", s.case.id, s.case.kind, s.grade, s.case.text);
    for fault in &s.faults {
        println!("      {fault}");
    }
}

fn part(scored: &[Scored], fits: fn(Grade) -> bool) -> f64 {
    100.0 * scored.iter().filter(|s| fits(s.grade)).count() as f64 / scored.len().max(1) as f64
}

/// The parts that are right, and misread, in a line.
#[allow(dead_code, reason = "the tables are shared by two examples")]
pub fn short(scored: &[Scored]) -> String {
    let right = part(scored, Grade::is_right);
    let misread = part(scored, |g| g == Grade::Misread);
    format!("{} enquiries, {right:.1} % right, {misread:.1} % misread", scored.len())
}

/// A table by kind, and the faults by slot.
pub fn print(all: &[Scored]) {
    let mut kinds: BTreeMap<&str, Vec<Grade>> = BTreeMap::new();
    let mut slots: BTreeMap<&str, usize> = BTreeMap::new();
    for s in all {
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
    let slots: Vec<String> = slots.iter().map(|(s, n)| format!("{s} {n}")).collect();
    println!("faults by slot: {}", slots.join(", "));
}
