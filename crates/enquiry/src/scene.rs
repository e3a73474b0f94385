//! The message as roles are read from it: items, what they may mean, and how far they stand from each other.

use quantity::Kind;

use crate::learned::Learned;
use crate::lexer::{Amount, Item, Measure, What, items};
use crate::lexicon::{Lexicon, Phrases};
use crate::named::{Class, Named, Thing};
use crate::pattern::Words;

/// A message ready to be read.
pub(crate) struct Scene<'t> {
    pub text: &'t str,
    pub items: Vec<Item>,
    pub words: Words,
    pub learned: &'t Learned,
    /// Sum of the distances up to each item.
    places: Vec<f64>,
    /// The clause of each item.
    clauses: Vec<usize>,
    /// The sentence of each item.
    sentences: Vec<usize>,
}

/// Words that hardly part what stands around them.
const SMALL: [&str; 22] = [
    "a", "an", "the", "of", "is", "are", "be", "in", "about", "approx", "approx.", "around", "ca", "roughly", "only",
    "just", "say", "some", "my", "our", "has", "have",
];

impl<'t> Scene<'t> {
    pub(crate) fn new(text: &'t str, names: &Phrases, learned: &'t Learned) -> Self {
        let mut list = items(text);
        let lexicon = Lexicon::builtin();
        lexicon.mend(&mut list, names);
        lexicon.hush(&mut list);
        let words = Words::of(text, &list);
        lexicon.tag(&mut list, names);
        let mut places = Vec::with_capacity(list.len());
        let (mut clauses, mut sentences) = (Vec::new(), Vec::new());
        let (mut sum, mut clause, mut sentence) = (0.0, 0, 0);
        for item in &list {
            let (before, after) = match &item.what {
                What::Word if item.is("inside") => (0.1, 0.0),
                What::Word if SMALL.contains(&item.norm.as_str()) => (0.2, 0.2),
                What::Word
                    if matches!(
                        item.norm.as_str(),
                        "and" | "but" | "or" | "with" | "while" | "so" | "because"
                    ) =>
                {
                    clause += 1;
                    (1.0, 1.0)
                }
                What::Word => (0.5, 0.5),
                What::Amount(_) | What::Size(_) => (0.8, 0.8),
                What::Mark(c) => {
                    let cost = match c {
                        ',' => 0.7,
                        '.' | '!' | '?' => 3.5,
                        ';' => 2.5,
                        '(' | ')' | '[' | ']' => 0.7,
                        '-' | '–' | '—' | '/' | '|' | '*' | '•' => 0.9,
                        _ => 0.3,
                    };
                    if cost >= 0.7 {
                        clause += 1;
                    }
                    if cost >= 2.5 {
                        sentence += 1;
                    }
                    (cost, cost)
                }
                What::Break => {
                    clause += 1;
                    sentence += 1;
                    (2.0, 2.0)
                }
            };
            sum += before;
            places.push(sum);
            sum += after;
            clauses.push(clause);
            sentences.push(sentence);
        }
        Self {
            text,
            items: list,
            words,
            learned,
            places,
            clauses,
            sentences,
        }
    }

    /// Whether an item is a word that hardly parts what stands around it.
    pub(crate) fn is_small(item: &Item) -> bool {
        item.what == What::Word && SMALL.contains(&item.norm.as_str())
    }

    /// How far two items stand apart; about 1 for neighbours, more across stops.
    pub(crate) fn distance(&self, a: usize, b: usize) -> f64 {
        (self.places[a] - self.places[b]).abs()
    }

    pub(crate) fn same_clause(&self, a: usize, b: usize) -> bool {
        self.clauses[a] == self.clauses[b]
    }

    pub(crate) fn same_sentence(&self, a: usize, b: usize) -> bool {
        self.sentences[a] == self.sentences[b]
    }

    /// Whether a word is taken back by what follows: `a ring?? no, a disc`.
    pub(crate) fn taken_back(&self, i: usize) -> bool {
        let rest = || self.items[i + 1..].iter().filter(|x| !x.is("inside"));
        let doubted = rest().next().is_some_and(|x| x.what == What::Mark('?'));
        let after = rest().find(|x| x.what != What::Mark('?'));
        doubted && after.is_some_and(|x| x.norm == "no")
    }

    /// The items that carry a tag.
    pub(crate) fn tagged<'s>(&'s self, tag: &'s str) -> impl Iterator<Item = usize> + 's {
        self.items
            .iter()
            .enumerate()
            .filter(move |(_, i)| i.is(tag))
            .map(|(n, _)| n)
    }

