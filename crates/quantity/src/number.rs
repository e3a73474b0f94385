//! Decimal numbers as people write them: point or comma, with or without grouped thousands.

use crate::error::ParseError;

/// Which character is the decimal sign of a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Convention {
    /// Not stated: taken from the number itself, and an error when that can be read two ways.
    #[default]
    Auto,
    /// `1,234.56`.
    Point,
    /// `1.234,56`.
    Comma,
}

/// A decimal number found at the start of a text.
#[derive(Debug, PartialEq)]
pub(crate) struct Decimal {
    /// ASCII digits with at most one `.`, fit for `f64` and for exact arithmetic.
    pub(crate) digits: String,
    /// Bytes taken from the text.
    pub(crate) len: usize,
}

impl Decimal {
    /// Whether it was written as digits alone, as the parts of a fraction are.
    pub(crate) fn is_plain(&self) -> bool {
        self.digits.len() == self.len && !self.digits.contains('.')
    }
}

/// What the rules of reading depend on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Reading {
    pub(crate) convention: Convention,
    /// Money: a space or an apostrophe may group thousands, and with no convention stated `1.234` is as
    /// doubtful as `1,234`. A measure written with a point is always a decimal.
    pub(crate) money: bool,
}

impl Reading {
    /// How measures are read.
    pub(crate) const MEASURE: Reading = Reading {
        convention: Convention::Auto,
        money: false,
    };
}

/// The unsigned decimal number at the start of `text`; `None` when there is no digit there.
pub(crate) fn decimal(text: &str, reading: Reading) -> Option<Result<Decimal, ParseError>> {
    let (runs, separators, len) = split(text, reading.money)?;
    let result = match decimal_sign(&runs, &separators, reading) {
        Err(()) => Err(ParseError::new(0..len, "the number can be read two ways").hint(two_readings(&runs))),
        Ok(sign) => {
            let whole = runs.len() - usize::from(sign.is_some());
            let (groups, fraction) = runs.split_at(whole);
            let grouping = &separators[..whole - 1];
            let one_kind = grouping.windows(2).all(|pair| pair[0] == pair[1]);
            let clash = sign.is_some_and(|sign| grouping.contains(&sign));
            if grouping.is_empty() || (one_kind && !clash && well_grouped(groups)) {
                let mut digits = groups.concat();
                if let [fraction] = fraction {
                    digits.push('.');
                    digits.push_str(fraction);
                }
                Ok(Decimal { digits, len })
            } else {
                Err(ParseError::new(0..len, "the digits are not grouped as a number")
                    .hint("write the number without separators of thousands, as 1234.5"))
            }
        }
    };
    Some(result)
}

/// Digit runs, the separators between them, and the bytes they take. The first run is empty in
/// `.5`.
fn split(text: &str, money: bool) -> Option<(Vec<&str>, Vec<char>, usize)> {
    let mut runs = vec![leading_digits(text)];
    let mut separators = Vec::new();
    let mut len = runs[0].len();
    while let Some(separator) = text[len..].chars().next() {
        let run = leading_digits(&text[len + separator.len_utf8()..]);
        let joins = match separator {
            '.' | ',' => !run.is_empty(),
            '\u{a0}' | '\u{202f}' | '\u{2009}' => run.len() == 3,
            ' ' | '\'' | '’' => money && run.len() == 3,
            _ => false,
        };
        if !joins || (len == 0 && !matches!(separator, '.' | ',')) {
            break;
        }
        separators.push(separator);
        runs.push(run);
        len += separator.len_utf8() + run.len();
    }
    (len > 0).then_some((runs, separators, len))
}

fn leading_digits(text: &str) -> &str {
    let end = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    &text[..end]
}

/// The decimal sign among the separators: the last of them or none. `Err` when that is doubtful.
fn decimal_sign(runs: &[&str], separators: &[char], reading: Reading) -> Result<Option<char>, ()> {
    let Some(&last) = separators.last() else {
        return Ok(None);
    };
    let stated = match reading.convention {
        Convention::Point => '.',
        Convention::Comma => ',',
        Convention::Auto => {
            let alone = separators.iter().filter(|sep| **sep == last).count() == 1;
            let sign = (matches!(last, '.' | ',') && alone).then_some(last);
            let doubted = last == ',' || reading.money;
            let doubtful = separators.len() == 1 && doubted && well_grouped(runs);
            return if sign.is_some() && doubtful { Err(()) } else { Ok(sign) };
        }
    };
    Ok((last == stated).then_some(stated))
}

/// Whether the runs are a number in groups of thousands: `1`, `234`, `567`, but not `0`, `400`.
fn well_grouped(runs: &[&str]) -> bool {
    match runs {
        [first, rest @ ..] => {
            (1..=3).contains(&first.len()) && !first.starts_with('0') && rest.iter().all(|run| run.len() == 3)
        }
        [] => false,
    }
}

fn two_readings(runs: &[&str]) -> String {
    format!("write {} or {}", runs.join("."), runs.concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(text: &str) -> Option<Result<(String, usize), String>> {
        read(text, Reading::MEASURE)
    }

    fn read(text: &str, reading: Reading) -> Option<Result<(String, usize), String>> {
        decimal(text, reading).map(|found| found.map(|d| (d.digits, d.len)).map_err(|bad| bad.message))
    }

    #[test]
    fn takes_digits_and_the_decimal_sign_only() {
        for (text, digits, len) in [
            ("12", "12", 2),
            ("0.4 mm", "0.4", 3),
            ("0,4mm", "0.4", 3),
            (".5", ".5", 2),
            (",5", ".5", 2),
            ("5.", "5", 1),
            ("5, then", "5", 1),
            ("12 300 G", "12", 2),
            ("12\u{202f}300 G", "12300", 8),
            ("12\u{a0}30 G", "12", 2),
            ("6'100", "6", 1),
            ("0,400", "0.400", 5),
            ("1234,567", "1234.567", 8),
            ("1.250", "1.250", 5),
            ("1\u{2009}234,567", "1234.567", 11),
            ("1,234.5", "1234.5", 7),
            ("1.234,5", "1234.5", 7),
            ("1,234,567", "1234567", 9),
        ] {
            assert_eq!(measure(text), Some(Ok((digits.to_owned(), len))), "{text}");
        }
    }

    #[test]
    fn refuses_what_it_cannot_be_sure_of() {
        let (two_ways, grouping) = (
            "the number can be read two ways",
            "the digits are not grouped as a number",
        );
        for (text, message) in [
            ("1,234", two_ways),
            ("12,700 mm", two_ways),
            ("10,20,30", grouping),
            ("1.2.3", grouping),
            ("1,234.5,6", grouping),
            ("1234,567.8", grouping),
            ("1,234\u{202f}567", grouping),
        ] {
            assert_eq!(measure(text), Some(Err(message.to_owned())), "{text}");
        }
        for text in ["", "x", ".", "-1", ",", "\u{202f}123"] {
            assert_eq!(measure(text), None, "{text}");
        }
    }

    #[test]
    fn only_money_is_grouped_by_spaces_and_apostrophes() {
        let money = Reading {
            convention: Convention::Auto,
            money: true,
        };
        assert_eq!(read("6'100.5", money), Some(Ok(("6100.5".to_owned(), 7))));
        assert_eq!(read("6 100,5", money), Some(Ok(("6100.5".to_owned(), 7))));
        assert_eq!(
            read("1.250", money),
            Some(Err("the number can be read two ways".to_owned()))
        );
    }
}
