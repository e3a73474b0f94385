//! Magnetisation curves of steel: field strength against flux density, linear between points.
//!
//! A curve starts at the origin, rises strictly in both columns and goes on with a constant slope beyond its last point, that of vacuum unless another is
//! given. Straight pieces between the points keep a measured table what it is; a smooth law is sampled densely enough to be told apart by less than 1e-3.

use materials::MU_0;
use thiserror::Error;

/// Why a magnetisation curve is refused.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CurveError {
    /// Fewer than two points, the origin counted.
    #[error("a magnetisation curve needs at least one point besides the origin")]
    TooFew,
    /// As many flux densities as field strengths are needed.
    #[error("{b} flux densities stand against {h} field strengths")]
    Unequal {
        /// Number of flux densities.
        b: usize,
        /// Number of field strengths.
        h: usize,
    },
    /// A point is negative or beyond what any steel has.
    #[error("point {point} of the curve, {b} T at {h} A/m, is negative or beyond {LARGEST_B} T and {LARGEST_H:e} A/m")]
    Point {
        /// Index of the point, from 0.
        point: usize,
        /// Its flux density, T.
        b: f64,
        /// Its field strength, A/m.
        h: f64,
    },
    /// A point does not rise above the one before.
    #[error("the curve does not rise from point {} to point {point}: {b} T at {h} A/m", point - 1)]
    Falls {
        /// Index of the point, from 0.
        point: usize,
        /// Its flux density, T.
        b: f64,
        /// Its field strength, A/m.
        h: f64,
    },
    /// The slope beyond the last point is no steel's.
    #[error("the slope beyond the last point must be from {LEAST_SLOPE:e} to {LARGEST_B} T per A/m, got {0}")]
    Slope(f64),
    /// A line of text is not two numbers.
    #[error("line {line}: {what}")]
    Line {
        /// Number of the line, from 1.
        line: usize,
        /// What is wrong with it.
        what: String,
    },
}

impl CurveError {
    /// What would be right.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::TooFew => "give points of flux density in T and field strength in A/m",
            Self::Unequal { .. } => "give both columns the same length",
            Self::Point { .. } => "give the first quadrant of the curve, from the origin upwards",
            Self::Falls { .. } => "sort the points and leave out repeated ones: both columns must rise strictly",
            Self::Slope(_) => "give dB/dH in T per A/m, 1.2566e-6 for vacuum",
            Self::Line { .. } => "write H in A/m and B in T, in two columns with a heading such as H,B",
        }
    }
}

/// State of a steel at one flux density.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Field strength, A/m.
    pub h: f64,
    /// Slope dH/dB, A/m per T.
    pub slope: f64,
    /// Energy density, the integral of H dB from zero, J/m3.
    pub energy: f64,
}

/// State of a steel at one field strength.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FieldPoint {
    /// Flux density, T.
    pub b: f64,
    /// Slope dB/dH, T per A/m.
    pub slope: f64,
    /// Coenergy density, the integral of B dH from zero, J/m3.
    pub coenergy: f64,
}

/// The largest values of a curve, T and A/m: what is beyond is no steel's.
const LARGEST_B: f64 = 1_000.0;
const LARGEST_H: f64 = 1e9;
/// The least slope dB/dH, T per A/m: a thousandth of that of vacuum.
const LEAST_SLOPE: f64 = 1e-9;

/// A magnetisation curve, isotropic and without hysteresis.
#[derive(Clone, Debug, PartialEq)]
pub struct BhCurve {
    b: Vec<f64>,
    h: Vec<f64>,
    energy: Vec<f64>,
    end: f64,
}

impl BhCurve {
    /// A curve through these points (T, A/m); the origin may be left out. `end_slope` is dB/dH beyond the last point in T per A/m, [`MU_0`] for saturated steel.
    ///
    /// # Errors
    /// [`CurveError`] if the points do not rise strictly, are negative or not finite, or the slope is not positive.
    pub fn new(b: &[f64], h: &[f64], end_slope: f64) -> Result<Self, CurveError> {
        if b.len() != h.len() {
            return Err(CurveError::Unequal { b: b.len(), h: h.len() });
        }
        if !(LEAST_SLOPE..=LARGEST_B).contains(&end_slope) {
            return Err(CurveError::Slope(end_slope));
        }
        let (mut bs, mut hs, mut energy) = (vec![0.0], vec![0.0], vec![0.0]);
        let (mut last_b, mut last_h, mut last_w) = (0.0, 0.0, 0.0);
        for (point, (&b, &h)) in b.iter().zip(h).enumerate() {
            if !((0.0..=LARGEST_B).contains(&b) && (0.0..=LARGEST_H).contains(&h)) {
                return Err(CurveError::Point { point, b, h });
            }
            if point == 0 && b == 0.0 && h == 0.0 {
                continue;
            }
            if !(b > last_b && h > last_h) {
                return Err(if point == 0 {
                    CurveError::Point { point, b, h }
                } else {
                    CurveError::Falls { point, b, h }
                });
            }
            last_w += 0.5 * (h + last_h) * (b - last_b);
            (last_b, last_h) = (b, h);
            bs.push(b);
            hs.push(h);
            energy.push(last_w);
        }
        if bs.len() < 2 {
            return Err(CurveError::TooFew);
        }
        Ok(Self {
            b: bs,
            h: hs,
            energy,
            end: 1.0 / end_slope,
        })
    }

