//! How a predicted value is spread.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::normal;

/// The distribution of a predicted value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Spread {
    /// Contributions of independent inputs that add up.
    Sum(Sum),
    /// Quantiles of drawn values at even steps of probability from 0 to 1.
    Drawn {
        /// The quantiles, rising.
        quantiles: Vec<f64>,
    },
}

impl Spread {
    /// The spread of so many times the value; `factor` is above 0.
    pub(crate) fn scaled(self, factor: f64) -> Self {
        match self {
            Self::Sum(sum) => Self::Sum(sum.scaled(factor)),
            Self::Drawn { quantiles } => Self::Drawn {
                quantiles: quantiles.into_iter().map(|q| q * factor).collect(),
            },
        }
    }

    /// The chance that the value is below `value`, 0 to 1.
    pub fn below(&self, value: f64) -> f64 {
        match self {
            Self::Sum(sum) => sum.below(value),
            Self::Drawn { quantiles } => drawn_below(quantiles, value),
        }
    }
}

fn drawn_below(quantiles: &[f64], value: f64) -> f64 {
    let above = quantiles.partition_point(|&q| q < value);
    let (Some(&right), Some(&left)) = (
        quantiles.get(above),
        above.checked_sub(1).and_then(|k| quantiles.get(k)),
    ) else {
        return if above == 0 { 0.0 } else { 1.0 };
    };
    let part = (value - left) / (right - left);
    ((above - 1) as f64 + part) / (quantiles.len() - 1) as f64
}

/// A sum of independent contributions, each zero at the middle of its input.
///
/// Rectangular inputs that outweigh all others make the sum far from normal: 1.96 standard uncertainties on either
/// side then hold all of it. So the largest of them, half of it on either side, is convolved exactly with a normal
/// distribution for the rest, and the third and fourth cumulants of the rest move the result as in the expansion of
/// Cornish and Fisher (1937), JCGM 100:2008, G.2 speaks of the case.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sum {
    /// The value with all inputs in the middle.
    pub mid: f64,
    /// Whether contributions are logarithms of factors of `mid`, or are added to it.
    pub factors: bool,
    /// What the largest rectangular input adds at either limit.
    pub main: [f64; 2],
    /// First four cumulants of all the rest.
    pub rest: [f64; 4],
    /// What inputs add that move together: this times the square of the sum.
    pub bend: f64,
}

/// A step of Newton's method after which the next would be of no account, in standard uncertainties.
const LAST_STEP: f64 = 0.05;
/// A difference between the two sides that is of no account.
const EVEN: f64 = 2e-3;

impl Sum {
    fn scaled(self, factor: f64) -> Self {
        let mid = self.mid * factor;
        if self.factors {
            return Self { mid, ..self };
        }
        let [m1, m2, m3, m4] = self.rest;
        let square = factor * factor;
        Self {
            mid,
            main: self.main.map(|r| r * factor),
            rest: [m1 * factor, m2 * square, m3 * square * factor, m4 * square * square],
            bend: self.bend / factor,
            ..self
        }
    }

    fn rest_standard(&self) -> f64 {
        self.rest[1].max(0.0).sqrt()
    }

    /// Mean and standard uncertainty before bending.
    pub(crate) fn moments(&self) -> [f64; 2] {
        let [a, b] = self.main;
        let mean = (a + b) / 4.0;
        let variance = (a * a + b * b) / 6.0 - mean * mean + self.rest[1];
        [self.rest[0] + mean, variance.max(0.0).sqrt()]
    }

    /// What skewness and weight in the tails of the rest add at `z` standard uncertainties from the mean.
    fn skew(&self, z: f64, standard: f64) -> f64 {
        if standard <= 0.0 {
            return 0.0;
        }
        let z = z.clamp(-3.0, 3.0);
        let s2 = standard * standard;
        self.rest[2] / s2 * (z * z - 1.0) / 6.0 + self.rest[3] / (s2 * standard) * z * (z * z - 3.0) / 24.0
    }

    /// Distribution function and density of the main input and a normal rest.
    fn convolved(&self, w: f64) -> [f64; 2] {
        let (x, s) = (w - self.rest[0], self.rest_standard());
        let mut sum = [0.0; 2];
        for r in self.main {
            let [p, d] = if s > 0.0 {
                let (z, width) = (x / s, r / s);
                if width.abs() < 0.1 {
                    let [p, d] = normal::both(z - width / 2.0);
                    [p, d / s]
                } else {
                    // The mean of the distribution function from z - width to z; its integral is z P(z) + p(z).
                    let ([p, d], [q, e]) = (normal::both(z), normal::both(z - width));
                    [(z * p + d - (z - width) * q - e) / width, (p - q) / r]
                }
            } else if r == 0.0 {
                [if x < 0.0 { 0.0 } else { 1.0 }, 0.0]
            } else {
                let u = x / r;
                let inside = (0.0..=1.0).contains(&u);
                let p = if r > 0.0 { u } else { 1.0 - u };
                [p.clamp(0.0, 1.0), if inside { 1.0 / r.abs() } else { 0.0 }]
            };
            sum[0] += p / 2.0;
            sum[1] += d / 2.0;
        }
        sum
    }

    /// Where the sum is below with the chance `p`, which is 0.025 or 0.975, before skew and bending.
    fn end(&self, p: f64) -> f64 {
        let s = self.rest_standard();
        let up = p > 0.5;
        let [a, b] = self.main;
        let reach = if up { a.max(b).max(0.0) } else { -(a.min(b).min(0.0)) };
        let side = (reach * reach / 3.0 + s * s).sqrt();
        if side <= 0.0 {
            return self.rest[0];
        }
        let guess = side * factor(s / side);
        let mut w = self.rest[0] + if up { guess } else { -guess };
        // Even about the middle, the factor is exact.
        if (a + b).abs() <= EVEN * side {
            return w;
        }
        for _ in 0..8 {
            let [got, density] = self.convolved(w);
            if density <= 0.0 {
                break;
            }
            let step = ((p - got) / density).clamp(-side, side);
            w += step;
            if step.abs() <= LAST_STEP * side {
                break;
            }
        }
        w
    }

