//! One line of a shop's price list, as the advice sees it.

use magnetics::Shape;
use quantity::{Length, Mass, Money};
use serde::{Deserialize, Serialize};

use crate::said;

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

/// Plus or minus on the sizes of a magnet that is made to size, m: common practice, no source.
const MADE_WITHIN: f64 = 0.1e-3;

impl Item {
    /// A magnet that is not on the shelf, made to size through its thickness.
    pub fn made(shape: Shape, grade: &str, coating: &str) -> Self {
        Self {
            code: String::new(),
            name: String::new(),
            shape,
            magnetised: Magnetised::Thickness,
            grade: grade.into(),
            coating: coating.into(),
            tolerance: Length(MADE_WITHIN),
            mass: None,
            stock: None,
            prices: Vec::new(),
            link: None,
            note: None,
        }
    }

    /// The price of one piece when `pieces` are bought: the last break not above that number, or the first
    /// break where fewer are wanted than the shop sells. `None` for an item without a price.
    pub fn price_each(&self, pieces: u64) -> Option<Money> {
        price_each(&self.prices, pieces)
    }

    /// The least number of pieces that the shop sells.
    pub fn least_order(&self) -> u64 {
        least_order(&self.prices)
    }

    /// Whether its hole is countersunk. A price list says so in its name or its remark; a size alone does not tell.
    pub fn is_countersunk(&self) -> bool {
        let hole = matches!(self.shape, Shape::Ring { .. });
        let says = |text: &str| said::countersunk(text).is_some();
        hole && (says(&self.name) || self.note.as_deref().is_some_and(says))
    }

    /// The sides of a block as listed: length, width, thickness, m. For other shapes the sizes of the box around it.
    pub fn listed_sides(&self) -> [f64; 3] {
        let (a, b, along) = match self.shape {
            Shape::Block {
                length,
                width,
                thickness,
            } => (length, width, thickness),
            ref round => (round.widest(), round.widest(), round.height()),
        };
        match self.magnetised {
            Magnetised::Thickness => [a, b, along],
            Magnetised::Width => [a, along, b],
            Magnetised::Length => [along, a, b],
        }
    }

    /// The block of the listed length, width and thickness (m), magnetised along one of them.
    pub fn block_of(sides: [f64; 3], magnetised: Magnetised) -> Shape {
        let [l, w, t] = sides;
        let (length, width, thickness) = match magnetised {
            Magnetised::Thickness => (l, w, t),
            Magnetised::Width => (l, t, w),
            Magnetised::Length => (w, t, l),
        };
        Shape::Block {
            length,
            width,
            thickness,
        }
    }
}

pub(crate) fn price_each(prices: &[PriceBreak], pieces: u64) -> Option<Money> {
    let reached = prices.iter().rev().find(|b| b.from <= pieces);
    reached.or_else(|| prices.first()).map(|b| b.each)
}

pub(crate) fn least_order(prices: &[PriceBreak]) -> u64 {
    prices.first().map_or(1, |b| b.from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(magnetised: Magnetised) -> Item {
        Item {
            code: "01-01".into(),
            name: String::new(),
            shape: Item::block_of([20e-3, 10e-3, 5e-3], magnetised),
            magnetised,
            grade: "N42".into(),
            coating: "Ni-Cu-Ni".into(),
            tolerance: Length(0.1e-3),
            mass: None,
            stock: None,
            prices: [(10, 8000), (100, 6100)]
                .map(|(from, parts)| PriceBreak {
                    from,
                    each: Money::from_parts(parts),
                })
                .to_vec(),
            link: None,
            note: None,
        }
    }

    #[test]
    fn listed_sides_survive_any_direction() {
        for (magnetised, height) in [
            (Magnetised::Thickness, 5e-3),
            (Magnetised::Width, 10e-3),
            (Magnetised::Length, 20e-3),
        ] {
            let item = item(magnetised);
            assert_eq!(item.listed_sides(), [20e-3, 10e-3, 5e-3]);
            assert_eq!(item.shape.height(), height);
        }
    }

    #[test]
    fn price_is_that_of_the_last_break_reached() {
        let item = item(Magnetised::Thickness);
        let each = |n| item.price_each(n).map(Money::parts);
        assert_eq!(
            [each(1), each(10), each(99), each(100), each(5000)].map(Option::unwrap),
            [8000, 8000, 8000, 6100, 6100]
        );
        assert_eq!(item.least_order(), 10);
    }
}
