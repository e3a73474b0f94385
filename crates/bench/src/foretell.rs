//! What a fit says of readings that were not part of it.

use nalgebra::{DMatrix, DVector, RowDVector};
use serde::Serialize;

use crate::fit::{FACTOR, Fit, FitError, Model, Options, Parameter};
use crate::least_squares::{Residuals, covariance};
use crate::lot::Lot;
use crate::probe::Probe;
use crate::reading::Reading;

/// A fit with further readings beside those that it rests on.
pub(crate) struct Known {
    all: Vec<(RowDVector<f64>, f64, f64)>,
    parameters: Vec<Parameter>,
    units: Vec<f64>,
    covariance: DMatrix<f64>,
    scatter: f64,
}

impl Known {
    /// `readings`, `options` and `fit` are those of one call of [`crate::fit()`]; readings that it left out stay out.
    pub(crate) fn new(
        probe: &Probe,
        lots: &[Lot],
        readings: &[Reading],
        options: &Options,
        fit: &Fit,
        others: &[Reading],
    ) -> Result<Self, FitError> {
        let all: Vec<Reading> = readings.iter().chain(others).cloned().collect();
        let mut model = Model::new(probe, lots, &all, &options.free, fit.noise)?;
        let x = model.at(|parameter| fit.get(parameter).map(|f| f.value));
        model.set_standards(&x);
        for (k, weight) in model.weights.iter_mut().enumerate() {
            *weight = fit.readings.get(k).map_or(0.0, |r| r.weight);
        }
        let slopes = model.slopes(&x).ok_or(crate::error::SetupError::NotFinite)?;
        // What nothing tells yet is given the width of the solver's units times a thousand, so that a first reading counts.
        let vague = 1e-3 / fit.scatter;
        let unknown = slopes.ncols();
        let mut with_vague = slopes.clone().insert_rows(slopes.nrows(), unknown, 0.0);
        for k in 0..unknown {
            with_vague[(slopes.nrows() + k, k)] = vague;
        }
        let (covariance, _) = covariance(&with_vague);
        Ok(Self {
            all: (readings.len()..all.len())
                .map(|k| (model.slope_of(k, &x), model.value_of(k, &x), model.standards[k]))
                .collect(),
            parameters: model.parameters.iter().map(|u| u.parameter).collect(),
            units: model.parameters.iter().map(|u| u.unit).collect(),
            covariance,
            scatter: fit.scatter,
        })
    }

    /// The place of a parameter among those of the fit.
    pub(crate) fn place(&self, parameter: Parameter) -> Option<usize> {
        self.parameters.iter().position(|&p| p == parameter)
    }

    /// What turns the solver's standard uncertainty of a parameter into SI.
    pub(crate) fn unit(&self, place: usize) -> f64 {
        self.units[place] * self.scatter
    }

    /// The solver's variance of a parameter.
    pub(crate) fn variance(&self, place: usize) -> f64 {
        self.covariance[(place, place)]
    }

    /// Slopes over its own standard uncertainty, and value, of one of the further readings.
    pub(crate) fn another(&self, k: usize) -> (RowDVector<f64>, f64) {
        let (row, value, _) = &self.all[k];
        (row.clone(), *value)
    }

    /// The covariance of the parameters with a reading of these slopes.
    pub(crate) fn through(&self, row: &RowDVector<f64>) -> DVector<f64> {
        &self.covariance * row.transpose()
    }
}

/// A reading as a fit foretells it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Foretold {
    /// The value, in SI.
    pub value: f64,
    /// Standard uncertainty of the mean of many such readings.
    pub mean_standard: f64,
    /// Standard uncertainty of one such reading: its own with that of the mean.
    pub standard: f64,
}

impl Foretold {
    /// The 95 % interval of one such reading.
    #[must_use]
    pub fn interval(&self) -> [f64; 2] {
        [self.value - FACTOR * self.standard, self.value + FACTOR * self.standard]
    }
}

/// What a fit says of other readings; their values count for nothing. One that has no finite value is left out as `None`.
///
/// `readings`, `options` and `fit` are those of one call of [`crate::fit()`].
///
/// # Errors
/// [`FitError`] for a reading that is out of range.
pub fn foretell(
    probe: &Probe,
    lots: &[Lot],
    readings: &[Reading],
    options: &Options,
    fit: &Fit,
    others: &[Reading],
) -> Result<Vec<Option<Foretold>>, FitError> {
    let known = Known::new(probe, lots, readings, options, fit, others)?;
    let told = known.all.iter().map(|(row, value, own)| {
        let part = (row * known.through(row))[(0, 0)].max(0.0);
        let own = own * known.scatter;
        let told = Foretold {
            value: *value,
            mean_standard: own * part.sqrt(),
            standard: own * (1.0 + part).sqrt(),
        };
        (told.value.is_finite() && told.standard.is_finite()).then_some(told)
    });
    Ok(told.collect())
}

#[cfg(test)]
mod tests;
