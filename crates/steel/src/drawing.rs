//! What is solved: parts of revolution about the z axis, drawn by their half sections.

use std::sync::Arc;

use materials::curve::Curve;
use thiserror::Error;

use crate::curve::BhCurve;

/// The largest flux density that is applied or polarised, T: more than any magnet or laboratory has.
pub const LARGEST_FIELD: f64 = 100.0;
/// The farthest corner from the origin, along and across, m.
pub const LARGEST_REACH: f64 = 1_000.0;
/// The largest recoil permeability of a magnet.
pub const LARGEST_PERMEABILITY: f64 = 1_000.0;

/// What a part is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum Material {
    /// Air, or anything that is not magnetic.
    Air,
    /// A permanent magnet with a straight recoil line, polarised along z.
    Magnet {
        /// Remanent polarisation along z, T; negative for the other way.
        polarisation: f64,
        /// Recoil permeability relative to vacuum, at least 1.
        recoil_permeability: f64,
    },
    /// A permanent magnet polarised along z that follows a demagnetisation curve, knee and all, and across it its recoil line: `B_r = mu0 mu_rec H_r`.
    Kneed {
        /// The curve.
        curve: Curve,
        /// Whether its polarisation points down, to -z.
        downwards: bool,
    },
    /// Steel that follows a magnetisation curve.
    Steel(Arc<BhCurve>),
}

/// A magnet's recoil line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecoilLine {
    /// Remanent polarisation along z, T; negative for the other way.
    pub polarisation: f64,
    /// Recoil permeability relative to vacuum.
    pub permeability: f64,
}

impl Material {
    /// The recoil line of a magnet from its remanence; `None` for anything else.
    #[must_use]
    pub fn recoil_line(&self) -> Option<RecoilLine> {
        match self {
            Self::Magnet {
                polarisation,
                recoil_permeability,
            } => Some(RecoilLine {
                polarisation: *polarisation,
                permeability: *recoil_permeability,
            }),
            Self::Kneed { curve, downwards } => Some(RecoilLine {
                polarisation: if *downwards {
                    -curve.remanence()
                } else {
                    curve.remanence()
                },
                permeability: 1.0 + curve.susceptibility(),
            }),
            Self::Air | Self::Steel(_) => None,
        }
    }
}

/// A body of revolution.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its name, unique in the drawing.
    pub name: String,
    /// Corners `[r, z]` of its half section in metres, in order around it, either way; the last is joined to the first.
    pub profile: Vec<[f64; 2]>,
    /// What it is made of.
    pub material: Material,
}

impl Part {
    /// A part with this outline.
    pub fn new(name: impl Into<String>, profile: Vec<[f64; 2]>, material: Material) -> Self {
        Self {
            name: name.into(),
            profile,
            material,
        }
    }

    /// A disc or ring between two radii and two heights, metres.
    pub fn ring(name: impl Into<String>, radii: [f64; 2], heights: [f64; 2], material: Material) -> Self {
        let ([a, b], [low, high]) = (radii, heights);
        Self::new(name, vec![[a, low], [b, low], [b, high], [a, high]], material)
    }
}

/// Parts that share an axis, in unbounded air.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The parts; they may touch, not overlap.
    pub parts: Vec<Part>,
    /// Uniform flux density along z far away from all parts, T.
    pub applied: f64,
}

impl Drawing {
    /// A drawing of these parts and no applied field.
    #[must_use]
    pub fn new(parts: Vec<Part>) -> Self {
        Self { parts, applied: 0.0 }
    }

    /// Index of the part of that name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<usize> {
        self.parts.iter().position(|part| part.name == name)
    }
}

