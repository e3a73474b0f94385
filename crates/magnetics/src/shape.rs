//! The shapes a magnet can have, each magnetised along its own `z` axis.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Smallest size accepted, in metres; thinner than any coating, and far from where squares of sizes underflow.
pub const SMALLEST_SIZE: f64 = 1e-6;

/// Largest size accepted, in metres.
pub const LARGEST_SIZE: f64 = 10.0;

/// Most pieces in a stack.
pub const MOST_PIECES: usize = 1000;

/// A body as magnetised: the axis of magnetisation is the body's own `z`. All sizes in metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "shape", rename_all = "snake_case", deny_unknown_fields)]
pub enum Shape {
    /// A solid cylinder magnetised along its axis.
    Disc {
        /// Diameter, m.
        diameter: f64,
        /// Height along the axis, m.
        thickness: f64,
    },
    /// A cylinder with a round hole along its axis, magnetised along it.
    Ring {
        /// Diameter of the rim, m.
        outer_diameter: f64,
        /// Diameter of the hole, m.
        inner_diameter: f64,
        /// Height along the axis, m.
        thickness: f64,
    },
    /// A rectangular block, magnetised along its thickness.
    Block {
        /// Size along `x`, m.
        length: f64,
        /// Size along `y`, m.
        width: f64,
        /// Size along `z`, the direction of magnetisation, m.
        thickness: f64,
    },
    /// A ball.
    Sphere {
        /// Diameter, m.
        diameter: f64,
    },
}

/// Why a shape cannot be a magnet.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum ShapeError {
    /// A size is not a number, or outside the accepted range.
    #[error("{size} must be between {SMALLEST_SIZE} m and {LARGEST_SIZE} m, got {value} m")]
    Size {
        /// The size in words, such as `thickness`.
        size: &'static str,
        /// What was given, m.
        value: f64,
    },
    /// The hole leaves no wall.
    #[error("inner diameter must be smaller than the outer diameter of {outer} m, got {inner} m")]
    Hole {
        /// Outer diameter, m.
        outer: f64,
        /// Inner diameter, m.
        inner: f64,
    },
    /// The coating is negative, not a number, or leaves no magnet inside.
    #[error("plating of {plating} m a side leaves no magnet inside {size} of {value} m")]
    Plating {
        /// Coating thickness a side, m.
        plating: f64,
        /// The size that is used up.
        size: &'static str,
        /// That size with its coating, m.
        value: f64,
    },
    /// The number of pieces in a stack is zero or beyond what is handled.
    #[error("a stack must have 1 to {most} pieces, got {pieces}")]
    Pieces {
        /// What was given.
        pieces: usize,
        /// The largest number accepted.
        most: usize,
    },
    /// The opening angle of an arc is not a number or out of range.
    #[error("angle of an arc must be between 0.001 rad and a full turn, got {value} rad")]
    Angle {
        /// What was given, rad.
        value: f64,
    },
    /// The polarisation is not a number or beyond any material.
    #[error("polarisation must be between -{most} T and {most} T, got {value} T")]
    Polarisation {
        /// What was given, T.
        value: f64,
        /// The largest magnitude accepted, T.
        most: f64,
    },
}

impl ShapeError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Size { .. } => "check the unit: sizes are read in metres here",
            Self::Hole { .. } => "check that outer and inner diameter are not swapped",
            Self::Plating { .. } => "give the coating per side, in metres; 15 micrometres is common for nickel",
            Self::Pieces { .. } => "a longer stack gains nothing: past twice its width it is as good as endless",
            Self::Angle { .. } => "a full turn is a ring",
            Self::Polarisation { .. } => "remanence of magnet materials lies between 0.2 T and 1.5 T",
        }
    }
}

