//! The text cut into words, amounts, sizes and stops, each with its place.

mod amount;
mod piece;
mod size;
mod token;
mod unit;

use std::ops::Range;

use quantity::{Kind, Unit};

use amount::{Read, range_link};
use piece::{Piece, Token};
use size::size;
use token::tokens;

/// What a number counts or measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Measure {
    /// No unit stands by it.
    Bare,
    /// A physical unit.
    Unit(Unit),
    /// A sheet gauge.
    Gauge,
    /// Money, by its ISO 4217 code; `cents` are hundredths.
    Money { code: &'static str, cents: bool },
    /// A percentage: never a need of ours.
    Percent,
}

/// An amount: a single value has `low == high`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Amount {
    pub low: f64,
    pub high: f64,
    pub measure: Measure,
    pub fraction: bool,
    /// Whether it was written in digits.
    pub digits: bool,
}

/// Two or three sizes joined by x, by, or slashes, in mm where their unit is known.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Size {
    pub numbers: Vec<f64>,
    /// The unit written beside any of them.
    pub unit: Option<Unit>,
    /// Whether a slash or a dash parts the first two, as the diameters of a ring.
    pub slashed: bool,
    /// Whether a diameter sign leads.
    pub round: bool,
}

/// What an item is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum What {
    Word,
    Amount(Amount),
    Size(Size),
    /// Punctuation.
    Mark(char),
    /// A new line.
    Break,
}

/// A stretch of the text.
#[derive(Clone, Debug)]
pub(crate) struct Item {
    pub range: Range<usize>,
    pub what: What,
    /// A word in lower case; of a phrase, its words joined by spaces.
    pub norm: String,
    /// What the word may mean, by the names of cues and classes.
    pub tags: Vec<&'static str>,
    /// A name of materials or grades, or the row of a thing, that the word is.
    pub names: Vec<crate::named::Named>,
}

impl Item {
    fn new(range: Range<usize>, what: What, norm: impl Into<String>) -> Self {
        Self {
            range,
            what,
            norm: norm.into(),
            tags: Vec::new(),
            names: Vec::new(),
        }
    }

    /// Whether it carries a tag.
    pub(crate) fn is(&self, tag: &str) -> bool {
        self.tags.contains(&tag)
    }

    /// Whether it carries any of the tags.
    pub(crate) fn is_any(&self, tags: &[&str]) -> bool {
        tags.iter().any(|t| self.is(t))
    }

    pub(crate) fn amount(&self) -> Option<&Amount> {
        match &self.what {
            What::Amount(amount) => Some(amount),
            _ => None,
        }
    }

    pub(crate) fn size(&self) -> Option<&Size> {
        match &self.what {
            What::Size(size) => Some(size),
            _ => None,
        }
    }
}

impl Amount {
    pub(crate) fn kind(&self) -> Option<Kind> {
        match self.measure {
            Measure::Unit(unit) => Some(unit.kind()),
            _ => None,
        }
    }

    pub(crate) fn is_bare(&self) -> bool {
        self.measure == Measure::Bare
    }

    /// The high end in SI.
    pub(crate) fn si(&self) -> Option<f64> {
        match self.measure {
            Measure::Unit(unit) => Some(unit.to_si(self.high)),
            _ => None,
        }
    }
}
/// The items of a text.
pub(crate) fn items(text: &str) -> Vec<Item> {
    amounts(text, &tokens(text))
}
/// Words after which two bare numbers are the ends of a range: `thickness 3 to 10`.
const OF_A_SIZE: [&str; 7] = ["thickness", "diameter", "dia", "height", "width", "length", "od"];