    /// The smooth model of Roschke (2000): `mu_r = 1 + (mu_i - 1 + c_a b) / (1 + c_b b + b^n)` with `b = B / b_peak`, sampled every 1/64 of `b_peak` up to where
    /// its polarisation is greatest; vacuum's slope from there.
    ///
    /// # Errors
    /// [`CurveError`] if the constants make no rising curve.
    pub fn smooth(mu_i: f64, b_peak: f64, c_a: f64, c_b: f64, n: f64) -> Result<Self, CurveError> {
        let (mut b, mut h) = (Vec::new(), Vec::new());
        let mut polarisation = 0.0;
        for k in 1..=256 {
            let x = f64::from(k) / 64.0;
            let mu_r = 1.0 + (mu_i - 1.0 + c_a * x) / (1.0 + c_b * x + x.powf(n));
            let flux_density = x * b_peak;
            let next = flux_density * (1.0 - 1.0 / mu_r);
            if next <= polarisation {
                break;
            }
            polarisation = next;
            b.push(flux_density);
            h.push(flux_density / (MU_0 * mu_r));
        }
        Self::new(&b, &h, MU_0)
    }

    /// Reads two columns of text, H in A/m and B in T, separated by comma, semicolon, tab or blanks. A heading that names H and B in this or the other order is
    /// taken for the order of the columns; lines that start with `#` and empty lines are passed over. Vacuum's slope is used beyond the last point.
    ///
    /// # Errors
    /// [`CurveError`] with the number of the line that does not read, or with the point that does not rise.
    pub fn parse(text: &str) -> Result<Self, CurveError> {
        let (mut b, mut h) = (Vec::new(), Vec::new());
        let mut swapped = false;
        let mut heading = true;
        for (index, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
            let line_number = index + 1;
            let line = line.trim();
            if line.is_empty() || line.starts_with('#') {
                continue;
            }
            let cells: Vec<&str> = if line.contains([',', ';', '\t']) {
                line.split([',', ';', '\t']).map(str::trim).collect()
            } else {
                line.split_whitespace().collect()
            };
            let [first, second] = cells[..] else {
                return Err(CurveError::Line {
                    line: line_number,
                    what: format!("two columns are wanted, got {}", cells.len()),
                });
            };
            let number = |cell: &str| {
                cell.parse::<f64>().map_err(|_| CurveError::Line {
                    line: line_number,
                    what: format!("{cell:?} is not a number"),
                })
            };
            if std::mem::take(&mut heading) && first.parse::<f64>().is_err() {
                let starts = |cell: &str, letter| cell.to_ascii_lowercase().starts_with(letter);
                swapped = starts(first, 'b') && starts(second, 'h');
                if !(swapped || starts(first, 'h') && starts(second, 'b')) {
                    return Err(CurveError::Line {
                        line: line_number,
                        what: format!("the heading {line:?} names no columns H and B"),
                    });
                }
                continue;
            }
            let (first, second) = (number(first)?, number(second)?);
            let (field, flux) = if swapped { (second, first) } else { (first, second) };
            h.push(field);
            b.push(flux);
        }
        Self::new(&b, &h, MU_0)
    }

    /// Field strength, slope and energy density at flux density `b` (T), which must not be negative.
    #[must_use]
    pub fn at(&self, b: f64) -> CurvePoint {
        let piece = self.b.partition_point(|&p| p <= b).saturating_sub(1);
        let start = |v: &[f64]| v.get(piece).copied().unwrap_or_default();
        let (b0, h0, w0) = (start(&self.b), start(&self.h), start(&self.energy));
        let slope = match (self.b.get(piece + 1), self.h.get(piece + 1)) {
            (Some(b1), Some(h1)) => (h1 - h0) / (b1 - b0),
            _ => self.end,
        };
        let h = h0 + slope * (b - b0);
        CurvePoint {
            h,
            slope,
            energy: w0 + 0.5 * (h + h0) * (b - b0),
        }
    }

    /// Flux density, slope and energy at field strength `h` (A/m), which must not be negative: the other way round than [`Self::at`].
    #[must_use]
    pub fn at_field(&self, h: f64) -> FieldPoint {
        let piece = self.h.partition_point(|&p| p <= h).saturating_sub(1);
        let start = |v: &[f64]| v.get(piece).copied().unwrap_or_default();
        let (b0, h0, w0) = (start(&self.b), start(&self.h), start(&self.energy));
        let slope = match (self.b.get(piece + 1), self.h.get(piece + 1)) {
            (Some(b1), Some(h1)) => (b1 - b0) / (h1 - h0),
            _ => 1.0 / self.end,
        };
        let b = b0 + slope * (h - h0);
        FieldPoint {
            b,
            slope,
            coenergy: h0 * b0 - w0 + 0.5 * (b + b0) * (h - h0),
        }
    }

