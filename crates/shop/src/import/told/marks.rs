//! The parts of a description that are not sizes, and the numbers that go with them.

use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{Length, parse_with_default};

use super::pieces::{Piece, What};
use super::{Tables, Through};
use crate::exact;
use crate::import::decimal::pointed;
use crate::import::table::Cell;
use crate::import::text::{excerpt, nearest};
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{DirectionWord, Mark, ThroughWord, vocabulary};

/// What has been made of a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Taken {
    /// Nothing yet.
    Free,
    /// It is something else, and ends a run of sizes.
    Away,
    /// It is something else that may stand within a run of sizes, as a tolerance does.
    Within,
}

/// The pieces of a text with what has been made of them.
pub(super) struct Marks<'a> {
    text: &'a str,
    pieces: &'a [Piece],
    taken: Vec<Taken>,
}

/// A grade or coating has at most so many pieces: `Ni-Cu-Ni-Au`.
const LONGEST_NAME: usize = 7;

impl<'a> Marks<'a> {
    pub(super) fn new(text: &'a str, pieces: &'a [Piece]) -> Self {
        Self {
            text,
            pieces,
            taken: vec![Taken::Free; pieces.len()],
        }
    }

    /// What has been made of each piece.
    pub(super) fn taken(&self) -> &[Taken] {
        &self.taken
    }

    fn what(&self, at: usize) -> Option<&What> {
        self.pieces.get(at).map(|piece| &piece.what)
    }

