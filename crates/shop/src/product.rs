//! What lies on the shelf: magnets, steel parts, and goods for which nothing is computed.

use advice::{Goods, Item, Part, PriceBreak};
use quantity::{Length, Mass};
use serde::{Deserialize, Serialize};

/// A line of the shelf. The journal holds one as it was before a change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Product {
    /// A magnet.
    Magnet(Item),
    /// A steel part.
    Part(Part),
    /// Pots, hooks, strips and the like.
    Goods(Goods),
}

/// What every line of a price list has, whatever is sold.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Listed {
    pub(crate) tolerance: Length,
    pub(crate) mass: Option<Mass>,
    pub(crate) stock: Option<u64>,
    pub(crate) prices: Vec<PriceBreak>,
    pub(crate) link: Option<String>,
    pub(crate) note: Option<String>,
}

impl Product {
    /// Its code.
    pub fn code(&self) -> &str {
        match self {
            Self::Magnet(item) => &item.code,
            Self::Part(part) => &part.code,
            Self::Goods(goods) => &goods.code,
        }
    }

    /// Its name; may be empty.
    pub fn name(&self) -> &str {
        match self {
            Self::Magnet(item) => &item.name,
            Self::Part(part) => &part.name,
            Self::Goods(goods) => &goods.name,
        }
    }

    /// Its grade, or its steel; may be empty.
    pub fn material(&self) -> &str {
        match self {
            Self::Magnet(item) => &item.grade,
            Self::Part(part) => &part.steel,
            Self::Goods(goods) => &goods.grade,
        }
    }

    /// Its prices by quantity.
    pub fn prices(&self) -> &[PriceBreak] {
        match self {
            Self::Magnet(item) => &item.prices,
            Self::Part(part) => &part.prices,
            Self::Goods(goods) => &goods.prices,
        }
    }

    pub(crate) fn magnet(&self) -> Option<&Item> {
        match self {
            Self::Magnet(item) => Some(item),
            Self::Part(_) | Self::Goods(_) => None,
        }
    }

    pub(crate) fn part(&self) -> Option<&Part> {
        match self {
            Self::Part(part) => Some(part),
            Self::Magnet(_) | Self::Goods(_) => None,
        }
    }

    pub(crate) fn goods(&self) -> Option<&Goods> {
        match self {
            Self::Goods(goods) => Some(goods),
            Self::Magnet(_) | Self::Part(_) => None,
        }
    }

    /// Its coating as the list has it; empty for a part.
    pub(crate) fn coating(&self) -> &str {
        match self {
            Self::Magnet(item) => &item.coating,
            Self::Goods(goods) => &goods.coating,
            Self::Part(_) => "",
        }
    }

    pub(crate) fn listed(&self) -> Listed {
        macro_rules! of {
            ($product:expr) => {
                Listed {
                    tolerance: $product.tolerance,
                    mass: $product.mass,
                    stock: $product.stock,
                    prices: $product.prices.clone(),
                    link: $product.link.clone(),
                    note: $product.note.clone(),
                }
            };
        }
        match self {
            Self::Magnet(item) => of!(item),
            Self::Part(part) => of!(part),
            Self::Goods(goods) => of!(goods),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;

    #[test]
    fn a_journal_tells_magnets_parts_and_goods_apart() {
        let magnet = Product::Magnet(demo::generate(1, 3).remove(0));
        let part = Product::Part(demo::parts().remove(0));
        let goods = Product::Goods(demo::goods().remove(0));
        for product in [magnet, part, goods] {
            let text = serde_json::to_string(&product).unwrap();
            assert_eq!(serde_json::from_str::<Product>(&text).unwrap(), product);
        }
    }
}
