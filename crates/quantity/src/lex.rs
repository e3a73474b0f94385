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
    let magnitude = magnitude(&text[unsigned..]).map_err(|error| error.shifted(unsigned));
    Some(magnitude.transpose()?.and_then(|(size, len)| {
        let number = start..unsigned + len;
        if !size.is_finite() {
            return Err(ParseError::new(number, "the number is too large"));
        }
        let value = if negative { -size } else { size };
        let from = unit_start(text, number.end);
        let unit = unit::at_start(&text[from..]).map(|(unit, len)| (unit, from..from + len));
        Ok(Token { value, number, unit })
    }))
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
    text.split(stops).next().unwrap_or("").trim_end_matches('.')
}

/// A number without a sign and the bytes it takes, or none.
type Magnitude = Result<Option<(f64, usize)>, ParseError>;

/// A decimal with an optional exponent, a fraction, or a mixed number: `1e-3`, `½`, `1/2`, `1½`,
/// `1 1/8`, `1-1/8`.
fn magnitude(text: &str) -> Magnitude {
    if let Some(part) = vulgar(text) {
        return Ok(Some(part));
    }
    let Some(whole) = decimal(text, Reading::MEASURE).transpose()? else {
        return Ok(None);
    };
    if whole.is_plain() {
        if let Some(part) = fraction(text)? {
            return Ok(Some(part));
        }
        if let Some(sum) = mixed(text, &whole.digits)? {
            return Ok(Some(sum));
        }
    }
    let (power, power_len) = exponent(&text[whole.len..]).unwrap_or(("0", 0));
    let scientific = format!("{}e{}", whole.digits, power.replace('−', "-"));
    // A run of digits with at most one point and an exponent is in the grammar of `f64`.
    Ok(scientific.parse().ok().map(|value| (value, whole.len + power_len)))
}

/// The power after `e`, sign and digits, and the bytes with the `e`.
fn exponent(text: &str) -> Option<(&str, usize)> {
    let power = text.strip_prefix(['e', 'E'])?;
    let digits = power.strip_prefix(['+', '-', '−']).unwrap_or(power);
    let (_, rest) = split_digits(digits)?;
    let len = power.len() - rest.len();
    Some((&power[..len], len + 1))
}

/// The whole number `digits` at the start of `text` followed by a proper fraction.
fn mixed(text: &str, digits: &str) -> Magnitude {
    let rest = &text[digits.len()..];
    let tail = rest.strip_prefix(['-', '\u{2011}']).unwrap_or(rest.trim_start());
    let at = text.len() - tail.len();
    let part = match vulgar(tail) {
        Some(part) => Some(part),
        None => fraction(tail).map_err(|error| error.shifted(at))?,
    };
    let (Some((part, len)), Ok(whole)) = (part, digits.parse::<f64>()) else {
        return Ok(None);
    };
    if part >= 1.0 {
        let message = "the fraction of a mixed number must be below 1";
        return Err(
            ParseError::new(at..at + len, message).hint("write it as 1-1/8, or put a comma between two numbers")
        );
    }
    Ok(Some((whole + part, at + len)))
}

/// `1/2` in plain digits: value and bytes.
fn fraction(text: &str) -> Magnitude {
    let parts = || {
        let (over, rest) = split_digits(text)?;
        let (under, rest) = split_digits(rest.strip_prefix(['/', '⁄'])?)?;
        Some((over, under, text.len() - rest.len()))
    };
    let Some((over, under, len)) = parts() else {
        return Ok(None);
    };
    match (over.parse::<f64>(), under.parse::<f64>()) {
        (_, Ok(0.0)) => {
            let span = len - under.len()..len;
            Err(ParseError::new(span, "a fraction cannot have 0 below the line").hint("write it as 1/2"))
        }
        (Ok(over), Ok(under)) if under.is_finite() => Ok(Some((over / under, len))),
        // Refused by the caller as too large.
        _ => Ok(Some((f64::INFINITY, len))),
    }
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
