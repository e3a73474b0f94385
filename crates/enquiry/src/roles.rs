//! Whose length is it? Every length of the message competes for the places that a question has for lengths.

mod lengths;
mod nearness;
mod scores;

use advice::sentence::Verb;

use crate::lexer::Item;
use crate::named::{Class, Named};
use crate::scene::Scene;

pub(crate) use lengths::{as_length, lengths};
pub(crate) use nearness::steel_beside;
pub(crate) use scores::scores;

/// Whether a verb is about two magnets.
pub(crate) fn is_pair(verb: Verb) -> bool {
    matches!(verb, Verb::PullTogether | Verb::PushApart)
}

/// A place for an amount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    SteelThickness,
    SteelAcross,
    /// The layer that this item names.
    Layer(usize),
    Widest,
    Narrowest,
    Tallest,
    Shortest,
    Hole,
    Gap,
    Distance,
    OffAxis,
    Near,
    Far,
    Probe,
    /// A mass or force that is held, or that a pair pulls or pushes with.
    Load,
    /// The most mass of the magnet.
    Mass,
    Pieces,
    SharedBy,
    SafetyFactor,
    Stack,
    /// How many things the magnets are for.
    Things,
    /// A size such as `20x10` that limits the magnet.
    MagnetSize,
    /// A size of the steel.
    SteelSize,
    /// What nobody asks for.
    Nobody,
}

impl Role {
    /// Its name in the weights.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::SteelThickness => "thickness",
            Self::SteelAcross => "across",
            Self::Layer(_) => "layer",
            Self::Widest => "widest",
            Self::Narrowest => "narrowest",
            Self::Tallest => "tallest",
            Self::Shortest => "shortest",
            Self::Hole => "hole",
            Self::Gap => "gap",
            Self::Distance => "distance",
            Self::OffAxis => "off_axis",
            Self::Near => "near",
            Self::Far => "far",
            Self::Probe => "probe",
            Self::Load => "load",
            Self::Mass => "mass",
            Self::Pieces => "pieces",
            Self::SharedBy => "shared_by",
            Self::SafetyFactor => "safety",
            Self::Stack => "stack",
            Self::Things => "things",
            Self::MagnetSize => "magnet_size",
            Self::SteelSize => "steel_size",
            Self::Nobody => "nobody",
        }
    }
}

/// A length of the message.
#[derive(Clone, Debug)]
pub(crate) struct LengthAt {
    pub item: usize,
    pub low_mm: f64,
    pub high_mm: f64,
    /// As a draft has it, in the customer's unit: the high end, and the low one.
    pub high: String,
    pub low: String,
}

/// A number as a draft writes it.
pub(crate) fn plain(value: f64) -> String {
    let rounded = (value * 1e6).round() / 1e6;
    format!("{rounded}")
}

/// Whether an item names steel that a magnet sticks to.
pub(crate) fn is_steel(item: &Item) -> bool {
    item.of(Class::Surface) || item.names.iter().any(|n| matches!(n, Named::Steel(_)))
}

/// The material of a layer that an item names.
pub(crate) fn layer_of<'s>(scene: &'s Scene, n: usize) -> Option<&'s str> {
    let item = &scene.items[n];
    item.thing(Class::Layer)
        .and_then(|t| t.material.as_deref())
        .or_else(|| {
            item.names.iter().find_map(|n| match n {
                Named::Layer(name) => Some(name.as_str()),
                _ => None,
            })
        })
}

/// The layers that a message names, by item.
pub(crate) fn layer_items(scene: &Scene) -> Vec<usize> {
    (0..scene.items.len())
        .filter(|i| {
            let item = &scene.items[*i];
            let layer = item.of(Class::Layer) || item.names.iter().any(|n| matches!(n, Named::Layer(_)));
            let plain = matches!(
                item.norm.as_str(),
                "board" | "label" | "labels" | "nothing" | "gap" | "boards" | "clearance" | "empty space" | "air gap"
            );
            let magnetic = scene.word(scene.previous(*i)) == "magnetic";
            let barred = magnetic || item.is("inside") || item.is_magnet();
            layer && !barred && (!plain || item.norm.contains("air"))
        })
        .collect()
}
