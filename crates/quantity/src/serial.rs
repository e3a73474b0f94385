//! Quantities in JSON and the like: written as the SI number, read from that or from text.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize, Serializer, ser};

use crate::kind::{FieldStrength, FluxDensity, Force, Kind, Length, Mass, Quantity, Temperature};
use crate::parse::parse;

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