impl Shape {
    /// Check that every size is finite and within [`SMALLEST_SIZE`] and [`LARGEST_SIZE`], and that a hole fits.
    ///
    /// # Errors
    /// [`ShapeError::Size`] or [`ShapeError::Hole`] for the first size that does not fit.
    pub fn validate(&self) -> Result<(), ShapeError> {
        let check = |size, value: f64| {
            if (SMALLEST_SIZE..=LARGEST_SIZE).contains(&value) {
                Ok(())
            } else {
                Err(ShapeError::Size { size, value })
            }
        };
        match *self {
            Self::Disc { diameter, thickness } => {
                check("diameter", diameter)?;
                check("thickness", thickness)
            }
            Self::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => {
                check("outer diameter", outer_diameter)?;
                check("inner diameter", inner_diameter)?;
                check("thickness", thickness)?;
                if inner_diameter < outer_diameter {
                    Ok(())
                } else {
                    Err(ShapeError::Hole {
                        outer: outer_diameter,
                        inner: inner_diameter,
                    })
                }
            }
            Self::Block {
                length,
                width,
                thickness,
            } => {
                check("length", length)?;
                check("width", width)?;
                check("thickness", thickness)
            }
            Self::Sphere { diameter } => check("diameter", diameter),
        }
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        match *self {
            Self::Sphere { diameter } => PI / 6.0 * diameter.powi(3),
            _ => self.pole_area() * self.height(),
        }
    }

    /// Size along the axis of magnetisation, m.
    #[must_use]
    pub fn height(&self) -> f64 {
        match *self {
            Self::Disc { thickness, .. } | Self::Ring { thickness, .. } | Self::Block { thickness, .. } => thickness,
            Self::Sphere { diameter } => diameter,
        }
    }

    /// Area of one pole face, m²; for a sphere the largest section across the axis.
    #[must_use]
    pub fn pole_area(&self) -> f64 {
        match *self {
            Self::Disc { diameter, .. } | Self::Sphere { diameter } => PI / 4.0 * diameter * diameter,
            Self::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => PI / 4.0 * (outer_diameter - inner_diameter) * (outer_diameter + inner_diameter),
            Self::Block { length, width, .. } => length * width,
        }
    }

    /// Length of the outer rim of a pole face, m; for a sphere its equator.
    #[must_use]
    pub fn pole_perimeter(&self) -> f64 {
        match *self {
            Self::Disc { diameter, .. } | Self::Sphere { diameter } => PI * diameter,
            Self::Ring { outer_diameter, .. } => PI * outer_diameter,
            Self::Block { length, width, .. } => 2.0 * (length + width),
        }
    }

    /// Largest size across the axis of magnetisation, m: a diameter, or the longer side of a block.
    #[must_use]
    pub fn widest(&self) -> f64 {
        match *self {
            Self::Disc { diameter, .. } | Self::Sphere { diameter } => diameter,
            Self::Ring { outer_diameter, .. } => outer_diameter,
            Self::Block { length, width, .. } => length.max(width),
        }
    }

    /// The magnet inside a coating of `plating` metres a side: every outside shrinks by twice that, a hole widens by it.
    ///
    /// # Errors
    /// [`ShapeError::Plating`] if the coating is negative, not finite or leaves nothing inside.
    pub fn shrunk(&self, plating: f64) -> Result<Self, ShapeError> {
        let less = |size, value: f64| {
            let inside = value - 2.0 * plating;
            if plating >= 0.0 && inside >= SMALLEST_SIZE {
                Ok(inside)
            } else {
                Err(ShapeError::Plating { plating, size, value })
            }
        };
        Ok(match *self {
            Self::Disc { diameter, thickness } => Self::Disc {
                diameter: less("diameter", diameter)?,
                thickness: less("thickness", thickness)?,
            },
            Self::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => {
                less("the wall", 0.5 * (outer_diameter - inner_diameter))?;
                Self::Ring {
                    outer_diameter: less("outer diameter", outer_diameter)?,
                    inner_diameter: inner_diameter + 2.0 * plating,
                    thickness: less("thickness", thickness)?,
                }
            }
            Self::Block {
                length,
                width,
                thickness,
            } => Self::Block {
                length: less("length", length)?,
                width: less("width", width)?,
                thickness: less("thickness", thickness)?,
            },
            Self::Sphere { diameter } => Self::Sphere {
                diameter: less("diameter", diameter)?,
            },
        })
    }

