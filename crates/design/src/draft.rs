//! A draft: the pieces of one arrangement with all their sizes, before it is known what it does.

use std::f64::consts::PI;

use magnetics::arc::Arc;
use magnetics::{Placed, PlacedError, Polarisation, Shape, Solid};
use numerics::vector::{Vector, add, scale};

use crate::family::Family;

/// One magnet of a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its form; its axis is `z`.
    pub solid: Solid,
    /// Direction of its polarisation, of length 1, in its own frame.
    pub along: Vector,
    /// Its middle, m.
    pub centre: Vector,
    /// How far it is turned about `z`, rad.
    pub turn: f64,
}

impl Piece {
    /// A piece that stands upright, polarised along an axis.
    #[must_use]
    pub fn new(solid: Solid, along: Vector, centre: Vector) -> Self {
        Self {
            solid,
            along,
            centre,
            turn: 0.0,
        }
    }

    /// A disc polarised upwards with its lower face at `bottom`, m.
    #[must_use]
    pub fn disc(diameter: f64, thickness: f64, bottom: f64) -> Self {
        let solid = Solid::Plain(Shape::Disc { diameter, thickness });
        Self::new(solid, UP, [0.0, 0.0, bottom + 0.5 * thickness])
    }

    /// The body with a polarisation of that size, T.
    ///
    /// # Errors
    /// [`PlacedError`] for sizes out of range.
    pub fn placed(&self, polarisation: f64) -> Result<Placed, PlacedError> {
        let along = Polarisation::Along(scale(self.along, polarisation));
        Placed::new(self.solid.clone(), along, self.centre, [0.0, 0.0, self.turn])
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        match &self.solid {
            Solid::Plain(shape) => shape.volume(),
            Solid::Turned(profile) => profile.volume(),
            Solid::Arc(arc) => arc.volume(),
        }
    }

    /// Surface, m².
    #[must_use]
    pub fn surface(&self) -> f64 {
        match &self.solid {
            Solid::Plain(Shape::Sphere { diameter }) => PI * diameter * diameter,
            Solid::Plain(shape) => {
                let hole = match shape {
                    Shape::Ring { inner_diameter, .. } => PI * inner_diameter,
                    _ => 0.0,
                };
                2.0 * shape.pole_area() + (shape.pole_perimeter() + hole) * shape.height()
            }
            Solid::Turned(profile) => turned_surface(profile.corners()),
            Solid::Arc(arc) => {
                let [inner, outer] = [0.5 * arc.inner_diameter, 0.5 * arc.outer_diameter];
                let face = 0.5 * arc.angle * (outer * outer - inner * inner);
                2.0 * face + (arc.angle * (outer + inner) + 2.0 * (outer - inner)) * arc.thickness
            }
        }
    }

    /// Half its sizes along `x`, `y` and `z` of its own frame, m.
    #[must_use]
    pub fn half_sizes(&self) -> Vector {
        match &self.solid {
            Solid::Plain(Shape::Block {
                length,
                width,
                thickness,
            }) => [0.5 * length, 0.5 * width, 0.5 * thickness],
            Solid::Plain(shape) => [0.5 * shape.widest(), 0.5 * shape.widest(), 0.5 * shape.height()],
            Solid::Turned(profile) => {
                let reach = profile.corners().iter().map(|c| c[0]).fold(0.0, f64::max);
                let height = profile.corners().iter().map(|c| c[1].abs()).fold(0.0, f64::max);
                [reach, reach, height]
            }
            Solid::Arc(Arc {
                outer_diameter,
                thickness,
                ..
            }) => [0.5 * outer_diameter, 0.5 * outer_diameter, 0.5 * thickness],
        }
    }

    /// Corners `[r, z]` of its half section in space, m, where it is a body of revolution about the axis; `None` for others.
    #[must_use]
    pub fn section(&self) -> Option<Vec<[f64; 2]>> {
        let z = self.centre[2];
        let ring = |inner: f64, outer: f64, half: f64| {
            let ([a, b], [low, high]) = ([0.5 * inner, 0.5 * outer], [z - half, z + half]);
            Some(vec![[a, low], [b, low], [b, high], [a, high]])
        };
        match &self.solid {
            Solid::Plain(Shape::Disc { diameter, thickness }) => ring(0.0, *diameter, 0.5 * thickness),
            Solid::Plain(Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            }) => ring(*inner_diameter, *outer_diameter, 0.5 * thickness),
            Solid::Turned(profile) => Some(profile.corners().iter().map(|c| [c[0], c[1] + z]).collect()),
            Solid::Plain(_) | Solid::Arc(_) => None,
        }
    }

    /// A point of its own frame in space, m.
    #[must_use]
    pub fn to_space(&self, point: Vector) -> Vector {
        let (sin, cos) = self.turn.sin_cos();
        let [x, y, z] = point;
        add([x * cos - y * sin, x * sin + y * cos, z], self.centre)
    }

    /// Direction of its polarisation in space.
    #[must_use]
    pub fn direction(&self) -> Vector {
        let (sin, cos) = self.turn.sin_cos();
        let [x, y, z] = self.along;
        [x * cos - y * sin, x * sin + y * cos, z]
    }
}

