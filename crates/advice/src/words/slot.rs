//! The places of a question that a value in a text may fill, and what a form may state without a value.

use quantity::Kind;
use serde::Deserialize;

/// A place that a value fills.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Slot {
    Load,
    Steel,
    SteelThickness,
    SteelAcross,
    Layer,
    LayerThickness,
    BareLayer,
    LayerAsGap,
    UnknownLayer,
    UnknownSteel,
    SafetyFactor,
    SharedBy,
    Friction,
    Gap,
    Field,
    Distance,
    OffAxis,
    CeilingField,
    CeilingDistance,
    Operate,
    Release,
    Margin,
    Near,
    Far,
    ProbeDepth,
    Temperature,
    Warmest,
    Coldest,
    Widest,
    Narrowest,
    Tallest,
    Shortest,
    Shape,
    Hole,
    Grade,
    Stack,
    Mass,
    BudgetEach,
    BudgetTotal,
    Pieces,
    Direction,
    Surroundings,
    InStock,
    ShipsByAir,
    Steelwork,
}

/// What kind of symbol a slot takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Takes {
    Quantity(Kind),
    /// A mass or a force.
    Load,
    Number,
    /// A whole number.
    Count,
    Money,
    Layer,
    Steel,
    /// A grade or a family.
    Grade,
    Shape,
    /// A word that is not known.
    Unknown,
    /// Nothing: filled by what a form sets.
    Nothing,
}

impl Slot {
    pub(super) fn takes(self) -> Takes {
        match self {
            Slot::Load => Takes::Load,
            Slot::Steel => Takes::Steel,
            Slot::Layer | Slot::BareLayer | Slot::LayerAsGap => Takes::Layer,
            Slot::UnknownLayer | Slot::UnknownSteel => Takes::Unknown,
            Slot::SafetyFactor | Slot::Friction | Slot::Margin => Takes::Number,
            Slot::SharedBy | Slot::Stack | Slot::Pieces => Takes::Count,
            Slot::Field | Slot::CeilingField | Slot::Operate | Slot::Release => Takes::Quantity(Kind::FluxDensity),
            Slot::Temperature | Slot::Warmest | Slot::Coldest => Takes::Quantity(Kind::Temperature),
            Slot::Mass => Takes::Quantity(Kind::Mass),
            Slot::BudgetEach | Slot::BudgetTotal => Takes::Money,
            Slot::Shape => Takes::Shape,
            Slot::Grade => Takes::Grade,
            Slot::Direction | Slot::Surroundings | Slot::InStock | Slot::ShipsByAir | Slot::Steelwork => Takes::Nothing,
            Slot::SteelThickness
            | Slot::SteelAcross
            | Slot::LayerThickness
            | Slot::Gap
            | Slot::Distance
            | Slot::OffAxis
            | Slot::CeilingDistance
            | Slot::Near
            | Slot::Far
            | Slot::ProbeDepth
            | Slot::Widest
            | Slot::Narrowest
            | Slot::Tallest
            | Slot::Shortest
            | Slot::Hole => Takes::Quantity(Kind::Length),
        }
    }

    /// The slot in words, for a reader.
    pub(super) fn label(self) -> &'static str {
        match self {
            Slot::Load => "load",
            Slot::Steel | Slot::UnknownSteel => "steel",
            Slot::SteelThickness => "thickness of the steel",
            Slot::SteelAcross => "size of the plate",
            Slot::Layer | Slot::BareLayer | Slot::LayerAsGap | Slot::UnknownLayer => "layer",
            Slot::LayerThickness => "thickness of the layer",
            Slot::SafetyFactor => "safety factor",
            Slot::SharedBy => "number of magnets that share the load",
            Slot::Friction => "friction",
            Slot::Gap => "gap",
            Slot::Field => "field",
            Slot::Distance => "distance",
            Slot::OffAxis => "distance off the axis",
            Slot::CeilingField => "field that must not be exceeded",
            Slot::CeilingDistance => "distance where a field must not be exceeded",
            Slot::Operate => "field to operate at",
            Slot::Release => "field to release at",
            Slot::Margin => "margin",
            Slot::Near => "near distance",
            Slot::Far => "far distance",
            Slot::ProbeDepth => "depth of the probe",
            Slot::Temperature | Slot::Warmest => "highest temperature",
            Slot::Coldest => "lowest temperature",
            Slot::Widest => "greatest width",
            Slot::Narrowest => "least width",
            Slot::Tallest => "greatest height",
            Slot::Shortest => "least height",
            Slot::Shape => "shape",
            Slot::Hole => "hole",
            Slot::Grade => "grade",
            Slot::Stack => "number of pieces in a stack",
            Slot::Mass => "greatest mass",
            Slot::BudgetEach => "budget for each",
            Slot::BudgetTotal => "budget in total",
            Slot::Pieces => "number of pieces",
            Slot::Direction => "direction",
            Slot::Surroundings => "surroundings",
            Slot::InStock => "stock",
            Slot::ShipsByAir => "transport",
            Slot::Steelwork => "steel parts",
        }
    }
}

/// What a form states without a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum Sets {
    HangingBelow,
    Sideways,
    StraightOff,
    /// The layer is air.
    Air,
    /// The gap is zero.
    Touching,
    Dry,
    Damp,
    Outdoors,
    Food,
    Ring,
    OrBetter,
    Unstacked,
    InStock,
    ByAir,
    Bare,
    BackPlate,
    Cup,
    PoleTip,
}
