//! Quantities in JSON and the like: written as the SI number, read from that or from text.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer, ser};

use crate::kind::Kind;
use crate::parse::parse;
use crate::si::{FieldStrength, FluxDensity, Force, Length, Mass, Quantity, Temperature};

fn write<Q: Quantity, S: Serializer>(quantity: Q, serializer: S) -> Result<S::Ok, S::Error> {
    let si = quantity.si();
    if !si.is_finite() {
        return Err(ser::Error::custom(format!(
            "the {} is not finite: {si}",
            Q::KIND.name()
        )));
    }
    serializer.serialize_f64(si)
}

struct NumberOrText<Q>(PhantomData<Q>);

impl<Q: Quantity> Visitor<'_> for NumberOrText<Q> {
    type Value = Q;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "a {} as an SI number or as text with a unit", Q::KIND.name())
    }

    fn visit_f64<E: de::Error>(self, si: f64) -> Result<Q, E> {
        if !si.is_finite() || (Q::KIND == Kind::Temperature && si < 0.0) {
            return Err(E::custom(format!("no {} has the SI value {si}", Q::KIND.name())));
        }
        Ok(Q::from_si(si))
    }

    fn visit_i64<E: de::Error>(self, si: i64) -> Result<Q, E> {
        self.visit_f64(si as f64)
    }

    fn visit_u64<E: de::Error>(self, si: u64) -> Result<Q, E> {
        self.visit_f64(si as f64)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
        parse(text).map_err(|error| E::custom(error.one_line()))
    }
}

macro_rules! serial {
    ($($name:ident)*) => {$(
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                write(*self, serializer)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_any(NumberOrText(PhantomData))
            }
        }
    )*};
}

serial! { Length FluxDensity FieldStrength Force Mass Temperature }

#[cfg(test)]
mod tests {
    use serde::de::IntoDeserializer;
    use serde::de::value::{Error, F64Deserializer};

    use super::*;

    #[test]
    fn writes_si_and_reads_si_or_text() {
        assert_eq!(serde_json::to_string(&Length(0.006)).unwrap(), "0.006");
        for json in ["0.006", "\"6 mm\"", "\"6mm\""] {
            assert_eq!(serde_json::from_str::<Length>(json).unwrap(), Length(0.006), "{json}");
        }
        assert_eq!(serde_json::from_str::<Force>("2").unwrap(), Force(2.0));
        assert_eq!(serde_json::from_str::<Force>("-2").unwrap(), Force(-2.0));
        let hot = serde_json::from_str::<Temperature>("\"80 °C\"").unwrap();
        assert_eq!(hot, Temperature(353.15));
    }

    #[test]
    fn refuses_with_the_reason() {
        for (json, message) in [
            ("\"6\"", "the unit is missing (use mm, cm, m, µm, in, mil or ft)"),
            ("\"6 kg\"", "kg is a unit of mass, expected a length"),
            ("true", "expected a length as an SI number or as text with a unit"),
            ("1e999", "number out of range"),
        ] {
            let error = serde_json::from_str::<Length>(json).unwrap_err().to_string();
            assert!(error.contains(message), "{json}: {error}");
        }
        assert!(serde_json::from_str::<Temperature>("-1").is_err());
    }

    #[test]
    fn nothing_that_is_not_finite_passes() {
        for si in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let source: F64Deserializer<Error> = si.into_deserializer();
            assert!(Length::deserialize(source).is_err());
            assert!(serde_json::to_string(&Length(si)).is_err());
        }
    }
}
