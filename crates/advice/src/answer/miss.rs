//! What rules builds out, and the items that one such rule put out.

use quantity::Money;
use serde::{Deserialize, Serialize};

use super::build::Build;
use crate::item::Item;
use crate::question::Surroundings;

/// An item that one constraint ruled out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct NearMiss {
    /// The item as it stood on the shelf.
    pub item: Item,
    /// The build looked at.
    pub build: Build,
    /// Its value at the middle of the band.
    pub value: f64,
    /// What ruled it out.
    pub ruled_out_by: RuledOut,
}

/// The constraint that ruled a build out, with what it has and what was allowed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "rule", rename_all = "snake_case")]
pub enum RuledOut {
    /// Too weak: the part of the need that it reaches.
    TooWeak {
        /// Value over need, below 1.
        reaches: f64,
    },
    /// Too much field at the further point, T.
    TooMuchFar {
        /// Its value, T.
        has: f64,
    },
    /// Wider than allowed, m.
    TooWide {
        /// Its size.
        has: f64,
    },
    /// Narrower than allowed, m.
    TooNarrow {
        /// Its size.
        has: f64,
    },
    /// Wider than the plate that it sticks to, so that part of its face has no steel under it, m.
    Overhangs {
        /// Its size.
        has: f64,
    },
    /// Taller than allowed, m.
    TooTall {
        /// Its height.
        has: f64,
    },
    /// Shorter than allowed, m.
    TooShort {
        /// Its height.
        has: f64,
    },
    /// Another shape than asked.
    WrongShape,
    /// No hole, or too small a one, m.
    HoleTooSmall {
        /// Its hole; 0 for none.
        has: f64,
    },
    /// Another grade than asked.
    WrongGrade,
    /// Another coating than asked.
    WrongCoating,
    /// A hole without a countersink, or none at all.
    NotCountersunk,
    /// Its grade or coating does not stand the heat, °C.
    TooHot {
        /// What it stands.
        stands: f64,
    },
    /// Its grade does not stand the cold, °C.
    TooCold {
        /// What it stands.
        stands: f64,
    },
    /// Its own field takes too much of it past its knee at this temperature.
    PastKnee {
        /// Share of its flux that is lost for good.
        loss: f64,
        /// °C.
        celsius: f64,
    },
    /// Its coating does not suit the surroundings.
    Coating {
        /// Where it would live.
        surroundings: Surroundings,
    },
    /// More pieces stacked than allowed.
    StackTooHigh {
        /// Pieces needed.
        pieces: u32,
    },
    /// Heavier than allowed, kg.
    TooHeavy {
        /// Its mass.
        has: f64,
    },
    /// Dearer each than allowed.
    OverBudgetEach {
        /// Its price.
        has: Money,
    },
    /// Dearer in total than allowed.
    OverBudgetTotal {
        /// Its price.
        has: Money,
    },
    /// Without a price while there is a budget.
    NoPrice,
    /// Not enough on hand.
    NotInStock {
        /// On hand.
        has: u64,
        /// Needed.
        needs: u64,
    },
    /// One build alone is magnetised material in air transport; flux density at 2.1 m, T.
    Flight {
        /// Its value.
        has: f64,
    },
    /// The item's data cannot be computed with.
    NotComputable,
}
