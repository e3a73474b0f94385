//! What a customer needs, structured.
//!
//! A [`Question`] is the one form behind the sentence on the page, the words on the command line and the JSON of
//! the interface. Quantities are SI inside; in JSON each may be a number in SI or a string with its unit.

use quantity::{FluxDensity, Length, Load, Mass, Money, Temperature};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

pub use materials::coating::Surroundings;

/// How a quantity stands in JSON: sent as text with its unit, such as `"0.4 mm"`, or as a number in SI; given as a number
/// in SI.
#[derive(ToSchema)]
#[schema(description = "A quantity: text with its unit, such as \"0.4 mm\", or a number in SI (m, T, N, kg, K)")]
#[serde(untagged)]
pub enum Amount {
    /// With its unit.
    Text(String),
    /// In SI.
    Si(f64),
}

/// How a load stands in JSON: sent as text, such as `"2 kg"` or `"20 N"`, or as an object; given as an object.
#[derive(ToSchema)]
#[schema(description = "A load: text, such as \"2 kg\" or \"20 N\", or a mass or a force as an object")]
#[serde(untagged)]
pub enum LoadText {
    /// With its unit.
    Text(String),
    /// A mass under standard gravity.
    Mass {
        /// The mass.
        mass_kg: Amount,
    },
    /// A force.
    Force {
        /// The force.
        force_n: Amount,
    },
}

/// The names of [`Surroundings`] in JSON.
#[derive(ToSchema)]
#[schema(rename_all = "snake_case", description = "Where a magnet lives")]
pub enum SurroundingsName {
    /// Indoors, dry.
    Dry,
    /// Indoors with condensation, or occasional water.
    Damp,
    /// Rain, frost and sun.
    Outdoors,
    /// Touching food or drink.
    Food,
}

/// A customer's question: a need, what the magnet must stand, and what it may not exceed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Question {
    /// What the magnet must do.
    pub need: Need,
    /// Temperature and surroundings.
    #[serde(default)]
    pub conditions: Conditions,
    /// What rules a magnet out.
    #[serde(default)]
    pub limits: Limits,
    /// How many builds are wanted in all, as many as share a load at least; prices are taken at this quantity.
    #[serde(default = "one")]
    pub pieces: u32,
}

/// The six verbs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "verb", rename_all = "snake_case", deny_unknown_fields)]
pub enum Need {
    /// Hold a load on steel.
    Hold {
        /// What is held: a mass under standard gravity, or a force.
        #[schema(value_type = LoadText)]
        load: Load,
        /// Which way the load pulls.
        #[serde(default)]
        direction: Direction,
        /// What the magnet sticks to.
        #[serde(default)]
        steel: SteelPart,
        /// What lies between magnet and steel.
        #[serde(default)]
        layers: Vec<Layer>,
        /// The load is multiplied by this; the default depends on the direction.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        safety_factor: Option<f64>,
        /// How many builds share the load evenly.
        #[serde(default = "one")]
        shared_by: u32,
        /// Coefficient of friction for a load that would slide; the default comes with a range.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        friction: Option<f64>,
    },
    /// Two equal builds that attract each other across a gap.
    PullTogether {
        /// The attraction wanted.
        #[schema(value_type = LoadText)]
        force: Load,
        /// Clear distance between the facing surfaces.
        #[serde(default)]
        #[schema(value_type = Amount)]
        gap: Length,
    },
    /// Two equal builds that repel each other across a gap.
    PushApart {
        /// The repulsion wanted.
        #[schema(value_type = LoadText)]
        force: Load,
        /// Clear distance between the facing surfaces.
        #[serde(default)]
        #[schema(value_type = Amount)]
        gap: Length,
    },
    /// At least a flux density at a distance from the face.
    ReachField {
        /// The least magnitude of B wanted.
        #[schema(value_type = Amount)]
        field: FluxDensity,
        /// Distance from the outer face, along the axis.
        #[schema(value_type = Amount)]
        distance: Length,
        /// Distance off the axis.
        #[serde(default)]
        #[schema(value_type = Amount)]
        off_axis: Length,
        /// A point further away that must stay below a value.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        no_more_than: Option<FieldCeiling>,
    },
    /// Operate a field switch when near and release it when far.
    SwitchSensor {
        /// The switch surely operates at this flux density.
        #[schema(value_type = Amount)]
        operate: FluxDensity,
        /// The switch surely releases at this flux density.
        #[schema(value_type = Amount)]
        release: FluxDensity,
        /// Field is this many times `operate` when near and `release` over this when far.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        margin: Option<f64>,
        /// Distance from the face to the sensing element where it must operate.
        #[schema(value_type = Amount)]
        near: Length,
        /// Distance from the face to the sensing element where it must release.
        #[schema(value_type = Amount)]
        far: Length,
    },
    /// A flux density at the middle of the face.
    FaceField {
        /// The least flux density wanted.
        #[schema(value_type = Amount)]
        field: FluxDensity,
        /// As a probe reads whose active element lies this deep; `None` is the true face.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[schema(value_type = Option<Amount>)]
        probe_depth: Option<Length>,
    },
}

