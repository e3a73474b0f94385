//! Lots by measurement: spread and capability, conformity with measurement uncertainty, control limits over lots.

use serde::{Deserialize, Serialize};
use statrs::distribution::{ChiSquared, ContinuousCDF, Normal};
use thiserror::Error;

/// Two-sided confidence of intervals here.
const CONFIDENCE: f64 = 0.95;

/// Why values say nothing.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LotError {
    /// Too few values.
    #[error("at least {least} values are needed, got {got}")]
    Few {
        /// How many there must be.
        least: usize,
        /// How many there are.
        got: usize,
    },
    /// A value that is not finite, or limits in the wrong order.
    #[error("{what} must be {allowed}, got {value}")]
    Value {
        /// What it is.
        what: &'static str,
        /// What would be right.
        allowed: &'static str,
        /// What was given.
        value: f64,
    },
}

fn finite(what: &'static str, value: f64) -> Result<f64, LotError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(LotError::Value {
            what,
            allowed: "finite",
            value,
        })
    }
}

/// Limits of what conforms; one of them may be missing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Least value that conforms.
    #[serde(default)]
    pub lower: Option<f64>,
    /// Largest value that conforms.
    #[serde(default)]
    pub upper: Option<f64>,
}

impl Limits {
    fn check(&self) -> Result<(), LotError> {
        for limit in [self.lower, self.upper].into_iter().flatten() {
            finite("limit", limit)?;
        }
        match (self.lower, self.upper) {
            (Some(lower), Some(upper)) if lower >= upper => Err(LotError::Value {
                what: "upper limit",
                allowed: "above the lower one",
                value: upper,
            }),
            (None, None) => Err(LotError::Value {
                what: "limits",
                allowed: "one at least",
                value: f64::NAN,
            }),
            _ => Ok(()),
        }
    }
}

/// Mean and spread of values.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spread {
    /// How many.
    pub count: usize,
    /// Mean.
    pub mean: f64,
    /// Standard deviation of the sample.
    pub deviation: f64,
    /// 95 % interval of the standard deviation.
    pub deviation_interval: [f64; 2],
}

/// Mean and spread of at least two values, taken as normal.
///
/// # Errors
/// [`LotError`] for too few values, and for one that is not finite.
pub fn spread(values: &[f64]) -> Result<Spread, LotError> {
    let count = values.len();
    if count < 2 {
        return Err(LotError::Few { least: 2, got: count });
    }
    for &value in values {
        finite("value", value)?;
    }
    let n = count as f64;
    let mean = values.iter().sum::<f64>() / n;
    let deviation = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
    let [low, high] = deviation_factors(count);
    Ok(Spread {
        count,
        mean,
        deviation,
        deviation_interval: [deviation * low, deviation * high],
    })
}

/// Standard deviation over that of the sample at the ends of its 95 % interval.
fn deviation_factors(count: usize) -> [f64; 2] {
    let degrees = count as f64 - 1.0;
    let tail = 0.5 * (1.0 - CONFIDENCE);
    let at = |p| ChiSquared::new(degrees).map_or(f64::NAN, |law| (degrees / law.inverse_cdf(p)).sqrt());
    [at(1.0 - tail), at(tail)]
}

/// Capability indices with 95 % intervals.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Capability {
    /// Width of the limits over six standard deviations, with its interval by the chi-squared distribution; needs both limits.
    pub cp: Option<[f64; 3]>,
    /// Distance of the mean from the nearer limit over three standard deviations, with its interval by Bissell's normal
    /// approximation (Applied Statistics 39, 331-340, 1990; from memory).
    pub cpk: [f64; 3],
    /// Part expected outside the limits if values are normal.
    pub outside: f64,
}

/// Capability of a lot for limits; each index as value, low and high end.
///
/// # Errors
/// [`LotError`] for limits that are missing or in the wrong order, and for values without spread.
pub fn capability(values: &Spread, limits: &Limits) -> Result<Capability, LotError> {
    limits.check()?;
    let deviation = values.deviation;
    if deviation.is_nan() || deviation <= 0.0 {
        return Err(LotError::Value {
            what: "standard deviation",
            allowed: "above 0",
            value: deviation,
        });
    }
    let [least, most] = deviation_factors(values.count);
    let cp = limits.lower.zip(limits.upper).map(|(lower, upper)| {
        let cp = (upper - lower) / (6.0 * deviation);
        [cp, cp / most, cp / least]
    });
    let sides = [
        limits.lower.map(|lower| (values.mean - lower) / deviation),
        limits.upper.map(|upper| (upper - values.mean) / deviation),
    ];
    let cpk = sides.into_iter().flatten().fold(f64::INFINITY, f64::min) / 3.0;
    let n = values.count as f64;
    let half = crate::fit::FACTOR * (1.0 / (9.0 * n) + cpk * cpk / (2.0 * (n - 1.0))).sqrt();
    let law = Normal::standard();
    Ok(Capability {
        cp,
        cpk: [cpk, cpk - half, cpk + half],
        outside: sides.into_iter().flatten().map(|z| law.cdf(-z)).sum(),
    })
}

