//! Exact amounts of money.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::currency::{Currency, Place};
use crate::error::{ParseError, excerpt};
use crate::lex::word;
use crate::number::{Convention, Reading, decimal};

/// An amount of money, exact to 1/10000 of the currency unit. The currency is kept beside it, once
/// for a shop.
///
/// As text and in JSON a plain decimal: `0.034`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Money(i64);

/// Decimals that [`Money`] holds.
const DECIMALS: u8 = 4;
/// Parts in a currency unit.
const PARTS: i64 = 10_000;

/// An amount that is too large to hold: beyond ±922 337 203 685 477.5807.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the amount of money is too large")]
pub struct MoneyError;

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(0);

    /// The amount of so many 1/10000 of a currency unit.
    pub const fn from_parts(parts: i64) -> Money {
        Money(parts)
    }

    /// In 1/10000 of a currency unit.
    pub const fn parts(self) -> i64 {
        self.0
    }

    /// In currency units, for charts and ratios; amounts are added as [`Money`].
    pub fn to_f64(self) -> f64 {
        self.0 as f64 / PARTS as f64
    }

    /// Reads the whole of `text` as an amount without a currency: `0.61`, `0,61`, `1.234,56`.
    ///
    /// With [`Convention::Auto`] both `1,234` and `1.234` are refused, for they can be read two ways.
    ///
    /// # Errors
    /// When there is no number, it can be read two ways or is grouped wrongly, it has more than four
    /// decimals other than zeros, it is too large, or something follows.
    pub fn parse(text: &str, convention: Convention) -> Result<Money, ParseError> {
        let (money, end) = read(text, text.len() - text.trim_start().len(), convention)?;
        match text[end..].trim() {
            "" => Ok(money),
            rest => Err(ParseError::new(
                end..text.trim_end().len(),
                format!("unexpected `{}` after the amount", excerpt(rest)),
            )),
        }
    }

    /// Reads an amount that may have its currency before or after it: `€ 0.61`, `0,61 EUR`, `0.61`.
    ///
    /// # Errors
    /// As [`Money::parse`], and when the currency is unknown, stated twice, or a shared symbol such
    /// as `$`.
    pub fn parse_with_currency(text: &str, convention: Convention) -> Result<(Money, Option<Currency>), ParseError> {
        let is_number = |c: char| c.is_ascii_digit() || matches!(c, '-' | '−' | '+' | '.' | ',');
        let start = text.find(is_number).unwrap_or(text.len());
        let before = text[..start].trim();
        let before_at = text.len() - text.trim_start().len();
        let (money, end) = read(text, start, convention)?;
        let after = text[end..].trim();
        let after_at = text.trim_end().len() - after.len();
        let (name, at) = match (before, after) {
            ("", "") => return Ok((money, None)),
            (before, "") => (before, before_at),
            ("", after) => (after, after_at),
            _ => {
                return Err(
                    ParseError::new(after_at..after_at + after.len(), "text on both sides of the amount")
                        .hint("write the currency once: EUR 0.61 or 0.61 EUR"),
                );
            }
        };
        match name.parse() {
            Ok(currency) => Ok((money, Some(currency))),
            Err(error) => Err(ParseError::new(at..at + name.len(), error.to_string())),
        }
    }

    /// The amount `count` times.
    ///
    /// # Errors
    /// When the product is too large.
    pub fn times(self, count: u64) -> Result<Money, MoneyError> {
        let count = i64::try_from(count).map_err(|_| MoneyError)?;
        self.0.checked_mul(count).map(Money).ok_or(MoneyError)
    }

    /// The sum of two amounts.
    ///
    /// # Errors
    /// When the sum is too large.
    pub fn plus(self, other: Money) -> Result<Money, MoneyError> {
        self.0.checked_add(other.0).map(Money).ok_or(MoneyError)
    }

    /// The amount less another.
    ///
    /// # Errors
    /// When the difference is too large.
    pub fn minus(self, other: Money) -> Result<Money, MoneyError> {
        self.0.checked_sub(other.0).map(Money).ok_or(MoneyError)
    }

    /// The amount rounded to whole coins of `currency`, halves away from zero, as the total of a
    /// line of an invoice is. At the very end of the range it stays as it is.
    pub fn rounded(self, currency: Currency) -> Money {
        let coin = 10_i64.pow(u32::from(DECIMALS.saturating_sub(currency.decimals())));
        let over = self.0 % coin;
        let down = self.0 - over;
        let away = if over.abs() * 2 >= coin {
            coin * over.signum()
        } else {
            0
        };
        Money(down.checked_add(away).unwrap_or(self.0))
    }

    /// The amount as text with the symbol of its currency: `€ 0.61`, `£0.034`, `12.00 kr`.
    ///
    /// The decimals of the currency, and more only where the amount has them.
    pub fn show(self, currency: Currency) -> String {
        let number = self.digits(currency.decimals());
        let (sign, size) = match number.strip_prefix('-') {
            Some(size) => ("−", size),
            None => ("", number.as_str()),
        };
        let symbol = currency.symbol();
        match currency.place() {
            Place::Before => format!("{sign}{symbol}{size}"),
            Place::BeforeWithSpace => format!("{sign}{symbol}\u{a0}{size}"),
            Place::After => format!("{sign}{size}\u{a0}{symbol}"),
        }
    }

    /// The exact decimal, with at least so many decimals.
    fn digits(self, fewest: u8) -> String {
        let size = self.0.unsigned_abs();
        let parts = PARTS.unsigned_abs();
        let mut text = format!("{}.{:04}", size / parts, size % parts);
        let point = text.len() - usize::from(DECIMALS) - 1;
        let shortest = point + 1 + usize::from(fewest.min(DECIMALS));
        while text.len() > shortest && text.ends_with('0') {
            text.pop();
        }
        if text.ends_with('.') {
            text.pop();
        }
        if self.0 < 0 { format!("-{text}") } else { text }
    }
}

