//! From text to a quantity: a whole field, or the start of a sentence.

use std::ops::Range;

use crate::error::{ParseError, excerpt};
use crate::kind::Kind;
use crate::lex::{self, Token};
use crate::si::{FieldStrength, FluxDensity, Force, Length, Mass, Quantity, Temperature};
use crate::unit::Unit;

/// A quantity of whatever kind its unit says, or a number without a unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Any {
    /// A length.
    Length(Length),
    /// A flux density.
    FluxDensity(FluxDensity),
    /// A field strength.
    FieldStrength(FieldStrength),
    /// A force.
    Force(Force),
    /// A mass.
    Mass(Mass),
    /// A temperature.
    Temperature(Temperature),
    /// A number without a unit.
    Number(f64),
}

impl Any {
    /// The kind of the quantity; `None` for a number without a unit.
    pub fn kind(self) -> Option<Kind> {
        match self {
            Any::Length(_) => Some(Kind::Length),
            Any::FluxDensity(_) => Some(Kind::FluxDensity),
            Any::FieldStrength(_) => Some(Kind::FieldStrength),
            Any::Force(_) => Some(Kind::Force),
            Any::Mass(_) => Some(Kind::Mass),
            Any::Temperature(_) => Some(Kind::Temperature),
            Any::Number(_) => None,
        }
    }

    fn of(kind: Kind, si: f64) -> Any {
        match kind {
            Kind::Length => Any::Length(Length(si)),
            Kind::FluxDensity => Any::FluxDensity(FluxDensity(si)),
            Kind::FieldStrength => Any::FieldStrength(FieldStrength(si)),
            Kind::Force => Any::Force(Force(si)),
            Kind::Mass => Any::Mass(Mass(si)),
            Kind::Temperature => Any::Temperature(Temperature(si)),
        }
    }
}

/// Reads the whole of `text` as a number with a unit: `6 mm`, `0,4mm`, `1-1/8"`, `−5 °C`, `3.5 kG`.
///
/// # Errors
/// When there is no number or no unit, the unit is unknown or of another kind, something follows,
/// the number can be read two ways (`1,234`), the value overflows, or a temperature is below
/// absolute zero.
pub fn parse<Q: Quantity>(text: &str) -> Result<Q, ParseError> {
    whole(text, Q::KIND.name(), Q::KIND.unit_list(), |token| {
        quantity(text, token, None)
    })
}

/// Like [`parse`], for a field whose column states the unit: a number without one is in `unit`.
///
/// # Errors
/// As [`parse`], and when `unit` is not a unit of this kind of quantity.
pub fn parse_with_default<Q: Quantity>(text: &str, unit: Unit) -> Result<Q, ParseError> {
    whole(text, Q::KIND.name(), Q::KIND.unit_list(), |token| {
        quantity(text, token, Some(unit))
    })
}

/// Reads a quantity at the start of `text`, after spaces, and says how many bytes it took.
///
/// `None` when no number starts there. A unit counts only where its word ends: `2 mmx` is not in
/// mm, `2mmx3mm` is. "in" before "stock", "total", "all", "series" or "parallel" is not a unit.
/// Errors as in [`parse`].
///
/// ```
/// use quantity::{Mass, scan};
/// assert_eq!(scan("2 kg hanging"), Some(Ok((Mass(2.0), 4))));
/// assert_eq!(scan::<Mass>("hanging"), None);
/// ```
pub fn scan<Q: Quantity>(text: &str) -> Option<Result<(Q, usize), ParseError>> {
    start(text, |token| quantity(text, token, None))
}

