//! Goods of a price list that are more than a plain magnet: pots, hooks, strips, sets and the like.
//!
//! Nothing is computed for them. They carry the pull that their maker states, which holds for thick bare steel.

use quantity::{Force, Length, Mass, Money};
use serde::{Deserialize, Serialize};

use crate::item::{PriceBreak, least_order, price_each};

/// A line of a price list that is sold as it comes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Goods {
    /// The shop's own code, unique on its shelf.
    pub code: String,
    /// What the shop calls it; may be empty.
    pub name: String,
    /// What it is.
    pub goods: GoodsKind,
    /// Its outer sizes, as far as the list has them.
    pub sizes: GoodsSizes,
    /// Grade as the list writes it; may be empty.
    pub grade: String,
    /// Coating as the list writes it; may be empty.
    pub coating: String,
    /// The pull off thick bare steel that its maker states.
    pub stated_pull: Option<Force>,
    /// Plus or minus on each size.
    pub tolerance: Length,
    /// Mass of one as listed.
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

/// The kinds of goods.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum GoodsKind {
    /// A magnet in a steel pot, with or without a thread or a hole.
    Pot,
    /// A pot or a magnet with a hook.
    Hook,
    /// With one side that sticks by adhesive.
    Adhesive,
    /// A flexible strip, by the metre or the roll.
    Strip,
    /// A flexible sheet.
    Sheet,
    /// A piece of a tube, as for motors.
    Arc,
    /// A round magnet that is magnetised across its axis.
    Diametral,
    /// With several poles on one face or around it.
    Multipole,
    /// A horseshoe.
    Horseshoe,
    /// Several pieces that are sold together.
    Set,
    /// Anything else.
    Other,
}

impl GoodsKind {
    /// All of them.
    pub const ALL: [Self; 11] = [
        Self::Pot,
        Self::Hook,
        Self::Adhesive,
        Self::Strip,
        Self::Sheet,
        Self::Arc,
        Self::Diametral,
        Self::Multipole,
        Self::Horseshoe,
        Self::Set,
        Self::Other,
    ];

    /// Its name on the shelf and in price lists.
    pub fn name(self) -> &'static str {
        match self {
            Self::Pot => "pot magnet",
            Self::Hook => "hook magnet",
            Self::Adhesive => "self-adhesive magnet",
            Self::Strip => "magnetic strip",
            Self::Sheet => "magnetic sheet",
            Self::Arc => "arc magnet",
            Self::Diametral => "diametral magnet",
            Self::Multipole => "multipole magnet",
            Self::Horseshoe => "horseshoe magnet",
            Self::Set => "set of magnets",
            Self::Other => "other goods",
        }
    }

    /// The kind of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.name() == name)
    }

    /// Whether it holds on steel by a magnet in a pot, as a cup does.
    pub(crate) fn is_pot(self) -> bool {
        matches!(self, Self::Pot | Self::Hook)
    }
}

/// Outer sizes, m; those that the list does not have are absent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct GoodsSizes {
    /// Outer diameter.
    pub diameter: Option<f64>,
    /// Diameter of a hole.
    pub inner_diameter: Option<f64>,
    /// Length.
    pub length: Option<f64>,
    /// Width.
    pub width: Option<f64>,
    /// Thickness or height.
    pub thickness: Option<f64>,
}

impl GoodsSizes {
    /// The largest size across, m.
    pub fn widest(&self) -> Option<f64> {
        [self.diameter, self.length, self.width]
            .into_iter()
            .flatten()
            .reduce(f64::max)
    }
}

impl Goods {
    /// The price of one when `pieces` are bought; `None` without a price.
    pub fn price_each(&self, pieces: u64) -> Option<Money> {
        price_each(&self.prices, pieces)
    }

    /// The least number that the shop sells.
    pub fn least_order(&self) -> u64 {
        least_order(&self.prices)
    }
}

/// Goods whose stated pull is enough for what is held, on thick bare steel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct StatedOffer {
    /// The goods as they stood on the shelf.
    pub goods: Goods,
    /// The pull that their maker states, N.
    pub pull: f64,
    /// What one must hold, its own weight included where that is known, N.
    pub need: f64,
    /// Price of all that share a load.
    pub cost_each: Option<Money>,
    /// Price of all, with the least order where that is more.
    pub cost_total: Option<Money>,
    /// Whether the steel or what lies between takes from the stated pull here.
    pub takes_less: bool,
}
