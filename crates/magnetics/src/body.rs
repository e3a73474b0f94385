//! One magnet placed in space.

use std::f64::consts::PI;

use thiserror::Error;

use crate::cylinder::Side;
use crate::shape::{Shape, ShapeError};
use crate::{block, cylinder, far, sheet};
use materials::{LARGEST_POLARISATION, MU_0};

/// Largest magnitude of a coordinate that is accepted, m.
pub const LARGEST_COORDINATE: f64 = 1e6;

/// Bodies whose axes are closer than this share of their width count as coaxial.
const COAXIAL: f64 = 1e-9;

/// One uniformly magnetised magnet, its axis parallel to `z`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Shape and sizes, m.
    pub shape: Shape,
    /// Polarisation along `+z`, T; negative for a magnet turned over.
    pub polarisation: f64,
    /// Centre of the body, m.
    pub centre: [f64; 3],
}

/// Why a body cannot be part of an assembly.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum BodyError {
    /// The shape or polarisation is not acceptable.
    #[error("body {body}: {source}")]
    Shape {
        /// Index of the body.
        body: usize,
        /// What is wrong with it.
        source: ShapeError,
    },
    /// The centre is not a number or too far away.
    #[error("body {body}: centre must be within {LARGEST_COORDINATE} m of the origin, got {centre:?} m")]
    Centre {
        /// Index of the body.
        body: usize,
        /// What was given, m.
        centre: [f64; 3],
    },
    /// There is no body.
    #[error("an assembly must have at least one body, got none")]
    Empty,
}

impl Body {
    /// Check shape, polarisation and centre; `body` is the index to report.
    ///
    /// # Errors
    /// [`BodyError`] for the first thing that is out of range.
    pub fn validate(&self, body: usize) -> Result<(), BodyError> {
        self.shape
            .validate()
            .map_err(|source| BodyError::Shape { body, source })?;
        check_polarisation(self.polarisation).map_err(|source| BodyError::Shape { body, source })?;
        if within_reach(self.centre) {
            Ok(())
        } else {
            Err(BodyError::Centre {
                body,
                centre: self.centre,
            })
        }
    }

    /// Height of the top face (or highest point), m.
    #[must_use]
    pub fn top(&self) -> f64 {
        self.centre[2] + 0.5 * self.shape.height()
    }

