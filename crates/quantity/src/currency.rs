//! Currencies: their codes, and how amounts in the usual ones are printed.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::error::excerpt;

/// A currency by its ISO 4217 code.
///
/// Any code of three letters is accepted; those in the built-in table print with their symbol, the
/// others with the code.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Currency([u8; 3]);

/// Text that names no currency.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CurrencyError {
    /// Neither a code nor a symbol.
    #[error("expected a currency code of three letters, such as EUR or USD, got `{0}`")]
    Unknown(String),
    /// A symbol that several currencies share.
    #[error("`{symbol}` can be {codes}: write the code")]
    Shared {
        /// The symbol.
        symbol: String,
        /// The codes it can stand for.
        codes: &'static str,
    },
}

/// How amounts in a currency are printed.
struct Custom {
    code: &'static str,
    symbol: &'static str,
    decimals: u8,
    place: Place,
}

/// Where the symbol stands.
#[derive(Clone, Copy)]
pub(crate) enum Place {
    /// `£0.61`.
    Before,
    /// `€ 0.61`.
    BeforeWithSpace,
    /// `0.61 zł`.
    After,
}

const fn custom(code: &'static str, symbol: &'static str, decimals: u8, place: Place) -> Custom {
    Custom {
        code,
        symbol,
        decimals,
        place,
    }
}

/// Decimals by ISO 4217; symbols and their places are common practice, no source.
const CUSTOMS: &[Custom] = &[
    custom("EUR", "€", 2, Place::BeforeWithSpace),
    custom("USD", "$", 2, Place::Before),
    custom("GBP", "£", 2, Place::Before),
    custom("CHF", "CHF", 2, Place::BeforeWithSpace),
    custom("SEK", "kr", 2, Place::After),
    custom("NOK", "kr", 2, Place::After),
    custom("DKK", "kr", 2, Place::After),
    custom("PLN", "zł", 2, Place::After),
    custom("CZK", "Kč", 2, Place::After),
    custom("HUF", "Ft", 2, Place::After),
    custom("RON", "lei", 2, Place::After),
    custom("TRY", "₺", 2, Place::Before),
    custom("UAH", "₴", 2, Place::After),
    custom("ILS", "₪", 2, Place::Before),
    custom("INR", "₹", 2, Place::Before),
    custom("CNY", "CN¥", 2, Place::Before),
    custom("JPY", "¥", 0, Place::Before),
    custom("KRW", "₩", 0, Place::Before),
    custom("CAD", "CA$", 2, Place::Before),
    custom("AUD", "A$", 2, Place::Before),
    custom("NZD", "NZ$", 2, Place::Before),
    custom("SGD", "S$", 2, Place::Before),
    custom("HKD", "HK$", 2, Place::Before),
    custom("MXN", "MX$", 2, Place::Before),
    custom("BRL", "R$", 2, Place::BeforeWithSpace),
    custom("ZAR", "R", 2, Place::BeforeWithSpace),
];

/// Symbols that are used for more than one currency where they are at home.
const SHARED: &[(&str, &str)] = &[
    ("$", "USD, CAD, AUD and others"),
    ("kr", "SEK, NOK or DKK"),
    ("¥", "JPY or CNY"),
    ("R", "ZAR and others"),
];

impl Currency {
    /// Euro.
    pub const EUR: Currency = Currency(*b"EUR");
    /// United States dollar.
    pub const USD: Currency = Currency(*b"USD");
    /// Pound sterling.
    pub const GBP: Currency = Currency(*b"GBP");

    /// The ISO 4217 code.
    pub fn code(&self) -> &str {
        // Both constructors take ASCII letters only.
        std::str::from_utf8(&self.0).unwrap_or("XXX")
    }

    /// The symbol, or the code when none is known.
    pub fn symbol(&self) -> &str {
        self.custom().map_or(self.code(), |custom| custom.symbol)
    }

    /// The symbols of the currencies that have one.
    pub fn symbols() -> impl Iterator<Item = &'static str> {
        CUSTOMS.iter().map(|custom| custom.symbol)
    }

    /// Decimals of the smallest coin; 2 for currencies not in the table.
    pub fn decimals(&self) -> u8 {
        self.custom().map_or(2, |custom| custom.decimals)
    }

    pub(crate) fn place(&self) -> Place {
        self.custom().map_or(Place::BeforeWithSpace, |custom| custom.place)
    }

    fn custom(&self) -> Option<&'static Custom> {
        CUSTOMS.iter().find(|custom| custom.code == self.code())
    }
}

impl FromStr for Currency {
    type Err = CurrencyError;

    /// Reads a code in any case, or a symbol that stands for one currency.
    fn from_str(text: &str) -> Result<Self, CurrencyError> {
        let text = text.trim();
        if let Some((symbol, codes)) = SHARED.iter().find(|(symbol, _)| *symbol == text) {
            return Err(CurrencyError::Shared {
                symbol: (*symbol).to_owned(),
                codes,
            });
        }
        let by_symbol = CUSTOMS.iter().find(|custom| custom.symbol == text);
        let code = by_symbol.map_or(text, |custom| custom.code);
        match *code.as_bytes() {
            [a, b, c] if [a, b, c].iter().all(u8::is_ascii_alphabetic) => {
                Ok(Currency([a, b, c].map(|letter| letter.to_ascii_uppercase())))
            }
            _ => Err(CurrencyError::Unknown(excerpt(text))),
        }
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(self.code())
    }
}

impl fmt::Debug for Currency {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "Currency({})", self.code())
    }
}

impl TryFrom<String> for Currency {
    type Error = CurrencyError;

    fn try_from(text: String) -> Result<Self, CurrencyError> {
        text.parse()
    }
}

impl From<Currency> for String {
    fn from(currency: Currency) -> String {
        currency.code().to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_codes_and_symbols_of_one_currency() {
        for (text, code) in [
            ("EUR", "EUR"),
            ("eur", "EUR"),
            (" € ", "EUR"),
            ("£", "GBP"),
            ("zł", "PLN"),
            ("xyz", "XYZ"),
        ] {
            assert_eq!(text.parse::<Currency>().unwrap().code(), code, "{text}");
        }
    }

    #[test]
    fn refuses_what_names_none_or_several() {
        for text in ["", "EU", "EURO", "12A", "éé"] {
            assert!(
                matches!(text.parse::<Currency>(), Err(CurrencyError::Unknown(_))),
                "{text}"
            );
        }
        let shared = "kr".parse::<Currency>().unwrap_err();
        assert_eq!(shared.to_string(), "`kr` can be SEK, NOK or DKK: write the code");
    }

    #[test]
    fn every_symbol_leads_back_to_its_code_or_is_shared() {
        for custom in CUSTOMS {
            match custom.symbol.parse::<Currency>() {
                Ok(currency) => assert_eq!(currency.code(), custom.code),
                Err(error) => assert!(matches!(error, CurrencyError::Shared { .. }), "{error}"),
            }
        }
    }

    #[test]
    fn json_is_the_code() {
        assert_eq!(serde_json::to_string(&Currency::EUR).unwrap(), "\"EUR\"");
        assert_eq!(serde_json::from_str::<Currency>("\"usd\"").unwrap(), Currency::USD);
        assert!(serde_json::from_str::<Currency>("\"dollar\"").is_err());
    }
}
