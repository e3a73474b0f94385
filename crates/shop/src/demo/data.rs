//! What data/demo.toml holds.

use std::collections::HashMap;
use std::sync::LazyLock;

use materials::grade::Family;
use quantity::Currency;
use serde::Deserialize;

use advice::Magnetised;
use advice::goods::GoodsKind;
use advice::part::PartKind;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Data {
    pub(super) shop: String,
    pub(super) currency: Currency,
    pub(super) cost: HashMap<Family, Cost>,
    pub(super) heat: HashMap<String, f64>,
    pub(super) coating: HashMap<String, CoatingCost>,
    pub(super) trade: Trade,
    pub(super) names: HashMap<String, Vec<Name>>,
    pub(super) notes: HashMap<Family, String>,
    /// By family, mm.
    pub(super) tolerance: HashMap<Family, f64>,
    pub(super) parts: Parts,
    pub(super) goods: AllGoods,
    pub(super) disc: Vec<Discs>,
    pub(super) ring: Vec<Sizes>,
    pub(super) block: Vec<Sizes>,
    pub(super) sphere: Vec<Spheres>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Cost {
    pub(super) per_kilogram: f64,
    pub(super) handling: f64,
    pub(super) per_tenth_tesla: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CoatingCost {
    pub(super) piece: f64,
    pub(super) square_centimetre: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Trade {
    pub(super) markup: f64,
    pub(super) breaks: Vec<Break>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Break {
    pub(super) from: u64,
    pub(super) off: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Name {
    /// Grams.
    pub(super) up_to: f64,
    pub(super) name: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Parts {
    pub(super) cabinet: usize,
    /// mm.
    pub(super) tolerance: f64,
    pub(super) steel: String,
    pub(super) of: Vec<PartFamily>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PartFamily {
    pub(super) kind: PartKind,
    pub(super) name: String,
    /// mm.
    pub(super) sizes: Vec<Vec<f64>>,
    pub(super) price: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AllGoods {
    pub(super) cabinet: usize,
    /// mm.
    pub(super) tolerance: f64,
    pub(super) of: Vec<GoodsLine>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct GoodsLine {
    pub(super) kind: GoodsKind,
    pub(super) name: String,
    /// mm.
    pub(super) size: Vec<f64>,
    /// N.
    pub(super) stated_pull: Option<f64>,
    /// Grams.
    pub(super) mass: f64,
    pub(super) price: f64,
}

/// The unit of the sizes of a family.
#[derive(Clone, Copy, Default, Deserialize)]
pub(super) enum Measure {
    #[default]
    #[serde(rename = "mm")]
    Millimetre,
    #[serde(rename = "in")]
    Inch,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Discs {
    #[serde(default)]
    pub(super) unit: Measure,
    pub(super) diameter: Vec<f64>,
    pub(super) thickness: Vec<f64>,
    pub(super) variant: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Sizes {
    #[serde(default)]
    pub(super) unit: Measure,
    /// Ring: `outer/inner x thickness`; block: `length x width x thickness`.
    pub(super) size: Vec<String>,
    #[serde(default)]
    pub(super) along: Magnetised,
    pub(super) variant: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Spheres {
    #[serde(default)]
    pub(super) unit: Measure,
    pub(super) diameter: Vec<f64>,
    pub(super) variant: Vec<String>,
}

static DATA: LazyLock<Data> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/demo.toml"))
        .unwrap_or_else(|error| unreachable!("the embedded data are read by a test: {error}"))
});

/// The data that come with the program.
pub(super) fn data() -> &'static Data {
    &DATA
}
