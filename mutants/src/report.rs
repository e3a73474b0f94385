//! What is printed, and the list of survivors that are excused.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::Deserialize;

use crate::mutant::Mutant;
use crate::tests::Verdict;
use crate::{Known, Outcome};

/// Of a hundred mutants, so many at least are caught or are no change at all.
const LEAST_CAUGHT: f64 = 95.0;

/// `survivors.toml`: what no test notices, and why that is so.
#[derive(Deserialize)]
pub struct Excused {
    #[serde(default)]
    survivor: Vec<Survivor>,
}

#[derive(Deserialize)]
struct Survivor {
    key: String,
    /// No run of the program could differ, so it does not count.
    #[serde(default)]
    equivalent: bool,
    reason: String,
}

/// How many mutants would be tried, by crate.
pub fn count(mutants: &[Mutant]) {
    let mut by: BTreeMap<&str, usize> = BTreeMap::new();
    for mutant in mutants {
        *by.entry(mutant.package()).or_default() += 1;
    }
    for (package, count) in by {
        println!("{package:12} {count:5}");
    }
    println!("{:12} {:5}", "all", mutants.len());
}

/// Results that were written as they came.
pub fn read(path: &Path) -> Known {
    let text = fs::read_to_string(path).unwrap_or_default();
    text.lines()
        .filter_map(|line| serde_json::from_str::<(String, Verdict)>(line).ok())
        .collect()
}

/// One mutant and how it went.
pub fn line(mutant: &Mutant, verdict: &Verdict) -> String {
    let how = match verdict {
        Verdict::Caught(test) => format!("caught by {test}"),
        Verdict::Survived { of: 0, .. } => "SURVIVED: no test comes by it".to_owned(),
        Verdict::Survived { run, of } => format!("SURVIVED {run} of {of} tests"),
    };
    format!("{}  (line {})  {how}", mutant.key, mutant.line)
}

/// Prints all results and their counts; whether enough were caught and every survivor has a reason.
pub fn table(mutants: &[Mutant], known: &Known, excused: &Excused) -> Outcome<bool> {
    let reason: BTreeMap<&str, &Survivor> = excused.survivor.iter().map(|s| (s.key.as_str(), s)).collect();
    // Tried, caught, equivalent, accepted, unexplained.
    let mut counts: BTreeMap<&str, [usize; 5]> = BTreeMap::new();
    for mutant in mutants {
        let Some(verdict) = known.get(&mutant.key) else {
            continue;
        };
        let at = match (verdict, reason.get(mutant.key.as_str())) {
            (Verdict::Caught(_), _) => 1,
            (_, Some(survivor)) => {
                println!("{}\n    {}", line(mutant, verdict), survivor.reason);
                if survivor.equivalent { 2 } else { 3 }
            }
            (_, None) => {
                println!("{}\n    no reason is given", line(mutant, verdict));
                4
            }
        };
        for package in [mutant.package(), "all"] {
            let of = counts.entry(package).or_default();
            of[0] += 1;
            of[at] += 1;
        }
    }
    println!(
        "\n{:12} {:>7} {:>7} {:>10} {:>8} {:>11}",
        "crate", "mutants", "caught", "equivalent", "accepted", "unexplained"
    );
    for (package, [tried, caught, equivalent, accepted, unexplained]) in &counts {
        println!("{package:12} {tried:7} {caught:7} {equivalent:10} {accepted:8} {unexplained:11}");
    }
    let [tried, caught, equivalent, _, unexplained] = counts.get("all").copied().unwrap_or_default();
    let share = 100.0 * caught as f64 / (tried - equivalent).max(1) as f64;
    println!("\n{share:.1} % of those that change anything are caught; {unexplained} survive without a reason");
    Ok(share >= LEAST_CAUGHT && unexplained == 0)
}