    /// Height of the bottom face (or lowest point), m.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.centre[2] - 0.5 * self.shape.height()
    }

    /// Magnetic dipole moment along `+z`, A m².
    #[must_use]
    pub fn moment(&self) -> f64 {
        self.polarisation * self.shape.volume() / MU_0
    }

    /// Whether a point lies strictly inside; a point on the surface does not.
    #[must_use]
    pub fn contains(&self, point: [f64; 3]) -> bool {
        let [x, y, z] = self.seen_from_centre(point).map(f64::abs);
        match self.shape {
            Shape::Disc { diameter, thickness } => z < 0.5 * thickness && x.hypot(y) < 0.5 * diameter,
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => {
                let rho = x.hypot(y);
                z < 0.5 * thickness && rho < 0.5 * outer_diameter && rho > 0.5 * inner_diameter
            }
            Shape::Block {
                length,
                width,
                thickness,
            } => x < 0.5 * length && y < 0.5 * width && z < 0.5 * thickness,
            Shape::Sphere { diameter } => x.hypot(y).hypot(z) < 0.5 * diameter,
        }
    }

    fn seen_from_centre(&self, point: [f64; 3]) -> [f64; 3] {
        [0, 1, 2].map(|i| point[i] - self.centre[i])
    }

    /// B of this body alone, T; `None` on an edge where it diverges.
    pub(crate) fn flux_density(&self, point: [f64; 3]) -> Option<[f64; 3]> {
        let p = self.seen_from_centre(point);
        let unit = match self.shape {
            Shape::Disc { diameter, thickness } => turned(0.5 * diameter, 0.0, 0.5 * thickness, p),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => turned(0.5 * outer_diameter, 0.5 * inner_diameter, 0.5 * thickness, p),
            Shape::Block {
                length,
                width,
                thickness,
            } => block::field([0.5 * length, 0.5 * width, 0.5 * thickness], p),
            Shape::Sphere { diameter } => Some(if self.contains(point) {
                [0.0, 0.0, 2.0 / 3.0]
            } else {
                far::dipole(p).map(|b| b * PI / 6.0 * diameter.powi(3))
            }),
        }?;
        Some(unit.map(|b| b * self.polarisation))
    }

    /// B on the body's own axis, a distance `z` above its centre, T.
    pub(crate) fn on_axis(&self, z: f64) -> f64 {
        let unit = match self.shape {
            Shape::Disc { diameter, thickness } => cylinder::on_axis(0.5 * diameter, 0.5 * thickness, z),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => {
                cylinder::on_axis(0.5 * outer_diameter, 0.5 * thickness, z)
                    - cylinder::on_axis(0.5 * inner_diameter, 0.5 * thickness, z)
            }
            Shape::Block {
                length,
                width,
                thickness,
            } => block::on_axis([0.5 * length, 0.5 * width, 0.5 * thickness], z),
            Shape::Sphere { diameter } => 2.0 / 3.0 * (0.5 * diameter / z.abs().max(0.5 * diameter)).powi(3),
        };
        unit * self.polarisation
    }

    /// Flux of B through a coaxial circle of radius `radius` at height `z` above the centre, Wb; `None` for a block.
    pub(crate) fn flux_through_circle(&self, radius: f64, z: f64) -> Option<f64> {
        let half = 0.5 * self.shape.height();
        let (outer, inner) = match self.shape {
            Shape::Disc { diameter, .. } => (0.5 * diameter, 0.0),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => (0.5 * outer_diameter, 0.5 * inner_diameter),
            Shape::Block { .. } => return None,
            Shape::Sphere { .. } => return Some(self.polarisation * far::flux_of_ball(half, radius, z)),
        };
        Some(self.polarisation * sheet::flux_of_ring([outer, inner], half, radius, z))
    }
}

/// B of a ring (or a disc, for `inner` = 0) magnetised at 1 T.
#[inline]
pub(crate) fn turned(outer: f64, inner: f64, half: f64, [x, y, z]: [f64; 3]) -> Option<[f64; 3]> {
    let rho2 = x * x + y * y;
    let rho = rho2.sqrt();
    let reach2 = far::TURNED_REACH * far::TURNED_REACH * (outer * outer + half * half);
    let (radial, axial) = if rho2 + z * z > reach2 {
        far::turned(inner * inner, outer * outer, half, rho, z)
    } else {
        let (mut radial, mut axial) = cylinder::flux_density(outer, half, rho, z, Side::Outer)?;
        if inner > 0.0 {
            let hole = cylinder::flux_density(inner, half, rho, z, Side::Inner)?;
            radial -= hole.0;
            axial -= hole.1;
        }
        (radial, axial)
    };
    if rho == 0.0 {
        return Some([0.0, 0.0, axial]);
    }
    Some([radial * x / rho, radial * y / rho, axial])
}

/// Check that a polarisation is finite and within [`LARGEST_POLARISATION`].
pub(crate) fn check_polarisation(value: f64) -> Result<(), ShapeError> {
    if value.abs() <= LARGEST_POLARISATION {
        Ok(())
    } else {
        Err(ShapeError::Polarisation {
            value,
            most: LARGEST_POLARISATION,
        })
    }
}

/// Whether every coordinate is a number within [`LARGEST_COORDINATE`].
pub(crate) fn within_reach(point: [f64; 3]) -> bool {
    point.iter().all(|c| c.abs() <= LARGEST_COORDINATE)
}

/// Whether two bodies share their axis.
pub(crate) fn coaxial(a: &Body, b: &Body) -> bool {
    let apart = (a.centre[0] - b.centre[0]).hypot(a.centre[1] - b.centre[1]);
    apart <= COAXIAL * a.shape.widest().min(b.shape.widest())
}