    /// The same shape with another height along its axis, m; `None` for a sphere, which has no height of its own.
    #[must_use]
    pub fn with_height(&self, height: f64) -> Option<Self> {
        match *self {
            Self::Disc { diameter, .. } => Some(Self::Disc {
                diameter,
                thickness: height,
            }),
            Self::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => Some(Self::Ring {
                outer_diameter,
                inner_diameter,
                thickness: height,
            }),
            Self::Block { length, width, .. } => Some(Self::Block {
                length,
                width,
                thickness: height,
            }),
            Self::Sphere { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: f64 = 1e-3;
    const RING: Shape = Shape::Ring {
        outer_diameter: 20.0 * MM,
        inner_diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    };

    #[test]
    fn sizes_out_of_range_are_named() {
        for bad in [0.0, -1e-3, f64::NAN, f64::INFINITY, 11.0, 1e-7] {
            let error = Shape::Disc {
                diameter: 0.01,
                thickness: bad,
            }
            .validate();
            assert!(
                matches!(error, Err(ShapeError::Size { size: "thickness", .. })),
                "{bad}: {error:?}"
            );
            assert!(
                Shape::Block {
                    length: bad,
                    width: 0.01,
                    thickness: 0.01
                }
                .validate()
                .is_err()
            );
            assert!(Shape::Sphere { diameter: bad }.validate().is_err());
        }
        let swapped = Shape::Ring {
            outer_diameter: 0.01,
            inner_diameter: 0.02,
            thickness: 0.005,
        };
        let error = swapped.validate().expect_err("the hole is larger than the ring");
        assert_eq!(
            error,
            ShapeError::Hole {
                outer: 0.01,
                inner: 0.02
            }
        );
        assert!(!error.hint().is_empty());
        assert_eq!(RING.validate(), Ok(()));
    }

    #[test]
    fn coating_takes_from_every_side_and_widens_a_hole() {
        let inside = RING.shrunk(20e-6).expect("20 µm fits");
        let Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } = inside
        else {
            panic!("still a ring")
        };
        assert!((outer_diameter - 19.96 * MM).abs() < 1e-15);
        assert!((inner_diameter - 10.04 * MM).abs() < 1e-15);
        assert!((thickness - 4.96 * MM).abs() < 1e-15);
        for bad in [-1e-6, f64::NAN, 2.5e-3, 1.0] {
            assert!(matches!(RING.shrunk(bad), Err(ShapeError::Plating { .. })), "{bad}");
        }
    }

    #[test]
    fn measures_of_a_ring_and_a_sphere() {
        assert!((RING.pole_area() - PI * 75.0 * MM * MM).abs() < 1e-18);
        assert!((RING.volume() - PI * 375.0 * MM * MM * MM).abs() < 1e-18);
        assert_eq!(RING.widest(), 20.0 * MM);
        let ball = Shape::Sphere { diameter: 6.0 * MM };
        assert!((ball.volume() - PI * 36.0 * MM * MM * MM).abs() < 1e-18);
        assert_eq!(ball.with_height(1.0), None);
    }

    #[test]
    fn shapes_are_written_with_their_name() {
        let text = toml::to_string(&RING).expect("a ring can be written");
        assert!(text.contains("shape = \"ring\""), "{text}");
        assert_eq!(toml::from_str::<Shape>(&text), Ok(RING));
        assert!(toml::from_str::<Shape>("shape = \"disc\"\ndiameter = 1.0\nthickness = 1.0\nwidth = 2.0").is_err());
    }
}
