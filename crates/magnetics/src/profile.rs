//! Turned bodies: a polygon in (r, z) turned about the axis, such as a frustum or a countersunk ring.

use std::f64::consts::PI;

use thiserror::Error;

use crate::shape::{LARGEST_SIZE, SMALLEST_SIZE};

/// Most corners of a profile.
pub const MOST_CORNERS: usize = 100;

/// Corners off the line of their neighbours by less than this share of the profile's size are left out.
const STRAIGHT: f64 = 1e-12;

/// Points closer to a side than this share of the profile's size lie on it.
const ON_SIDE: f64 = 1e-13;

/// A simple polygon in the half plane of radius and height, m, counter-clockwise: the material is to the left of every side.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    corners: Vec<[f64; 2]>,
    /// The larger of its width and height, m.
    size: f64,
}

/// Why a polygon is no profile.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ProfileError {
    /// Too few or too many corners.
    #[error("a profile must have 3 to {MOST_CORNERS} corners that are not in line, got {corners}")]
    Corners {
        /// What was given, without corners in line with their neighbours.
        corners: usize,
    },
    /// A coordinate is not a number or out of range.
    #[error(
        "corner {corner} must have a radius of 0 to {LARGEST_SIZE} m and a height within {LARGEST_SIZE} m, got {value:?} m"
    )]
    Corner {
        /// Index of the corner.
        corner: usize,
        /// What was given, m.
        value: [f64; 2],
    },
    /// Two sides touch or cross.
    #[error("sides {first} and {second} of the profile touch or cross")]
    Crossing {
        /// Index of one side, that from the corner of this index.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// The profile has next to no size.
    #[error("a profile must be at least {SMALLEST_SIZE} m wide and high")]
    Thin,
    /// Sizes of a frustum or a countersunk ring that do not fit one another.
    #[error("{what} must be {right}, got {value} m")]
    Fit {
        /// The size in words.
        what: &'static str,
        /// What would be right.
        right: &'static str,
        /// What was given, m.
        value: f64,
    },
}

impl ProfileError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Corners { .. } => "give the outline of one half of the section, corner by corner",
            Self::Corner { .. } => "corners are [radius, height]; the radius is never negative",
            Self::Crossing { .. } => "give the corners in order around the outline, without doubling back",
            Self::Thin | Self::Fit { .. } => "check the unit, and that no two sizes are swapped",
        }
    }
}