    /// The amounts of a kind.
    pub(crate) fn amounts(&self, kind: Kind) -> impl Iterator<Item = (usize, &Amount)> {
        self.items
            .iter()
            .enumerate()
            .filter_map(|(n, i)| Some((n, i.amount()?)))
            .filter(move |(_, a)| a.kind() == Some(kind))
    }

    /// The bare numbers.
    pub(crate) fn numbers(&self) -> impl Iterator<Item = (usize, &Amount)> {
        self.items
            .iter()
            .enumerate()
            .filter_map(|(n, i)| Some((n, i.amount()?)))
            .filter(|(_, a)| a.measure == Measure::Bare)
    }

    /// The next item that is a word or an amount, with no stop between, skipping `over` small words.
    pub(crate) fn next(&self, at: usize) -> Option<usize> {
        self.step(at, 1)
    }

    /// The item before, likewise.
    pub(crate) fn previous(&self, at: usize) -> Option<usize> {
        self.step(at, -1)
    }

    fn step(&self, at: usize, by: isize) -> Option<usize> {
        let mut i = at;
        loop {
            i = i.checked_add_signed(by)?;
            let item = self.items.get(i)?;
            match item.what {
                What::Word if item.is("inside") => {}
                What::Word | What::Amount(_) | What::Size(_) => return Some(i),
                What::Mark('=' | ':' | '(' | ')' | '~' | '"' | '\'' | '≈') => {}
                _ => return None,
            }
        }
    }

    /// The items within a distance of one, itself among them.
    pub(crate) fn around(&self, at: usize, reach: f64) -> std::ops::Range<usize> {
        let from = self.places[..at].partition_point(|p| self.places[at] - p > reach);
        let to = at + self.places[at..].partition_point(|p| p - self.places[at] <= reach);
        from..to
    }

    /// The word at a place; empty for what is none.
    pub(crate) fn word(&self, at: Option<usize>) -> &str {
        at.and_then(|i| self.items.get(i)).map_or("", |i| i.norm.as_str())
    }

    /// The nearest item with any of the tags within a distance.
    pub(crate) fn near(&self, at: usize, tags: &[&str], reach: f64) -> Option<(usize, f64)> {
        self.nearest(at, reach, |i| i.is_any(tags))
    }

    /// The nearest item that fits within a distance.
    pub(crate) fn nearest(&self, at: usize, reach: f64, fits: impl Fn(&Item) -> bool) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        for i in self.around(at, reach) {
            let distance = self.distance(at, i);
            if i != at && best.is_none_or(|b| distance < b.1) && fits(&self.items[i]) {
                best = Some((i, distance));
            }
        }
        best
    }

    /// Whether the text has an item that fits.
    pub(crate) fn any(&self, fits: impl Fn(&Item) -> bool) -> bool {
        self.items.iter().any(fits)
    }

    /// Whether any word of the text is one of these.
    pub(crate) fn says(&self, words: &[&str]) -> bool {
        self.any(|i| words.contains(&i.norm.as_str()))
    }
}

impl Item {
    /// The row of a thing of a class.
    pub(crate) fn thing(&self, class: Class) -> Option<&'static Thing> {
        self.names.iter().find_map(|n| match n {
            Named::Thing(t) if t.class == class => Some(*t),
            _ => None,
        })
    }

    /// Whether it names a thing of a class.
    pub(crate) fn of(&self, class: Class) -> bool {
        self.thing(class).is_some()
    }

    /// The grade that it names.
    pub(crate) fn grade(&self) -> Option<&str> {
        self.names.iter().find_map(|n| match n {
            Named::Grade(g) => Some(g.as_str()),
            _ => None,
        })
    }

    /// The family that it names.
    pub(crate) fn family(&self) -> Option<&str> {
        self.names.iter().find_map(|n| match n {
            Named::Family(g) => Some(g.as_str()),
            _ => None,
        })
    }

    /// Whether it names a magnet: the word itself or a shape of magnets.
    pub(crate) fn is_magnet(&self) -> bool {
        self.is_any(&["magnet", "disc", "ring", "block", "sphere"])
    }
}

/// The noun before the bracket that an item stands in: `steel sheet (1 mm, 100 x 100)`.
pub(crate) fn bracket_owner(scene: &Scene, i: usize) -> Option<usize> {
    let open = (0..i)
        .rev()
        .take(14)
        .take_while(|k| scene.items[*k].what != What::Mark(')'))
        .find(|k| scene.items[*k].what == What::Mark('('))?;
    (0..open).rev().take(3).find(|k| is_noun(&scene.items[*k]))
}

pub(crate) fn is_noun(item: &Item) -> bool {
    item.is_magnet()
        || item
            .names
            .iter()
            .any(|n| matches!(n, Named::Thing(_) | Named::Layer(_) | Named::Steel(_)))
}
