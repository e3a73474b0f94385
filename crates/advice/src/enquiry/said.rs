//! A quantity as a message gives it: one value, or a range.

use std::fmt;
use std::marker::PhantomData;

use quantity::{FluxDensity, Length, Load, Mass, Quantity, Temperature};
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A quantity that may stand as a range.
pub trait Sayable: Copy + PartialEq {
    /// In SI, for telling the worse of two.
    fn size(self) -> f64;
    /// Reads one value with its unit.
    ///
    /// # Errors
    /// What is wrong with the text.
    fn read(text: &str) -> Result<Self, String>;
    /// The quantity of a number in SI; `None` where its kind cannot be told or it has no such value.
    fn of_si(si: f64) -> Option<Self>;
    /// The number and the unit with which [`Self::read`] gives it back.
    fn si_text(self) -> (f64, &'static str);
}

macro_rules! sayable {
    ($($name:ident $unit:literal)*) => {$(
        impl Sayable for $name {
            fn size(self) -> f64 {
                self.si()
            }

            fn read(text: &str) -> Result<Self, String> {
                quantity::parse(text).map_err(|error| error.one_line())
            }

            fn of_si(si: f64) -> Option<Self> {
                Some(Self::from_si(si)).filter(|q| q.si().is_finite())
            }

            fn si_text(self) -> (f64, &'static str) {
                (self.si(), $unit)
            }
        }
    )*};
}

sayable! { Length "m" FluxDensity "T" Mass "kg" Temperature "K" }

impl Sayable for Load {
    fn size(self) -> f64 {
        self.force().si()
    }

    fn read(text: &str) -> Result<Self, String> {
        Self::parse(text).map_err(|error| error.one_line())
    }

    fn of_si(_: f64) -> Option<Self> {
        None
    }

    fn si_text(self) -> (f64, &'static str) {
        match self {
            Self::Mass(mass) => (mass.si(), "kg"),
            Self::Force(force) => (force.si(), "N"),
        }
    }
}

/// One value, or all between two.
///
/// In JSON text with a unit, `"3 mm"` or `"0.4..0.8 mm"`, or a number in SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Said<Q> {
    /// The lower end.
    pub low: Q,
    /// The higher end; the same for one value.
    pub high: Q,
}

impl<Q: Sayable> Said<Q> {
    /// One value.
    pub fn one(value: Q) -> Self {
        Self {
            low: value,
            high: value,
        }
    }

    /// All between two values, in either order.
    pub fn between(a: Q, b: Q) -> Self {
        if a.size() <= b.size() {
            Self { low: a, high: b }
        } else {
            Self { low: b, high: a }
        }
    }

    /// Whether it is one value.
    pub fn is_exact(&self) -> bool {
        self.low == self.high
    }

    fn read(text: &str) -> Result<Self, String> {
        let Some((low, high)) = text.split_once("..") else {
            return Q::read(text).map(Self::one);
        };
        let (low, high) = (low.trim(), high.trim());
        let high_value = Q::read(high)?;
        // The lower end takes the unit of the higher one where it has none.
        let low_value = Q::read(low).or_else(|error| {
            let unit = high.trim_start_matches(|c: char| !c.is_alphabetic() && !"°µ\"'".contains(c));
            Q::read(&format!("{low} {unit}")).map_err(|_| error)
        })?;
        Ok(Self::between(low_value, high_value))
    }
}

impl<Q: Sayable> Serialize for Said<Q> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let ((low, unit), (high, _)) = (self.low.si_text(), self.high.si_text());
        serializer.serialize_str(&if self.is_exact() {
            format!("{low} {unit}")
        } else {
            format!("{low}..{high} {unit}")
        })
    }
}

impl<'de, Q: Sayable> Deserialize<'de> for Said<Q> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NumberOrText(PhantomData))
    }
}

struct NumberOrText<Q>(PhantomData<Q>);

impl<Q: Sayable> Visitor<'_> for NumberOrText<Q> {
    type Value = Said<Q>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("text with a unit, such as \"3 mm\" or \"0.4..0.8 mm\", or a number in SI")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Said<Q>, E> {
        Said::read(text).map_err(E::custom)
    }

    fn visit_f64<E: de::Error>(self, si: f64) -> Result<Said<Q>, E> {
        Q::of_si(si)
            .map(Said::one)
            .ok_or_else(|| E::custom(format!("the number {si} needs a unit")))
    }

    fn visit_i64<E: de::Error>(self, si: i64) -> Result<Said<Q>, E> {
        self.visit_f64(si as f64)
    }

    fn visit_u64<E: de::Error>(self, si: u64) -> Result<Said<Q>, E> {
        self.visit_f64(si as f64)
    }
}

#[cfg(test)]
mod tests {
    use quantity::Force;

    use super::*;

    #[test]
    fn ranges_and_values_read_and_read_back() {
        let read = |text: &str| Said::<Length>::read(text).unwrap();
        assert_eq!(
            read("0.4..0.8 mm"),
            Said::between(Length::from_mm(0.8), Length::from_mm(0.4))
        );
        assert_eq!(read("4 mm .. 1 cm").high, Length(0.01));
        assert!(read("3 mm").is_exact());
        for text in ["0.4..0.8 mm", "1/8\"", "3 mm"] {
            let json = serde_json::to_string(&read(text)).unwrap();
            assert_eq!(
                serde_json::from_str::<Said<Length>>(&json).unwrap(),
                read(text),
                "{json}"
            );
        }
        assert_eq!(Said::<Load>::read("2..3 kg").unwrap().high, Load::Mass(Mass(3.0)));
        assert_eq!(Said::<Load>::read("20 N").unwrap().low, Load::Force(Force(20.0)));
        assert_eq!(
            Said::<Temperature>::read("-20..60 °C").unwrap().low,
            Temperature::from_celsius(-20.0)
        );
        for bad in ["", "..", "3", "3..4", "x..4 mm", "2 kg.."] {
            assert!(Said::<Length>::read(bad).is_err(), "{bad}");
        }
    }
}
