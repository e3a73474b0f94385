//! Why a reading cannot be predicted.

use magnetics::ShapeError;
use thiserror::Error;

/// Why a reading cannot be predicted.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SetupError {
    /// A value is not finite or out of range.
    #[error("{what} must be from {low} to {high} (SI), got {value}")]
    Range {
        /// What it is.
        what: &'static str,
        /// What was given.
        value: f64,
        /// Least that is right.
        low: f64,
        /// Most that is right.
        high: f64,
    },
    /// A size is wrong.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The grade is wrong, or the temperature beyond it.
    #[error(transparent)]
    Grade(#[from] materials::grade::GradeError),
    /// A reading is of a lot that is not there.
    #[error("reading {reading} is of lot {lot}, and there are {lots}; lots count from 0")]
    NoLot {
        /// Number of the reading, from 0.
        reading: usize,
        /// The lot it names.
        lot: usize,
        /// How many there are.
        lots: usize,
    },
    /// A steel that is not there, or holds no magnet.
    #[error("there is no steel {name} that holds magnets; try mild steel")]
    Steel {
        /// The name given.
        name: String,
    },
    /// The prediction is not a number.
    #[error("the reading has no finite prediction within the limits of its inputs")]
    NotFinite,
}

impl SetupError {
    /// `value` is finite and from `low` to `high`.
    pub(crate) fn check(what: &'static str, value: f64, low: f64, high: f64) -> Result<(), Self> {
        if value >= low && value <= high {
            Ok(())
        } else {
            Err(Self::Range { what, value, low, high })
        }
    }
}
