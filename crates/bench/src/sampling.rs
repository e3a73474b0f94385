//! Receiving inspection by attributes: single sampling plans by lot size and AQL.
//!
//! The tables are `data/sampling.toml`, with their sources.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use statrs::distribution::{Binomial, DiscreteCDF};
use thiserror::Error;

/// How strictly a supplier's lots are inspected.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// As one begins.
    #[default]
    Normal,
    /// After lots were rejected.
    Tightened,
    /// After many good lots.
    Reduced,
}

/// A single sampling plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    /// Code letter of the plan that applies.
    pub letter: char,
    /// Pieces to inspect; all of the lot where it is as large as the lot or larger.
    pub sample: u32,
    /// Largest count of nonconforming pieces that accepts the lot.
    pub accept: u32,
    /// Smallest count that rejects it.
    pub reject: u32,
    /// Whether the sample is the whole lot.
    pub every_piece: bool,
}

/// What a count says of a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Accept.
    Accept,
    /// Accept, and go back to normal inspection: the count lies between the two numbers of a reduced plan.
    AcceptAndReturnToNormal,
    /// Reject.
    Reject,
}

impl Plan {
    /// The verdict for so many nonconforming pieces in the sample.
    #[must_use]
    pub fn verdict(&self, nonconforming: u32) -> Verdict {
        if nonconforming <= self.accept {
            Verdict::Accept
        } else if nonconforming < self.reject {
            Verdict::AcceptAndReturnToNormal
        } else {
            Verdict::Reject
        }
    }

    /// Chance that a lot with that part of nonconforming pieces (0 to 1) is accepted: the operating characteristic, by the
    /// binomial distribution; a reduced plan accepts up to the count before the one that rejects. NaN for another part.
    #[must_use]
    pub fn acceptance(&self, nonconforming: f64) -> f64 {
        Binomial::new(nonconforming, u64::from(self.sample)).map_or(f64::NAN, |law| {
            law.cdf(u64::from(self.reject.saturating_sub(1).max(self.accept)))
        })
    }

