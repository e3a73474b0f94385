//! One line of a shop's price list, as the advice sees it.

use magnetics::Shape;
use quantity::{Length, Mass, Money};
use serde::{Deserialize, Serialize};

/// A magnet that a shop sells.
///
/// `shape` holds the outer sizes as bought, plating included, with its thickness along the magnetisation.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Item {
    /// The shop's own code, unique on its shelf.
    pub code: String,
    /// What the shop calls it; may be empty.
    pub name: String,
    /// Outer sizes, plating included; the magnetisation lies along the thickness.
    pub shape: Shape,
    /// Which side of a block the magnetisation lies along, for print; round shapes are always `Thickness`.
    pub magnetised: Magnetised,
    /// Grade, as found in the grade table.
    pub grade: String,
    /// Coating, as found in the coating table.
    pub coating: String,
    /// Plus or minus on each outer size.
    pub tolerance: Length,
    /// Mass of one piece as listed; computed from size and density where the list has none.
    pub mass: Option<Mass>,
    /// Pieces on hand; `None` where the list does not say.
    pub stock: Option<u64>,
    /// Prices by quantity, rising `from`; the first is the least order.
    pub prices: Vec<PriceBreak>,
    /// Where to read more.
    pub link: Option<String>,
    /// Remark for the adviser.
    pub note: Option<String>,
}

/// Price of one piece from a quantity on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PriceBreak {
    /// Least number of pieces for this price.
    pub from: u64,
    /// Price of one piece.
    pub each: Money,
}

/// The listed side that the magnetisation of a block lies along.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Magnetised {
    /// The listed thickness (height).
    #[default]
    Thickness,
    /// The listed width.
    Width,
    /// The listed length.
    Length,
}

impl Item {
    /// The price of one piece when `pieces` are bought: the last break not above that number, or the first
    /// break where fewer are wanted than the shop sells. `None` for an item without a price.
    pub fn price_each(&self, pieces: u64) -> Option<Money> {
        self.prices.iter().rev().find(|b| b.from <= pieces).or_else(|| self.prices.first()).map(|b| b.each)
    }

    /// The least number of pieces that the shop sells.
    pub fn least_order(&self) -> u64 {
        self.prices.first().map_or(1, |b| b.from)
    }
}
