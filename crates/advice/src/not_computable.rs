//! Why a value cannot be computed.

use magnetics::{GapError, ShapeError};
use materials::curve::CurveError;
use steel::solve::SolveError;
use thiserror::Error;
use uncertainty::NotFinite;

/// Why a build has no value: what is wrong with it, and what would be right. It is never the same as a weak build.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NotComputable {
    /// Its sizes make no magnet.
    #[error("its sizes make no magnet: {0}")]
    Shape(#[from] ShapeError),
    /// The gap is no length.
    #[error(transparent)]
    Gap(#[from] GapError),
    /// Its grade has no curve for what the use does to it.
    #[error(transparent)]
    Curve(#[from] CurveError),
    /// Nothing is held without a pull law of the steel.
    #[error("the steel has no pull law; steels that hold a magnet have one")]
    NoPullLaw,
    /// Its value is not finite within the limits of its inputs.
    #[error(transparent)]
    NotFinite(#[from] NotFinite),
    /// A steel tip that ends in a point: the field there has no limit.
    #[error("the tip ends in a point, where the field has no limit; a tip with a flat end can be computed")]
    PointedTip,
    /// The field at a sharp edge of steel has no limit.
    #[error(
        "the place lies on an edge of the steel, where the field has no limit; a little further away it has a value"
    )]
    EdgeOfSteel,
    /// More than saturated steel can carry.
    #[error(
        "the solver gives {0:.1} T, more than saturated steel carries; a wider end or a longer distance can be computed"
    )]
    AboveSaturation(f64),
    /// The part and the magnet are not solved together for this use.
    #[error("builds of this shape with this steel part are not computed for this use")]
    NoSetUp,
    /// The finite elements find no solution.
    #[error("the solver finds no solution: {0}")]
    Solve(#[from] SolveError),
}
