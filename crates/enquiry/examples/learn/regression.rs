//! Logistic regression on features, the same each time.

use std::collections::BTreeMap;

/// Features, what the rules give each matter, and the matters that hold.
pub struct Example {
    pub features: Vec<String>,
    /// The matters that compete, with what the rules give them; empty where all do and the rules say nothing.
    pub rules: Vec<(&'static str, f64)>,
    pub holds: Vec<String>,
}

/// Whether one matter holds, or any of them.
#[derive(Clone, Copy, PartialEq)]
pub enum Shape {
    OneOf,
    AnyOf,
}

/// How weights are learned.
#[derive(Clone, Copy)]
pub struct How {
    pub shape: Shape,
    /// How strongly weights are drawn to nothing, by their size: more, where there are few texts for each matter.
    pub decay: f64,
    /// The same for each of them, which leaves few.
    pub sparse: f64,
    /// Features that fewer examples have say nothing about others.
    pub least: usize,
}

/// Weights of features for matters.
pub struct Model {
    how: How,
    matters: Vec<String>,
    numbers: BTreeMap<String, usize>,
    weights: Vec<f64>,
    /// How much what the rules give a matter counts.
    rules: Vec<f64>,
}

/// An example by numbers.
struct Known {
    features: Vec<usize>,
    scale: f64,
    /// The matters that compete, what the rules give them, and whether they hold.
    places: Vec<(usize, f64, bool)>,
}

/// How often the examples are gone through.
const ROUNDS: usize = 40;
/// The weights are the mean of those after so many last rounds, which evens out the order of the examples.
const EVENED: usize = 20;
/// The first step of learning; later ones shrink with the slopes met.
const STEP: f64 = 0.3;
/// The same for what rules count.
const STEP_OF_RULES: f64 = 0.03;
/// What the rules count before anything is learned.
const UNLEARNED: f64 = 0.3;
/// Weights below this are left out of the files.
const SMALL: f64 = 0.12;

impl Model {
    pub fn new(examples: &[&Example], how: How) -> Self {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        let mut matters: Vec<String> = Vec::new();
        for example in examples {
            example.features.iter().for_each(|m| *counts.entry(m).or_default() += 1);
            let named = example.rules.iter().map(|r| r.0.to_owned());
            for matter in example.holds.iter().cloned().chain(named) {
                if !matters.contains(&matter) {
                    matters.push(matter);
                }
            }
        }
        matters.sort();
        let numbers: BTreeMap<String, usize> = counts
            .into_iter()
            .filter(|(_, n)| *n >= how.least)
            .enumerate()
            .map(|(number, (feature, _))| (feature.to_owned(), number))
            .collect();
        let mut model = Self {
            how,
            weights: vec![0.0; numbers.len() * matters.len()],
            rules: vec![UNLEARNED; matters.len()],
            matters,
            numbers,
        };
        let known: Vec<Known> = examples.iter().map(|e| model.known(e)).collect();
        model.learn(&known);
        model
    }

    fn known(&self, example: &Example) -> Known {
        let mut features: Vec<usize> = example
            .features
            .iter()
            .filter_map(|m| self.numbers.get(m).copied())
            .collect();
        features.sort_unstable();
        features.dedup();
        let places = self.matters.iter().enumerate().filter_map(|(number, matter)| {
            let rule = example.rules.iter().find(|r| r.0 == matter);
            let own = rule
                .map(|r| r.1.clamp(-4.0, 8.0))
                .or(example.rules.is_empty().then_some(0.0))?;
            Some((number, own, example.holds.contains(matter)))
        });
        Known {
            features,
            // as `src/learned.rs` evens out the length of messages
            scale: match self.how.shape {
                Shape::OneOf => (example.features.len().max(1) as f64).powf(-0.25),
                Shape::AnyOf => 1.0,
            },
            places: places.collect(),
        }
    }

