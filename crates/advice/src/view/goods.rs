//! Pots, hooks, strips and the like in words and as lines of a list.

use quantity::{Force, Length, Mass, Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Answer;
use crate::goods::{Goods, GoodsSizes, StatedOffer};
use crate::view::text::{Figure, Reader, capital};

/// What is said of every stated pull.
const STATED: &str = "Stated by the maker for thick bare steel; not computed here.";
/// What is said where it is less.
const LESS: &str = "Steel or layers take from it here: try a sample first.";

/// Goods as a line of a list.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct GoodsLine {
    /// The shop's code.
    pub code: String,
    /// `Pot magnet, 32 × 8 mm`.
    pub title: String,
    /// What the shop calls it.
    pub name: String,
    /// `pot magnet`, `magnetic strip` and so on.
    pub kind: String,
    /// Outer sizes; empty where the list has none.
    pub size: String,
    /// Grade as the list writes it; may be empty.
    pub grade: String,
    /// The pull that its maker states; not computed.
    pub stated_pull: Option<Figure>,
    /// On hand.
    pub stock: Option<u64>,
    /// Price at the least order.
    pub price_from: Option<String>,
    /// Price at the largest break.
    pub price_least: Option<String>,
    /// Mass of one as listed.
    pub mass: Option<Figure>,
    /// The shop's remark.
    pub note: Option<String>,
}

/// Goods that hold what is asked by the pull that their maker states.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct StatedView {
    /// The shop's code.
    pub code: String,
    /// `Pot magnet, 32 × 8 mm`.
    pub title: String,
    /// The pull that its maker states.
    pub pull: Figure,
    /// What one must hold.
    pub need: Figure,
    /// Price of all that share a load.
    pub cost_each: Option<String>,
    /// Price of the whole order.
    pub cost_total: Option<String>,
    /// Whether the steel or what lies between takes from the stated pull here.
    pub takes_less: bool,
    /// What is to be said of it.
    pub remark: String,
}

/// Goods as a line of a list.
pub fn line(goods: &Goods, reader: &Reader) -> GoodsLine {
    let price = |step: Option<&crate::PriceBreak>| step.map(|p| reader.money(p.each));
    GoodsLine {
        code: goods.code.clone(),
        title: title(goods, &reader.units),
        name: goods.name.clone(),
        kind: goods.goods.name().into(),
        size: sizes(&goods.sizes, &reader.units),
        grade: goods.grade.clone(),
        stated_pull: goods.stated_pull.map(|pull| reader.figure::<Force>(pull.0)),
        stock: goods.stock,
        price_from: price(goods.prices.first()),
        price_least: price(goods.prices.last()),
        mass: goods.mass.map(|mass| reader.figure::<Mass>(mass.0)),
        note: goods.note.clone(),
    }
}

/// Goods on their own: `Pot magnet, 32 × 8 mm`.
pub fn title(goods: &Goods, units: &Units) -> String {
    let size = sizes(&goods.sizes, units);
    let kind = capital(goods.goods.name());
    if size.is_empty() {
        kind
    } else {
        format!("{kind}, {size}")
    }
}

/// Outer sizes as the trade lists them, as far as they are known: `32 × 8 mm`, `30 / 10 × 5 mm`.
pub fn sizes(sizes: &GoodsSizes, units: &Units) -> String {
    let across = match (sizes.diameter, sizes.inner_diameter) {
        (Some(outer), Some(inner)) => vec![(outer, " / "), (inner, " × ")],
        (one, other) => one.or(other).map(|diameter| (diameter, " × ")).into_iter().collect(),
    };
    let sides = [sizes.length, sizes.width, sizes.thickness];
    let sides = sides.into_iter().flatten().map(|side| (side, " × "));
    let all: Vec<(f64, &str)> = across.into_iter().chain(sides).collect();
    let last = all.len().saturating_sub(1);
    all.iter()
        .enumerate()
        .map(|(at, (size, sign))| {
            let shown = Length(*size).show(units);
            if at == last {
                shown.to_string()
            } else {
                format!("{}{}", shown.number, sign.replace(' ', "\u{a0}"))
            }
        })
        .collect()
}

/// The goods that are named beside an answer.
pub(super) fn stated(answer: &Answer, reader: &Reader) -> Vec<StatedView> {
    answer.stated.iter().map(|offer| one(offer, reader)).collect()
}

fn one(offer: &StatedOffer, reader: &Reader) -> StatedView {
    StatedView {
        code: offer.goods.code.clone(),
        title: title(&offer.goods, &reader.units),
        pull: reader.figure::<Force>(offer.pull),
        need: reader.figure::<Force>(offer.need),
        cost_each: offer.cost_each.map(|cost| reader.money(cost)),
        cost_total: offer.cost_total.map(|cost| reader.money(cost)),
        takes_less: offer.takes_less,
        remark: if offer.takes_less {
            format!("{STATED} {LESS}")
        } else {
            STATED.into()
        },
    }
}
