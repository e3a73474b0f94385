//! What is taken for a slip of the pen, and how it is said.

use quantity::{Length, Quantity, Units};
use thiserror::Error;

/// A question that cannot be answered as it stands.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("{message}")]
pub struct QuestionError {
    /// JSON pointer to the part that is wrong.
    pub field: String,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: String,
}

/// The most pieces that one order may have.
pub const MOST_PIECES: u32 = 10_000_000;
/// The most pieces that a stack may have.
pub const MOST_STACKED: u32 = 8;

pub(crate) const FORCE: [f64; 2] = [1e-5, 1e5];
pub(crate) const LENGTH: f64 = 10.0;
pub(crate) const SIZE: [f64; 2] = [1e-6, LENGTH];
pub(crate) const FIELD: [f64; 2] = [1e-8, 10.0];
pub(crate) const MASS: [f64; 2] = [1e-6, 1e3];
/// °C.
pub(crate) const CELSIUS: [f64; 2] = [-200.0, 1000.0];

pub(crate) fn wrong(field: impl Into<String>, message: impl Into<String>, hint: impl Into<String>) -> QuestionError {
    QuestionError {
        field: field.into(),
        message: message.into(),
        hint: hint.into(),
    }
}

pub(crate) fn show<Q: Quantity>(si: f64) -> String {
    Q::from_si(si).show(&Units::metric()).to_string()
}

/// Checks that a quantity lies within a range, SI.
pub(crate) fn within<Q: Quantity>(
    field: &str,
    what: &str,
    value: f64,
    range: [f64; 2],
    hint: &str,
) -> Result<(), QuestionError> {
    let [least, most] = range;
    if (least..=most).contains(&value) {
        return Ok(());
    }
    let [least, most, value] = [least, most, value].map(show::<Q>);
    Err(wrong(
        field,
        format!("{what} must be {least} to {most}, got {value}"),
        hint,
    ))
}

/// Checks that a distance is none or some.
pub(crate) fn length_or_zero(field: &str, what: &str, value: Length) -> Result<(), QuestionError> {
    let v = value.si();
    if v.is_finite() && (0.0..=LENGTH).contains(&v) {
        return Ok(());
    }
    Err(wrong(
        field,
        format!(
            "{what} must be 0 or more and at most {}, got {}",
            show::<Length>(LENGTH),
            show::<Length>(v)
        ),
        "give a length such as 2 mm or 1/8 in; 0 mm is contact",
    ))
}
