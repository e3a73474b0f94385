//! A number and its unit at the start of a text: the one reader behind all the parsers.

use std::ops::Range;

use crate::error::{ParseError, excerpt};
use crate::number::{Reading, decimal};
use crate::unit::{self, Unit};

/// A number with or without a unit, and where they stand in the text.
#[derive(Debug)]
pub(crate) struct Token {
    pub(crate) value: f64,
    pub(crate) number: Range<usize>,
    pub(crate) unit: Option<(Unit, Range<usize>)>,
}

impl Token {
    /// Bytes of the text up to the end of the number or its unit.
    pub(crate) fn end(&self) -> usize {
        self.unit.as_ref().map_or(self.number.end, |(_, span)| span.end)
    }
}

/// The token at the start of `text`, after spaces; `None` when no number starts there.
pub(crate) fn token(text: &str) -> Option<Result<Token, ParseError>> {
    let start = text.len() - text.trim_start().len();
    let (negative, unsigned) = match text[start..].chars().next() {
        Some(sign @ ('-' | '−' | '–')) => (true, start + sign.len_utf8()),
        Some('+') => (false, start + 1),
        _ => (false, start),
    };
    let magnitude = match magnitude(&text[unsigned..])? {
        Ok(magnitude) => magnitude,
        Err(fault) => return Some(Err(fault.at(unsigned))),
    };
    let number = start..unsigned + magnitude.len;
    if !magnitude.value.is_finite() {
        return Some(Err(ParseError::new(number, "the number is too large")));
    }
    let value = if negative { -magnitude.value } else { magnitude.value };
    let unit_start = unit_start(text, number.end);
    let unit = unit::at_start(&text[unit_start..]).map(|(unit, len)| (unit, unit_start..unit_start + len));
    Some(Ok(Token { value, number, unit }))
}

/// Where the unit after a number that ends at `end` would start: after spaces, or after the hyphen
/// of `6-mm`.
fn unit_start(text: &str, end: usize) -> usize {
    let rest = &text[end..];
    match rest.strip_prefix('-') {
        Some(word) if word.starts_with(char::is_alphabetic) => end + 1,
        _ => text.len() - rest.trim_start().len(),
    }
}

/// The word at the start of `text`: up to a space or a mark that ends a phrase.
pub(crate) fn word(text: &str) -> &str {
    let stops = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | '(' | ')' | '!' | '?');
    text.split(stops).next().unwrap_or("")
}

/// An unsigned number and the bytes it takes.
struct Magnitude {
    value: f64,
    len: usize,
}

/// What is wrong with a magnitude, in offsets from its start.
struct Fault {
    span: Range<usize>,
    message: &'static str,
    hint: String,
}

impl Fault {
    fn at(self, offset: usize) -> ParseError {
        let span = self.span.start + offset..self.span.end + offset;
        ParseError::new(span, self.message).hint(self.hint)
    }
}

/// A decimal with an optional exponent, a fraction, or a mixed number: `1e-3`, `½`, `1/2`, `1½`,
/// `1 1/8`, `1-1/8`.
fn magnitude(text: &str) -> Option<Result<Magnitude, Fault>> {
    if let Some((value, len)) = vulgar(text) {
        return Some(Ok(Magnitude { value, len }));
    }
    let whole = match decimal(text, Reading::MEASURE)? {
        Ok(whole) => whole,
        Err(bad) => {
            return Some(Err(Fault {
                span: 0..bad.len,
                message: bad.message,
                hint: bad.hint,
            }));
        }
    };
    if whole.is_plain() {
        let joined = match fraction(text) {
            Some(fraction) => Some(fraction.map(|(value, len)| Magnitude { value, len })),
            None => mixed(text, &whole.digits),
        };
        if joined.is_some() {
            return joined;
        }
    }
    let exponent = exponent(&text[whole.len..]);
    let mut digits = whole.digits;
    let len = whole.len + exponent.map_or(0, |(_, len)| len);
    if let Some((power, _)) = exponent {
        digits.push('e');
        digits.extend(power.chars().map(|c| if c == '−' { '-' } else { c }));
    }
    // A run of digits with one point and an exponent is always in the grammar of `f64`.
    digits.parse().ok().map(|value| Ok(Magnitude { value, len }))
}

/// The power after `e`, sign and digits, and the bytes with the `e`.
fn exponent(text: &str) -> Option<(&str, usize)> {
    let power = text.strip_prefix(['e', 'E'])?;
    let digits = power.strip_prefix(['+', '-', '−']).unwrap_or(power);
    let count = digits.bytes().take_while(u8::is_ascii_digit).count();
    let len = power.len() - digits.len() + count;
    (count > 0).then(|| (&power[..len], len + 1))
}