/// What a measured value says of a requirement (JCGM 106:2012).
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Conformity {
    /// Chance that the true value conforms.
    pub probability: f64,
    /// Acceptance limits: those of the requirement, each moved inwards by the guard band.
    pub acceptance: Limits,
    /// Whether the value lies within the acceptance limits.
    pub accepted: bool,
}

/// Conformity of a value with standard uncertainty `standard` to limits, with a guard band of `guard` standard uncertainties:
/// 0 is simple acceptance, 2 the guard band `w = U` of JCGM 106:2012, 8.3.2.
///
/// The probability takes the true value as normal about the measured one: nothing else is known of it (JCGM 106:2012, 7.2.2).
///
/// # Errors
/// [`LotError`] for limits, an uncertainty or a guard band out of range.
pub fn conformity(value: f64, standard: f64, limits: &Limits, guard: f64) -> Result<Conformity, LotError> {
    limits.check()?;
    finite("value", value)?;
    for (what, number) in [("standard uncertainty", standard), ("guard band", guard)] {
        if !(number >= 0.0 && number.is_finite()) {
            return Err(LotError::Value {
                what,
                allowed: "finite and not negative",
                value: number,
            });
        }
    }
    let law = Normal::standard();
    let below = |limit: f64| {
        if standard > 0.0 {
            law.cdf((limit - value) / standard)
        } else {
            f64::from(u8::from(limit >= value))
        }
    };
    let low = limits.lower.map_or(0.0, |limit| {
        if standard > 0.0 {
            below(limit)
        } else {
            f64::from(u8::from(value < limit))
        }
    });
    let probability = (limits.upper.map_or(1.0, below) - low).max(0.0);
    let acceptance = Limits {
        lower: limits.lower.map(|l| l + guard * standard),
        upper: limits.upper.map(|u| u - guard * standard),
    };
    let accepted = acceptance.lower.is_none_or(|l| value >= l) && acceptance.upper.is_none_or(|u| value <= u);
    Ok(Conformity {
        probability,
        acceptance,
        accepted,
    })
}

/// A control chart over lots: one value for each, individuals and moving range.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ControlChart {
    /// Centre line of the values.
    pub centre: f64,
    /// Control limits of the values.
    pub limits: [f64; 2],
    /// Centre line and upper limit of the moving range.
    pub range: [f64; 2],
    /// Numbers of the lots outside the limits, from 0.
    pub outside: Vec<usize>,
    /// Numbers of the lots that end a run of eight on one side of the centre.
    pub runs: Vec<usize>,
}

/// Mean range of two normal values over their standard deviation, 2 / sqrt(pi) (ISO 7870-2: d2 = 1.128 for two values).
const D2: f64 = std::f64::consts::FRAC_2_SQRT_PI;
/// Upper limit of the moving range over its mean (ISO 7870-2: D4 = 3.267 for two values).
const D4: f64 = 3.267;
/// Lots on one side of the centre that are no chance; common practice, no source.
const RUN: usize = 8;

/// Control limits over lots, three standard deviations by the mean moving range, from at least three values.
///
/// # Errors
/// [`LotError`] for too few values, and for one that is not finite.
pub fn control_chart(values: &[f64]) -> Result<ControlChart, LotError> {
    if values.len() < 3 {
        return Err(LotError::Few {
            least: 3,
            got: values.len(),
        });
    }
    let centre = spread(values)?.mean;
    let ranges: Vec<f64> = values.windows(2).map(|w| (w[1] - w[0]).abs()).collect();
    let mean_range = ranges.iter().sum::<f64>() / ranges.len() as f64;
    let half = 3.0 * mean_range / D2;
    let limits = [centre - half, centre + half];
    let outside = (0..values.len())
        .filter(|&k| values[k] < limits[0] || values[k] > limits[1])
        .collect();
    let runs = (RUN..=values.len())
        .filter(|&end| {
            let run = &values[end - RUN..end];
            run.iter().all(|&v| v > centre) || run.iter().all(|&v| v < centre)
        })
        .map(|end| end - 1)
        .collect();
    Ok(ControlChart {
        centre,
        limits,
        range: [mean_range, D4 * mean_range],
        outside,
        runs,
    })
}

#[cfg(test)]
mod tests;
