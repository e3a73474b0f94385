//! Logistic regression on marks, the same each time.

use std::collections::BTreeMap;

/// Marks and what they stand for.
pub struct Example {
    pub marks: Vec<String>,
    pub matters: Vec<String>,
}

/// Whether one matter holds, or any of them.
#[derive(Clone, Copy, PartialEq)]
pub enum Shape {
    OneOf,
    AnyOf,
}

/// Weights of marks for matters.
pub struct Model {
    shape: Shape,
    /// How strongly weights are drawn to nothing.
    decay: f64,
    matters: Vec<String>,
    numbers: BTreeMap<String, usize>,
    weights: Vec<f64>,
}

/// How often the examples are gone through.
const ROUNDS: usize = 40;
/// The first step of learning; later ones shrink with the slopes met.
const STEP: f64 = 0.3;
/// Marks that fewer examples have say nothing about others.
const LEAST: usize = 2;
/// Weights below this are left out of the files.
const SMALL: f64 = 0.15;

impl Model {
    pub fn new(examples: &[Example], shape: Shape, decay: f64) -> Self {
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        let mut matters: Vec<String> = Vec::new();
        for example in examples {
            example.marks.iter().for_each(|m| *counts.entry(m).or_default() += 1);
            for matter in &example.matters {
                if !matters.contains(matter) {
                    matters.push(matter.clone());
                }
            }
        }
        matters.sort();
        let numbers: BTreeMap<String, usize> = counts
            .into_iter()
            .filter(|(_, n)| *n >= LEAST)
            .enumerate()
            .map(|(number, (mark, _))| (mark.to_owned(), number))
            .collect();
        let mut model = Self {
            shape,
            decay,
            weights: vec![0.0; numbers.len() * matters.len()],
            matters,
            numbers,
        };
        model.learn(examples);
        model
    }

    fn learn(&mut self, examples: &[Example]) {
        let width = self.matters.len();
        let known: Vec<(Vec<usize>, f64, Vec<bool>)> = examples
            .iter()
            .map(|e| {
                (
                    self.known(&e.marks),
                    self.scale(e.marks.len()),
                    self.matters.iter().map(|m| e.matters.contains(m)).collect(),
                )
            })
            .collect();
        let mut slopes = vec![1e-6; self.weights.len()];
        let mut order: Vec<usize> = (0..known.len()).collect();
        let mut seed = 12345u64;
        for _ in 0..ROUNDS {
            shuffle(&mut order, &mut seed);
            for at in &order {
                let (marks, scale, holds) = &known[*at];
                let chances = self.chances(marks, *scale);
                for mark in marks {
                    for matter in 0..width {
                        let at = mark * width + matter;
                        let miss = chances[matter] - f64::from(u8::from(holds[matter]));
                        let slope = miss * scale + self.decay * self.weights[at];
                        slopes[at] += slope * slope;
                        self.weights[at] -= STEP * slope / slopes[at].sqrt();
                    }
                }
            }
        }
    }

    /// As `src/learned.rs` evens out the length of messages.
    fn scale(&self, marks: usize) -> f64 {
        match self.shape {
            Shape::OneOf => (marks.max(1) as f64).powf(-0.25),
            Shape::AnyOf => 1.0,
        }
    }

    fn known(&self, marks: &[String]) -> Vec<usize> {
        marks.iter().filter_map(|m| self.numbers.get(m).copied()).collect()
    }

    fn chances(&self, marks: &[usize], scale: f64) -> Vec<f64> {
        let width = self.matters.len();
        let sums: Vec<f64> = (0..width)
            .map(|matter| marks.iter().map(|m| self.weights[m * width + matter]).sum::<f64>() * scale)
            .collect();
        match self.shape {
            Shape::OneOf => {
                let all: f64 = sums.iter().map(|s| s.exp()).sum();
                sums.iter().map(|s| s.exp() / all).collect()
            }
            Shape::AnyOf => sums.iter().map(|s| 1.0 / (1.0 + (-s).exp())).collect(),
        }
    }

    /// The matters that marks speak for, and the chance of the first.
    pub fn tell(&self, marks: &[String]) -> (Vec<String>, f64) {
        let chances = self.chances(&self.known(marks), self.scale(marks.len()));
        let best = (0..chances.len())
            .max_by(|a, b| chances[*a].total_cmp(&chances[*b]))
            .unwrap_or(0);
        let told = (0..chances.len())
            .filter(|m| *m == best || self.shape == Shape::AnyOf && chances[*m] > 0.5)
            .map(|m| self.matters[m].clone())
            .collect();
        (told, chances[best])
    }

    pub fn marks(&self) -> usize {
        self.numbers.len()
    }

    /// As the reader takes it: the matters in a line, then a line for each mark.
    pub fn lines(&self) -> String {
        let width = self.matters.len();
        let mut out = format!("{}\n", self.matters.join("\t"));
        for (mark, number) in &self.numbers {
            let weights = &self.weights[number * width..(number + 1) * width];
            let cells: Vec<String> = weights
                .iter()
                .enumerate()
                .filter(|(_, w)| w.abs() >= SMALL)
                .map(|(matter, w)| format!("\t{matter} {}", (w * 10.0).round()))
                .collect();
            if !cells.is_empty() {
                out.push_str(&format!("{mark}{}\n", cells.concat()));
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