impl Question {
    /// How many builds are bought: those that are wanted, and as many as share a load at least.
    #[must_use]
    pub fn builds(&self) -> u32 {
        self.pieces.max(self.need.shared_by())
    }
}

impl Need {
    /// How many builds share the load; 1 for what is not a load.
    #[must_use]
    pub fn shared_by(&self) -> u32 {
        match self {
            Need::Hold { shared_by, .. } => *shared_by,
            _ => 1,
        }
    }

    /// The gap or the distance at which it is asked, m.
    #[must_use]
    pub fn distance(&self) -> f64 {
        match self {
            Need::Hold { layers, .. } => layers.iter().map(|layer| layer.thickness.si()).sum(),
            Need::PullTogether { gap, .. } | Need::PushApart { gap, .. } => gap.si(),
            Need::ReachField { distance, .. } => distance.si(),
            Need::SwitchSensor { near, .. } => near.si(),
            Need::FaceField { probe_depth, .. } => probe_depth.map_or(0.0, |depth| depth.si()),
        }
    }

    /// Width of the plate that is held on, m; `None` where it is wide, or nothing is held.
    #[must_use]
    pub fn plate_across(&self) -> Option<f64> {
        match self {
            Need::Hold { steel, .. } => steel.across.map(|across| across.si()),
            _ => None,
        }
    }
}

/// Which way a load pulls on the magnet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Straight off the steel, whatever way that points.
    #[default]
    StraightOff,
    /// Straight off, hanging: what lets go falls.
    HangingBelow,
    /// Along the steel, held by friction.
    Sideways,
}

/// What a magnet sticks to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SteelPart {
    /// A name from the steel data, such as `mild steel`.
    pub material: String,
    /// `None` is thick: more does not help.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub thickness: Option<Length>,
    /// Diameter of a round plate, or the side of a square one, with the magnet in its middle; `None` is wide: more does not help.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub across: Option<Length>,
}

impl Default for SteelPart {
    fn default() -> Self {
        Self {
            material: "mild steel".into(),
            thickness: None,
            across: None,
        }
    }
}

/// A layer that keeps a magnet from its steel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// A name from the layer data, such as `paint`.
    pub material: String,
    /// Its thickness.
    #[schema(value_type = Amount)]
    pub thickness: Length,
}

/// A value that must not be exceeded at a place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FieldCeiling {
    /// The most magnitude of B allowed.
    #[schema(value_type = Amount)]
    pub field: FluxDensity,
    /// Distance from the outer face, along the axis.
    #[schema(value_type = Amount)]
    pub distance: Length,
}

/// What the magnet must stand.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Conditions {
    /// The warmest it gets.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub warmest: Option<Temperature>,
    /// The coldest it gets.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub coldest: Option<Temperature>,
    /// Where it lives.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<SurroundingsName>)]
    pub surroundings: Option<Surroundings>,
}

/// The shapes a question may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ShapeKind {
    /// Solid round.
    Disc,
    /// Round with a hole.
    Ring,
    /// Rectangular.
    Block,
    /// Ball.
    Sphere,
}

