//! What is shown is computed once more by a better way than it was found by.

use numerics::stop::Stop;
use steel::solve::Options;

use super::{MeasureError, air, solved};
use crate::draft::Draft;
use crate::family::Family;
use crate::known::Known;
use crate::wish::{Goal, Wish};

/// How a value was confirmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Closed form with the recoil solved for on the surfaces.
    Recoil,
    /// Finite elements on a fine mesh.
    Elements,
    /// Not: by the pull law or the mirror image alone.
    Law,
    /// Not: the recoil to first order alone.
    FirstOrder,
}

impl Way {
    /// Share by which a value must be above the wish where it is not confirmed: the error of the recoil to first order.
    #[must_use]
    pub fn margin(self) -> f64 {
        match self {
            Self::Recoil | Self::Elements | Self::Law => 0.0,
            Self::FirstOrder => 0.01,
        }
    }
}

/// How what a family does for a goal is confirmed.
#[must_use]
pub fn way(goal: &Goal, family: Family) -> Way {
    match (goal, family) {
        (Goal::Turn { .. }, _) => Way::FirstOrder,
        (Goal::Hold { .. }, Family::Block | Family::HalbachRow | Family::AlternatingRow) => Way::Law,
        (Goal::Hold { .. }, _) => Way::Elements,
        // Some seconds a solve, for what is within the error of the first order.
        (_, Family::Opposed | Family::Focused | Family::HalbachRow | Family::FacingBlocks) => Way::FirstOrder,
        (_, family) if family.has_steel() => Way::Elements,
        _ => Way::Recoil,
    }
}

/// A value as it was confirmed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Confirmed {
    /// By what.
    pub way: Way,
    /// The value, in the unit of the goal; `None` where there is no better way.
    pub value: Option<f64>,
    /// Least and largest flux density over the area, as a share of the wanted one; 1 where evenness is not asked for.
    pub spread: [f64; 2],
}

/// A mesh for what is shown.
fn fine_options() -> Options {
    Options {
        tolerance: 4e-3,
        most_unknowns: 20_000,
        ..Options::default()
    }
}

/// The value of a draft by the best way there is.
///
/// # Errors
/// [`MeasureError`] where a solve does not arrive or is stopped.
pub fn confirm(wish: &Wish, draft: &Draft, known: &Known, stop: &Stop) -> Result<Confirmed, MeasureError> {
    let way = way(&wish.goal, draft.family);
    let (value, spread) = match way {
        Way::Law | Way::FirstOrder => (None, [1.0; 2]),
        Way::Elements => {
            let solution = solved::solution(wish, draft, known, fine_options(), stop)?;
            let figures = solved::figures(wish, draft, &solution)?;
            (Some(figures.value), figures.spread)
        }
        Way::Recoil => {
            let scene = air::settled(wish, draft, stop)?;
            let value = air::axial(&scene, wish, draft)?;
            (Some(value), air::spread(&scene, wish, draft)?)
        }
    };
    Ok(Confirmed { way, value, spread })
}