impl Profile {
    /// A profile from its corners `[r, z]` in metres, in either sense around the outline.
    ///
    /// # Errors
    /// [`ProfileError`] for the first thing that is wrong with it.
    pub fn new(corners: &[[f64; 2]]) -> Result<Self, ProfileError> {
        if corners.len() > MOST_CORNERS {
            return Err(ProfileError::Corners { corners: corners.len() });
        }
        for (corner, &value) in corners.iter().enumerate() {
            if !((0.0..=LARGEST_SIZE).contains(&value[0]) && value[1].abs() <= LARGEST_SIZE) {
                return Err(ProfileError::Corner { corner, value });
            }
        }
        let span = |axis: usize| {
            let (low, high) = corners.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), c| {
                (l.min(c[axis]), h.max(c[axis]))
            });
            high - low
        };
        if !(span(0) >= SMALLEST_SIZE && span(1) >= SMALLEST_SIZE) {
            return Err(ProfileError::Thin);
        }
        let size = span(0).max(span(1));
        let mut corners = without_straight(corners, STRAIGHT * size);
        if corners.len() < 3 {
            return Err(ProfileError::Corners { corners: corners.len() });
        }
        let sides: Vec<_> = sides_of(&corners).collect();
        for (first, a) in sides.iter().enumerate() {
            for (second, b) in sides.iter().enumerate().skip(first + 2) {
                let neighbours = first == 0 && second == sides.len() - 1;
                if !neighbours && crossing(*a, *b) {
                    return Err(ProfileError::Crossing { first, second });
                }
            }
        }
        let area: f64 = sides_of(&corners).map(|[a, b]| 0.5 * (a[0] * b[1] - b[0] * a[1])).sum();
        if area.abs() < SMALLEST_SIZE * SMALLEST_SIZE {
            return Err(ProfileError::Thin);
        }
        if area < 0.0 {
            corners.reverse();
        }
        Ok(Self { corners, size })
    }

    /// A frustum of a cone, its middle height at the origin; all in metres. A diameter of zero makes a point.
    ///
    /// # Errors
    /// [`ProfileError`] for sizes out of range.
    pub fn frustum(bottom_diameter: f64, top_diameter: f64, thickness: f64) -> Result<Self, ProfileError> {
        let (bottom, top, half) = (0.5 * bottom_diameter, 0.5 * top_diameter, 0.5 * thickness);
        positive("thickness", thickness)?;
        Self::new(&[[0.0, -half], [bottom, -half], [top, half], [0.0, half]])
    }

    /// A ring whose hole widens conically towards `+z`, its middle height at the origin; all in metres.
    ///
    /// # Errors
    /// [`ProfileError`] for sizes out of range or that do not fit one another.
    pub fn countersunk(
        outer_diameter: f64,
        hole_diameter: f64,
        sink_diameter: f64,
        sink_depth: f64,
        thickness: f64,
    ) -> Result<Self, ProfileError> {
        positive("thickness", thickness)?;
        positive("hole diameter", hole_diameter)?;
        let fit = |what, right, value: f64, fits: bool| {
            if fits {
                Ok(())
            } else {
                Err(ProfileError::Fit { what, right, value })
            }
        };
        fit(
            "sink diameter",
            "larger than the hole",
            sink_diameter,
            sink_diameter > hole_diameter,
        )?;
        fit(
            "outer diameter",
            "larger than the sink",
            outer_diameter,
            outer_diameter > sink_diameter,
        )?;
        fit(
            "sink depth",
            "above 0 and no more than the thickness",
            sink_depth,
            sink_depth > 0.0 && sink_depth <= thickness,
        )?;
        let half = 0.5 * thickness;
        let (outer, hole, sink) = (0.5 * outer_diameter, 0.5 * hole_diameter, 0.5 * sink_diameter);
        Self::new(&[
            [hole, -half],
            [outer, -half],
            [outer, half],
            [sink, half],
            [hole, half - sink_depth],
        ])
    }

    /// The corners, counter-clockwise, without any in line with its neighbours.
    #[must_use]
    pub fn corners(&self) -> &[[f64; 2]] {
        &self.corners
    }

    /// The sides, each from corner to corner.
    pub(crate) fn sides(&self) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
        sides_of(&self.corners)
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        // Pappus, side by side.
        self.sides()
            .map(|[a, b]| PI / 3.0 * (b[1] - a[1]) * (a[0] * a[0] + a[0] * b[0] + b[0] * b[0]))
            .sum()
    }

    /// Points closer to a side than this, m, lie on it.
    pub(crate) fn surface(&self) -> f64 {
        ON_SIDE * self.size
    }

    /// Whether a point lies strictly inside.
    pub(crate) fn contains(&self, rho: f64, z: f64) -> bool {
        let mut inside = false;
        for [a, b] in self.sides() {
            let across = (b[0] - a[0]) * (z - a[1]) - (rho - a[0]) * (b[1] - a[1]);
            let (low, high) = (a[1].min(b[1]), a[1].max(b[1]));
            if a[0] == 0.0 && b[0] == 0.0 {
                continue;
            }
            let on = |low: f64, high: f64, value: f64| value >= low - self.surface() && value <= high + self.surface();
            let near = across.abs() <= self.surface() * (b[0] - a[0]).hypot(b[1] - a[1]);
            if near && on(low, high, z) && on(a[0].min(b[0]), a[0].max(b[0]), rho) {
                return false;
            }
            if (a[1] > z) != (b[1] > z) && (across > 0.0) == (b[1] > a[1]) {
                inside = !inside;
            }
        }
        inside
    }

    /// Distance of a point from the outline that bounds the body, m.
    pub(crate) fn distance(&self, rho: f64, z: f64) -> f64 {
        let from_side = |[a, b]: [[f64; 2]; 2]| {
            let u = [b[0] - a[0], b[1] - a[1]];
            let along = ((rho - a[0]) * u[0] + (z - a[1]) * u[1]) / (u[0] * u[0] + u[1] * u[1]);
            let t = along.clamp(0.0, 1.0);
            (rho - a[0] - t * u[0]).hypot(z - a[1] - t * u[1])
        };
        self.sides()
            .filter(|[a, b]| a[0] > 0.0 || b[0] > 0.0)
            .map(from_side)
            .fold(f64::INFINITY, f64::min)
    }

    /// The same profile upside down.
    pub(crate) fn mirrored(&self) -> Self {
        Self {
            corners: self.corners.iter().rev().map(|&[r, z]| [r, -z]).collect(),
            size: self.size,
        }
    }
}

