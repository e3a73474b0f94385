//! What a ladder is asked for.

use magnetics::Shape;
use quantity::Length;
use serde::{Deserialize, Serialize};

use utoipa::ToSchema;

use super::SAME_SIZE;
use crate::answer::Predicted;
use crate::catalogue::Catalogue;
use crate::predict::Task;
use crate::question::{Amount, Conditions};

/// What a ladder is asked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LadderRequest {
    /// The face that all rungs share.
    pub body: Face,
    /// Their grade.
    pub grade: String,
    /// What is compared.
    pub measure: Measure,
    /// What rises.
    #[serde(default)]
    pub by: Rising,
    /// The item that is stacked, for a rising count.
    #[serde(default)]
    pub item: Option<String>,
    /// How many builds are bought.
    #[serde(default = "hundred")]
    pub pieces: u32,
    /// Least gain in value per gain in money that pays: 0.5 means that 10 % more money must buy 5 % more.
    #[serde(default = "half")]
    pub worth: f64,
    /// What the magnets must stand.
    #[serde(default)]
    pub conditions: Conditions,
}

fn hundred() -> u32 {
    100
}

pub(super) fn half() -> f64 {
    0.5
}

/// The face of a family of magnets.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "shape", rename_all = "snake_case", deny_unknown_fields)]
pub enum Face {
    /// Discs of one diameter.
    Disc {
        /// Outer diameter.
        #[schema(value_type = Amount)]
        diameter: Length,
    },
    /// Rings of one outer and inner diameter.
    Ring {
        /// Outer diameter.
        #[schema(value_type = Amount)]
        outer_diameter: Length,
        /// Inner diameter.
        #[schema(value_type = Amount)]
        inner_diameter: Length,
    },
    /// Blocks of one pole face.
    Block {
        /// One side of the pole face.
        #[schema(value_type = Amount)]
        length: Length,
        /// The other.
        #[schema(value_type = Amount)]
        width: Length,
    },
}

/// What a ladder compares.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "what", rename_all = "snake_case", deny_unknown_fields)]
pub enum Measure {
    /// The reading at the middle of the face, or over the middle of a ring's metal.
    Face {
        /// As a probe reads; `None` is the true face.
        #[serde(default)]
        #[schema(value_type = Option<Amount>)]
        probe_depth: Option<Length>,
    },
    /// The field on the axis at a distance.
    Field {
        /// From the face.
        #[schema(value_type = Amount)]
        distance: Length,
    },
    /// The pull on thick mild steel.
    Pull {
        /// Layers between.
        #[schema(value_type = Amount)]
        gap: Length,
    },
}

/// What rises from rung to rung.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Rising {
    /// The thickness, by what the shelf has.
    #[default]
    Thickness,
    /// The number of pieces stacked of one item.
    Count,
    /// Any thickness, whether the shelf has it or not; mass stands for money.
    Free,
}

impl Face {
    /// The shape of that face with a thickness, m.
    pub fn with_thickness(&self, thickness: f64) -> Shape {
        match *self {
            Face::Disc { diameter } => Shape::Disc {
                diameter: diameter.si(),
                thickness,
            },
            Face::Ring {
                outer_diameter,
                inner_diameter,
            } => Shape::Ring {
                outer_diameter: outer_diameter.si(),
                inner_diameter: inner_diameter.si(),
                thickness,
            },
            Face::Block { length, width } => Shape::Block {
                length: length.si(),
                width: width.si(),
                thickness,
            },
        }
    }

    /// The face of a shape; `None` for a ball.
    pub fn of(shape: &Shape) -> Option<Face> {
        Some(match *shape {
            Shape::Disc { diameter, .. } => Face::Disc {
                diameter: Length(diameter),
            },
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => Face::Ring {
                outer_diameter: Length(outer_diameter),
                inner_diameter: Length(inner_diameter),
            },
            Shape::Block { length, width, .. } => Face::Block {
                length: Length(length),
                width: Length(width),
            },
            Shape::Sphere { .. } => return None,
        })
    }

    /// Whether a shape has this face.
    pub fn is_face_of(&self, shape: &Shape) -> bool {
        let same = |a: Length, b: Length| (a.si() - b.si()).abs() <= SAME_SIZE;
        match (*self, Face::of(shape)) {
            (Face::Disc { diameter: a }, Some(Face::Disc { diameter: b })) => same(a, b),
            (
                Face::Ring {
                    outer_diameter: a,
                    inner_diameter: i,
                },
                Some(Face::Ring {
                    outer_diameter: b,
                    inner_diameter: j,
                }),
            ) => same(a, b) && same(i, j),
            (Face::Block { length: a, width: b }, Some(Face::Block { length: c, width: d })) => {
                (same(a, c) && same(b, d)) || (same(a, d) && same(b, c))
            }
            _ => false,
        }
    }
}

impl Measure {
    pub(super) fn task(&self, catalogue: &Catalogue) -> Task {
        match *self {
            Measure::Face { probe_depth } => Task::read_at_face(probe_depth.map_or(0.0, |d| d.si()), catalogue),
            Measure::Field { distance } => Task::spot(distance.si(), 0.0),
            Measure::Pull { gap } => Task::thick_steel([gap.si(); 3]),
        }
    }

    pub(super) fn quantity(&self) -> Predicted {
        match self {
            Measure::Pull { .. } => Predicted::Force,
            _ => Predicted::FluxDensity,
        }
    }
}