/// The amount at `start` of `text`, and where it ends.
fn read(text: &str, start: usize, convention: Convention) -> Result<(Money, usize), ParseError> {
    let rest = &text[start..];
    let unsigned = rest.strip_prefix(['-', '−', '+']).unwrap_or(rest);
    let negative = rest.starts_with(['-', '−']);
    let at = text.len() - unsigned.len();
    let number = match decimal(
        unsigned,
        Reading {
            convention,
            money: true,
        },
    ) {
        Some(Ok(number)) => number,
        Some(Err(bad)) => {
            return Err(ParseError::new(at..at + bad.len, bad.message).hint(bad.hint));
        }
        None => {
            let word = word(text.trim());
            let start = text.len() - text.trim_start().len();
            let got = if word.is_empty() {
                "nothing".to_owned()
            } else {
                format!("`{}`", excerpt(word))
            };
            return Err(ParseError::new(
                start..start + word.len(),
                format!("expected an amount of money, got {got}"),
            )
            .hint("write it as 0.61"));
        }
    };
    let end = at + number.len;
    let (whole, fraction) = number.digits.split_once('.').unwrap_or((&number.digits, ""));
    let fraction = fraction.trim_end_matches('0');
    if fraction.len() > usize::from(DECIMALS) {
        return Err(
            ParseError::new(at..end, "more than four decimals in an amount of money")
                .hint("state the price of 100 or 1000 pieces"),
        );
    }
    let digits = format!("{whole}{fraction:0<4}");
    match digits.parse::<i64>() {
        Ok(parts) => Ok((Money(if negative { -parts } else { parts }), end)),
        Err(_) => Err(ParseError::new(start..end, MoneyError.to_string())),
    }
}

impl fmt::Display for Money {
    /// The exact decimal with a point, no currency: `0.61`, `-3`, `0.034`.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(&self.digits(0))
    }
}

impl FromStr for Money {
    type Err = ParseError;

    /// Reads what `Display` writes: a decimal with a point.
    fn from_str(text: &str) -> Result<Self, ParseError> {
        Money::parse(text, Convention::Point)
    }
}

impl TryFrom<String> for Money {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        text.parse().map_err(|error: ParseError| error.one_line())
    }
}

impl From<Money> for String {
    fn from(money: Money) -> String {
        money.to_string()
    }
}
