//! What is wished for: what the magnet must do, in which space, of what, and what is to be least.

use serde::{Deserialize, Serialize};
use thiserror::Error;
use utoipa::ToSchema;

use crate::family::Family;
use crate::stuff::Stuff;

/// Smallest and largest length that a wish may have, m: between what can be made and what can be lifted.
pub const LENGTHS: [f64; 2] = [0.5e-3, 1.0];
/// Largest distance, gap or spot, m.
pub const FARTHEST: f64 = 1.0;
/// Largest flux density that may be wished for, T.
pub const LARGEST_FIELD: f64 = 5.0;
/// Height over width of a space whose height is not said.
pub const USUAL_HEIGHT: f64 = 2.0;

/// What the magnet must do.
#[derive(Clone, Debug, PartialEq)]
pub enum Goal {
    /// Reach a flux density along the axis in front of the face.
    Reach {
        /// Flux density, T.
        field: f64,
        /// Distance from the face of the space, m; 0 at the face.
        distance: f64,
        /// Diameter of the spot over which it is the mean, m; 0 for a point.
        spot: f64,
    },
    /// Hold on steel across a gap.
    Hold {
        /// Force, N.
        force: f64,
        /// Gap to the steel, m.
        gap: f64,
        /// Thickness of the steel, m; `None` where it is thick.
        plate: Option<f64>,
    },
    /// A flux density along the axis that is even over an area.
    Even {
        /// Flux density, T.
        field: f64,
        /// Clear distance between the area and the nearest magnet, m.
        distance: f64,
        /// The area.
        area: Area,
        /// Largest deviation from the flux density, as a share of it.
        tolerance: f64,
    },
    /// A flux density in the middle of a gap between two poles.
    Gap {
        /// Flux density, T.
        field: f64,
        /// Width of the gap, m.
        gap: f64,
        /// Diameter of the spot over which it is the mean, m; 0 for a point.
        spot: f64,
    },
    /// A torque across a gap between two rotors with poles on their faces, before they slip.
    Turn {
        /// Torque, N m.
        torque: f64,
        /// Gap between the faces, m.
        gap: f64,
    },
}

/// An area across the axis, its middle on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Area {
    /// A circle of that diameter, m.
    Round(f64),
    /// A rectangle with these sides, m.
    Box([f64; 2]),
}

impl Area {
    /// Its largest reach from the middle, m.
    #[must_use]
    pub fn reach(&self) -> f64 {
        match *self {
            Self::Round(diameter) => 0.5 * diameter,
            Self::Box([a, b]) => 0.5 * a.hypot(b),
        }
    }

    /// Diameter of the circle that lies within it, m.
    #[must_use]
    pub fn within(&self) -> f64 {
        match *self {
            Self::Round(diameter) => diameter,
            Self::Box([a, b]) => a.min(b),
        }
    }
}

/// The space that everything must fit in, m. In front of it, at its top face, is what the magnet works on; for what lies between two poles it is around that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Space {
    /// Across the axis: a circle or a rectangle.
    pub across: Area,
    /// Along the axis, m.
    pub height: f64,
    /// Whether the magnet is as wide as the space, rather than at most.
    pub filled: bool,
}

impl Space {
    /// Diameter of the largest round magnet, m.
    #[must_use]
    pub fn diameter(&self) -> f64 {
        self.across.within()
    }

    /// The smallest width that a magnet may have, m, where `least` is what can be made and `most` the space.
    #[must_use]
    pub fn narrowest(&self, least: f64, most: f64) -> f64 {
        if self.filled { most } else { least }
    }

    /// Largest size of it, m.
    #[must_use]
    pub fn largest(&self) -> f64 {
        match self.across {
            Area::Round(diameter) => diameter.max(self.height),
            Area::Box([a, b]) => a.max(b).max(self.height),
        }
    }
}

/// What is to be least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Aim {
    /// Volume of magnet.
    Volume,
    /// Mass of everything, steel too.
    Mass,
    /// Estimated cost to make.
    Cost,
    /// Height along the axis, from end to end.
    Height,
    /// Stray field beside and behind it.
    Stray,
}