    fn word(&self, at: usize) -> Option<&'a str> {
        match &self.pieces.get(at)?.what {
            What::Word(word) => Some(word),
            _ => None,
        }
    }

    fn raw(&self, from: usize, to: usize) -> &'a str {
        let ends = self.pieces.get(from).zip(self.pieces.get(to));
        ends.and_then(|(first, last)| self.text.get(first.start..last.end))
            .unwrap_or_default()
    }

    /// Whether nothing stands between a piece and the one after it.
    fn is_joined(&self, at: usize) -> bool {
        let pair = self.pieces.get(at).zip(self.pieces.get(at + 1));
        pair.is_some_and(|(one, next)| one.end == next.start)
    }

    fn is_number(&self, at: usize) -> bool {
        self.what(at) == Some(&What::Number)
    }

    fn is_free(&self, from: usize, to: usize) -> bool {
        (from..=to).all(|at| self.taken.get(at) == Some(&Taken::Free))
    }

    fn take(&mut self, from: usize, to: usize, as_what: Taken) {
        (from..=to)
            .filter_map(|at| Some(at).filter(|at| *at < self.pieces.len()))
            .for_each(|at| self.taken[at] = as_what);
    }

    /// Whether a letter or digit stands against the run from outside.
    fn is_cut_out_of_a_word(&self, from: usize, to: usize) -> bool {
        let solid = |at: usize| matches!(self.what(at), Some(What::Number | What::Word(_)));
        (from > 0 && self.is_joined(from - 1) && solid(from - 1)) || (self.is_joined(to) && solid(to + 1))
    }

    /// The runs of pieces that begin with a word, the longest first at each place.
    fn runs(&self) -> impl Iterator<Item = (usize, usize)> + use<> {
        let count = self.pieces.len();
        (0..count).flat_map(move |from| {
            let last = (from + LONGEST_NAME).min(count);
            (from..last).rev().map(move |to| (from, to))
        })
    }

    /// The grade that the text names.
    pub(super) fn grade(&mut self, grades: &GradeTable) -> Result<Option<String>, Misfit> {
        let mut found: Option<String> = None;
        for (from, to) in self.runs() {
            if self.word(from).is_none()
                || !(from..=to).any(|at| self.is_number(at))
                || !self.is_free(from, to)
                || self.is_cut_out_of_a_word(from, to)
                || self.is_label(to)
            {
                continue;
            }
            let raw = self.raw(from, to);
            let Some(row) = grades.get(raw).or_else(|| grades.get(&raw.replace('-', ""))) else {
                continue;
            };
            self.take(from, to, Taken::Away);
            match &found {
                Some(before) if *before != row.name => {
                    let wrong = format!("the description names two grades, {before} and {}", row.name);
                    return Err(Misfit::new(wrong, "one grade, or a column for it"));
                }
                _ => found = Some(row.name.clone()),
            }
        }
        match self.strange_grade() {
            Some(name) if found.is_none() => {
                let near = nearest(name, grades.rows().iter().map(|row| row.name.as_str()));
                let right = if near.is_empty() {
                    "a grade of the grade table".to_owned()
                } else {
                    format!(
                        "perhaps {}; or add it to the shop's own grades first",
                        near.join(" or ")
                    )
                };
                Err(Misfit::new(format!("unknown grade \"{}\"", excerpt(name)), right))
            }
            _ => Ok(found),
        }
    }

    /// Whether a run would end with a letter that stands before a size: `N52 H 5`.
    fn is_label(&self, last: usize) -> bool {
        let single = self.word(last).is_some_and(|word| word.chars().count() == 1);
        single && last > 0 && !self.is_joined(last - 1) && self.is_number(last + 1)
    }

    /// What is written as a grade of neodymium is and is none: `N47`.
    fn strange_grade(&mut self) -> Option<&'a str> {
        let at = (0..self.pieces.len()).find(|at| {
            let two_digits =
                self.raw(at + 1, at + 1).bytes().all(|b| b.is_ascii_digit()) && self.raw(at + 1, at + 1).len() == 2;
            self.raw(*at, *at) == "N" && self.is_joined(*at) && two_digits && self.is_free(*at, at + 1)
        })?;
        let has_letters = self.is_joined(at + 1) && self.word(at + 2).is_some();
        let to = if has_letters { at + 2 } else { at + 1 };
        self.take(at, to, Taken::Away);
        Some(self.raw(at, to))
    }

    /// Plus or minus on each size: `±0.1 mm`, `+/- 0,05`.
    pub(super) fn tolerance(&mut self, tables: &Tables) -> Option<Length> {
        let mut found = None;
        for at in 0..self.pieces.len() {
            if self.what(at) != Some(&What::PlusMinus) || !self.is_number(at + 1) {
                continue;
            }
            let has_unit = self
                .word(at + 2)
                .is_some_and(|word| vocabulary().length_unit(word).is_some());
            let to = if has_unit { at + 2 } else { at + 1 };
            let cell = Cell::text(self.raw(at + 1, to));
            found = found.or(value::tolerance(&cell, tables.unit, tables.convention).ok().flatten());
            let percent = self.what(to + 1) == Some(&What::Percent);
            self.take(at, to + usize::from(percent), Taken::Within);
        }
        found
    }

    /// The coating that the text names: the longest name, and the first of them.
    pub(super) fn coating(&mut self, coatings: &CoatingTable) -> Option<String> {
        // "NiCuNi+Gold": the layers of one coating.
        let is_name = |text: &str, what: Option<&What>| {
            matches!(what, Some(What::Word(_) | What::Joint | What::Slash)) || text == "+"
        };
        for (from, to) in self.runs() {
            let named = self.word(from).is_some() && self.word(to).is_some();
            if !named || !(from..=to).all(|at| is_name(self.raw(at, at), self.what(at))) || !self.is_free(from, to) {
                continue;
            }
            let raw = self.raw(from, to);
            if from == to && vocabulary().mark(raw) == Some(Mark::NoCoatingByItself) {
                continue;
            }
            let other_name = || coatings.get(vocabulary().coating(raw)?);
            if let Some(coating) = coatings.get(raw).or_else(other_name) {
                let name = coating.name.clone();
                self.take(from, to, Taken::Away);
                return Some(name);
            }
        }
        None
    }

    /// The direction that the text names: `axially`, `through the thickness`. The name of a side alone is none.
    pub(super) fn direction(&mut self) -> Option<DirectionWord> {
        let runs: Vec<(usize, usize)> = self.runs().collect();
        let found = runs.into_iter().find_map(|(from, to)| {
            let raw = self.raw(from, to);
            let is_side = vocabulary().side(raw).is_some() || vocabulary().mark(raw) == Some(Mark::NoDirectionByItself);
            let words = (from..=to).all(|at| self.word(at).is_some());
            let word = vocabulary()
                .direction(raw)
                .filter(|_| words && !is_side && self.is_free(from, to))?;
            Some((from, to, word))
        });
        found.map(|(from, to, word)| {
            self.take(from, to, Taken::Away);
            word
        })
    }

    /// What the magnetisation goes through, where the text names it by its size: `mag. thru 5 mm`, `magnetised along the 30mm
    /// length`, `poles on 30x10 faces`.
    pub(super) fn through(&mut self, tables: &Tables) -> Option<Through> {
        for at in 0..self.pieces.len() {
            let is =
                |at: usize, what: ThroughWord| self.word(at).and_then(|word| vocabulary().through(word)) == Some(what);
            if is(at, ThroughWord::Magnetised) {
                let passed = |next: &usize| {
                    let joint = self.what(*next) == Some(&What::Joint);
                    joint || is(*next, ThroughWord::Way) || is(*next, ThroughWord::Article)
                };
                let next = (at + 1..self.pieces.len()).find(|next| !passed(next))?;
                // "magnetised 5 mm" says no way.
                let says = (at + 1..next).any(|at| is(at, ThroughWord::Way));
                if !says || !self.is_number(next) || !self.is_free(next, next) {
                    continue;
                }
                let (metres, to) = self.length_at(next, tables)?;
                let is_side = self.word(to + 1).is_some_and(|word| vocabulary().side(word).is_some());
                self.take(at, to + usize::from(is_side), Taken::Away);
                return Some(Through::Size(metres));
            }
            if is(at, ThroughWord::Poles) && is(at + 1, ThroughWord::On) && self.is_number(at + 2) {
                let (one, to) = self.length_at(at + 2, tables)?;
                if self.what(to + 1) == Some(&What::Times) && self.is_number(to + 2) {
                    let (other, to) = self.length_at(to + 2, tables)?;
                    self.take(at, to, Taken::Away);
                    return Some(Through::Faces([one, other]));
                }
            }
        }
        None
    }

    /// The length at a number with the unit behind it, m, and where it ends.
    fn length_at(&self, at: usize, tables: &Tables) -> Option<(f64, usize)> {
        let unit = self.word(at + 1).and_then(|word| vocabulary().length_unit(word));
        let written = pointed(self.raw(at, at), tables.convention);
        let length = parse_with_default::<Length>(&written, unit.unwrap_or(tables.unit)).ok()?;
        Some((exact::length(length).0, if unit.is_some() { at + 1 } else { at }))
    }

    /// Whether nothing is left over beside shapes, materials and the words that headings within lists have; `known` are words
    /// that are known otherwise.
    pub(super) fn is_heading(&self, known: &[String]) -> bool {
        let begins = self
            .pieces
            .iter()
            .take_while(|piece| !matches!(piece.what, What::Word(_)));
        let numbering = begins.count();
        self.pieces.iter().enumerate().all(|(at, piece)| match &piece.what {
            _ if self.taken.get(at) != Some(&Taken::Free) => true,
            What::Number => at < numbering && at == 0,
            What::Word(word) => {
                vocabulary().shape_of_word(word).is_some() || vocabulary().is_in_headings(word) || known.contains(word)
            }
            _ => true,
        })
    }

    /// Numbers that go with a unit that is none of length, or count something: `80 °C`, `4.5 kg`, `10 pcs`, `set of 5`, `2 x`.
    pub(super) fn amounts(&mut self) {
        for at in 0..self.pieces.len() {
            if !self.is_number(at) || !self.is_free(at, at) {
                continue;
            }
            let next = self.what(at + 1);
            let marked = |at: usize, mark: Mark| {
                self.is_free(at, at) && self.word(at).is_some_and(|word| vocabulary().mark(word) == Some(mark))
            };
            if matches!(next, Some(What::Degree | What::Percent)) {
                let celsius = matches!(self.word(at + 2), Some("c" | "f"));
                self.take(at, at + 1 + usize::from(celsius), Taken::Away);
            } else if marked(at + 1, Mark::Amount) || marked(at + 1, Mark::Pieces) {
                self.take(at, at + 1, Taken::Away);
            } else if at > 0
                && (marked(at - 1, Mark::Before)
                    || (at > 1 && marked(at - 2, Mark::Pieces) && marked(at - 1, Mark::Of)))
            {
                self.take(at, at, Taken::Away);
            } else if next == Some(&What::Times)
                && self.word(at + 2).is_some_and(|word| vocabulary().side(word).is_none())
                && !(at > 0 && self.what(at - 1) == Some(&What::Times))
            {
                self.take(at, at + 1, Taken::Away);
            } else if at > 0
                && self.raw(at - 1, at - 1) == "M"
                && self.raw(at, at).len() <= 2
                && self.taken.get(at - 1) == Some(&Taken::Free)
            {
                // A thread, perhaps with its length: "M4", "M6x12".
                let long = next == Some(&What::Times) && self.is_joined(at) && self.is_number(at + 2);
                self.take(at - 1, if long { at + 2 } else { at }, Taken::Away);
            }
        }
    }

    /// Numbers that are part of a name: `AB-123`, `X200`.
    pub(super) fn names(&mut self) {
        let is_size_word = |word: &str| vocabulary().side(word).is_some() || vocabulary().shape_of_word(word).is_some();
        for at in 1..self.pieces.len() {
            if !self.is_number(at) || !self.is_free(at, at) || !self.is_joined(at - 1) {
                continue;
            }
            let joint = self.what(at - 1) == Some(&What::Joint) && at > 1 && self.is_joined(at - 2);
            let before = if joint { at - 2 } else { at - 1 };
            let in_a_name = self.word(before).is_some_and(|word| !is_size_word(word));
            let after_another = joint && self.is_number(before) && self.taken.get(before) == Some(&Taken::Away);
            if in_a_name || after_another {
                self.take(at, at, Taken::Away);
            }
        }
    }
}
