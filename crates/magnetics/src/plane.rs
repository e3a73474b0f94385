//! A plane through space, and the window of it that a picture shows.

use thiserror::Error;

use crate::body::LARGEST_COORDINATE;
use numerics::vector::{Vector, add, cross, dot, length, scale, sub};

/// A plane with two directions in it, right-handed: `across`, `up`, and a normal that points to the viewer's back for `xz`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    origin: Vector,
    across: Vector,
    up: Vector,
}

/// Why there is no such plane.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
#[error("a plane takes a finite origin and two finite directions that are not parallel")]
pub struct PlaneError;

impl Plane {
    /// The plane through `origin`, m, along two directions; the second is taken square to the first.
    ///
    /// # Errors
    /// [`PlaneError`] for directions that are parallel or of no length, and for numbers that are not finite.
    pub fn new(origin: [f64; 3], across: [f64; 3], up: [f64; 3]) -> Result<Self, PlaneError> {
        let unit = |v: Vector| {
            let size = length(v);
            (size > 0.0 && size.is_finite()).then(|| scale(v, 1.0 / size))
        };
        let across = unit(across).ok_or(PlaneError)?;
        let up = unit(up).ok_or(PlaneError)?;
        let square = sub(up, scale(across, dot(across, up)));
        if !(length(square) > 1e-9 && origin.iter().all(|c| c.is_finite())) {
            return Err(PlaneError);
        }
        let up = unit(square).ok_or(PlaneError)?;
        Ok(Self { origin, across, up })
    }

    /// The plane of `x` across and `z` up, at that `y`, m.
    #[must_use]
    pub fn xz(y: f64) -> Self {
        Self {
            origin: [0.0, y, 0.0],
            across: [1.0, 0.0, 0.0],
            up: [0.0, 0.0, 1.0],
        }
    }

    /// The plane of `y` across and `z` up, at that `x`, m.
    #[must_use]
    pub fn yz(x: f64) -> Self {
        Self {
            origin: [x, 0.0, 0.0],
            across: [0.0, 1.0, 0.0],
            up: [0.0, 0.0, 1.0],
        }
    }

    /// The plane of `x` across and `y` up, at that `z`, m.
    #[must_use]
    pub fn xy(z: f64) -> Self {
        Self {
            origin: [0.0, 0.0, z],
            across: [1.0, 0.0, 0.0],
            up: [0.0, 1.0, 0.0],
        }
    }

    /// The point in space at a place in the plane, m.
    #[must_use]
    pub fn point(&self, [a, u]: [f64; 2]) -> [f64; 3] {
        add(self.origin, add(scale(self.across, a), scale(self.up, u)))
    }

    /// The part of a vector that lies in the plane, along its two directions.
    #[must_use]
    pub fn part(&self, vector: [f64; 3]) -> [f64; 2] {
        [dot(vector, self.across), dot(vector, self.up)]
    }

    /// The place in the plane that a point in space stands over, m.
    #[must_use]
    pub fn place(&self, point: [f64; 3]) -> [f64; 2] {
        self.part(sub(point, self.origin))
    }

    /// Unit vector square to the plane.
    pub(crate) fn normal(&self) -> Vector {
        cross(self.across, self.up)
    }

    /// Height above the plane, along its normal, m.
    pub(crate) fn height(&self, point: Vector) -> f64 {
        dot(sub(point, self.origin), self.normal())
    }
}

/// The part of a plane that is drawn, in its coordinates, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Least coordinate across.
    pub left: f64,
    /// Largest coordinate across.
    pub right: f64,
    /// Least coordinate upwards.
    pub bottom: f64,
    /// Largest coordinate upwards.
    pub top: f64,
}

impl Window {
    pub(crate) fn is_drawable(&self) -> bool {
        let limits = -LARGEST_COORDINATE..=LARGEST_COORDINATE;
        let sides = [self.left, self.right, self.bottom, self.top];
        self.right > self.left && self.top > self.bottom && sides.iter().all(|c| limits.contains(c))
    }

    pub(crate) fn contains(&self, [x, z]: [f64; 2]) -> bool {
        (self.left..=self.right).contains(&x) && (self.bottom..=self.top).contains(&z)
    }

    pub(crate) fn diagonal(&self) -> f64 {
        (self.right - self.left).hypot(self.top - self.bottom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn planes_without_two_directions_are_refused() {
        assert_eq!(Plane::new([0.0; 3], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]), Err(PlaneError));
        assert_eq!(
            Plane::new([f64::NAN, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]),
            Err(PlaneError)
        );
        let plane = Plane::new([0.0; 3], [2.0, 0.0, 0.0], [1.0, 0.0, 3.0]).expect("a plane");
        assert_eq!(plane, Plane::xz(0.0));
    }
}