/// Upwards.
pub const UP: Vector = [0.0, 0.0, 1.0];

/// Surface of an outline turned about the axis, m²: Pappus for each of its sides.
fn turned_surface(corners: &[[f64; 2]]) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(a, b)| PI * (a[0] + b[0]) * (b[0] - a[0]).hypot(b[1] - a[1]))
        .sum()
}

/// A steel part of a draft, turned about the axis.
#[derive(Clone, Debug, PartialEq)]
pub struct SteelPart {
    /// What it is called.
    pub name: &'static str,
    /// Corners `[r, z]` of its half section, m.
    pub profile: Vec<[f64; 2]>,
}

impl SteelPart {
    /// Volume, m³: Pappus.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let next = self.profile.iter().cycle().skip(1);
        let sum: f64 = self
            .profile
            .iter()
            .zip(next)
            .map(|(a, b)| (a[0] * b[1] - b[0] * a[1]) * (a[0] + b[0]))
            .sum();
        (PI / 3.0 * sum).abs()
    }

    /// Surface, m².
    #[must_use]
    pub fn surface(&self) -> f64 {
        turned_surface(&self.profile)
    }
}

/// A size of a draft that a person reads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimension {
    /// What it is the size of.
    pub what: &'static str,
    /// The size, m.
    pub value: f64,
}

/// The pieces of one arrangement. The axis is `z`; the face of the space is at `z = 0`, the magnets below it, or above and below for pairs.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft {
    /// Its family.
    pub family: Family,
    /// The sizes that can be chosen, as they are made.
    pub sizes: Vec<Dimension>,
    /// The magnets.
    pub magnets: Vec<Piece>,
    /// The steel parts.
    pub steel: Vec<SteelPart>,
}

/// Density of steel, kg/m³; from memory.
pub const STEEL_DENSITY: f64 = 7850.0;

impl Draft {
    /// Volume of the magnets, m³.
    #[must_use]
    pub fn magnet_volume(&self) -> f64 {
        self.magnets.iter().map(Piece::volume).sum()
    }

    /// Mass of all, kg, with magnets of that density, kg/m³.
    #[must_use]
    pub fn mass(&self, density: f64) -> f64 {
        let steel: f64 = self.steel.iter().map(SteelPart::volume).sum();
        self.magnet_volume() * density + steel * STEEL_DENSITY
    }

    /// The lowest and the highest place of it, m.
    #[must_use]
    pub fn span(&self) -> [f64; 2] {
        let magnets = self.magnets.iter().map(|piece| {
            let half = piece.half_sizes()[2];
            [piece.centre[2] - half, piece.centre[2] + half]
        });
        let steel = self
            .steel
            .iter()
            .flat_map(|part| part.profile.iter().map(|corner| [corner[1], corner[1]]));
        magnets
            .chain(steel)
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], [l, h]| {
                [low.min(l), high.max(h)]
            })
    }

    /// From end to end along the axis, m.
    #[must_use]
    pub fn height(&self) -> f64 {
        let [low, high] = self.span();
        high - low
    }

    /// Largest reach from the axis along `x` and along `y`, m.
    #[must_use]
    pub fn reach(&self) -> [f64; 2] {
        let magnets = self.magnets.iter().map(|piece| {
            let half = piece.half_sizes();
            let centre = if piece.turn == 0.0 { piece.centre } else { [0.0; 3] };
            [centre[0].abs() + half[0], centre[1].abs() + half[1]]
        });
        let steel = self
            .steel
            .iter()
            .flat_map(|part| part.profile.iter().map(|corner| [corner[0], corner[0]]));
        magnets
            .chain(steel)
            .fold([0.0, 0.0], |[x, y], [a, b]| [f64::max(x, a), f64::max(y, b)])
    }

    /// Whether every part is one of revolution about the axis.
    #[must_use]
    pub fn is_turned(&self) -> bool {
        self.magnets.iter().all(|piece| piece.section().is_some())
    }
}

#[cfg(test)]
mod tests;
