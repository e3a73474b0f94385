//! What a mutant is, and which of all that could be made are tried.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::Deserialize;

/// A piece of the text that stands for a changed expression.
#[derive(Clone)]
pub enum Piece {
    /// As it stands here.
    Text(String),
    /// What the source has at these bytes, with the other mutants within it.
    Source(Range<usize>),
}

/// Where one file is changed, and how.
pub struct Edit {
    pub file: String,
    pub range: Range<usize>,
    pub changed: Vec<Piece>,
}

/// One change of the program that a test should notice.
pub struct Mutant {
    /// Which it is, whatever else changes in the file: file, function or row, change, how many of its like stand before it.
    pub key: String,
    pub line: usize,
    pub edits: Vec<Edit>,
}

impl Mutant {
    pub fn file(&self) -> &str {
        &self.edits[0].file
    }

    /// The crate that it is in.
    pub fn package(&self) -> &str {
        self.file().split('/').nth(1).unwrap_or_default()
    }
}

/// Gives mutants keys that tell those of one kind in one place apart.
#[derive(Default)]
pub struct Keys(BTreeMap<String, usize>);

impl Keys {
    pub fn next(&mut self, file: &str, place: &str, change: &str) -> String {
        let key = format!("{file} | {place} | {change}");
        let count = self.0.entry(key.clone()).or_default();
        *count += 1;
        if *count == 1 { key } else { format!("{key} | {count}") }
    }
}

/// `plan.toml`: how large a part of what could be changed is tried, by the beginning of the path.
#[derive(Deserialize)]
pub struct Plan {
    share: BTreeMap<String, f64>,
}

impl Plan {
    /// Whether a mutant is tried: by its key alone, so that another choice elsewhere does not change this one.
    pub fn picks(&self, mutant: &Mutant) -> bool {
        fraction(&mutant.key) < self.share(mutant)
    }

    /// The share of the mutants of its file that are tried.
    pub fn share(&self, mutant: &Mutant) -> f64 {
        let longest = self
            .share
            .iter()
            .filter(|(path, _)| mutant.file().starts_with(path.as_str()))
            .max_by_key(|(path, _)| path.len());
        longest.map_or(0.0, |(_, share)| *share)
    }
}

/// A number from 0 to 1 that follows from the text (FNV-1a, its bits mixed once more).
fn fraction(text: &str) -> f64 {
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    let mixed = (hash ^ (hash >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (mixed >> 11) as f64 / (1_u64 << 53) as f64
}