fn positive(what: &'static str, value: f64) -> Result<(), ProfileError> {
    if (SMALLEST_SIZE..=LARGEST_SIZE).contains(&value) {
        Ok(())
    } else {
        Err(ProfileError::Fit {
            what,
            right: "between 0.000001 m and 10 m",
            value,
        })
    }
}

fn sides_of(corners: &[[f64; 2]]) -> impl Iterator<Item = [[f64; 2]; 2]> + '_ {
    corners
        .iter()
        .zip(corners.iter().cycle().skip(1))
        .map(|(&a, &b)| [a, b])
}

/// The corners at which the outline turns.
fn without_straight(corners: &[[f64; 2]], tolerance: f64) -> Vec<[f64; 2]> {
    let mut kept: Vec<[f64; 2]> = corners.to_vec();
    loop {
        let count = kept.len();
        let straight = (0..count).find(|&i| {
            let (a, b, c) = (kept[(i + count - 1) % count], kept[i], kept[(i + 1) % count]);
            let (u, v) = ([b[0] - a[0], b[1] - a[1]], [c[0] - b[0], c[1] - b[1]]);
            let (lu, lv) = (u[0].hypot(u[1]), v[0].hypot(v[1]));
            lu <= tolerance || lv <= tolerance || {
                let across = (u[0] * v[1] - u[1] * v[0]).abs();
                let onwards = u[0] * v[0] + u[1] * v[1] > 0.0;
                across <= tolerance * lu.max(lv) && onwards
            }
        });
        match straight {
            Some(i) if count > 2 => {
                kept.remove(i);
            }
            _ => return kept,
        }
    }
}

/// Whether two sides share a point.
fn crossing([a, b]: [[f64; 2]; 2], [c, d]: [[f64; 2]; 2]) -> bool {
    let turn = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
    let between =
        |p: [f64; 2], q: [f64; 2], r: [f64; 2]| (0..2).all(|i| (p[i].min(q[i])..=p[i].max(q[i])).contains(&r[i]));
    let (c_side, d_side, a_side, b_side) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    let apart = |s: f64, t: f64| (s > 0.0 && t < 0.0) || (s < 0.0 && t > 0.0);
    (apart(c_side, d_side) && apart(a_side, b_side))
        || (c_side == 0.0 && between(a, b, c))
        || (d_side == 0.0 && between(a, b, d))
        || (a_side == 0.0 && between(c, d, a))
        || (b_side == 0.0 && between(c, d, b))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odd_outlines_are_refused() {
        let new = |corners: &[[f64; 2]]| Profile::new(corners);
        assert!(matches!(new(&[]), Err(ProfileError::Thin)));
        assert!(matches!(
            new(&[[0.0, 0.0], [0.01, 0.01], [0.02, 0.02]]),
            Err(ProfileError::Corners { .. })
        ));
        assert!(matches!(
            new(&[[0.0, 0.0], [0.01, f64::NAN], [0.02, 0.02]]),
            Err(ProfileError::Corner { corner: 1, .. })
        ));
        assert!(matches!(
            new(&[[0.0, 0.0], [-0.01, 0.0], [0.02, 0.02]]),
            Err(ProfileError::Corner { corner: 1, .. })
        ));
        let bow = [[0.0, 0.0], [0.01, 0.01], [0.01, 0.0], [0.0, 0.01]];
        assert!(matches!(new(&bow), Err(ProfileError::Crossing { .. })));
        assert!(matches!(
            Profile::countersunk(0.02, 0.009, 0.0045, 0.002, 0.005),
            Err(ProfileError::Fit { .. })
        ));
    }

    #[test]
    fn volume_and_inside_of_a_frustum() {
        let frustum = Profile::frustum(0.02, 0.01, 0.008).expect("valid");
        let expected = PI * 0.008 / 3.0 * (1e-4 + 0.5e-4 + 0.25e-4);
        assert!((frustum.volume() - expected).abs() <= 1e-14 * expected);
        assert!((frustum.mirrored().volume() - expected).abs() <= 1e-14 * expected);
        assert!(frustum.contains(0.0, 0.0) && frustum.contains(0.0074, 0.0));
        assert!(!frustum.contains(0.0076, 0.0) && !frustum.contains(0.0075, 0.0) && !frustum.contains(0.0, 0.004));
        let backwards: Vec<_> = frustum.corners().iter().rev().copied().collect();
        assert!((Profile::new(&backwards).expect("valid").volume() - expected).abs() <= 1e-14 * expected);
    }
}
