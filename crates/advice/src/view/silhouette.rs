//! Outlines of builds, to scale.

use magnetics::Shape;
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Candidate;
use crate::question::Need;

/// Outline of a build, in millimetres whatever the units shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Silhouette {
    /// `disc`, `ring`, `block` or `sphere`.
    pub shape: String,
    /// Width of one piece.
    pub width_mm: f64,
    /// Height of one piece along its magnetisation.
    pub height_mm: f64,
    /// Pieces stacked.
    pub pieces: u32,
    /// Hole of a ring.
    pub hole_mm: f64,
    /// The gap and poles of a pair.
    pub pair: Option<PairView>,
}

/// How two builds face each other.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PairView {
    /// Between the faces.
    pub gap_mm: f64,
    /// Whether like poles face.
    pub like_poles: bool,
}

/// The outline of a candidate.
pub(super) fn silhouette(c: &Candidate, need: &Need) -> Silhouette {
    let pair = match need {
        Need::PullTogether { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: false,
        }),
        Need::PushApart { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: true,
        }),
        _ => None,
    };
    Silhouette {
        pair,
        ..outline(&c.item.shape, c.build.pieces)
    }
}

/// The outline of so many stacked pieces.
pub fn outline(shape: &Shape, pieces: u32) -> Silhouette {
    let (name, hole) = match *shape {
        Shape::Disc { .. } => ("disc", 0.0),
        Shape::Ring { inner_diameter, .. } => ("ring", inner_diameter),
        Shape::Block { .. } => ("block", 0.0),
        Shape::Sphere { .. } => ("sphere", 0.0),
    };
    Silhouette {
        shape: name.into(),
        width_mm: shape.widest() * 1e3,
        height_mm: shape.height() * 1e3,
        pieces,
        hole_mm: hole * 1e3,
        pair: None,
    }
}