    /// The part of nonconforming pieces that is accepted with that chance (0 to 1), by halving; to 1e-9.
    #[must_use]
    pub fn quality_accepted_with(&self, chance: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let half = 0.5 * (low + high);
            if self.acceptance(half) > chance {
                low = half;
            } else {
                high = half;
            }
        }
        0.5 * (low + high)
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SamplingError {
    /// A lot of one piece or none.
    #[error("a lot must have at least 2 pieces, got {0}")]
    LotSize(u32),
    /// An inspection level that is not in the tables.
    #[error("inspection level must be one of S-1, S-2, S-3, S-4, I, II, III, got {0}")]
    Level(String),
    /// An AQL that is not in the tables.
    #[error("AQL must be one of 0.40, 0.65, 1.0, 1.5, 2.5, 4.0 (percent), got {0}")]
    Aql(f64),
    /// The tables are defective, which their tests rule out.
    #[error("sampling tables cannot be read: {0}")]
    Tables(String),
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Tables {
    source: Sources,
    letters: Letters,
    normal: Table,
    tightened: Table,
    reduced: Table,
}

/// Where the tables come from.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sources {
    /// Code letters.
    pub letters: String,
    /// Normal inspection.
    pub normal: String,
    /// Tightened inspection.
    pub tightened: String,
    /// Reduced inspection.
    pub reduced: String,
    /// Switching rules.
    pub switching: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Letters {
    levels: Vec<String>,
    rows: Vec<LetterRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct LetterRow {
    largest: u32,
    letters: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    aql: Vec<f64>,
    rows: Vec<PlanRow>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct PlanRow {
    letter: char,
    sample: u32,
    plans: Vec<String>,
}

static TABLES: LazyLock<Result<Tables, String>> =
    LazyLock::new(|| toml::from_str(include_str!("../data/sampling.toml")).map_err(|error| error.to_string()));

fn tables() -> Result<&'static Tables, SamplingError> {
    TABLES.as_ref().map_err(|error| SamplingError::Tables(error.clone()))
}

/// Where the tables come from.
///
/// # Errors
/// [`SamplingError::Tables`] if the embedded tables are defective, which their tests rule out.
pub fn sources() -> Result<&'static Sources, SamplingError> {
    tables().map(|t| &t.source)
}

/// Code letter of a lot size at an inspection level (`S-1` to `S-4`, `I`, `II`, `III`).
///
/// # Errors
/// [`SamplingError`] for a lot below 2 pieces or another level.
pub fn letter(lot_size: u32, level: &str) -> Result<char, SamplingError> {
    if lot_size < 2 {
        return Err(SamplingError::LotSize(lot_size));
    }
    let letters = &tables()?.letters;
    let column = letters
        .levels
        .iter()
        .position(|l| l == level)
        .ok_or_else(|| SamplingError::Level(level.to_owned()))?;
    letters
        .rows
        .iter()
        .find(|row| row.largest == 0 || lot_size <= row.largest)
        .and_then(|row| row.letters.chars().nth(column))
        .ok_or_else(|| SamplingError::Tables("a lot size has no letter".into()))
}

/// The plan for a lot size, inspection level, AQL (percent nonconforming) and severity.
///
/// # Errors
/// [`SamplingError`] for a lot below 2 pieces, and a level or AQL that is not in the tables.
pub fn plan(lot_size: u32, level: &str, aql: f64, severity: Severity) -> Result<Plan, SamplingError> {
    let tables = tables()?;
    let table = match severity {
        Severity::Normal => &tables.normal,
        Severity::Tightened => &tables.tightened,
        Severity::Reduced => &tables.reduced,
    };
    let first = letter(lot_size, level)?;
    let column = table
        .aql
        .iter()
        .position(|&a| (a - aql).abs() < 1e-9)
        .ok_or(SamplingError::Aql(aql))?;
    let broken = || SamplingError::Tables(format!("no plan at letter {first} for AQL {aql}"));
    let mut row = table.rows.iter().position(|r| r.letter == first).ok_or_else(broken)?;
    for _ in 0..=table.rows.len() {
        let here = table.rows.get(row).ok_or_else(broken)?;
        let cell = here.plans.get(column).ok_or_else(broken)?;
        match cell.as_str() {
            "v" => row += 1,
            "^" => row = row.checked_sub(1).ok_or_else(broken)?,
            numbers => {
                let (accept, reject) = numbers.split_once('/').ok_or_else(broken)?;
                let sample = here.sample.min(lot_size);
                return Ok(Plan {
                    letter: here.letter,
                    sample,
                    accept: accept.parse().map_err(|_| broken())?,
                    reject: reject.parse().map_err(|_| broken())?,
                    every_piece: here.sample >= lot_size,
                });
            }
        }
    }
    Err(broken())
}

/// The next smaller AQL of the tables; `None` below the smallest.
#[must_use]
pub fn tighter_aql(aql: f64) -> Option<f64> {
    let known = tables().ok()?.normal.aql.iter().copied();
    known.filter(|&smaller| smaller < aql).reduce(f64::max)
}

/// The inspected lots of one supplier and kind, for the severity of the next.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct History {
    /// How the next lot is inspected.
    pub severity: Severity,
    /// Whether inspection is stopped until the supplier has mended its process.
    pub stopped: bool,
    /// Verdicts on the last lots, on original inspection, since the severity changed: true for accepted, the oldest first.
    accepted: Vec<bool>,
    /// Switching score towards reduced inspection.
    score: u32,
}

/// Lots among which two rejected ones bring tightened inspection.
const WINDOW: usize = 5;
/// Lots accepted in a row that end tightened inspection, and rejected ones under it that stop inspection.
const TO_NORMAL: usize = 5;
const TO_STOP: usize = 5;
/// Switching score that brings reduced inspection.
const TO_REDUCED: u32 = 30;

impl History {
    /// Takes note of a lot, inspected with `plan` and found to have so many nonconforming pieces; `tighter` is the plan at the
    /// next smaller AQL, which the switching score asks for where two pieces or more are accepted.
    ///
    /// Two of five consecutive lots rejected bring tightened inspection; five accepted in a row end it, five rejected under it
    /// stop inspection. A switching score of 30 brings reduced inspection, and a lot that is rejected, or accepted with a
    /// count between the two numbers, ends it.
    pub fn record(&mut self, plan: &Plan, tighter: Option<&Plan>, nonconforming: u32) -> Verdict {
        let verdict = plan.verdict(nonconforming);
        let good = verdict != Verdict::Reject;
        self.accepted.push(good);
        match self.severity {
            Severity::Normal => {
                let window = self.accepted.len().saturating_sub(WINDOW);
                let rejected = self.accepted[window..].iter().filter(|&&a| !a).count();
                self.score = match (plan.accept >= 2, tighter) {
                    (true, Some(tighter)) if tighter.verdict(nonconforming) == Verdict::Accept => self.score + 3,
                    (false, _) if good => self.score + 2,
                    _ => 0,
                };
                if rejected >= 2 {
                    self.switch(Severity::Tightened);
                } else if self.score >= TO_REDUCED {
                    self.switch(Severity::Reduced);
                }
            }
            Severity::Tightened => {
                let last = self.accepted.len().saturating_sub(TO_NORMAL);
                if self.accepted.iter().filter(|&&a| !a).count() >= TO_STOP {
                    self.stopped = true;
                } else if self.accepted.len() >= TO_NORMAL && self.accepted[last..].iter().all(|&a| a) {
                    self.switch(Severity::Normal);
                }
            }
            Severity::Reduced => {
                if verdict != Verdict::Accept {
                    self.switch(Severity::Normal);
                }
            }
        }
        verdict
    }

    /// Inspection goes on as somebody chose, whatever was proposed; where that is otherwise, the count begins anew.
    pub fn take_up(&mut self, severity: Severity) {
        if self.stopped || severity != self.severity {
            self.stopped = false;
            self.switch(severity);
        }
    }

    /// Switching score towards reduced inspection, which begins at 30.
    #[must_use]
    pub fn score(&self) -> u32 {
        self.score
    }

    /// The supplier has mended its process: inspection goes on, tightened.
    pub fn resume(&mut self) {
        self.stopped = false;
        self.switch(Severity::Tightened);
    }

    fn switch(&mut self, to: Severity) {
        self.severity = to;
        self.accepted.clear();
        self.score = 0;
    }
}

#[cfg(test)]
mod tests;
