//! The words that are known: cues of grammar, things of the world, and the names of the vocabulary.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use serde::Deserialize;

use crate::lexer::{Item, What};
use crate::named::{Class, Named, Thing};
use crate::vocabulary::Vocabulary;

#[derive(Deserialize)]
struct CueFile {
    cue: BTreeMap<String, Vec<String>>,
    protected: Vec<String>,
    slips: Vec<String>,
    idioms: Vec<String>,
}

#[derive(Deserialize)]
struct ThingFile {
    thing: Vec<Thing>,
}

#[derive(Clone, Default)]
struct Entry {
    tags: Vec<&'static str>,
    names: Vec<Named>,
}

/// Rows of words and what they may mean.
#[derive(Default)]
pub(crate) struct Phrases {
    entries: HashMap<String, Entry>,
    longest: HashMap<String, usize>,
}

impl Phrases {
    fn entry(&mut self, phrase: &str) -> &mut Entry {
        let phrase = phrase.to_lowercase();
        let words: Vec<&str> = phrase.split(' ').collect();
        let longest = self.longest.entry(words[0].to_owned()).or_default();
        *longest = words.len().max(*longest);
        self.entries.entry(phrase).or_default()
    }

    fn name(&mut self, phrase: &str, name: Named) {
        let names = &mut self.entry(phrase).names;
        if !names.contains(&name) {
            names.push(name);
        }
    }

    /// The names of a vocabulary.
    pub(crate) fn of(vocabulary: &Vocabulary) -> Self {
        let mut out = Self::default();
        type List<'n> = (&'n [crate::vocabulary::Name], fn(String) -> Named);
        let lists: [List; 4] = [
            (&vocabulary.layers, Named::Layer),
            (&vocabulary.steels, Named::Steel),
            (&vocabulary.grades, Named::Grade),
            (&vocabulary.families, Named::Family),
        ];
        for (list, make) in lists {
            for name in list {
                // "A4" is a paper, and a steel only where that is said
                for wording in name.wordings().filter(|w| !matches!(*w, "A2" | "A4")) {
                    out.name(wording, make(name.name.clone()));
                }
            }
        }
        out
    }
}

/// The built-in words.
pub(crate) struct Lexicon {
    phrases: Phrases,
    protected: Vec<&'static str>,
    slips: Vec<&'static str>,
}

static CUES: LazyLock<CueFile> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    toml::from_str(include_str!("../data/cues.toml")).expect("data/cues.toml is well formed")
});

static THINGS: LazyLock<ThingFile> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    toml::from_str(include_str!("../data/things.toml")).expect("data/things.toml is well formed")
});

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let mut phrases = Phrases::default();
    for (tag, words) in &CUES.cue {
        for word in words {
            let tags = &mut phrases.entry(word).tags;
            if !tags.contains(&tag.as_str()) {
                tags.push(tag.as_str());
            }
        }
    }
    for thing in &THINGS.thing {
        for word in &thing.words {
            phrases.name(word, Named::Thing(thing));
        }
    }
    Lexicon {
        phrases,
        protected: CUES.protected.iter().map(String::as_str).collect(),
        slips: CUES.slips.iter().map(String::as_str).collect(),
    }
});

/// The thinnest and the thickest, mm, in which a layer of that material usually comes.
pub(crate) fn usual_thickness(material: &str) -> Option<[f64; 2]> {
    THINGS
        .thing
        .iter()
        .filter(|t| t.class == Class::Layer && t.material.as_deref() == Some(material))
        .filter_map(|t| t.thickness_mm)
        .reduce(|[a, b], [c, d]| [a.min(c), b.max(d)])
}

/// Writes `than` where a comparison is followed by `then`: `not thicker then 12 mm`.
fn compare_with_than(items: &mut [Item]) {
    const COMPARISONS: [&str; 18] = [
        "bigger", "thicker", "wider", "higher", "larger", "taller", "longer", "smaller", "thinner", "narrower",
        "heavier", "lighter", "stronger", "weaker", "cheaper", "deeper", "more", "less",
    ];
    for i in 1..items.len() {
        if items[i].norm == "then" && COMPARISONS.contains(&items[i - 1].norm.as_str()) {
            items[i].norm = "than".to_owned();
        }
    }
}

/// How alike a slip of the keyboard must be to the word meant: one letter wrong, missing, doubled or swapped.
const SLIP: usize = 1;