    fn learn(&mut self, known: &[Known]) {
        let width = self.matters.len();
        let mut slopes = vec![1e-3; self.weights.len()];
        let mut slopes_of_rules = vec![1e-3; width];
        let mut order: Vec<usize> = (0..known.len()).collect();
        let mut seed = 12345u64;
        let mut sums = vec![0.0; self.weights.len()];
        for round in 0..ROUNDS {
            shuffle(&mut order, &mut seed);
            for at in &order {
                let example = &known[*at];
                let chances = self.chances(example);
                for ((matter, rule, holds), chance) in example.places.iter().zip(chances) {
                    let miss = chance - f64::from(u8::from(*holds));
                    if miss.abs() < 1e-4 {
                        continue;
                    }
                    let slope = miss * rule;
                    slopes_of_rules[*matter] += slope * slope;
                    let own = &mut self.rules[*matter];
                    *own = (*own - STEP_OF_RULES * slope / slopes_of_rules[*matter].sqrt()).max(0.0);
                    for feature in &example.features {
                        let at = feature * width + matter;
                        let slope = miss * example.scale + self.how.decay * self.weights[at];
                        slopes[at] += slope * slope;
                        self.weights[at] -= STEP * slope / slopes[at].sqrt();
                    }
                }
            }
            if self.how.sparse > 0.0 {
                // once for all examples of the round
                for (weight, slope) in self.weights.iter_mut().zip(&slopes) {
                    let shrink = STEP * self.how.sparse * known.len() as f64 / slope.sqrt();
                    *weight = weight.signum() * (weight.abs() - shrink).max(0.0);
                }
            }
            if round >= ROUNDS - EVENED {
                sums.iter_mut()
                    .zip(&self.weights)
                    .for_each(|(sum, weight)| *sum += weight);
            }
        }
        for (weight, sum) in self.weights.iter_mut().zip(sums) {
            *weight = sum / EVENED as f64;
        }
    }

    fn chances(&self, example: &Known) -> Vec<f64> {
        let width = self.matters.len();
        let mut scores: Vec<f64> = example.places.iter().map(|p| self.rules[p.0] * p.1).collect();
        for (score, place) in scores.iter_mut().zip(&example.places) {
            let sum: f64 = example.features.iter().map(|f| self.weights[f * width + place.0]).sum();
            *score += sum * example.scale;
        }
        if self.how.shape == Shape::AnyOf {
            return scores.iter().map(|s| 1.0 / (1.0 + (-s).exp())).collect();
        }
        let most = scores.iter().copied().fold(f64::MIN, f64::max);
        let all: f64 = scores.iter().map(|s| (s - most).exp()).sum();
        scores.iter().map(|s| (s - most).exp() / all).collect()
    }

    /// Whether an example is told as it is, and the chance of its likeliest matter.
    pub fn tells(&self, example: &Example) -> (bool, f64) {
        let known = self.known(example);
        let chances = self.chances(&known);
        let most = chances.iter().copied().fold(0.0, f64::max);
        let right = known.places.iter().zip(&chances).all(|(place, chance)| {
            let told = *chance == most || self.how.shape == Shape::AnyOf && *chance > 0.5;
            told == place.2
        });
        (right, most)
    }

    /// How many features speak for something.
    pub fn features(&self) -> usize {
        self.numbers.len()
    }

    /// As the reader takes it: the matters in a line, what rules count, then a line for each feature.
    pub fn lines(&self) -> String {
        let width = self.matters.len();
        let hundredths = |weight: &f64| format!("{}", (weight * 100.0).round());
        let rules: Vec<String> = self.rules.iter().map(hundredths).collect();
        let mut out = format!("{}\n{}\n", self.matters.join("\t"), rules.join("\t"));
        for (feature, number) in &self.numbers {
            let weights = &self.weights[number * width..(number + 1) * width];
            let cells: Vec<String> = weights
                .iter()
                .enumerate()
                .filter(|(_, w)| w.abs() >= SMALL)
                .map(|(matter, w)| format!("\t{matter} {}", hundredths(w)))
                .collect();
            if !cells.is_empty() {
                out.push_str(&format!("{feature}{}\n", cells.concat()));
            }
        }
        out
    }
}

fn shuffle(order: &mut [usize], seed: &mut u64) {
    for i in (1..order.len()).rev() {
        *seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        order.swap(i, (*seed >> 33) as usize % (i + 1));
    }
}
