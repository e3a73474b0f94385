//! Inputs of a prediction: what they stand for and how they are spread.

use serde::{Deserialize, Serialize};

use crate::normal;

/// What can widen a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// The remanence bracket of the grade.
    Grade,
    /// The range of the coercivity of the grade.
    Coercivity,
    /// The tolerance on the outer sizes.
    Size,
    /// The tolerance on the sizes of a steel part.
    Part,
    /// The range of the plating thickness.
    Plating,
    /// The tolerance of layers and the seat between rough faces.
    Gap,
    /// How near the asked place, or gap, a build or a probe is put.
    Placement,
    /// The depth of the probe's active element.
    ProbeDepth,
    /// The calibration of the probe.
    Calibration,
    /// The temperature, which nobody knows exactly.
    Temperature,
    /// How much the grade changes for each degree.
    Coefficient,
    /// Friction between magnet and steel.
    Friction,
    /// The steel and the idealisations of the model.
    Model,
    /// How far the lot is from its grade: material, magnetisation and sizes together.
    Lot,
    /// The layer at the surface of a magnet that holds no magnetisation.
    DeadLayer,
    /// How a reading repeats: tilt, and one piece against another.
    Repeatability,
}

/// How an input is spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Distribution {
    /// Between two limits, half of the pieces on either side of the middle and evenly on each side.
    ///
    /// Of all distributions with these limits and this median it is the one of greatest entropy, which JCGM 101:2008,
    /// 6.4.1 asks for where nothing else is known. Limits that lie evenly about the middle make it the rectangular
    /// distribution of JCGM 100:2008, 4.3.7.
    Limits {
        /// Lower limit.
        low: f64,
        /// Median, `low <= mid <= high`.
        mid: f64,
        /// Upper limit.
        high: f64,
    },
    /// The normal distribution, as for a certificate with its expanded uncertainty (JCGM 100:2008, 4.3.3 and 4.3.4).
    Normal {
        /// Mean.
        mid: f64,
        /// Standard uncertainty.
        standard: f64,
    },
}

impl Distribution {
    /// The median.
    pub fn mid(self) -> f64 {
        match self {
            Self::Limits { mid, .. } | Self::Normal { mid, .. } => mid,
        }
    }

    /// The limits; of a normal distribution the square root of 3 standard uncertainties on either side, where a
    /// rectangular one of the same standard uncertainty ends.
    pub fn ends(self) -> [f64; 2] {
        match self {
            Self::Limits { low, high, .. } => [low, high],
            Self::Normal { mid, standard } => {
                let half = 3f64.sqrt() * standard;
                [mid - half, mid + half]
            }
        }
    }

    /// The value below which the part `p` of the pieces lies, 0 < `p` < 1.
    pub fn quantile(self, p: f64) -> f64 {
        match self {
            Self::Limits { low, mid, high } => {
                let side = 2.0 * p - 1.0;
                mid + side * if side < 0.0 { mid - low } else { high - mid }
            }
            Self::Normal { mid, standard } => mid + standard * normal::quantile(p),
        }
    }

    /// How far from the middle the distribution is at its 95 % ends, over its distance to [`Self::ends`].
    pub(crate) fn reach(self) -> f64 {
        match self {
            Self::Limits { .. } => normal::COVERAGE,
            Self::Normal { .. } => normal::FACTOR / 3f64.sqrt(),
        }
    }

    /// Mean powers 1 to 4 of the distance from the middle on one side, over the distance to [`Self::ends`].
    pub(crate) fn half_moments(self) -> [f64; 4] {
        match self {
            Self::Limits { .. } => [1.0 / 2.0, 1.0 / 3.0, 1.0 / 4.0, 1.0 / 5.0],
            // Mean powers of |z| are sqrt(2/pi), 1, 2 sqrt(2/pi) and 3.
            Self::Normal { .. } => [0.460_658_865_961_780_6, 1.0 / 3.0, 0.307_105_910_641_187_1, 1.0 / 3.0],
        }
    }
}

/// An input of a prediction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input {
    /// What this input stands for; inputs of one cause are reported together.
    pub cause: Cause,
    /// How it is spread.
    pub distribution: Distribution,
}

impl Input {
    /// An input known between limits, with half of the pieces on either side of `mid`.
    pub fn new(cause: Cause, low: f64, mid: f64, high: f64) -> Self {
        Self {
            cause,
            distribution: Distribution::Limits { low, mid, high },
        }
    }

    /// An input known to plus or minus `half_width`.
    pub fn plus_minus(cause: Cause, mid: f64, half_width: f64) -> Self {
        Self::new(cause, mid - half_width, mid, mid + half_width)
    }

    /// An input with its standard uncertainty.
    pub fn normal(cause: Cause, mid: f64, standard: f64) -> Self {
        Self {
            cause,
            distribution: Distribution::Normal { mid, standard },
        }
    }

    /// The median.
    pub fn mid(&self) -> f64 {
        self.distribution.mid()
    }

    /// Whether it can differ from its median.
    pub fn is_spread(&self) -> bool {
        let [low, high] = self.distribution.ends();
        low < high
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lopsided_limits_hold_half_of_the_pieces_on_either_side() {
        let d = Distribution::Limits {
            low: 0.0,
            mid: 1.0,
            high: 4.0,
        };
        assert_eq!(d.quantile(0.5), 1.0);
        assert_eq!(d.quantile(0.25), 0.5);
        assert_eq!(d.quantile(0.75), 2.5);
    }

    #[test]
    fn a_normal_input_has_its_quantiles_and_moments() {
        let d = Distribution::Normal {
            mid: 10.0,
            standard: 2.0,
        };
        assert!((d.quantile(0.975) - (10.0 + 2.0 * 1.959_963_984_540_054)).abs() <= 1e-8);
        // Against sums over many quantiles.
        let n = 200_000;
        let mut sums = [0.0; 4];
        for k in 0..n {
            let z = (d.quantile((f64::from(k) + 0.5) / f64::from(n)) - 10.0).abs() / (2.0 * 3f64.sqrt());
            for (power, sum) in (1..).zip(&mut sums) {
                *sum += z.powi(power) / f64::from(n);
            }
        }
        for (got, want) in d.half_moments().iter().zip(sums) {
            assert!((got - want).abs() <= 1e-4, "{got} {want}");
        }
    }
}
