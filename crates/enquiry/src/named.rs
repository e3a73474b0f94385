//! What words of a message name: rows of the vocabulary, and things of the world.

use serde::Deserialize;

/// What a word names.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Named {
    /// A layer of the vocabulary.
    Layer(String),
    /// A steel of the vocabulary.
    Steel(String),
    /// A grade of the vocabulary.
    Grade(String),
    /// A family of the vocabulary.
    Family(String),
    /// A row of the world's things.
    Thing(&'static Thing),
}

/// What a thing may be in a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Class {
    /// Steel that a magnet sticks to.
    Surface,
    /// What may be steel or not: a door, a shelf, a wall.
    Perhaps,
    /// What lies between.
    Layer,
    /// What is held, or stands about; its sizes are nobody's limit.
    Object,
    /// A recess that the magnet goes into.
    Recess,
    /// What goes through the magnet: a screw, a rod.
    Through,
    /// What holds no magnet.
    Inert,
}

/// A row of everyday knowledge.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Thing {
    pub class: Class,
    pub words: Vec<String>,
    /// Its usual material, by the name in the steel or layer data.
    pub material: Option<String>,
    /// Its usual thickness, mm.
    pub thickness_mm: Option<[f64; 2]>,
    /// Which way a load on it usually pulls.
    pub direction: Option<String>,
    /// What it is called when something is asked about it.
    #[serde(default)]
    pub name: Option<String>,
    /// Where the figures come from.
    #[serde(default)]
    #[expect(dead_code, reason = "kept beside the figures for whoever corrects them")]
    pub source: Option<String>,
}

impl PartialEq for Thing {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self, other)
    }
}
