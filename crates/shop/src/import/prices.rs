//! Prices by quantity.

use advice::PriceBreak;
use quantity::{Convention, Currency, Money};

use super::decimal;
use super::table::Cell;
use super::value::{Misfit, Read, is_blank, not_computed, number_text, sound, without_pieces};
use super::vocabulary::vocabulary;

/// An amount in the shop's currency for `per` pieces, as the price of one.
pub(crate) fn price(cell: &Cell, per: u64, currency: Currency, convention: Convention) -> Read<Money> {
    let right = "an amount such as 0.61";
    let amount = match sound(cell, "price")? {
        Cell::FormulaZero => return Err(not_computed()),
        // A float of a workbook is rounded to the parts that money is counted in.
        Cell::Number(number) if number.abs() < 1e9 => Money::from_parts((number * 1e4).round() as i64),
        Cell::Number(_) => return Err(Misfit::new("the price is too large", right)),
        Cell::Text(text) if !is_blank(text) => {
            // "3.90 / 10 pcs": the pieces that it is for stand beside it.
            if let Some((amount, pieces)) = text.rsplit_once('/')
                && let Some(own) = decimal::whole(without_pieces(pieces.trim())).filter(|own| *own >= 1)
            {
                return price(&Cell::text(amount), own, currency, convention);
            }
            if vocabulary().is_no_price(text) {
                return Ok(None);
            }
            let text = vocabulary().bare_price(number_text(text, "price")?);
            if let Some(hundredths) = vocabulary().hundredths(text, currency.code()) {
                return price(&Cell::text(hundredths), per.saturating_mul(100), currency, convention);
            }
            let pointed = symbol_for_point(text);
            let convention = pointed.as_ref().map_or(convention, |_| Convention::Point);
            let text = without_shared_symbol(pointed.as_deref().unwrap_or(text), currency);
            let (amount, stated) = Money::parse_with_currency(text, convention)
                .map_err(|error| Misfit::new(error.to_string(), error.hint.unwrap_or_else(|| right.to_owned())))?;
            if let Some(stated) = stated.filter(|stated| *stated != currency) {
                return Err(Misfit::new(
                    format!("the price is in {stated}, but the shop sells in {currency}"),
                    format!("the price in {currency}"),
                ));
            }
            amount
        }
        _ => return Ok(None),
    };
    let per = i64::try_from(per.max(1)).unwrap_or(i64::MAX);
    let each = amount.parts() / per + i64::from(amount.parts() % per >= per - per / 2);
    if amount.parts() < 0 {
        Err(Misfit::new("the price must not be negative", right))
    } else if each == 0 {
        Err(Misfit::new(
            "the price must be greater than 0",
            "an amount such as 0.61, or nothing where there is no price",
        ))
    } else {
        Ok(Some(Money::from_parts(each)))
    }
}

/// `1€95` with the symbol behind and a point in its place; `None` for a price that is written otherwise.
fn symbol_for_point(text: &str) -> Option<String> {
    let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
    let (symbol, (whole, hundredths)) = ['€', '£', '$']
        .iter()
        .find_map(|symbol| Some((symbol, text.split_once(*symbol)?)))?;
    (digits(whole) && digits(hundredths) && hundredths.len() == 2).then(|| format!("{whole}.{hundredths} {symbol}"))
}

/// A symbol that several currencies share means the shop's own, where it is one of them: `$ 0.61` in a shop that
/// sells in USD, `12 kr` in one that sells in SEK.
fn without_shared_symbol(text: &str, currency: Currency) -> &str {
    let text = text.trim();
    let symbol = match currency.code() {
        "USD" | "CAD" | "AUD" | "NZD" | "SGD" | "HKD" | "MXN" => "$",
        "SEK" | "NOK" | "DKK" => "kr",
        "JPY" | "CNY" => "¥",
        "ZAR" => "R",
        _ => return text,
    };
    text.strip_prefix(symbol)
        .or_else(|| text.strip_suffix(symbol))
        .unwrap_or(text)
        .trim()
}

/// Breaks in rising order from the least order on: where that lies between two breaks, the price of the lower holds.
pub(crate) fn from_least_order(mut breaks: Vec<PriceBreak>, least: Option<u64>) -> Vec<PriceBreak> {
    breaks.sort_by_key(|step| step.from);
    let Some(least) = least.filter(|least| *least > 1) else {
        return breaks;
    };
    let covering = breaks.iter().rposition(|step| step.from <= least);
    if let Some(at) = covering {
        breaks.drain(..at);
    }
    if let Some(first) = breaks.first_mut() {
        first.from = least;
    }
    breaks
}