/// Why a drawing cannot be solved.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DrawingError {
    /// There is nothing in it.
    #[error("the drawing has no magnet, and no field is applied")]
    Empty,
    /// Two parts have one name.
    #[error("two parts are named {name:?}")]
    Name {
        /// The name.
        name: String,
        /// Index of the second part of that name.
        part: usize,
    },
    /// A part has fewer than three corners.
    #[error("{name} has {corners} different corners, at least 3 are needed")]
    Corners {
        /// Name of the part.
        name: String,
        /// Its index.
        part: usize,
        /// Number of its corners.
        corners: usize,
    },
    /// A corner is too far away or lies below the axis.
    #[error(
        "corner {corner} of {name}, r = {r} m, z = {z} m, is farther than {LARGEST_REACH} m or has a negative radius"
    )]
    Corner {
        /// Name of the part.
        name: String,
        /// Its index.
        part: usize,
        /// Index of the corner.
        corner: usize,
        /// Its radius, m.
        r: f64,
        /// Its height, m.
        z: f64,
    },
    /// The outline crosses or touches itself.
    #[error("the outline of {name} meets itself near r = {r} m, z = {z} m")]
    Crossing {
        /// Name of the part.
        name: String,
        /// Its index.
        part: usize,
        /// Radius, m.
        r: f64,
        /// Height, m.
        z: f64,
    },
    /// A part has no thickness.
    #[error("{name} has no thickness")]
    Thin {
        /// Name of the part.
        name: String,
        /// Its index.
        part: usize,
    },
    /// Two parts share some room.
    #[error("{first} and {second} overlap near r = {r} m, z = {z} m")]
    Overlap {
        /// Name of one.
        first: String,
        /// Name of the other.
        second: String,
        /// Index of the other.
        part: usize,
        /// Radius, m.
        r: f64,
        /// Height, m.
        z: f64,
    },
    /// A magnet's polarisation or recoil permeability cannot be.
    #[error(
        "{name}: polarisation must be within {LARGEST_FIELD} T and recoil permeability from 1 to {LARGEST_PERMEABILITY}, got {polarisation} T and {recoil_permeability}"
    )]
    Magnet {
        /// Name of the part.
        name: String,
        /// Its index.
        part: usize,
        /// Given polarisation, T.
        polarisation: f64,
        /// Given recoil permeability.
        recoil_permeability: f64,
    },
    /// The applied field is not finite.
    #[error("the applied flux density must be within {LARGEST_FIELD} T, got {0} T")]
    Applied(f64),
    /// A place is so narrow that resolving it would take too many elements.
    #[error("the gap or wall near r = {r} m, z = {z} m is too thin to be resolved beside parts of this size")]
    Narrow {
        /// Radius, m.
        r: f64,
        /// Height, m.
        z: f64,
    },
}

impl DrawingError {
    /// What would be right.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Empty => "add a part with a polarisation",
            Self::Name { .. } => "give every part a name of its own",
            Self::Corners { .. } => "draw the half section by its corners [r, z]",
            Self::Corner { .. } => "draw the half section at r >= 0 only; the other half follows by turning",
            Self::Crossing { .. } => {
                "give the corners in order around the part, each once; split a part with a closed hollow in two"
            }
            Self::Thin { .. } => "leave the part out or give it a thickness",
            Self::Overlap { .. } => "let parts touch at most",
            Self::Magnet { .. } => "a usual magnet has 0.2 to 1.5 T and 1.02 to 1.2",
            Self::Applied(_) => "give a flux density in tesla",
            Self::Narrow { .. } => "let the parts touch instead, or make the gap wider",
        }
    }

    /// Index of the part it is about.
    #[must_use]
    pub fn part(&self) -> Option<usize> {
        match self {
            Self::Empty | Self::Applied(_) | Self::Narrow { .. } => None,
            Self::Name { part, .. }
            | Self::Corners { part, .. }
            | Self::Corner { part, .. }
            | Self::Crossing { part, .. }
            | Self::Thin { part, .. }
            | Self::Overlap { part, .. }
            | Self::Magnet { part, .. } => Some(*part),
        }
    }
}
