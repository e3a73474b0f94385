//! The weights by which the places of an amount compete, fitted to the enquiries of the repository by `examples/fit`.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use serde::Deserialize;

/// How much what the rules give a place counts, and what each feature gives each place.
#[derive(Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct Weights {
    rules: BTreeMap<String, f64>,
    feature: HashMap<String, BTreeMap<String, f64>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    amount: Weights,
    verb: Weights,
    direction: Weights,
}

static FILE: LazyLock<File> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    toml::from_str(include_str!("../data/weights.toml")).expect("data/weights.toml is well formed")
});

impl Weights {
    /// The weights of amounts.
    pub(crate) fn amounts() -> &'static Self {
        &FILE.amount
    }

    /// The weights of verbs.
    pub(crate) fn verbs() -> &'static Self {
        &FILE.verb
    }

    /// The weights of the ways of a load.
    pub(crate) fn directions() -> &'static Self {
        &FILE.direction
    }

    /// The chance of each place, given what the rules give it and the features around; they sum to 1.
    pub(crate) fn chances(&self, features: &[String], places: &[(&'static str, f64)]) -> Vec<f64> {
        let known: Vec<&BTreeMap<String, f64>> = features.iter().filter_map(|f| self.feature.get(f)).collect();
        let scores: Vec<f64> = places
            .iter()
            .map(|(place, rule)| {
                let own = self.rules.get(*place).unwrap_or(&0.0) * rule.clamp(LEAST_RULE, MOST_RULE);
                own + known.iter().filter_map(|w| w.get(*place)).sum::<f64>()
            })
            .collect();
        let most = scores.iter().copied().fold(f64::MIN, f64::max);
        let parts: Vec<f64> = scores.iter().map(|s| (s - most).exp()).collect();
        let sum: f64 = parts.iter().sum();
        parts.iter().map(|p| p / sum).collect()
    }
}

/// What the rules give is held between these, as when the weights were fitted.
const LEAST_RULE: f64 = -4.0;
const MOST_RULE: f64 = 8.0;
