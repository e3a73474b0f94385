//! What a body is made in the form of, how it is magnetised, and why it cannot be placed.

use thiserror::Error;

use crate::arc::Arc;
use crate::body::LARGEST_COORDINATE;
use crate::profile::Profile;
use crate::shape::{Shape, ShapeError};

/// Largest length of a rotation vector, rad.
pub(crate) const LARGEST_TURN: f64 = 1e3;

/// Largest recoil permeability that is accepted.
pub const LARGEST_PERMEABILITY: f64 = 100.0;

/// What a body is made in the form of. The frame is the body's own: its axis is `z`, its middle the origin.
#[derive(Clone, Debug, PartialEq)]
pub enum Solid {
    /// A disc, ring, block or sphere.
    Plain(Shape),
    /// A profile turned about `z`; its own origin is the origin.
    Turned(Profile),
    /// A segment of a ring, its middle on `+x`, the origin on its axis.
    Arc(Arc),
}

/// How a body is magnetised, in its own frame, T.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Polarisation {
    /// Along one direction everywhere; along `z` only for turned profiles.
    Along([f64; 3]),
    /// Away from the axis everywhere; for arcs only.
    Radial(f64),
}

/// Why a body cannot be placed.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PlacedError {
    /// The shape or the polarisation is out of range.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// A turned profile is magnetised across its axis.
    #[error("a turned profile is magnetised along its axis only, got {polarisation:?} T")]
    Across {
        /// What was given, T.
        polarisation: [f64; 3],
    },
    /// Only arcs are magnetised radially.
    #[error("only an arc can be magnetised radially")]
    Radial,
    /// The centre is not a number or too far away.
    #[error("centre must be within {LARGEST_COORDINATE} m of the origin, got {centre:?} m")]
    Centre {
        /// What was given, m.
        centre: [f64; 3],
    },
    /// The recoil permeability is not a number or out of range.
    #[error("recoil permeability must be from 1 to {LARGEST_PERMEABILITY}, got {permeability}")]
    Permeability {
        /// What was given.
        permeability: f64,
    },
    /// The rotation vector is not a number or too long.
    #[error("rotation vector must be finite and no longer than {LARGEST_TURN} rad, got {rotation:?} rad")]
    Rotation {
        /// What was given, rad.
        rotation: [f64; 3],
    },
}

impl PlacedError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Shape(error) => error.hint(),
            Self::Across { .. } => "give [0, 0, J]; the direction turns with the body",
            Self::Radial => "give the polarisation as a vector",
            Self::Centre { .. } => "check the unit: centres are read in metres here",
            Self::Permeability { .. } => "hard magnets have 1.03 to 1.2; 1 is a rigid magnet",
            Self::Rotation { .. } => "the vector's direction is the axis, its length the angle in radians",
        }
    }
}