    /// Greatest secant permeability B/H of the curve, T per A/m.
    #[must_use]
    pub fn greatest_permeability(&self) -> f64 {
        let best = self
            .b
            .iter()
            .zip(&self.h)
            .skip(1)
            .map(|(b, h)| b / h)
            .fold(0.0, f64::max);
        best.max(1.0 / self.end)
    }

    /// Flux density (T) at which the slope of the curve has fallen to ten times that of vacuum: steel above it is called saturated. Infinite where it never does.
    #[must_use]
    pub fn knee(&self) -> f64 {
        let limit = 1.0 / (10.0 * MU_0);
        let last = self.b.len() - 1;
        (1..=last)
            .rev()
            .take_while(|&i| (self.h[i] - self.h[i - 1]) / (self.b[i] - self.b[i - 1]) >= limit)
            .last()
            .map_or(if self.end >= limit { self.b[last] } else { f64::INFINITY }, |i| {
                self.b[i - 1]
            })
    }

    /// The points of the curve, (T, A/m), from the origin.
    pub fn points(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.b.iter().copied().zip(self.h.iter().copied())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_lie_on_the_pieces_and_energy_is_their_integral() {
        let curve = BhCurve::new(&[1.0, 1.5], &[100.0, 1000.0], MU_0).unwrap();
        let p = curve.at(0.5);
        assert_eq!((p.h, p.slope, p.energy), (50.0, 100.0, 12.5));
        let p = curve.at(1.25);
        assert!((p.h - 550.0).abs() <= 1e-9 && (p.energy - (50.0 + 0.25 * 325.0)).abs() <= 1e-9);
        let p = curve.at(2.5);
        assert!((p.h - (1000.0 + 1.0 / MU_0)).abs() <= 1e-6 * p.h);
        assert!((curve.greatest_permeability() - 0.01).abs() <= 1e-15);
        assert_eq!(curve.knee(), 1.5);
    }

    #[test]
    fn by_field_strength_it_is_the_same_curve() {
        let curve = BhCurve::new(&[1.0, 1.5], &[100.0, 1000.0], MU_0).unwrap();
        for b in [0.0, 0.3, 1.0, 1.2, 1.5, 2.4] {
            let by_b = curve.at(b);
            let by_h = curve.at_field(by_b.h);
            assert!((by_h.b - b).abs() <= 1e-12);
            assert!((by_h.slope * by_b.slope - 1.0).abs() <= 1e-9);
            assert!((by_h.coenergy + by_b.energy - b * by_b.h).abs() <= 1e-9 * (1.0 + b * by_b.h));
        }
    }

    /// Field strengths computed from the published constants of 9SMnPb28: 993 A/m at 0.5 T, 1991 at 1.0 T, 3794 at 1.5 T, 11 840 at 1.8 T, 35 070 at 2.0 T.
    #[test]
    fn smooth_model_gives_the_known_field_strengths() {
        let curve = BhCurve::smooth(400.0, 1.488, 1200.0, 3.0, 12.5).unwrap();
        for (b, h) in [
            (0.5, 993.0),
            (1.0, 1991.0),
            (1.5, 3794.0),
            (1.8, 11840.0),
            (2.0, 35070.0),
        ] {
            let got = curve.at(b).h;
            assert!((got - h).abs() <= 3e-3 * h, "{b} T: {got} A/m, wanted {h}");
        }
    }

    #[test]
    fn text_reads_in_either_order_with_any_separator() {
        let wanted = BhCurve::new(&[0.5, 1.0], &[50.0, 200.0], MU_0).unwrap();
        for text in [
            "H,B\n50,0.5\n200,1\n",
            "# a steel\nB_T;H_A_per_m\n0;0\n0.5;50\n1.0;200",
            "50 0.5\n\n200\t1.0",
        ] {
            assert_eq!(BhCurve::parse(text).unwrap(), wanted, "{text}");
        }
    }

    #[test]
    fn what_is_wrong_is_named_with_its_place() {
        let message = |text: &str| BhCurve::parse(text).unwrap_err().to_string();
        assert!(message("H,B\n50,0.5\n200,x").contains("line 3") && message("H,B\n50,0.5\n200,x").contains("\"x\""));
        assert!(message("H,B,mu\n").contains("two columns"));
        assert!(message("x,y\n1,2").contains("heading"));
        assert!(message("H,B\n50,0.5\n200,0.4").contains("does not rise"));
        assert!(message("H,B\n-50,0.5").contains("negative"));
        assert_eq!(BhCurve::parse(""), Err(CurveError::TooFew));
        assert_eq!(
            BhCurve::new(&[1.0], &[1.0, 2.0], MU_0),
            Err(CurveError::Unequal { b: 1, h: 2 })
        );
        assert_eq!(BhCurve::new(&[1.0], &[1.0], -1.0), Err(CurveError::Slope(-1.0)));
        assert!(BhCurve::new(&[f64::NAN], &[1.0], MU_0).is_err() && BhCurve::new(&[1.0], &[f64::NAN], MU_0).is_err());
        assert!(matches!(
            BhCurve::new(&[1.0], &[0.0], MU_0),
            Err(CurveError::Point { point: 0, .. })
        ));
    }
}