impl Need {
    /// What steel a build may have for this need; empty where none is of use or can be reckoned.
    pub fn steelwork(&self) -> &'static [Steelwork] {
        match self {
            Self::Hold { .. } => &[Steelwork::BackPlate, Steelwork::Cup],
            Self::ReachField { .. } | Self::FaceField { .. } => &[Steelwork::BackPlate, Steelwork::PoleTip],
            Self::PullTogether { .. } | Self::PushApart { .. } | Self::SwitchSensor { .. } => &[],
        }
    }
}

impl ShapeKind {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Disc, Self::Ring, Self::Block, Self::Sphere];

    /// Its name in JSON, in price lists and in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::Disc => "disc",
            Self::Ring => "ring",
            Self::Block => "block",
            Self::Sphere => "sphere",
        }
    }

    /// The kind of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

/// What steel of the shop's own a build may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Steelwork {
    /// None.
    Bare,
    /// A plate on its back.
    BackPlate,
    /// A cup that it sits in.
    Cup,
    /// A tip on its face.
    PoleTip,
}

impl Steelwork {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Bare, Self::BackPlate, Self::Cup, Self::PoleTip];

    /// Its name in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Bare => "bare",
            Self::BackPlate => "back_plate",
            Self::Cup => "cup",
            Self::PoleTip => "pole_tip",
        }
    }

    /// As the sentence has it.
    pub fn text(self) -> &'static str {
        match self {
            Self::Bare => "without steel parts",
            Self::BackPlate => "with a back-plate",
            Self::Cup => "in a cup",
            Self::PoleTip => "with a pole tip",
        }
    }
}

/// What is wanted most among the magnets that do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// The greatest value.
    Strongest,
    /// The lowest price.
    Cheapest,
    /// The least space.
    Smallest,
    /// The least mass.
    Lightest,
    /// The least height.
    Thinnest,
}

impl Goal {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Strongest,
        Self::Cheapest,
        Self::Smallest,
        Self::Lightest,
        Self::Thinnest,
    ];

    /// Its name in JSON.
    pub fn name(self) -> &'static str {
        match self {
            Self::Strongest => "strongest",
            Self::Cheapest => "cheapest",
            Self::Smallest => "smallest",
            Self::Lightest => "lightest",
            Self::Thinnest => "thinnest",
        }
    }
}

/// What rules a magnet out. `None` and empty lists rule nothing out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Limits {
    /// Largest size across the face (diameter, or the longer side of a block's face).
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub widest: Option<Length>,
    /// Smallest size across the face.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub narrowest: Option<Length>,
    /// Largest height of the build along its magnetisation (one side of a pair).
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub tallest: Option<Length>,
    /// Smallest height of the build.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub shortest: Option<Length>,
    /// Allowed shapes; empty allows all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub shapes: Vec<ShapeKind>,
    /// A hole of at least this diameter is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub hole: Option<Length>,
    /// The hole must take the head of a countersunk screw.
    #[serde(skip_serializing_if = "is_false")]
    pub countersunk: bool,
    /// Allowed grades or families (`N42`, `ferrite`); empty allows all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub grades: Vec<String>,
    /// The coating wanted, by any of its names; `None` allows all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coating: Option<String>,
    /// Nothing of it that is touched may hold nickel.
    #[serde(skip_serializing_if = "is_false")]
    pub without_nickel: bool,
    /// Most pieces stacked in a build (on each side of a pair), 1 to 8; the default is 8.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stack: Option<u32>,
    /// Most mass of a build.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub mass: Option<Mass>,
    /// Most money for a build.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub budget_each: Option<Money>,
    /// Most money for all builds.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<String>)]
    pub budget_total: Option<Money>,
    /// Only what the shelf can deliver now.
    #[serde(skip_serializing_if = "is_false")]
    pub in_stock: bool,
    /// The build must fly unrestricted.
    #[serde(skip_serializing_if = "is_false")]
    pub ships_by_air: bool,
    /// What steel parts a build may have; where this is absent they are offered beside bare builds when they win.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub steelwork: Option<Steelwork>,
    /// What is wanted most: the order of what does; it rules nothing out. The price where it is absent.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub goal: Option<Goal>,
}

fn one() -> u32 {
    1
}

fn is_false(value: &bool) -> bool {
    !value
}
