//! Exact amounts of money.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::currency::{Currency, Place};
use crate::error::{ParseError, excerpt};
use crate::number::{Convention, Decimal, Reading, decimal};

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
        let written = Written::read(text, convention)?;
        match [written.before, written.after]
            .into_iter()
            .find(|span| !span.is_empty())
        {
            None => Ok(written.money),
            Some(span) => {
                let word = excerpt(&text[span.clone()]);
                Err(ParseError::new(span, format!("unexpected `{word}` beside the amount"))
                    .hint("write the number alone, as 0.61"))
            }
        }
    }

    /// Reads an amount that may have its currency before or after it: `€ 0.61`, `0,61 EUR`, `0.61`.
    ///
    /// # Errors
    /// As [`Money::parse`], and when the currency is unknown, stated twice, or a shared symbol such
    /// as `$`.
    pub fn parse_with_currency(text: &str, convention: Convention) -> Result<(Money, Option<Currency>), ParseError> {
        let written = Written::read(text, convention)?;
        let span = match (written.before.is_empty(), written.after.is_empty()) {
            (true, true) => return Ok((written.money, None)),
            (false, true) => written.before,
            (true, false) => written.after,
            (false, false) => {
                return Err(ParseError::new(written.after, "text on both sides of the amount")
                    .hint("write the currency once: EUR 0.61 or 0.61 EUR"));
            }
        };
        match text[span.clone()].parse() {
            Ok(currency) => Ok((written.money, Some(currency))),
            Err(error) => Err(ParseError::new(span, error.to_string())),
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

/// An amount in its text: `before` and `after` are what else stands there.
struct Written {
    before: Range<usize>,
    money: Money,
    after: Range<usize>,
}

impl Written {
    fn read(text: &str, convention: Convention) -> Result<Written, ParseError> {
        let (start, number) = first_number(
            text,
            Reading {
                convention,
                money: true,
            },
        )
        .ok_or_else(|| no_amount(text))?;
        let number = number.map_err(|error| error.shifted(start))?;
        let end = start + number.len;
        let (before, negative) = unsigned(text, start);
        let after = trim(text, end..text.len());
        let money = exact(&number.digits, negative, start..end)?;
        Ok(Written { before, money, after })
    }
}

/// The first decimal in `text` and where it starts.
fn first_number(text: &str, reading: Reading) -> Option<(usize, Result<Decimal, ParseError>)> {
    text.char_indices()
        .filter(|(_, c)| c.is_ascii_digit() || matches!(c, '.' | ','))
        .find_map(|(at, _)| Some((at, decimal(&text[at..], reading)?)))
}

/// What stands before `end`, without a sign at either side, and whether the sign is a minus.
fn unsigned(text: &str, end: usize) -> (Range<usize>, bool) {
    const MINUS: [char; 2] = ['-', '−'];
    let signs = ['-', '−', '+'];
    let span = trim(text, 0..end);
    let words = &text[span.clone()];
    let (rest, sign) = match (words.strip_prefix(signs), words.strip_suffix(signs)) {
        (Some(rest), _) => (span.end - rest.len()..span.end, words.starts_with(MINUS)),
        (None, Some(rest)) => (span.start..span.start + rest.len(), words.ends_with(MINUS)),
        (None, None) => (span, false),
    };
    (trim(text, rest), sign)
}

/// The span without spaces at its ends.
fn trim(text: &str, span: Range<usize>) -> Range<usize> {
    let words = &text[span.clone()];
    let start = span.end - words.trim_start().len();
    start..start + words.trim().len()
}

fn no_amount(text: &str) -> ParseError {
    let span = trim(text, 0..text.len());
    let got = match &text[span.clone()] {
        "" => "nothing".to_owned(),
        words => format!("`{}`", excerpt(words)),
    };
    ParseError::new(span, format!("expected an amount of money, got {got}")).hint("write it as 0.61")
}

/// The amount of canonical digits that stand at `span`.
fn exact(digits: &str, negative: bool, span: Range<usize>) -> Result<Money, ParseError> {
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let fraction = fraction.trim_end_matches('0');
    if fraction.len() > usize::from(DECIMALS) {
        return Err(ParseError::new(span, "more than four decimals in an amount of money")
            .hint("state the price of 100 or 1000 pieces"));
    }
    let sign = if negative { "-" } else { "" };
    let parts = format!("{sign}{whole}{fraction:0<4}").parse();
    parts
        .map(Money)
        .map_err(|_| ParseError::new(span, MoneyError.to_string()))
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn auto(text: &str) -> Result<Money, ParseError> {
        Money::parse(text, Convention::Auto)
    }

    #[test]
    fn reads_amounts_exactly() {
        for (text, parts) in [
            ("0.61", 6_100),
            ("0,61", 6_100),
            (" 12 ", 120_000),
            (".5", 5_000),
            ("-3", -30_000),
            ("−0.0001", -1),
            ("+1.50", 15_000),
            ("0.034", 340),
            ("1.234,56", 12_345_600),
            ("1,234.56", 12_345_600),
            ("1 234,56", 12_345_600),
            ("1\u{202f}234,56", 12_345_600),
            ("1'234.50", 12_345_000),
            ("1’234’567", 12_345_670_000),
            ("1,234,567", 12_345_670_000),
            ("0.610000", 6_100),
            ("922337203685477.5807", i64::MAX),
            ("-922337203685477.5808", i64::MIN),
        ] {
            assert_eq!(auto(text), Ok(Money(parts)), "{text}");
        }
    }

    #[test]
    fn a_stated_convention_settles_the_thousands() {
        assert_eq!(Money::parse("1,234", Convention::Point), Ok(Money(12_340_000)));
        assert_eq!(Money::parse("1,234", Convention::Comma), Ok(Money(12_340)));
        assert_eq!(Money::parse("1.234", Convention::Point), Ok(Money(12_340)));
        assert_eq!(Money::parse("1.234", Convention::Comma), Ok(Money(12_340_000)));
        assert!(Money::parse("0,61", Convention::Point).is_err());
        assert!(Money::parse("0.61", Convention::Comma).is_err());
    }

    #[test]
    fn refuses_with_place_and_reason() {
        for (text, span, message, hint) in [
            (
                "",
                0..0,
                "expected an amount of money, got nothing",
                Some("write it as 0.61"),
            ),
            (
                " free ",
                1..5,
                "expected an amount of money, got `free`",
                Some("write it as 0.61"),
            ),
            (
                "1,234",
                0..5,
                "the number can be read two ways",
                Some("write 1.234 or 1234"),
            ),
            (
                "1.234",
                0..5,
                "the number can be read two ways",
                Some("write 1.234 or 1234"),
            ),
            (
                "0.00001",
                0..7,
                "more than four decimals in an amount of money",
                Some("state the price of 100 or 1000 pieces"),
            ),
            ("922337203685477.5808", 0..20, "the amount of money is too large", None),
            (
                "2 EUR",
                2..5,
                "unexpected `EUR` beside the amount",
                Some("write the number alone, as 0.61"),
            ),
            (
                "€ 2",
                0..3,
                "unexpected `€` beside the amount",
                Some("write the number alone, as 0.61"),
            ),
            (
                "1,23,4.5",
                0..8,
                "the digits are not grouped as a number",
                Some("write the number without separators of thousands, as 1234.5"),
            ),
        ] {
            let error = auto(text).unwrap_err();
            assert_eq!(
                (error.span, error.message.as_str(), error.hint.as_deref()),
                (span, message, hint),
                "{text}"
            );
        }
    }

    #[test]
    fn reads_the_currency_on_either_side() {
        let read = |text| Money::parse_with_currency(text, Convention::Auto);
        assert_eq!(read("€ 0.61"), Ok((Money(6_100), Some(Currency::EUR))));
        assert_eq!(read("0,61 EUR"), Ok((Money(6_100), Some(Currency::EUR))));
        assert_eq!(read("−£0.61"), Ok((Money(-6_100), Some(Currency::GBP))));
        assert_eq!(read("usd -.50"), Ok((Money(-5_000), Some(Currency::USD))));
        assert_eq!(read("0.61"), Ok((Money(6_100), None)));
        let shared = read("$5").unwrap_err();
        assert_eq!(shared.span, 0..1);
        assert_eq!(shared.message, "`$` can be USD, CAD, AUD and others: write the code");
        assert_eq!(read("EUR 5 EUR").unwrap_err().span, 6..9);
        assert_eq!(read("5 each").unwrap_err().span, 2..6);
    }

    #[test]
    fn prints_with_the_decimals_it_needs() {
        let yen = "JPY".parse().unwrap();
        let krona = "SEK".parse().unwrap();
        let unlisted = "XYZ".parse().unwrap();
        for (parts, currency, text) in [
            (6_100, Currency::EUR, "€\u{a0}0.61"),
            (340, Currency::EUR, "€\u{a0}0.034"),
            (120_000, Currency::USD, "$12.00"),
            (-6_100, Currency::GBP, "−£0.61"),
            (120_000, yen, "¥12"),
            (125_000, yen, "¥12.5"),
            (120_000, krona, "12.00\u{a0}kr"),
            (1, unlisted, "XYZ\u{a0}0.0001"),
            (i64::MIN, Currency::USD, "−$922337203685477.5808"),
        ] {
            assert_eq!(Money(parts).show(currency), text);
        }
        assert_eq!(Money(-30_000).to_string(), "-3");
        assert_eq!(Money(340).to_string(), "0.034");
    }

    #[test]
    fn arithmetic_is_exact_or_an_error() {
        assert_eq!(Money(341).times(200), Ok(Money(68_200)));
        assert_eq!(Money(2).times(u64::MAX), Err(MoneyError));
        assert_eq!(Money(i64::MAX).times(2), Err(MoneyError));
        assert_eq!(Money(i64::MAX).plus(Money(1)), Err(MoneyError));
        assert_eq!(Money(1).minus(Money(3)), Ok(Money(-2)));
        assert_eq!(Money(i64::MIN).minus(Money(1)), Err(MoneyError));
    }

    #[test]
    fn rounds_halves_away_from_zero_to_coins() {
        let yen = "JPY".parse().unwrap();
        for (parts, currency, rounded) in [
            (1_023, Currency::EUR, 1_000),
            (1_050, Currency::EUR, 1_100),
            (-1_050, Currency::EUR, -1_100),
            (1_049, Currency::EUR, 1_000),
            (5_000, yen, 10_000),
            (4_999, yen, 0),
            (i64::MAX, Currency::EUR, i64::MAX - 7),
            (i64::MAX, yen, i64::MAX),
        ] {
            assert_eq!(Money(parts).rounded(currency), Money(rounded), "{parts}");
        }
    }

    #[test]
    fn json_is_a_decimal_string() {
        assert_eq!(serde_json::to_string(&Money(340)).unwrap(), "\"0.034\"");
        assert_eq!(serde_json::from_str::<Money>("\"1.234\"").unwrap(), Money(12_340));
        assert!(serde_json::from_str::<Money>("\"0,61\"").is_err());
        assert!(serde_json::from_str::<Money>("0.61").is_err());
    }

    proptest! {
        #[test]
        fn any_amount_survives_its_own_text(parts: i64) {
            prop_assert_eq!(Money(parts).to_string().parse(), Ok(Money(parts)));
            let shown = Money(parts).show(Currency::EUR);
            let read = Money::parse_with_currency(&shown, Convention::Point);
            prop_assert_eq!(read, Ok((Money(parts), Some(Currency::EUR))));
        }

        #[test]
        fn any_text_is_read_or_refused_in_place(text in "\\PC*|[-+0-9.,'’ €$A-Z\u{a0}−]*") {
            for convention in [Convention::Auto, Convention::Point, Convention::Comma] {
                if let Err(error) = Money::parse_with_currency(&text, convention) {
                    prop_assert!(text.get(error.span.clone()).is_some());
                    prop_assert!(error.caret(&text).contains('^'));
                }
                let _ = Money::parse(&text, convention);
            }
        }
    }
}
