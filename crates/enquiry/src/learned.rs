//! What the marks of a message speak for, by weights that `examples/teach` learns from read enquiries.
//!
//! The weights are those of a logistic regression: each mark adds its weight to each matter, and the sums, made independent
//! of the length of the message, become chances. They are committed in `data/learned/`; nothing is learned while reading.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

/// The power of the number of marks that sums are divided by, where one matter holds: long messages say more, not surer.
/// `examples/teach` learns with the same.
const EVEN: f64 = 0.25;

/// Weights of marks for the matters of one question.
pub(crate) struct Weights {
    matters: Vec<&'static str>,
    /// By mark: the matters and what it adds to each, in tenths.
    marks: HashMap<&'static str, Vec<(usize, i32)>>,
}

/// A matter and its chance.
pub(crate) type Chance = (&'static str, f64);

impl Weights {
    /// A line of matters, then lines of a mark, and the number of each matter with what the mark adds to it in tenths, by tabs.
    fn new(text: &'static str) -> Self {
        let mut lines = text.lines();
        let matters = lines.next().into_iter().flat_map(|l| l.split('\t')).collect();
        let marks = lines
            .map(|line| {
                let mut cells = line.split('\t');
                let mark = cells.next().unwrap_or_default();
                let weights = cells.filter_map(|c| {
                    let (matter, weight) = c.split_once(' ')?;
                    Some((matter.parse().ok()?, weight.parse().ok()?))
                });
                (mark, weights.collect())
            })
            .collect();
        Self { matters, marks }
    }

    /// What each matter gathers from the marks.
    fn sums(&self, marks: &BTreeSet<String>) -> Vec<f64> {
        let mut sums = vec![0.0; self.matters.len()];
        for row in marks.iter().filter_map(|m| self.marks.get(m.as_str())) {
            for (matter, weight) in row {
                if let Some(sum) = sums.get_mut(*matter) {
                    *sum += f64::from(*weight) / 10.0;
                }
            }
        }
        sums
    }

    /// The chances of matters of which one holds, the likeliest first.
    pub(crate) fn one_of(&self, marks: &BTreeSet<String>) -> Vec<Chance> {
        let scale = (marks.len().max(1) as f64).powf(EVEN);
        let powers: Vec<f64> = self.sums(marks).iter().map(|s| (s / scale).exp()).collect();
        let all: f64 = powers.iter().sum();
        self.sorted(powers.iter().map(|p| p / all))
    }

    /// The chances of matters of which any may hold, the likeliest first.
    pub(crate) fn any_of(&self, marks: &BTreeSet<String>) -> Vec<Chance> {
        self.sorted(self.sums(marks).iter().map(|s| 1.0 / (1.0 + (-s).exp())))
    }

    fn sorted(&self, chances: impl Iterator<Item = f64>) -> Vec<Chance> {
        let mut out: Vec<Chance> = self.matters.iter().copied().zip(chances).collect();
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }
}

/// All that is learned.
pub(crate) struct Learned {
    /// Which of the five kinds.
    pub kinds: Weights,
    /// Why a message is refused.
    pub reasons: Weights,
    /// Which standing question.
    pub topics: Weights,
    /// What is asked of magnets.
    pub abouts: Weights,
}

static LEARNED: LazyLock<Learned> = LazyLock::new(|| Learned {
    kinds: Weights::new(include_str!("../data/learned/kinds.tsv")),
    reasons: Weights::new(include_str!("../data/learned/reasons.tsv")),
    topics: Weights::new(include_str!("../data/learned/topics.tsv")),
    abouts: Weights::new(include_str!("../data/learned/abouts.tsv")),
});

impl Learned {
    pub(crate) fn builtin() -> &'static Self {
        &LEARNED
    }
}
