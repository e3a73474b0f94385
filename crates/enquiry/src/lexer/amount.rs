//! Numbers with sign, multipliers and unit.

use quantity::Unit;

use super::piece::{Piece, Token};
use super::unit::{money_before, money_sign, unit};
use super::{Amount, Measure};

/// A number with its sign, multipliers and unit, as read at a place of the tokens.
pub(super) struct Read {
    pub amount: Amount,
    pub next: usize,
}

/// Words after a number of pieces, which is a whole one.
const PIECES: [&str; 9] = ["pcs", "pcs.", "pc", "pieces", "magnets", "units", "nos", "off", "discs"];

/// Whether digits may be thousands with a point before the last three: `1.500`.
fn is_grouped(digits: &str) -> bool {
    let parts: Vec<&str> = digits.split('.').collect();
    matches!(parts.as_slice(), [head, tail] if (1..=3).contains(&head.len()) && *head != "0" && tail.len() == 3)
}

/// Whether a text speaks of each foot that something stands on: `three feet, a pair of discs per foot`.
fn has_feet(tokens: &[Token]) -> bool {
    tokens
        .windows(2)
        .any(|pair| matches!(pair[0].norm.as_str(), "per" | "each" | "every") && pair[1].norm == "foot")
}

impl Read {
    /// A number at `at`: digits or number words, "half a kilo", with its unit.
    pub fn number(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        let Piece::Number {
            mut value,
            mut fraction,
            digits,
        } = tokens.get(at)?.kind
        else {
            return None;
        };
        let mut next = at + 1;
        let word = |i: usize| {
            tokens
                .get(i)
                .filter(|t| t.kind == Piece::Word)
                .map_or("", |t| t.norm.as_str())
        };
        let numeral = |i: usize| match tokens.get(i).map(|t| t.kind) {
            Some(Piece::Number {
                value, digits: false, ..
            }) => Some(value),
            _ => None,
        };
        // two hundred, twenty five, twenty-five, two and a half, 2 thousand
        loop {
            let dash = matches!(tokens.get(next).map(|t| t.kind), Some(Piece::Mark('-')));
            let skip = usize::from(dash);
            match numeral(next + skip) {
                Some(scale) if scale >= 12.0 && (scale == 12.0 || scale >= 100.0) && value > 0.0 && value < 1000.0 => {
                    value *= scale;
                    fraction = false;
                    next += skip + 1;
                }
                Some(unit) if !digits && (1.0..10.0).contains(&unit) && value >= 20.0 && value % 10.0 == 0.0 => {
                    value += unit;
                    next += skip + 1;
                }
                Some(part) if part < 1.0 && part > 0.0 && !digits && value >= 1.0 && word(next).is_empty() => {
                    value *= part;
                    next += 1;
                }
                _ => break,
            }
        }
        // three hundred and twenty
        if word(next) == "and" && !digits && value >= 100.0 && value % 100.0 == 0.0 {
            while let Some(part) = numeral(next + usize::from(word(next) == "and")).filter(|p| (1.0..100.0).contains(p))
            {
                value += part;
                next += 1 + usize::from(word(next) == "and");
            }
        }
        if word(next) == "and" && matches!(word(next + 1), "a" | "") {
            let skip = if word(next + 1) == "a" { 2 } else { 1 };
            if let Some(part) = numeral(next + skip).filter(|v| *v > 0.0 && *v < 1.0) {
                value += part;
                next += skip + 1;
            }
        }
        // half a, quarter of an, an eighth of an
        if value < 1.0 && !digits {
            let mut skip = next;
            if word(skip) == "of" {
                skip += 1;
            }
            if matches!(word(skip), "a" | "an") || matches!(tokens.get(skip).map(|t| t.kind), Some(Piece::Mark('-'))) {
                skip += 1;
            }
            if numeral(skip) == Some(12.0) {
                value *= 12.0;
                next = skip + 1;
            } else if unit(text, tokens, skip, value).is_some() {
                next = skip;
            } else {
                return None;
            }
        }
        // 2k pcs
        if word(next) == "k" && tokens[next].range.start == tokens[next - 1].range.end && digits {
            value *= 1000.0;
            next += 1;
        }
        // "20.000", "1.500 pcs": a point between thousands
        let counted = PIECES.contains(&word(next)) && is_grouped(&tokens[at].norm);
        if (tokens[at].norm.ends_with(".000") || counted) && unit(text, tokens, next, value).is_none() && digits {
            value *= 1000.0;
        }
        let mut amount = Amount {
            low: value,
            high: value,
            measure: Measure::Bare,
            fraction,
            digits,
        };
        let joined = usize::from(
            matches!(tokens.get(next).map(|t| t.kind), Some(Piece::Mark('-' | '\u{2011}')))
                && unit(text, tokens, next + 1, value).is_some(),
        );
        // "three feet share the weight": what something stands on
        let stands = word(next) == "feet"
            && (matches!(
                word(next + 1),
                "with" | "share" | "each" | "have" | "take" | "carry" | "that" | "which" | "and"
            ) || has_feet(tokens));
        if !stands && let Some((measure, end)) = unit(text, tokens, next + joined, value) {
            amount.measure = measure;
            next = end;
            // two pounds and a half, "2 lb 3 oz", "5 ft 3"
            if let Measure::Unit(unit) = measure
                && matches!(unit.label(), "lb" | "kg")
            {
                let small = if unit.label() == "lb" { Unit::OUNCE } else { Unit::GRAM };
                let skip = next + usize::from(word(next) == "and");
                if let Some(Read {
                    amount: part,
                    next: end,
                }) = Self::number(text, tokens, skip)
                    && part.measure == Measure::Unit(small)
                {
                    let sum = unit.from_si(unit.to_si(value) + small.to_si(part.high));
                    amount.low = sum;
                    amount.high = sum;
                    next = end;
                } else if word(next) == "and" && word(next + 1) == "a" && numeral(next + 2) == Some(0.5) {
                    amount.low += 0.5;
                    amount.high += 0.5;
                    next += 3;
                }
            }
        }
        Some(Read { amount, next })
    }