/// Reads a quantity of any kind, or a number without a unit, at the start of `text` after spaces,
/// and says how many bytes it took.
///
/// `None` when no number starts there or the number is part of a word, as `42SH`. An error when a
/// number starts there but cannot be taken: `3,500 G` can be read two ways, `2 KG` can be kg or kG.
///
/// ```
/// use quantity::{Any, FluxDensity, scan_any};
/// assert_eq!(scan_any("350 mT at 2 mm"), Some(Ok((Any::FluxDensity(FluxDensity(0.35)), 6))));
/// assert_eq!(scan_any("200 pieces"), Some(Ok((Any::Number(200.0), 3))));
/// ```
pub fn scan_any(text: &str) -> Option<Result<(Any, usize), ParseError>> {
    let token = match lex::token(text)? {
        Ok(token) => token,
        Err(error) => return Some(Err(error)),
    };
    let end = token.end();
    let any = match token.unit {
        Some((unit, _)) => si(&token, unit).map(|si| Any::of(unit.kind(), si)),
        None => match lex::wrong_case(text, &token) {
            Some(error) => Err(error),
            None if lex::stands_alone(text, end) => Ok(Any::Number(token.value)),
            None => return None,
        },
    };
    Some(any.map(|any| (any, end)))
}

/// Runs `read` on the one token that is all of `text`.
pub(crate) fn whole<T>(
    text: &str,
    wanted: &str,
    units: &str,
    read: impl FnOnce(Token) -> Result<T, ParseError>,
) -> Result<T, ParseError> {
    let trimmed = text.trim_end();
    let start = text.len() - text.trim_start().len();
    let Some(token) = lex::token(trimmed) else {
        let word = lex::word(trimmed.get(start..).unwrap_or(""));
        let hint = format!("write a number and a unit: {units}");
        return Err(if word.is_empty() {
            let at = trimmed.len().min(start);
            ParseError::new(at..trimmed.len(), format!("expected a {wanted}, got nothing"))
        } else {
            let message = format!("expected a {wanted}, got `{}`", excerpt(word));
            ParseError::new(start..start + word.len(), message)
        }
        .hint(hint));
    };
    let token = token?;
    let end = token.end();
    let value = read(token)?;
    let rest = trimmed[end..].trim_start();
    if rest.is_empty() {
        return Ok(value);
    }
    let at = trimmed.len() - rest.len();
    let message = format!("unexpected `{}` after the value", excerpt(rest));
    Err(ParseError::new(at..trimmed.len(), message).hint("give one number and one unit"))
}

/// Runs `read` on the token at the start of `text` and adds the bytes that it took.
pub(crate) fn start<T>(
    text: &str,
    read: impl FnOnce(Token) -> Result<T, ParseError>,
) -> Option<Result<(T, usize), ParseError>> {
    let token = lex::token(text)?;
    Some(token.and_then(|token| {
        let end = token.end();
        read(token).map(|value| (value, end))
    }))
}

/// The token as a quantity of kind `Q`.
fn quantity<Q: Quantity>(text: &str, token: Token, default: Option<Unit>) -> Result<Q, ParseError> {
    let (unit, span) = match (&token.unit, default) {
        (Some((unit, span)), _) => (*unit, span.clone()),
        (None, Some(unit)) if is_bare(text, &token) => (unit, token.number.clone()),
        (None, _) => return Err(lex::no_unit(text, &token, Q::KIND.unit_list())),
    };
    if unit.kind() != Q::KIND {
        return Err(wrong_kind(unit, span, Q::KIND.name(), Q::KIND.unit_list()));
    }
    si(&token, unit).map(Q::from_si)
}

/// Whether nothing at all follows the number.
fn is_bare(text: &str, token: &Token) -> bool {
    text[token.number.end..].trim().is_empty()
}

/// The SI value of the token in `unit`.
pub(crate) fn si(token: &Token, unit: Unit) -> Result<f64, ParseError> {
    let si = unit.to_si(token.value);
    let span = token.number.start..token.end();
    if !si.is_finite() {
        return Err(ParseError::new(span, "the number is too large"));
    }
    if unit.kind() == Kind::Temperature && si < 0.0 {
        return Err(ParseError::new(span, "the temperature is below absolute zero").hint("absolute zero is −273.15 °C"));
    }
    Ok(si)
}

/// The error for a unit of another kind than wanted.
pub(crate) fn wrong_kind(unit: Unit, span: Range<usize>, wanted: &str, units: &str) -> ParseError {
    let (label, kind) = (unit.label(), unit.kind().name());
    ParseError::new(span, format!("{label} is a unit of {kind}, expected a {wanted}")).hint(format!("use {units}"))
}

#[cfg(test)]
mod tests;