/// A wish.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// What the magnet must do.
    pub goal: Goal,
    /// Where it must fit.
    pub space: Space,
    /// What it is made of.
    pub stuff: Stuff,
    /// What is to be least: the first decides which is named first, all of them span the front.
    pub aims: Vec<Aim>,
    /// The families to look at; none are all that serve.
    pub families: Vec<Family>,
    /// Pieces to be made in one lot.
    pub lot: u32,
}

/// Why a wish cannot be looked at.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum WishError {
    /// A number is out of range.
    #[error("{what} must be {right}, got {value}")]
    Number {
        /// Which.
        what: &'static str,
        /// What it may be.
        right: String,
        /// What was given, SI.
        value: f64,
    },
    /// Nothing is said to be least.
    #[error("say what is to be least: volume, mass, cost, height or stray")]
    NoAim,
    /// No family of those named serves that goal in that space.
    #[error("none of the families serves this goal in this space")]
    NoFamily,
}

impl WishError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Number { .. } => "check the number and its unit",
            Self::NoAim => "mass is a good one to begin with",
            Self::NoFamily => "name none, and all that serve are looked at; a gap needs a space higher than itself",
        }
    }
}

fn within(what: &'static str, value: f64, [low, high]: [f64; 2], unit: &str) -> Result<(), WishError> {
    if (low..=high).contains(&value) {
        return Ok(());
    }
    let right = format!("from {low} to {high} {unit}");
    Err(WishError::Number { what, right, value })
}

fn positive(what: &'static str, value: f64, most: f64, unit: &str) -> Result<(), WishError> {
    if value > 0.0 && value <= most {
        return Ok(());
    }
    let right = format!("above 0 and at most {most} {unit}");
    Err(WishError::Number { what, right, value })
}

impl Area {
    fn check(&self, what: &'static str) -> Result<(), WishError> {
        match *self {
            Self::Round(diameter) => within(what, diameter, LENGTHS, "m"),
            Self::Box(sides) => sides.iter().try_for_each(|&side| within(what, side, LENGTHS, "m")),
        }
    }
}

impl Wish {
    /// Checks that all numbers are in range.
    ///
    /// # Errors
    /// [`WishError`] for the first that is not.
    pub fn check(&self) -> Result<(), WishError> {
        self.space.across.check("width of the space")?;
        within("height of the space", self.space.height, LENGTHS, "m")?;
        let length = |what, value| within(what, value, [0.0, FARTHEST], "m");
        match &self.goal {
            Goal::Reach { field, distance, spot } => {
                positive("flux density", *field, LARGEST_FIELD, "T")?;
                length("distance", *distance)?;
                length("spot", *spot)?;
            }
            Goal::Hold { force, gap, plate } => {
                positive("force", *force, 1e6, "N")?;
                length("gap", *gap)?;
                plate.map_or(Ok(()), |t| within("thickness of the steel", t, [1e-5, 1.0], "m"))?;
            }
            Goal::Even {
                field,
                distance,
                area,
                tolerance,
            } => {
                positive("flux density", *field, LARGEST_FIELD, "T")?;
                length("distance", *distance)?;
                area.check("area")?;
                within("tolerance", *tolerance, [1e-4, 0.5], "as a share")?;
            }
            Goal::Gap { field, gap, spot } => {
                positive("flux density", *field, LARGEST_FIELD, "T")?;
                positive("gap", *gap, FARTHEST, "m")?;
                length("spot", *spot)?;
            }
            Goal::Turn { torque, gap } => {
                positive("torque", *torque, 1e5, "N m")?;
                positive("gap", *gap, FARTHEST, "m")?;
            }
        }
        if self.aims.is_empty() {
            return Err(WishError::NoAim);
        }
        within("lot", f64::from(self.lot), [1.0, 1e7], "pieces")
    }
}

impl Goal {
    /// The wanted value: T, N or N m.
    #[must_use]
    pub fn wanted(&self) -> f64 {
        match *self {
            Self::Reach { field, .. } | Self::Even { field, .. } | Self::Gap { field, .. } => field,
            Self::Hold { force, .. } => force,
            Self::Turn { torque, .. } => torque,
        }
    }
}

#[cfg(test)]
mod tests;