    /// The ends of the 95 % interval, evenly in the tails.
    pub fn ends(&self) -> [f64; 2] {
        let [mean, standard] = self.moments();
        [0.025, 0.975].map(|p| {
            let w = self.end(p);
            let z = if standard > 0.0 { (w - mean) / standard } else { 0.0 };
            self.value(w + self.skew(z, standard))
        })
    }

    /// The value for a sum of contributions.
    pub fn value(&self, w: f64) -> f64 {
        let bent = w + self.bend * w * w;
        if self.factors {
            self.mid * bent.exp()
        } else {
            self.mid + bent
        }
    }

    /// The chance that the value is below `value`, 0 to 1.
    fn below(&self, value: f64) -> f64 {
        let bent = if !self.factors {
            value - self.mid
        } else if value > 0.0 {
            (value / self.mid).ln()
        } else {
            return 0.0;
        };
        // Beyond the turning point of the square nothing lies.
        let w = 2.0 * bent / (1.0 + (1.0 + 4.0 * self.bend * bent).max(0.0).sqrt());
        let [mean, standard] = self.moments();
        if standard <= 0.0 {
            return if w <= mean { 0.0 } else { 1.0 };
        }
        let w = w - self.skew((w - mean) / standard, standard);
        self.convolved(w)[0].clamp(0.0, 1.0)
    }
}

/// Coverage factors of a rectangular and a normal input together, by the part that the normal one has in the standard
/// uncertainty: 1.645 where there is none, 1.960 where there is nothing else.
static FACTORS: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let steps = 128;
    let at = |k: i32| {
        let part = f64::from(k) / f64::from(steps);
        let reach = (3.0 * (1.0 - part * part)).sqrt();
        let sum = Sum {
            mid: 0.0,
            factors: false,
            main: [-reach, reach],
            rest: [0.0, part * part, 0.0, 0.0],
            bend: 0.0,
        };
        let (mut low, mut high) = (1.0, 3.0);
        for _ in 0..50 {
            let middle = f64::midpoint(low, high);
            if sum.convolved(middle)[0] < 0.975 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    };
    (0..=steps).map(at).collect()
});

fn factor(part: f64) -> f64 {
    let table = &*FACTORS;
    let at = part.clamp(0.0, 1.0) * (table.len() - 1) as f64;
    let k = (at as usize).min(table.len() - 2);
    match table.get(k..k + 2) {
        Some(&[a, b]) => a + (b - a) * (at - k as f64),
        _ => normal::FACTOR,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum(main: [f64; 2], rest: [f64; 4]) -> Sum {
        Sum {
            mid: 0.0,
            factors: false,
            main,
            rest,
            bend: 0.0,
        }
    }

    fn close(got: f64, want: f64, tolerance: f64) {
        assert!((got - want).abs() <= tolerance, "got {got}, want {want}");
    }

    /// A rectangular input holds 95 % within 0.95 of its half-width; a normal one within 1.96 standard uncertainties.
    #[test]
    fn ends_of_one_input_are_its_own() {
        let [low, high] = sum([-2.0, 2.0], [0.0; 4]).ends();
        close(low, -1.9, 1e-6);
        close(high, 1.9, 1e-6);
        let [low, high] = sum([0.0, 0.0], [1.0, 4.0, 0.0, 0.0]).ends();
        close(low, 1.0 - 2.0 * normal::FACTOR, 1e-6);
        close(high, 1.0 + 2.0 * normal::FACTOR, 1e-6);
        let [low, high] = sum([-1.0, 3.0], [0.0; 4]).ends();
        close(low, -0.95, 1e-9);
        close(high, 2.85, 1e-9);
    }

    /// Two equal rectangular inputs make a triangle, whose 95 % interval ends at 1 - sqrt(0.05) of its half-width.
    #[test]
    fn two_equal_inputs_make_a_triangle() {
        let variance = 1.0 / 3.0;
        let [_, high] = sum([-1.0, 1.0], [0.0, variance, 0.0, -1.2 * variance * variance]).ends();
        close(high, 2.0 * (1.0 - 0.05f64.sqrt()), 0.01 * high);
    }

    #[test]
    fn chances_agree_with_the_ends() {
        for s in [
            sum([-1.0, 2.0], [0.1, 0.3, 0.02, -0.03]),
            sum([-1.0, 1.0], [0.0, 1e-6, 0.0, 0.0]),
            Sum {
                mid: 5.0,
                factors: true,
                bend: 0.3,
                ..sum([0.1, -0.2], [0.0, 0.004, 0.0, 0.0])
            },
        ] {
            let [low, high] = s.ends();
            close(s.below(low), 0.025, 2e-3);
            close(s.below(high), 0.975, 2e-3);
            let steps: Vec<f64> = (0..=50)
                .map(|k| s.below(low + (high - low) * f64::from(k) / 50.0))
                .collect();
            assert!(steps.is_sorted(), "{steps:?}");
        }
    }

    #[test]
    fn drawn_values_are_interpolated() {
        let law = Spread::Drawn {
            quantiles: vec![1.0, 2.0, 4.0],
        };
        for (value, want) in [
            (0.5, 0.0),
            (1.0, 0.0),
            (1.5, 0.25),
            (2.0, 0.5),
            (3.0, 0.75),
            (4.0, 1.0),
            (9.0, 1.0),
        ] {
            close(law.below(value), want, 1e-12);
        }
    }
}
