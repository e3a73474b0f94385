//! A section through magnets and steel, with a map of the field and lines of flux.

use thiserror::Error;

use crate::map::FieldMap;

/// What a part is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PartKind {
    /// A magnet, with the direction of its polarisation in the plane of the picture, from south to north; `[0, 0]` where it points out of it.
    Magnet {
        /// Direction, of any length.
        towards: [f64; 2],
    },
    /// Steel.
    Steel,
}

/// A part in section.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// What it is made of.
    pub kind: PartKind,
    /// Closed outlines, mm; those inside others are holes.
    pub outlines: Vec<Vec<[f64; 2]>>,
    /// What it is, for a reader; may be empty.
    pub name: String,
}

/// A marked place.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Where, mm.
    pub at: [f64; 2],
    /// In words.
    pub text: String,
}

/// All that a field picture shows. Lengths in millimetres, `[across, up]`.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldPicture {
    /// What it shows, in one line, for those who cannot see it.
    pub title: String,
    /// From left to right.
    pub across: [f64; 2],
    /// From bottom to top.
    pub up: [f64; 2],
    /// The field behind everything; covers the whole window.
    pub map: Option<FieldMap>,
    /// Lines of flux.
    pub lines: Vec<Vec<[f64; 2]>>,
    /// Magnets and steel.
    pub parts: Vec<Part>,
    /// Places that are marked.
    pub spots: Vec<Spot>,
    /// Whether lengths are read in inches.
    pub inch: bool,
}

/// Why a picture cannot be drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PictureError {
    /// The window is empty or not finite.
    #[error("the window must be wider and higher than nothing, got {across:?} by {up:?} mm")]
    Window {
        /// From left to right, mm.
        across: [f64; 2],
        /// From bottom to top, mm.
        up: [f64; 2],
    },
    /// A coordinate is not finite.
    #[error("{0} has a coordinate that is not a number")]
    NotFinite(&'static str),
}

impl FieldPicture {
    /// Check that the window is not empty and that every coordinate is a number.
    pub(crate) fn validate(&self) -> Result<(), PictureError> {
        let [left, right] = self.across;
        let [bottom, top] = self.up;
        if !(right - left > 0.0 && top - bottom > 0.0 && (right - left).is_finite() && (top - bottom).is_finite()) {
            return Err(PictureError::Window {
                across: self.across,
                up: self.up,
            });
        }
        let finite = |points: &[[f64; 2]]| points.iter().flatten().all(|c| c.is_finite());
        if !self.lines.iter().all(|line| finite(line)) {
            return Err(PictureError::NotFinite("a line of flux"));
        }
        if !self
            .parts
            .iter()
            .flat_map(|part| &part.outlines)
            .all(|outline| finite(outline))
        {
            return Err(PictureError::NotFinite("an outline"));
        }
        if !self.spots.iter().all(|spot| finite(&[spot.at])) {
            return Err(PictureError::NotFinite("a marked place"));
        }
        Ok(())
    }
}
