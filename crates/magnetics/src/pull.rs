//! The quick path to the pull of a stack, for ranking many candidates.
//!
//! Between a stack and its mirror image, or between two equal stacks, the distances of pieces depend only on the sum of their places:
//! `n` pieces give `2n - 1` distances with multiplicities, each a second difference of one function of the distance.

use std::f64::consts::PI;

use thiserror::Error;

use crate::shape::{Shape, ShapeError};
use crate::sheet::SheetPair;
use crate::stack::{Prepared, prepare};
use materials::MU_0;

/// A stack of equal plated pieces, prepared for many gaps. Building it and asking it allocate nothing.
#[derive(Clone, Copy, Debug)]
pub struct StackPull {
    kind: Kind,
    /// Square of the polarisation over `μ0`, N/m².
    pressure: f64,
    /// Coating a side, m.
    plating: f64,
    pieces: usize,
    pitch: f64,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// Equal charged faces, `height` apart in each piece.
    Faces { pair: SheetPair, height: f64 },
    /// Balls of this magnetic radius; they act as dipoles.
    Balls { radius: f64 },
}

/// The gap is not a number or negative.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("gap must be finite and not negative, got {gap} m")]
pub struct GapError {
    /// What was given, m.
    pub gap: f64,
}

impl StackPull {
    /// Prepare a stack as [`crate::stack()`] would build it: `nominal` with coating, `plating` a side in metres,
    /// effective `polarisation` in tesla.
    ///
    /// # Errors
    /// [`ShapeError`] if the shape, the plating, the number of pieces or the polarisation is out of range.
    pub fn new(nominal: &Shape, plating: f64, pieces: usize, polarisation: f64) -> Result<Self, ShapeError> {
        let Prepared { magnet, pieces, pitch } = prepare(nominal, plating, pieces, polarisation)?;
        let height = magnet.height();
        let kind = match magnet {
            Shape::Disc { diameter, .. } => Kind::Faces {
                pair: SheetPair::discs(0.5 * diameter, 0.5 * diameter),
                height,
            },
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => {
                let face = [0.5 * outer_diameter, 0.5 * inner_diameter];
                Kind::Faces {
                    pair: SheetPair::rings(face, face),
                    height,
                }
            }
            Shape::Block { length, width, .. } => Kind::Faces {
                pair: SheetPair::rectangles(length, width),
                height,
            },
            Shape::Sphere { diameter } => Kind::Balls { radius: 0.5 * diameter },
        };
        Ok(Self {
            kind,
            pressure: polarisation * polarisation / MU_0,
            plating,
            pieces,
            pitch,
        })
    }

    /// The same total height as one unplated solid piece; for spheres, which do not join, the row of unplated spheres.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn solid_equivalent(nominal: &Shape, pieces: usize, polarisation: f64) -> Result<Self, ShapeError> {
        Self::new(nominal, 0.0, pieces, polarisation)
    }

    /// Pull on a thick plate of very high permeability across an air gap of `gap` metres below the plated face, N, positive.
    ///
    /// The mirror image: an upper bound for real steel. Accuracy 1e-8 relative.
    ///
    /// # Errors
    /// [`GapError`] if the gap is negative or not finite.
    pub fn plate_pull(&self, gap: f64) -> Result<f64, GapError> {
        check(gap).map(|gap| self.attraction(2.0 * (gap + self.plating)))
    }

    /// Attraction of two such stacks, one above the other, across `gap` metres between their plated faces, N, positive.
    ///
    /// # Errors
    /// [`GapError`] if the gap is negative or not finite.
    pub fn pair_attraction(&self, gap: f64) -> Result<f64, GapError> {
        check(gap).map(|gap| self.attraction(gap + 2.0 * self.plating))
    }

    /// Attraction of two stacks whose magnet faces are `clear` metres apart.
    fn attraction(&self, clear: f64) -> f64 {
        let sum: f64 = (0..2 * self.pieces - 1)
            .map(|places| {
                let pairs = (places + 1).min(2 * self.pieces - 1 - places) as f64;
                let distance = clear + places as f64 * self.pitch;
                pairs
                    * match &self.kind {
                        Kind::Faces { pair, height } => pair.second_difference(distance, *height, *height),
                        Kind::Balls { radius } => balls(*radius, distance),
                    }
            })
            .sum();
        self.pressure * sum
    }
}

/// Attraction of two balls of radius `radius` on one axis, `clear` metres apart, over `J²/μ0`, m²: two dipoles.
fn balls(radius: f64, clear: f64) -> f64 {
    8.0 * PI / 3.0 * radius.powi(6) / (clear + 2.0 * radius).powi(4)
}

fn check(gap: f64) -> Result<f64, GapError> {
    if gap >= 0.0 && gap.is_finite() {
        Ok(gap)
    } else {
        Err(GapError { gap })
    }
}