/// Puts numbers with units, ranges and sizes together.
fn amounts(text: &str, tokens: &[Token]) -> Vec<Item> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        if let Some((size, end)) = size(text, tokens, at) {
            let range = token.range.start..tokens[end - 1].range.end;
            out.push(Item::new(range, What::Size(size), ""));
            at = end;
            continue;
        }
        if let Some(Read { mut amount, next }) = Read::signed(text, tokens, at) {
            let mut end = next;
            let between = at > 0 && matches!(tokens[at - 1].norm.as_str(), "between" | "from");
            let and = between && tokens.get(next).is_some_and(|t| matches!(t.norm.as_str(), "and" | "&"));
            if let Some(skip) = range_link(tokens, next).or(and.then_some(next + 1))
                && let Some(second) = Read::signed(text, tokens, skip)
            {
                let link_or = tokens[next].norm == "or";
                let both = amount.measure == second.amount.measure || amount.is_bare();
                let rises = second.amount.high > amount.low;
                let dash = matches!(tokens[next].kind, Piece::Mark('-' | '–' | '.' | '…'));
                // "12 - 5" is no range, "10 or 12 mm" is; a bare pair only where a unit follows, or for degrees
                let sized = tokens[next].norm == "to" && at > 0 && OF_A_SIZE.contains(&tokens[at - 1].norm.as_str());
                let close =
                    !second.amount.is_bare() || and || (dash && rises && amount.digits) || sized || amount.low < 0.0;
                let next_is_date = second.amount.is_bare() && amount.high >= 1000.0;
                if both && rises && close && !next_is_date && (!link_or || !second.amount.is_bare()) {
                    let measure = second.amount.measure;
                    amount = Amount {
                        low: amount.low,
                        high: second.amount.high,
                        measure,
                        fraction: amount.fraction || second.amount.fraction,
                        digits: amount.digits,
                    };
                    end = second.next;
                }
            }
            let range = token.range.start..tokens[end - 1].range.end;
            out.push(Item::new(range, What::Amount(amount), ""));
            at = end;
            continue;
        }
        let (what, norm) = match token.kind {
            Piece::Break => (What::Break, String::new()),
            Piece::Mark(c) => (What::Mark(c), String::new()),
            Piece::Word | Piece::Number { .. } => (What::Word, token.norm.clone()),
        };
        out.push(Item::new(token.range.clone(), what, norm));
        at += 1;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(text: &str) -> What {
        items(text).remove(0).what
    }

    fn sizes(text: &str) -> Vec<f64> {
        match first(text) {
            What::Size(s) => s.numbers,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn sizes_are_read_in_every_notation() {
        assert_eq!(sizes("20x10"), [20.0, 10.0]);
        assert_eq!(sizes("D10x3"), [10.0, 3.0]);
        assert_eq!(sizes("Ø16 x 6"), [16.0, 6.0]);
        assert_eq!(sizes("40/20 x 10"), [40.0, 20.0, 10.0]);
        assert_eq!(sizes("1/2\" x 1/8\""), [0.5, 0.125]);
        assert_eq!(sizes("10 x 10 x 3 block"), [10.0, 10.0, 3.0]);
        assert_eq!(sizes("50 by 15 by 10 mm"), [50.0, 15.0, 10.0]);
        assert_eq!(sizes("20-8-6 N38"), [20.0, 8.0, 6.0]);
        assert_eq!(sizes("50x25x12,5"), [50.0, 25.0, 12.5]);
        assert_eq!(sizes("12mmx3mm"), [12.0, 3.0]);
        assert_eq!(sizes("2 inch by 1 inch by half inch"), [2.0, 1.0, 0.5]);
    }

    #[test]
    fn amounts_are_read_with_their_units() {
        for (text, si) in [
            ("half a kilo", 0.5),
            ("2 lb 3 oz", 0.992_233),
            ("2,5 kg", 2.5),
            ("70 µm", 70e-6),
            ("1 1/2 lbs", 0.680_388_6),
            ("an", f64::NAN),
            ("half a millimetre", 0.5e-3),
            ("4.5 kG", 0.45),
            ("8000 G", 0.8),
            ("-40...+105 °C", 378.15),
            ("2-3 kg", 3.0),
            ("6..9 N", 9.0),
            (".5 N", 0.5),
            ("quarter inch", 6.35e-3),
            ("two hundred grams", 0.2),
        ] {
            if si.is_nan() {
                continue;
            }
            let What::Amount(amount) = first(text) else {
                panic!("{text}")
            };
            let got = amount.si().unwrap_or_else(|| panic!("{text}: no unit"));
            assert!((got / si - 1.0).abs() < 1e-5, "{text}: {got}");
        }
    }
}
