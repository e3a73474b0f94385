//! What each word or row of words may mean: those of [the list](super::word_list), and the names of the vocabulary.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::lexer;
use super::vocabulary::{Class, Vocabulary};
use super::word_list::{Cue, WORD_LIST};
use crate::question::ShapeKind;

/// What a word or a row of words may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Sense {
    /// A cue, by its place in the dictionary.
    Cue(usize),
    /// A name of the vocabulary.
    Name(Class, usize),
    /// A shape.
    Shape(ShapeKind),
    /// A number in words.
    Number(f64),
    /// No meaning of its own.
    Filler,
    /// No meaning of its own, but parts one thing from the next.
    Link,
}

/// Rows of words and their senses.
#[derive(Default)]
pub(super) struct Phrases {
    senses: HashMap<String, Vec<Sense>>,
    /// The most words in a row, by its first word.
    longest: HashMap<String, usize>,
}

impl Phrases {
    fn add(&mut self, words: &str, sense: Sense) {
        let norms: Vec<String> = lexer::tokens(words).into_iter().map(|t| t.norm).collect();
        let Some(first) = norms.first() else { return };
        let longest = self.longest.entry(first.clone()).or_default();
        *longest = norms.len().max(*longest);
        let senses = self.senses.entry(norms.join(" ")).or_default();
        if !senses.contains(&sense) {
            senses.push(sense);
        }
    }

    /// The names of a vocabulary.
    pub(super) fn of(vocabulary: &Vocabulary) -> Self {
        let mut phrases = Self::default();
        for class in Class::ALL {
            for (index, name) in vocabulary.names(class).iter().enumerate() {
                for words in name.wordings() {
                    phrases.add(words, Sense::Name(class, index));
                }
            }
        }
        phrases
    }

    /// The senses of a row of words, joined by spaces.
    pub(super) fn senses(&self, words: &str) -> &[Sense] {
        self.senses.get(words).map_or(&[], Vec::as_slice)
    }

    /// The most words in a row that begins with `first`.
    pub(super) fn longest(&self, first: &str) -> usize {
        self.longest.get(first).copied().unwrap_or(0)
    }

    /// Every single word of every row.
    pub(super) fn words(&self) -> impl Iterator<Item = &str> {
        self.senses.keys().flat_map(|row| row.split(' '))
    }
}

/// The built-in words.
pub(super) struct Dictionary {
    pub phrases: Phrases,
    pub cues: Vec<Cue>,
}

impl Dictionary {
    /// The words of `data/words.toml`.
    pub(super) fn builtin() -> &'static Self {
        static BUILTIN: LazyLock<Dictionary> = LazyLock::new(Dictionary::read);
        &BUILTIN
    }

    fn read() -> Self {
        let mut phrases = Phrases::default();
        let file = &*WORD_LIST;
        file.fillers.iter().for_each(|w| phrases.add(w, Sense::Filler));
        file.links.iter().for_each(|w| phrases.add(w, Sense::Link));
        file.numbers.iter().for_each(|(w, n)| phrases.add(w, Sense::Number(*n)));
        file.shape.iter().for_each(|shape| {
            shape
                .words
                .iter()
                .for_each(|w| phrases.add(w, Sense::Shape(shape.shape)))
        });
        for (index, cue) in file.cue.iter().enumerate() {
            cue.words.iter().for_each(|w| phrases.add(w, Sense::Cue(index)));
        }
        Self {
            phrases,
            cues: file.cue.clone(),
        }
    }

    /// The place of a cue in the dictionary.
    pub(super) fn cue(&self, name: &str) -> Option<usize> {
        self.cues.iter().position(|c| c.name == name)
    }
}