impl Lexicon {
    pub(crate) fn builtin() -> &'static Self {
        &LEXICON
    }

    /// Puts slips of the keyboard right, in the norms of the words.
    pub(crate) fn mend(&self, items: &mut [Item], names: &Phrases) {
        compare_with_than(items);
        for item in items.iter_mut().filter(|i| i.what == What::Word) {
            let word = item.norm.as_str();
            let long = word.chars().count() >= 6;
            if !long || !word.chars().all(char::is_alphabetic) || self.knows(word) || names.entries.contains_key(word) {
                continue;
            }
            if self.protected.contains(&word) {
                continue;
            }
            let first = word.chars().next();
            let meant = self.slips.iter().find(|w| {
                w.chars().next() == first && w.len().abs_diff(word.len()) <= 1 && strsim::osa_distance(w, word) <= SLIP
            });
            if let Some(meant) = meant {
                item.norm = (*meant).to_owned();
            }
        }
    }

    fn knows(&self, word: &str) -> bool {
        self.phrases.entries.contains_key(word) || singular(word).is_some_and(|w| self.phrases.entries.contains_key(w))
    }

    /// Puts rows of words that say nothing here out of the way of what their words say alone.
    pub(crate) fn hush(&self, items: &mut [Item]) {
        for at in 0..items.len() {
            if items[at].what != What::Word {
                continue;
            }
            let row = |count: usize| self.row(items, at, count);
            let found = (2..=4)
                .rev()
                .find(|n| row(*n).is_some_and(|r| CUES.idioms.contains(&r)));
            if let Some(count) = found {
                for item in &mut items[at..at + count] {
                    item.norm.insert(0, '~');
                }
            }
        }
    }

    /// Writes on every item what it may mean; the longest phrase wins, and the items that it covers carry `inside`.
    pub(crate) fn tag(&self, items: &mut [Item], names: &Phrases) {
        let mut at = 0;
        while at < items.len() {
            if items[at].what != What::Word {
                at += 1;
                continue;
            }
            let norm = items[at].norm.clone();
            let most = [&self.phrases, names]
                .iter()
                .flat_map(|p| [p.longest.get(&norm), singular(&norm).and_then(|s| p.longest.get(s))])
                .flatten()
                .copied()
                .max()
                .unwrap_or(1);
            let mut taken = 1;
            for count in (1..=most).rev() {
                let Some(row) = self.row(items, at, count) else {
                    continue;
                };
                let mut found = Entry::default();
                for phrases in [&self.phrases, names] {
                    for form in forms(&row) {
                        if let Some(entry) = phrases.entries.get(&form) {
                            found.tags.extend(
                                entry
                                    .tags
                                    .iter()
                                    .filter(|t| !found.tags.contains(*t))
                                    .collect::<Vec<_>>(),
                            );
                            for name in &entry.names {
                                if !found.names.contains(name) {
                                    found.names.push(name.clone());
                                }
                            }
                            if !entry.tags.is_empty() || !entry.names.is_empty() {
                                break;
                            }
                        }
                    }
                }
                if !found.tags.is_empty() || !found.names.is_empty() {
                    let end = items[at + count - 1].range.end;
                    items[at].range.end = end;
                    items[at].tags = found.tags;
                    items[at].names = found.names;
                    items[at].norm = row;
                    for inside in &mut items[at + 1..at + count] {
                        inside.tags.push("inside");
                    }
                    taken = count;
                    break;
                }
            }
            at += taken;
        }
    }

    /// The words of a row joined by spaces; `None` where something else stands between.
    fn row(&self, items: &[Item], at: usize, count: usize) -> Option<String> {
        let row = items.get(at..at + count)?;
        if !row.iter().all(|i| i.what == What::Word) {
            return None;
        }
        Some(row.iter().map(|i| i.norm.as_str()).collect::<Vec<_>>().join(" "))
    }
}

/// A word or row of words and its likely singular.
fn forms(row: &str) -> Vec<String> {
    let mut out = vec![row.to_owned()];
    if row.contains('-') {
        out.push(row.replace('-', " "));
        out.push(row.replace('-', ""));
    }
    if let Some(single) = singular(row) {
        out.push(single.to_owned());
    }
    out
}

fn singular(word: &str) -> Option<&str> {
    let stem = word.strip_suffix("ves").filter(|w| w.len() > 2);
    if stem.is_some() {
        return word.strip_suffix('s');
    }
    for ending in ["ches", "shes", "xes", "sses"] {
        if word.ends_with(ending) {
            return word.strip_suffix("es");
        }
    }
    word.strip_suffix('s').filter(|w| w.len() > 2 && !w.ends_with('s'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_data_reads() {
        assert!(THINGS.thing.len() > 30);
        assert!(CUES.cue.len() > 20);
        assert!(Lexicon::builtin().knows("magnets"));
    }
}
