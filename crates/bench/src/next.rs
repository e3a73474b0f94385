//! Which reading to take next: the one that shrinks a wanted variance most, by the information matrix.

use quantity::Length;
use serde::{Deserialize, Serialize};

use crate::fit::{Fit, FitError, Options, Parameter};
use crate::foretell::Known;
use crate::lot::Lot;
use crate::plate::Plate;
use crate::probe::Probe;
use crate::reading::{Reading, Value};

/// What is at hand for the next reading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct AtHand {
    /// Thicknesses of spacers.
    pub spacers: Vec<Length>,
    /// Distances that a stand can set.
    pub along: Vec<Length>,
    /// Pieces of each lot; a lot that is not named has ten.
    pub pieces: Vec<u32>,
    /// Whether there is a coil pair.
    pub coil: bool,
    /// Whether there is a pull tester.
    pub tester: bool,
    /// What it pulls from; a thick plate of mild steel where it is absent.
    pub plate: Option<Plate>,
}

impl Default for AtHand {
    /// Spacers of 0.5, 1, 2 and 5 mm, ten pieces, and no other instrument.
    fn default() -> Self {
        Self {
            spacers: [0.5, 1.0, 2.0, 5.0].map(Length::from_mm).to_vec(),
            along: Vec::new(),
            pieces: Vec::new(),
            coil: false,
            tester: false,
            plate: None,
        }
    }
}

/// Pieces of a lot that is not named.
const USUAL_PIECES: u32 = 10;
/// Counts of a stack that are worth a reading.
const COUNTS: [u32; 8] = [1, 2, 3, 4, 6, 10, 16, 24];

impl AtHand {
    /// All readings that can be taken of the lots, with values of no meaning.
    #[must_use]
    pub fn feasible(&self, lots: usize) -> Vec<Reading> {
        let mut feasible = Vec::new();
        for lot in 0..lots {
            let most = self.pieces.get(lot).copied().unwrap_or(USUAL_PIECES);
            for pieces in COUNTS.into_iter().filter(|&n| n <= most) {
                let at_face = Reading::at_face(lot, pieces, Value::FluxDensity(quantity::FluxDensity(1.0)));
                let away = self.spacers.iter().map(|&spacer| Reading {
                    spacer,
                    ..at_face.clone()
                });
                let along = self.along.iter().map(|&along| Reading {
                    along,
                    ..at_face.clone()
                });
                feasible.extend(away.chain(along));
                feasible.push(at_face);
                if self.tester {
                    feasible.push(Reading {
                        plate: self.plate.clone(),
                        ..Reading::at_face(lot, pieces, Value::Pull(quantity::Force(1.0)))
                    });
                }
            }
            if self.coil {
                feasible.push(Reading::at_face(lot, 1, Value::Moment(1.0)));
            }
        }
        feasible
    }
}

/// A reading that could be taken, and what it would do.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Next {
    /// The reading, with the value that the fit expects.
    pub reading: Reading,
    /// Standard uncertainty of the wanted parameter after it.
    pub standard: f64,
    /// Part of the variance that it takes away, 0 to 1.
    pub gain: f64,
}

/// What each of the feasible readings would do to the uncertainty of `wanted`, the best first.
///
/// `readings`, `options` and `fit` are those of one call of [`crate::fit()`]; readings that it left out stay out. Empty where
/// the fit does not know the parameter.
///
/// # Errors
/// [`FitError`] for a feasible reading that is out of range.
pub fn rank(
    probe: &Probe,
    lots: &[Lot],
    readings: &[Reading],
    options: &Options,
    fit: &Fit,
    wanted: Parameter,
    feasible: &[Reading],
) -> Result<Vec<Next>, FitError> {
    let known = Known::new(probe, lots, readings, options, fit, feasible)?;
    let Some(place) = known.place(wanted) else {
        return Ok(Vec::new());
    };
    let unit = known.unit(place);
    let variance = known.variance(place);
    let mut ranked: Vec<Next> = feasible
        .iter()
        .enumerate()
        .filter_map(|(k, reading)| {
            let (row, expected) = known.another(k);
            let through = known.through(&row);
            let after = variance - through[place].powi(2) / (1.0 + (&row * &through)[(0, 0)]);
            (after.is_finite() && expected.is_finite()).then(|| Next {
                reading: reading.with_value(expected),
                standard: after.max(0.0).sqrt() * unit,
                gain: 1.0 - after / variance,
            })
        })
        .collect();
    ranked.sort_by(|a, b| a.standard.total_cmp(&b.standard));
    Ok(ranked)
}