/// The whole number `digits` at the start of `text` followed by a proper fraction.
fn mixed(text: &str, digits: &str) -> Option<Result<Magnitude, Fault>> {
    let rest = &text[digits.len()..];
    let tail = match rest.strip_prefix(['-', '\u{2011}']) {
        Some(tail) => tail,
        None => rest.trim_start(),
    };
    let at = text.len() - tail.len();
    let part = match vulgar(tail) {
        Some(part) => part,
        // Without a space or hyphen the digits would have been part of the whole.
        None => match fraction(tail)? {
            Ok(part) => part,
            Err(fault) => {
                let span = fault.span.start + at..fault.span.end + at;
                return Some(Err(Fault { span, ..fault }));
            }
        },
    };
    let (value, len) = part;
    if value >= 1.0 {
        return Some(Err(Fault {
            span: at..at + len,
            message: "the fraction of a mixed number must be below 1",
            hint: "write it as 1-1/8, or put a comma between two numbers".to_owned(),
        }));
    }
    let whole: f64 = digits.parse().ok()?;
    Some(Ok(Magnitude {
        value: whole + value,
        len: at + len,
    }))
}

/// `1/2` in plain digits: value and bytes.
fn fraction(text: &str) -> Option<Result<(f64, usize), Fault>> {
    let (over, rest) = split_digits(text)?;
    let after_slash = rest.strip_prefix(['/', '⁄'])?;
    let (under, rest) = split_digits(after_slash)?;
    let len = text.len() - rest.len();
    let (numerator, denominator): (f64, f64) = (over.parse().ok()?, under.parse().ok()?);
    if denominator == 0.0 {
        let start = text.len() - after_slash.len();
        return Some(Err(Fault {
            span: start..len,
            message: "a fraction cannot have 0 below the line",
            hint: "write it as 1/2".to_owned(),
        }));
    }
    if !denominator.is_finite() {
        return Some(Ok((f64::INFINITY, len)));
    }
    Some(Ok((numerator / denominator, len)))
}

/// The digits at the start and the rest, when there is at least one digit.
fn split_digits(text: &str) -> Option<(&str, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    (end > 0).then(|| text.split_at(end))
}

/// A fraction that is one character: value and bytes.
fn vulgar(text: &str) -> Option<(f64, usize)> {
    let c = text.chars().next()?;
    let value = match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅙' => 1.0 / 6.0,
        '⅚' => 5.0 / 6.0,
        '⅕' => 0.2,
        '⅖' => 0.4,
        '⅗' => 0.6,
        '⅘' => 0.8,
        _ => return None,
    };
    Some((value, c.len_utf8()))
}

/// The number of `token` without a unit must end a word: no `42SH`, no `1/2/3`.
pub(crate) fn stands_alone(text: &str, end: usize) -> bool {
    let mut rest = text[end..].chars();
    match rest.next() {
        Some('x' | 'X') => rest.as_str().trim_start().starts_with(|c: char| c.is_ascii_digit()),
        Some('/' | '⁄') => false,
        Some(c) => !c.is_alphanumeric(),
        None => true,
    }
}

/// The error for a word after the number that is a unit but for the case of its letters, as in
/// `2 KG` or `5 MT`.
pub(crate) fn wrong_case(text: &str, token: &Token) -> Option<ParseError> {
    let (word, span) = unit_word(text, token);
    let meant: Vec<String> = unit::other_case(word)
        .iter()
        .map(|(label, kind)| format!("{label} ({})", kind.name()))
        .collect();
    let hint = || format!("did you mean {}?", meant.join(" or "));
    (!meant.is_empty()).then(|| unknown_unit(word, span).hint(hint()))
}

/// The error for a number whose unit is missing or unknown; `units` are those that would do.
pub(crate) fn no_unit(text: &str, token: &Token, units: &str) -> ParseError {
    wrong_case(text, token).unwrap_or_else(|| {
        let (word, span) = unit_word(text, token);
        let error = if word.is_empty() {
            ParseError::new(token.number.end..token.number.end, "the unit is missing")
        } else {
            unknown_unit(word, span)
        };
        error.hint(format!("use {units}"))
    })
}

fn unknown_unit(word: &str, span: Range<usize>) -> ParseError {
    ParseError::new(span, format!("unknown unit `{}`", excerpt(word)))
}

/// The word where the unit should be, and its place.
fn unit_word<'a>(text: &'a str, token: &Token) -> (&'a str, Range<usize>) {
    let start = unit_start(text, token.number.end);
    let word = word(&text[start..]);
    (word, start..start + word.len())
}
