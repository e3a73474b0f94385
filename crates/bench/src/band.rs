//! Bands: the interval in which the true value lies with 95 % coverage, and what widens it.
//!
//! Method: the law of propagation of uncertainty, JCGM 100:2008, Eq. (10), with the contribution of each input taken
//! as the change of the value when that input moves by its standard uncertainty (JCGM 100:2008, 5.1.3 note 2).
//! Limits without further knowledge are a rectangular distribution (4.3.7). Where the limits or the response are
//! lopsided, what raises the value is combined upwards and what lowers it downwards.

use serde::{Deserialize, Serialize};

/// Coverage factor of a 95 % interval of a normal distribution (JCGM 100:2008, Table G.1).
pub const COVERAGE_FACTOR: f64 = 1.96;

/// What can widen a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// The remanence bracket of the grade.
    Grade,
    /// The tolerance on the outer sizes.
    Size,
    /// The range of the plating thickness.
    Plating,
    /// The tolerance of layers and the seat between rough faces.
    Gap,
    /// The depth of the probe's active element.
    ProbeDepth,
    /// Friction between magnet and steel.
    Friction,
    /// The steel and the idealisations of the model.
    Model,
}

/// An input that is known between limits, with the value it most likely has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// What this input stands for; inputs of one cause are reported together.
    pub cause: Cause,
    /// Lower limit.
    pub low: f64,
    /// Most likely value, `low <= mid <= high`.
    pub mid: f64,
    /// Upper limit.
    pub high: f64,
}

impl Input {
    /// An input with its limits.
    pub fn new(cause: Cause, low: f64, mid: f64, high: f64) -> Self {
        Self { cause, low, mid, high }
    }

    /// An input known to plus or minus `half_width`.
    pub fn plus_minus(cause: Cause, mid: f64, half_width: f64) -> Self {
        Self::new(cause, mid - half_width, mid, mid + half_width)
    }
}

/// A predicted value with its 95 % interval and the share of each cause.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// The value at the most likely inputs.
    pub mid: f64,
    /// Lower end of the 95 % interval.
    pub low: f64,
    /// Upper end of the 95 % interval.
    pub high: f64,
    /// Causes by falling share; the shares add up to 1 unless the band has no width.
    pub shares: Vec<Share>,
}

/// What one cause adds to a band.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// The cause.
    pub cause: Cause,
    /// Half the width of the 95 % interval that this cause alone would give, in the unit of the value.
    pub half_width: f64,
    /// Its part of the variance, 0 to 1.
    pub share: f64,
}

impl Band {
    /// The chance that a piece reaches at least `need`, 0 to 1, from a normal distribution on either side of `mid`.
    pub fn chance_of_at_least(&self, need: f64) -> f64 {
        let half = if need <= self.mid {
            self.mid - self.low
        } else {
            self.high - self.mid
        };
        if half <= 0.0 {
            return if need <= self.mid { 1.0 } else { 0.0 };
        }
        let z = (need - self.mid) / (half / COVERAGE_FACTOR);
        0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
    }
}

