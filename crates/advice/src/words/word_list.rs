//! The words that are known, as `data/words.toml` lists them: apart from the dictionary, since the lexer needs the currencies too.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::question::ShapeKind;
use crate::sentence::Verb;

/// A class of words that give a value its meaning.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Cue {
    pub name: String,
    #[serde(default)]
    pub verb: Option<Verb>,
    #[serde(default)]
    pub weak: bool,
    #[serde(default)]
    pub spare: bool,
    #[serde(default)]
    pub wants: Option<String>,
    pub words: Vec<String>,
}

/// All that the file holds.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WordList {
    pub fillers: Vec<String>,
    pub links: Vec<String>,
    pub numbers: BTreeMap<String, f64>,
    money: BTreeMap<String, Vec<String>>,
    pub shape: Vec<ShapeWords>,
    pub cue: Vec<Cue>,
}

/// The words for one shape.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShapeWords {
    pub shape: ShapeKind,
    pub words: Vec<String>,
}

/// The list, read once.
pub(super) static WORD_LIST: LazyLock<WordList> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    toml::from_str(include_str!("../../data/words.toml")).expect("data/words.toml is well formed")
});

/// The ISO 4217 code of a currency by its sign or word; empty for a sign that several share.
pub(super) fn currency(word: &str) -> Option<&'static str> {
    WORD_LIST
        .money
        .iter()
        .find(|(_, words)| words.iter().any(|w| w == word))
        .map(|(code, _)| code.as_str())
}