/// The first break whose price is above the one before it.
pub(crate) fn first_rise(breaks: &[PriceBreak]) -> Option<(PriceBreak, PriceBreak)> {
    breaks.windows(2).find_map(|pair| match pair {
        [before, after] if after.each > before.each => Some((*before, *after)),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn euro(text: &str) -> Read<Money> {
        price(&Cell::text(text), 1, Currency::EUR, Convention::Auto)
    }

    fn step(from: u64, parts: i64) -> PriceBreak {
        PriceBreak {
            from,
            each: Money::from_parts(parts),
        }
    }

    #[test]
    fn prices_as_people_write_them() {
        for (text, parts) in [
            ("1€95", 19_500),
            ("0,16 € HT", 1_600),
            ("€ 0.91 ea", 9_100),
            ("42 ct", 4_200),
        ] {
            assert_eq!(euro(text), Ok(Some(Money::from_parts(parts))), "{text}");
        }
        let comma = price(&Cell::text("1€95"), 1, Currency::EUR, Convention::Comma);
        assert_eq!(comma, Ok(Some(Money::from_parts(19_500))));
        let pound = |text: &str| price(&Cell::text(text), 1, Currency::GBP, Convention::Auto);
        assert_eq!(pound("42p"), Ok(Some(Money::from_parts(4_200))));
        assert!(euro("42p").is_err());
        for text in ["POA", "auf Anfrage", "sur devis"] {
            assert_eq!(euro(text), Ok(None), "{text}");
        }
        for text in ["1€9", "0,16 € TTC", "p"] {
            assert!(euro(text).is_err(), "{text}");
        }
    }

    #[test]
    fn amounts_in_the_currency_of_the_shop() {
        for text in ["0.61", "0,61", "€ 0.61", "0,61 €", "EUR 0.61", "0.61 EUR"] {
            assert_eq!(euro(text), Ok(Some(Money::from_parts(6_100))), "{text}");
        }
        assert_eq!(euro(""), Ok(None));
        assert_eq!(euro("n/a"), Ok(None));
        assert_eq!(
            euro("£0.61").unwrap_err().wrong,
            "the price is in GBP, but the shop sells in EUR"
        );
        assert!(euro("-0.61").unwrap_err().wrong.contains("negative"));
        assert!(euro("0").unwrap_err().wrong.contains("greater than 0"));
        assert!(euro("cheap").is_err());
        assert_eq!(
            price(&Cell::Number(0.61), 1, Currency::EUR, Convention::Auto),
            Ok(Some(Money::from_parts(6_100)))
        );
        let dollars = price(&Cell::text("$0.61"), 1, Currency::USD, Convention::Auto);
        assert_eq!(dollars, Ok(Some(Money::from_parts(6_100))));
    }

    #[test]
    fn a_price_of_a_hundred_is_divided() {
        let hundred = price(&Cell::text("61.00"), 100, Currency::EUR, Convention::Auto);
        assert_eq!(hundred, Ok(Some(Money::from_parts(6_100))));
        for (text, parts) in [("61.05", 6_105), ("0.014", 1), ("0.015", 2), ("0.016", 2)] {
            let each = price(&Cell::text(text), 100, Currency::EUR, Convention::Auto);
            assert_eq!(each, Ok(Some(Money::from_parts(parts))), "{text}");
        }
    }

    #[test]
    fn breaks_begin_at_the_least_order() {
        let breaks = vec![step(10, 5_000), step(1, 6_000), step(100, 4_000)];
        assert_eq!(
            from_least_order(breaks.clone(), None),
            [step(1, 6_000), step(10, 5_000), step(100, 4_000)]
        );
        assert_eq!(
            from_least_order(breaks.clone(), Some(25)),
            [step(25, 5_000), step(100, 4_000)]
        );
        assert_eq!(from_least_order(breaks, Some(100)), [step(100, 4_000)]);
        assert_eq!(from_least_order(vec![step(10, 5_000)], Some(5)), [step(5, 5_000)]);
    }

    #[test]
    fn a_rise_is_found() {
        assert_eq!(first_rise(&[step(1, 6_000), step(10, 5_000)]), None);
        assert_eq!(
            first_rise(&[step(1, 5_000), step(10, 6_000)]),
            Some((step(1, 5_000), step(10, 6_000)))
        );
    }
}
