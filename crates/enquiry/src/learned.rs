//! What the features of a message speak for, by weights that `examples/learn` learns from read enquiries.
//!
//! The weights are those of a logistic regression: each feature adds its weight to each matter that it speaks for, what the
//! rules give a matter counts beside them, and the sums become chances. They are committed in `data/learned/`; nothing is
//! learned while reading.

use std::collections::HashMap;
use std::sync::LazyLock;

/// The power of the number of features that sums are divided by, where one matter holds: long messages say more, not surer.
/// `examples/learn` learns with the same.
const EVEN: f64 = 0.25;
/// What the rules give is held between these, as when the weights were learned.
const LEAST_RULE: f64 = -4.0;
const MOST_RULE: f64 = 8.0;
/// Weights are written in hundredths.
const PART: f64 = 0.01;

/// Weights of features for the matters of one question.
pub(crate) struct Weights {
    matters: Vec<String>,
    /// How much what the rules give each matter counts.
    rules: Vec<f64>,
    /// By feature: the matters and what it adds to each.
    features: HashMap<String, Vec<(usize, f64)>>,
}

/// A matter and its chance.
pub(crate) type Chance<'w> = (&'w str, f64);

impl Weights {
    /// A line of matters, a line of what rules count for each, then lines of a feature, and the number of each matter with
    /// what the feature adds to it; all by tabs, weights in hundredths.
    fn new(text: &str) -> Self {
        let mut lines = text.lines();
        let mut cells = || {
            lines
                .next()
                .unwrap_or_default()
                .split('\t')
                .map(str::to_owned)
                .collect()
        };
        let matters: Vec<String> = cells();
        let rules: Vec<String> = cells();
        let features = lines.map(|line| {
            let mut cells = line.split('\t');
            let feature = cells.next().unwrap_or_default().to_owned();
            let weights = cells.filter_map(|c| {
                let (matter, weight) = c.split_once(' ')?;
                let matter = matter.parse().ok().filter(|m| *m < matters.len())?;
                Some((matter, weight.parse::<f64>().ok()? * PART))
            });
            (feature, weights.collect())
        });
        Self {
            features: features.collect(),
            rules: rules.iter().map(|r| r.parse::<f64>().unwrap_or(0.0) * PART).collect(),
            matters,
        }
    }

    /// What each matter gathers from the features.
    fn sums<'f>(&self, features: impl Iterator<Item = &'f String>) -> (Vec<f64>, f64) {
        let mut sums = vec![0.0; self.matters.len()];
        let mut count = 0.0f64;
        for feature in features {
            count += 1.0;
            for (matter, weight) in self.features.get(feature).into_iter().flatten() {
                sums[*matter] += weight;
            }
        }
        (sums, count.max(1.0).powf(EVEN))
    }

    /// The chances of matters of which one holds, the likeliest first.
    pub(crate) fn one_of<'f>(&self, features: impl IntoIterator<Item = &'f String>) -> Vec<Chance<'_>> {
        let (sums, scale) = self.sums(features.into_iter());
        self.sorted(shares(sums.iter().map(|s| s / scale)))
    }

    /// The chance of each of these matters, of which one holds, given what the rules give it and the features around; they
    /// sum to 1.
    pub(crate) fn chances<'f>(
        &self,
        features: impl IntoIterator<Item = &'f String>,
        places: &[(&'static str, f64)],
    ) -> Vec<f64> {
        let (sums, scale) = self.sums(features.into_iter());
        let scores = places.iter().map(|(place, rule)| {
            let matter = self.matters.iter().position(|m| m == place);
            let own = |m: usize| {
                let rules = self.rules.get(m).unwrap_or(&0.0);
                rules * rule.clamp(LEAST_RULE, MOST_RULE) + sums[m] / scale
            };
            matter.map_or(0.0, own)
        });
        shares(scores)
    }

    /// Whether a feature says anything.
    pub(crate) fn knows(&self, feature: &str) -> bool {
        self.features.contains_key(feature)
    }

    /// Whether nothing is learned.
    pub(crate) fn is_empty(&self) -> bool {
        self.features.is_empty()
    }

    /// The chances of matters of which any may hold, the likeliest first.
    pub(crate) fn any_of<'f>(&self, features: impl IntoIterator<Item = &'f String>) -> Vec<Chance<'_>> {
        let (sums, _) = self.sums(features.into_iter());
        self.sorted(sums.iter().map(|s| 1.0 / (1.0 + (-s).exp())).collect())
    }

    fn sorted(&self, chances: Vec<f64>) -> Vec<Chance<'_>> {
        let mut out: Vec<Chance> = self.matters.iter().map(String::as_str).zip(chances).collect();
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }
}

/// The shares of scores: their exponentials, made to sum to 1.
fn shares(scores: impl Iterator<Item = f64>) -> Vec<f64> {
    let scores: Vec<f64> = scores.collect();
    let most = scores.iter().copied().fold(f64::MIN, f64::max);
    let parts: Vec<f64> = scores.iter().map(|s| (s - most).exp()).collect();
    let sum: f64 = parts.iter().sum();
    parts.iter().map(|p| p / sum).collect()
}

/// All that is learned.
pub struct Learned {
    /// Which of the five kinds.
    pub(crate) kinds: Weights,
    /// Why a message is refused.
    pub(crate) reasons: Weights,
    /// Which standing question.
    pub(crate) topics: Weights,
    /// What is asked of magnets.
    pub(crate) abouts: Weights,
    /// Which place an amount has.
    pub(crate) amounts: Weights,
    /// What the magnet must do.
    pub(crate) verbs: Weights,
    /// Which way a load pulls.
    pub(crate) directions: Weights,
    /// Whether a part of a reading is wrong.
    pub(crate) doubts: Weights,
}

static BUILTIN: LazyLock<Learned> = LazyLock::new(|| {
    Learned::of(|matter| match matter {
        "kinds" => include_str!("../data/learned/kinds.tsv").to_owned(),
        "reasons" => include_str!("../data/learned/reasons.tsv").to_owned(),
        "topics" => include_str!("../data/learned/topics.tsv").to_owned(),
        "abouts" => include_str!("../data/learned/abouts.tsv").to_owned(),
        "amounts" => include_str!("../data/learned/amounts.tsv").to_owned(),
        "verbs" => include_str!("../data/learned/verbs.tsv").to_owned(),
        "directions" => include_str!("../data/learned/directions.tsv").to_owned(),
        _ => include_str!("../data/learned/doubts.tsv").to_owned(),
    })
});

impl Learned {
    /// The committed weights.
    pub(crate) fn builtin() -> &'static Self {
        &BUILTIN
    }

    /// Weights by the name of their matter, each as its file in `data/learned/` has them. For whoever measures how well a
    /// part of the enquiries teaches to read the others.
    pub fn of(lines: impl Fn(&str) -> String) -> Self {
        let weights = |matter: &str| Weights::new(&lines(matter));
        Self {
            kinds: weights("kinds"),
            reasons: weights("reasons"),
            topics: weights("topics"),
            abouts: weights("abouts"),
            amounts: weights("amounts"),
            verbs: weights("verbs"),
            directions: weights("directions"),
            doubts: weights("doubts"),
        }
    }
}