/// Sends inputs through `value` and returns the band of the result.
///
/// `value` takes the inputs in the order given. It is called at the middle and twice for each input whose limits
/// differ. An input's standard uncertainty on either side is its distance to the limit over the square root of 3.
/// The lower end is not taken below zero where the middle is not: the values here are magnitudes.
pub fn propagate(inputs: &[Input], value: impl Fn(&[f64]) -> f64) -> Band {
    let mut at: Vec<f64> = inputs.iter().map(|i| i.mid).collect();
    let mid = value(&at);
    let (mut up, mut down) = (0.0, 0.0);
    let mut causes: Vec<(Cause, f64)> = Vec::new();
    for (k, input) in inputs.iter().enumerate() {
        let mut moved = |limit: f64| {
            if limit == input.mid {
                return 0.0;
            }
            at[k] = input.mid + (limit - input.mid) / 3f64.sqrt();
            let change = value(&at) - mid;
            at[k] = input.mid;
            change
        };
        let (a, b) = (moved(input.low), moved(input.high));
        let (rise, fall) = (a.max(b).max(0.0), a.min(b).min(0.0));
        up += rise * rise;
        down += fall * fall;
        let variance = (rise * rise + fall * fall) / 2.0;
        match causes.iter_mut().find(|(cause, _)| *cause == input.cause) {
            Some((_, sum)) => *sum += variance,
            None => causes.push((input.cause, variance)),
        }
    }
    let total: f64 = causes.iter().map(|(_, v)| v).sum();
    let mut shares: Vec<Share> = causes
        .into_iter()
        .filter(|(_, variance)| *variance > 0.0)
        .map(|(cause, variance)| Share {
            cause,
            half_width: COVERAGE_FACTOR * variance.sqrt(),
            share: variance / total,
        })
        .collect();
    shares.sort_by(|a, b| b.share.total_cmp(&a.share));
    let low = mid - COVERAGE_FACTOR * down.sqrt();
    Band {
        mid,
        low: if mid >= 0.0 { low.max(0.0) } else { low },
        high: mid + COVERAGE_FACTOR * up.sqrt(),
        shares,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(got: f64, want: f64, tolerance: f64) {
        assert!((got - want).abs() <= tolerance, "got {got}, want {want}");
    }

    /// Two independent rectangular inputs of half-widths 3 and 4 give a standard uncertainty of 5 / sqrt 3.
    #[test]
    fn a_sum_adds_in_quadrature() {
        let inputs = [
            Input::plus_minus(Cause::Grade, 10.0, 3.0),
            Input::plus_minus(Cause::Gap, 20.0, 4.0),
        ];
        let band = propagate(&inputs, |x| x[0] + x[1]);
        let half = COVERAGE_FACTOR * 5.0 / 3f64.sqrt();
        close(band.mid, 30.0, 1e-12);
        close(band.low, 30.0 - half, 1e-12);
        close(band.high, 30.0 + half, 1e-12);
        assert_eq!(band.shares[0].cause, Cause::Gap);
        close(band.shares[0].share, 16.0 / 25.0, 1e-12);
        close(band.shares[1].share, 9.0 / 25.0, 1e-12);
    }

    #[test]
    fn lopsided_limits_give_a_lopsided_band() {
        let band = propagate(&[Input::new(Cause::Model, 0.8, 1.0, 1.0)], |x| 100.0 * x[0]);
        close(band.high, 100.0, 1e-12);
        close(band.low, 100.0 - COVERAGE_FACTOR * 20.0 / 3f64.sqrt(), 1e-9);
    }

    #[test]
    fn a_falling_response_swaps_the_sides() {
        let band = propagate(&[Input::new(Cause::Gap, 1.0, 1.0, 2.0)], |x| 10.0 / x[0]);
        close(band.high, 10.0, 1e-12);
        assert!(band.low < 7.0, "{band:?}");
    }

    #[test]
    fn known_inputs_give_no_width_and_no_shares() {
        let band = propagate(&[Input::plus_minus(Cause::Size, 2.0, 0.0)], |x| x[0] * x[0]);
        assert_eq!((band.low, band.mid, band.high), (4.0, 4.0, 4.0));
        assert!(band.shares.is_empty());
        assert_eq!(band.chance_of_at_least(4.0), 1.0);
        assert_eq!(band.chance_of_at_least(4.1), 0.0);
    }

    #[test]
    fn chance_is_a_half_in_the_middle_and_97_5_per_cent_at_the_low_end() {
        let band = propagate(&[Input::plus_minus(Cause::Grade, 50.0, 5.0)], |x| x[0]);
        close(band.chance_of_at_least(band.mid), 0.5, 1e-12);
        close(band.chance_of_at_least(band.low), 0.975, 1e-4);
        close(band.chance_of_at_least(band.high), 0.025, 1e-4);
    }

    #[test]
    fn a_magnitude_does_not_fall_below_zero() {
        let band = propagate(&[Input::new(Cause::Gap, 0.0, 1.0, 9.0)], |x| {
            1.0 / (1.0 + x[0] * x[0] * 9.0)
        });
        assert!(band.low >= 0.0 && band.low <= band.mid && band.mid <= band.high);
    }

    /// Against 200,000 draws of the same inputs: the interval of a nearly linear product holds 95 % of them.
    #[test]
    fn coverage_agrees_with_random_draws() {
        let inputs = [
            Input::plus_minus(Cause::Grade, 1.3, 0.02),
            Input::plus_minus(Cause::Size, 5.0, 0.1),
            Input::plus_minus(Cause::Gap, 0.5, 0.05),
        ];
        let value = |x: &[f64]| x[0] * x[0] * x[1] / (1.0 + x[2]);
        let band = propagate(&inputs, value);
        let mut seed = 0x2545_F491_4F6C_DD1Du64;
        let mut uniform = || {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed >> 11) as f64 / (1u64 << 53) as f64
        };
        let draws = 200_000;
        let inside = (0..draws)
            .filter(|_| {
                let x: Vec<f64> = inputs.iter().map(|i| i.low + (i.high - i.low) * uniform()).collect();
                let v = value(&x);
                v >= band.low && v <= band.high
            })
            .count() as f64
            / draws as f64;
        assert!((0.945..=0.985).contains(&inside), "coverage {inside}");
    }
}