    /// One of a unit: `a pound`, `an inch`, `kilo and a half`.
    fn single(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        const UNITS: [&str; 9] = [
            "pound",
            "kilo",
            "inch",
            "mil",
            "millimetre",
            "millimeter",
            "ounce",
            "kilogram",
            "gram",
        ];
        let word = |i: usize| {
            tokens
                .get(i)
                .filter(|t| t.kind == Piece::Word)
                .map_or("", |t| t.norm.as_str())
        };
        let half =
            |i: usize| word(i) == "and" && word(i + 1) == "a" && tokens.get(i + 2).is_some_and(|t| t.norm == "half");
        let article = matches!(word(at), "a" | "an");
        let unit_at = at + usize::from(article);
        if !UNITS.contains(&word(unit_at))
            || !(article || half(unit_at + 1))
            || (article && matches!(word(unit_at + 1), "or" | "too"))
        {
            return None;
        }
        let (measure, next) = unit(text, tokens, unit_at, 1.0)?;
        let (value, next) = if half(next) { (1.5, next + 3) } else { (1.0, next) };
        let amount = Amount {
            low: value,
            high: value,
            measure,
            fraction: false,
            digits: false,
        };
        Some(Read { amount, next })
    }

    /// A number with a sign and a leading currency.
    pub fn signed(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        let token = tokens.get(at)?;
        let free = at == 0
            || tokens[at - 1].range.end < token.range.start
            || matches!(
                tokens[at - 1].kind,
                Piece::Mark('(' | '~' | '=' | ':' | '<' | ',' | '.' | '…')
            );
        match token.kind {
            Piece::Number { .. } => Self::number(text, tokens, at),
            Piece::Mark('-' | '−' | '–')
                if free && tokens.get(at + 1).is_some_and(|t| t.range.start == token.range.end) =>
            {
                let mut read = Self::number(text, tokens, at + 1).filter(|r| r.amount.digits)?;
                read.amount.low = -read.amount.low;
                read.amount.high = -read.amount.high;
                Some(read)
            }
            Piece::Mark('+') if free => Self::number(text, tokens, at + 1),
            // "plus minus 1 mm" is a tolerance
            Piece::Word if token.norm == "minus" && !(at > 0 && tokens[at - 1].norm == "plus") => {
                let mut read = Self::number(text, tokens, at + 1)?;
                read.amount.low = -read.amount.low;
                read.amount.high = -read.amount.high;
                Some(read)
            }
            Piece::Mark('€' | '£' | '$') => {
                let code = money_sign(token.kind)?;
                let mut read = Self::number(text, tokens, at + 1).filter(|r| r.amount.is_bare())?;
                read.amount.measure = Measure::Money { code, cents: false };
                Some(read)
            }
            Piece::Word if money_before(&token.norm).is_some() => {
                let code = money_before(&token.norm)?;
                let dot = usize::from(matches!(tokens.get(at + 1).map(|t| t.kind), Some(Piece::Mark('.'))));
                let mut read =
                    Self::number(text, tokens, at + 1 + dot).filter(|r| r.amount.is_bare() && r.amount.digits)?;
                read.amount.measure = Measure::Money { code, cents: false };
                Some(read)
            }
            // "a pound", "an inch", "kilo and a half"
            Piece::Word => Self::single(text, tokens, at),
            _ => None,
        }
    }
}

/// Whether a token stands between the two ends of a range.
pub(super) fn range_link(tokens: &[Token], at: usize) -> Option<usize> {
    let token = tokens.get(at)?;
    match token.kind {
        Piece::Mark('-' | '–' | '—' | '…' | '÷' | '~') => Some(at + 1),
        Piece::Mark('.') => {
            let dots = tokens[at..].iter().take_while(|t| t.kind == Piece::Mark('.')).count();
            (dots >= 2).then_some(at + dots)
        }
        Piece::Word if matches!(token.norm.as_str(), "to" | "till" | "until" | "bis" | "or") => Some(at + 1),
        _ => None,
    }
}
