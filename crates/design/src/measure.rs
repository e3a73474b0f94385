//! What a draft does: its value, how even it is, how near its magnets come to their knee, and what strays.
//!
//! Drafts of magnets alone are computed in closed form, the recoil to first order: each piece keeps what its own mean field and that of the others
//! leave it. Magnets on steel go by the mirror image and the pull law, rows by the mirror image alone. Drafts that carry steel are solved by finite elements on a rough mesh.

mod air;
mod confirm;
mod hold;
mod inside;
mod places;
mod solved;
mod turn;

use magnetics::solid::PlacedError;
use magnetics::{FieldError, SettleError, ShapeError};
use numerics::stop::Stop;
use steel::solve::SolveError;
use thiserror::Error;

use crate::draft::Draft;
use crate::family::Family;
use crate::known::Known;
use crate::wish::{Goal, Wish};

pub use confirm::{Confirmed, Way, confirm, way};
pub use places::STRAY_AWAY;

/// What a draft does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// Flux density, T, force, N, or torque, N m, by the goal.
    pub value: f64,
    /// Least and largest flux density over the area, as a share of the wanted one; 1 where evenness is not asked for.
    pub spread: [f64; 2],
    /// Largest demagnetising field in a magnet over that of its knee; above 1 it loses for good.
    pub strain: f64,
    /// Largest flux density [`STRAY_AWAY`] beside and behind it, T; `None` where nobody asks for it.
    pub stray: Option<f64>,
}

/// Why a draft has no figures.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum MeasureError {
    /// A body cannot be.
    #[error(transparent)]
    Placed(#[from] PlacedError),
    /// A shape cannot be.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// The field diverges at the spot.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// The solver did not arrive.
    #[error(transparent)]
    Solve(#[from] SolveError),
    /// The recoil did not settle.
    #[error(transparent)]
    Settle(#[from] SettleError),
    /// The family does not serve the goal.
    #[error("the family does not serve this goal")]
    Unfit,
}

/// The figures of a draft, as the search sees them.
///
/// # Errors
/// [`MeasureError`] where a body cannot be, the field diverges at the spot, or a solve does not arrive or is stopped.
pub fn measure(wish: &Wish, draft: &Draft, known: &Known, stop: &Stop) -> Result<Figures, MeasureError> {
    if draft.family.has_steel() {
        return solved::rough(wish, draft, known, stop);
    }
    let bodies = air::settled_to_first_order(wish, draft, stop)?;
    let value = match (&wish.goal, draft.family) {
        (Goal::Hold { gap, plate, .. }, Family::Disc | Family::Ring | Family::Block) => {
            hold::single(wish, draft, known, *gap, *plate)?
        }
        (Goal::Hold { gap, plate, .. }, _) => hold::row(draft, &bodies, known, *gap, *plate)?,
        (Goal::Turn { .. }, Family::Coupling) => turn::torque(draft, &bodies)?,
        (Goal::Reach { .. } | Goal::Even { .. } | Goal::Gap { .. }, _) => bodies.value(wish, draft)?,
        (Goal::Turn { .. }, _) => return Err(MeasureError::Unfit),
    };
    Ok(Figures {
        value,
        spread: bodies.spread(wish, draft)?,
        strain: bodies.strain,
        stray: bodies.stray(wish, draft)?,
    })
}

/// The flux density of a draft as if nothing of its remanence were lost, T: what a quick look goes by.
///
/// # Errors
/// [`MeasureError`] where a body cannot be, or the goal asks for no flux density.
pub(crate) fn rigid(wish: &Wish, draft: &Draft, stop: &Stop) -> Result<f64, MeasureError> {
    air::axial(&air::rigid(wish, draft, stop)?, wish, draft)
}

#[cfg(test)]
mod halbach;
#[cfg(test)]
mod tests;
