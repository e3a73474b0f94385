//! Rules of the trade that more than one limit or caution rests on.

use magnetics::Shape;
use materials::coating::{Coating, Rating, Surroundings};
use materials::grade::{Family, GradeRow};

use crate::question::ShapeKind;

/// Flux density at 2.1 m from which a package may count as magnetised under the older air transport rule, T.
pub const FLIGHT_LIMIT: f64 = 0.2e-6;

/// Slack in comparing sizes, m: below any tolerance, above rounding of inches.
pub(crate) const SIZE_SLACK: f64 = 1e-6;

/// The kind of a shape.
pub fn kind_of(shape: &Shape) -> ShapeKind {
    match shape {
        Shape::Disc { .. } => ShapeKind::Disc,
        Shape::Ring { .. } => ShapeKind::Ring,
        Shape::Block { .. } => ShapeKind::Block,
        Shape::Sphere { .. } => ShapeKind::Sphere,
    }
}

/// Whether a coating is what a customer calls by that name; `nickel` alone is any that has some.
pub(crate) fn is_coating(coating: &Coating, wanted: &str) -> bool {
    coating.answers_to(wanted) || (wanted.trim().eq_ignore_ascii_case("nickel") && coating.contains_nickel)
}

/// Whether a coating on that material is fit for a place. Ferrite, SmCo and AlNiCo need no coating against water.
pub(crate) fn suits(grade: &GradeRow, coating: &Coating, surroundings: Surroundings) -> bool {
    let bare = coating.thickness.max == 0.0;
    let lasting = matches!(grade.family, Family::Ferrite | Family::SmCo | Family::AlNiCo);
    coating.suitability(surroundings).rating != Rating::Poor || (bare && lasting && surroundings != Surroundings::Food)
}
