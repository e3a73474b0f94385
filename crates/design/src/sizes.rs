//! Preferred sizes: the nearest below and above a size, by a series of `data/sizes.toml`.

use std::sync::LazyLock;

use serde::Deserialize;

/// A series of preferred sizes.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// The sizes from 1 to below 10, in rising order, that repeat in every decade; empty for a series of steps.
    #[serde(default)]
    mantissas: Vec<f64>,
    /// Steps up to a size; empty for a series of mantissas.
    #[serde(default)]
    steps: Vec<Step>,
    /// Where it comes from.
    pub source: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Step {
    /// Largest size, mm, for which it is the step.
    up_to: f64,
    /// Between one size and the next, mm.
    step: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    series: Vec<Series>,
}

static SERIES: LazyLock<Vec<Series>> = LazyLock::new(|| {
    let file: Result<File, _> = toml::from_str(include_str!("../data/sizes.toml"));
    file.map(|file| file.series).unwrap_or_default()
});

/// Sizes within this share of each other are one.
const SAME: f64 = 1e-9;

/// The series that come with the program; the first is the usual one.
#[must_use]
pub fn series() -> &'static [Series] {
    &SERIES
}

/// The series of that name, whatever its case.
#[must_use]
pub fn named(name: &str) -> Option<&'static Series> {
    SERIES
        .iter()
        .find(|series| series.name.eq_ignore_ascii_case(name.trim()))
}

impl Series {
    /// The nearest preferred sizes at most and at least as large as a size, m; twice the same where it is one itself.
    #[must_use]
    pub fn beside(&self, size: f64) -> [f64; 2] {
        let mm = size * 1e3;
        if !(mm > 0.0 && mm.is_finite()) {
            return [size, size];
        }
        let [low, high] = if self.mantissas.is_empty() {
            let step = self
                .steps
                .iter()
                .find(|step| mm <= step.up_to)
                .or(self.steps.last())
                .map_or(mm, |step| step.step);
            let count = mm / step;
            [
                (count + SAME).floor().max(1.0) * step,
                (count - SAME).ceil().max(1.0) * step,
            ]
        } else {
            let decade = 10.0_f64.powi(mm.log10().floor() as i32);
            let ladder = [0.1, 1.0, 10.0]
                .into_iter()
                .flat_map(|factor| self.mantissas.iter().map(move |m| m * factor * decade));
            let (mut low, mut high) = (0.0, f64::INFINITY);
            for rung in ladder {
                if rung <= mm * (1.0 + SAME) {
                    low = f64::max(low, rung);
                }
                if rung >= mm * (1.0 - SAME) {
                    high = f64::min(high, rung);
                }
            }
            [low, high]
        };
        [low * 1e-3, high * 1e-3]
    }
}

#[cfg(test)]
mod tests;
