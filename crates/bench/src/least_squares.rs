//! Non-linear least squares with covariance: Levenberg and Marquardt's method of a general-purpose crate, and what the
//! curvature at its end tells.

use std::cell::RefCell;

use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra::storage::Owned;
use nalgebra::{DMatrix, DVector, Dyn};
use thiserror::Error;

/// A parameter whose column of the scaled Jacobian is smaller than this part of the largest singular value against the rest
/// cannot be told.
const SMALLEST_SINGULAR: f64 = 1e-9;

/// Residuals of a step to where the model has no value.
const TOO_FAR: f64 = 1e50;
/// Relative change of the sum of squares and of the parameters at which the search ends.
const CLOSE: [f64; 2] = [1e-13, 1e-10];

/// Why there is no least-squares solution.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum LeastSquaresError {
    /// Residuals or slopes are not finite at the start or along the way.
    #[error("the model has no finite value near the parameters given")]
    NotFinite,
    /// It did not settle.
    #[error("the fit did not settle: {0}")]
    Unsettled(String),
}

/// Residuals and their slopes at parameters; `None` where the model has no finite value.
pub trait Residuals {
    /// Model less value, over the standard uncertainty.
    fn residuals(&self, at: &[f64]) -> Option<Vec<f64>>;

    /// Slope of each residual (row) with each parameter (column).
    fn slopes(&self, at: &[f64]) -> Option<DMatrix<f64>>;
}

/// Where the sum of squares is least.
#[derive(Clone, Debug)]
pub struct Solution {
    /// The parameters.
    pub values: Vec<f64>,
    /// Residuals there.
    pub residuals: Vec<f64>,
    /// Slopes there.
    pub slopes: DMatrix<f64>,
    /// Inverse of slopes' transpose times slopes: the covariance of parameters for residuals of unit variance. Directions
    /// that nothing tells are left out.
    pub covariance: DMatrix<f64>,
    /// For each parameter whether something tells it.
    pub told: Vec<bool>,
}

impl Solution {
    /// Sum of squared residuals.
    #[must_use]
    pub fn sum_of_squares(&self) -> f64 {
        self.residuals.iter().map(|r| r * r).sum()
    }
}

struct Problem<'a, R> {
    model: &'a R,
    at: DVector<f64>,
    /// The last residuals, so that they are not computed twice.
    kept: RefCell<Option<(DVector<f64>, Vec<f64>)>>,
}

impl<R: Residuals> LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_, R> {
    type ParameterStorage = Owned<f64, Dyn>;
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;

    fn set_params(&mut self, at: &DVector<f64>) {
        self.at.copy_from(at);
    }

    fn params(&self) -> DVector<f64> {
        self.at.clone()
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let mut kept = self.kept.borrow_mut();
        match &*kept {
            Some((at, residuals)) if *at == self.at => Some(DVector::from_column_slice(residuals)),
            _ => {
                // Where the model has no value the step went too far: a step of no use is taken back.
                let count = kept.as_ref().map(|(_, residuals)| residuals.len());
                let residuals = match (self.model.residuals(self.at.as_slice()).and_then(finite), count) {
                    (Some(residuals), _) => residuals,
                    (None, Some(count)) => vec![TOO_FAR; count],
                    (None, None) => return None,
                };
                *kept = Some((self.at.clone(), residuals.clone()));
                Some(DVector::from_vec(residuals))
            }
        }
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        self.model
            .slopes(self.at.as_slice())
            .filter(|slopes| slopes.iter().all(|s| s.is_finite()))
    }
}

fn finite(values: Vec<f64>) -> Option<Vec<f64>> {
    values.iter().all(|v| v.is_finite()).then_some(values)
}

/// Finds the parameters of the least sum of squares from `start`.
///
/// There are to be at least as many residuals as parameters. Certified non-linear regressions of NIST are met to 7 digits
/// and more, see the tests.
///
/// # Errors
/// [`LeastSquaresError`].
pub fn solve(model: &impl Residuals, start: &[f64]) -> Result<Solution, LeastSquaresError> {
    if model.residuals(start).and_then(finite).is_none() {
        return Err(LeastSquaresError::NotFinite);
    }
    let problem = Problem {
        model,
        at: DVector::from_column_slice(start),
        kept: RefCell::new(None),
    };
    let (problem, report) = LevenbergMarquardt::new()
        .with_patience(300)
        .with_ftol(CLOSE[0])
        .with_xtol(CLOSE[1])
        .minimize(problem);
    use levenberg_marquardt::TerminationReason as End;
    match report.termination {
        End::NoParameters | End::NoImprovementPossible(_) => {}
        ref end if end.was_successful() => {}
        End::User(_) | End::Numerical(_) => return Err(LeastSquaresError::NotFinite),
        other => return Err(LeastSquaresError::Unsettled(format!("{other:?}"))),
    }
    let values: Vec<f64> = problem.at.iter().copied().collect();
    let residuals = model
        .residuals(&values)
        .and_then(finite)
        .ok_or(LeastSquaresError::NotFinite)?;
    let slopes = model.slopes(&values).ok_or(LeastSquaresError::NotFinite)?;
    let (covariance, told) = covariance(&slopes);
    Ok(Solution {
        values,
        residuals,
        slopes,
        covariance,
        told,
    })
}

/// The covariance for slopes, and which parameters they tell. Columns are scaled to unit length first.
#[must_use]
pub fn covariance(slopes: &DMatrix<f64>) -> (DMatrix<f64>, Vec<bool>) {
    let n = slopes.ncols();
    let lengths: Vec<f64> = slopes.column_iter().map(|c| c.norm()).collect();
    let scale: Vec<f64> = lengths.iter().map(|&l| if l > 0.0 { 1.0 / l } else { 0.0 }).collect();
    let scaled = DMatrix::from_fn(slopes.nrows(), n, |i, j| slopes[(i, j)] * scale[j]);
    let normal = scaled.transpose() * &scaled;
    let eigen = normal.symmetric_eigen();
    let largest = eigen.eigenvalues.iter().fold(0.0_f64, |a, &b| a.max(b));
    let mut inverse = DMatrix::zeros(n, n);
    let mut told: Vec<bool> = lengths.iter().map(|&l| l > 0.0).collect();
    for (value, vector) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > SMALLEST_SINGULAR * largest.max(f64::MIN_POSITIVE) {
            inverse += vector * vector.transpose() / *value;
        } else {
            for (told, part) in told.iter_mut().zip(vector.iter()) {
                *told = *told && part.abs() < 1e-3;
            }
        }
    }
    let covariance = DMatrix::from_fn(n, n, |i, j| inverse[(i, j)] * scale[i] * scale[j]);
    (covariance, told)
}

/// Slopes by central differences with the given steps.
#[must_use]
pub fn central(residuals: impl Fn(&[f64]) -> Option<Vec<f64>>, at: &[f64], steps: &[f64]) -> Option<DMatrix<f64>> {
    let mut moved = at.to_vec();
    let mut columns = Vec::with_capacity(at.len());
    for (k, &step) in steps.iter().enumerate() {
        moved[k] = at[k] + step;
        let up = residuals(&moved)?;
        moved[k] = at[k] - step;
        let down = residuals(&moved)?;
        moved[k] = at[k];
        columns.push(DVector::from_iterator(
            up.len(),
            up.iter().zip(&down).map(|(u, d)| (u - d) / (2.0 * step)),
        ));
    }
    Some(if columns.is_empty() {
        DMatrix::zeros(residuals(at)?.len(), 0)
    } else {
        DMatrix::from_columns(&columns)
    })
}
