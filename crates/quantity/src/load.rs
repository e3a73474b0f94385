//! What a magnet has to hold, as people state it: a mass or a force.

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{self, Visitor};
use serde::{Deserialize, Deserializer, Serialize};

use crate::error::ParseError;
use crate::kind::Kind;
use crate::lex::{self, Token};
use crate::parse;
use crate::show::Shown;
use crate::si::{Force, Mass, Quantity};
use crate::units::Units;

/// A load: a mass that hangs, or a force that pulls.
///
/// Serialised as `{"mass_kg": 2.0}` or `{"force_n": 20.0}`; read from either, with a number in SI
/// or a string with a unit, or from a string such as `"2 kg"` alone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub enum Load {
    /// A mass under standard gravity.
    #[serde(rename = "mass_kg")]
    Mass(Mass),
    /// A force.
    #[serde(rename = "force_n")]
    Force(Force),
}

const NAME: &str = "mass or force";
const UNITS: &str = "kg, g, lb, oz, N, kgf or lbf";

impl Load {
    /// Reads the whole of `text`: `2 kg`, `20 N`, `5 lbf`.
    ///
    /// # Errors
    /// As [`parse`](crate::parse()), for a unit of mass or force.
    pub fn parse(text: &str) -> Result<Load, ParseError> {
        parse::whole(text, NAME, UNITS, |token| load(text, token))
    }

    /// Reads a load at the start of `text` and says how many bytes it took, as
    /// [`scan`](crate::scan()).
    pub fn scan(text: &str) -> Option<Result<(Load, usize), ParseError>> {
        parse::start(text, |token| load(text, token))
    }

    /// The force of the load: the force itself, or the weight of the mass under
    /// [`STANDARD_GRAVITY`](crate::STANDARD_GRAVITY).
    pub fn force(self) -> Force {
        match self {
            Load::Mass(mass) => mass.weight(),
            Load::Force(force) => force,
        }
    }

    /// The load as whoever gave it would say it, a mass as a mass and a force as a force; see
    /// [`Quantity::show_given`](crate::Quantity::show_given).
    pub fn show(self, units: &Units) -> Shown {
        match self {
            Load::Mass(mass) => mass.show_given(units),
            Load::Force(force) => force.show_given(units),
        }
    }
}

fn load(text: &str, token: Token) -> Result<Load, ParseError> {
    let Some((unit, span)) = token.unit.clone() else {
        return Err(lex::no_unit(text, &token, UNITS));
    };
    let si = parse::si(&token, unit)?;
    match unit.kind() {
        Kind::Mass => Ok(Load::Mass(Mass(si))),
        Kind::Force => Ok(Load::Force(Force(si))),
        _ => Err(parse::wrong_kind(unit, span, NAME, UNITS)),
    }
}

/// The object form of a load.
#[derive(Deserialize)]
enum Parts {
    #[serde(rename = "mass_kg")]
    Mass(Mass),
    #[serde(rename = "force_n")]
    Force(Force),
}

struct TextOrParts;

impl<'de> Visitor<'de> for TextOrParts {
    type Value = Load;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a load as text with a unit, as {\"mass_kg\": 2} or as {\"force_n\": 20}")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Load, E> {
        Load::parse(text).map_err(|error| E::custom(error.one_line()))
    }

    fn visit_map<A: de::MapAccess<'de>>(self, map: A) -> Result<Load, A::Error> {
        Ok(match Parts::deserialize(MapAccessDeserializer::new(map))? {
            Parts::Mass(mass) => Load::Mass(mass),
            Parts::Force(force) => Load::Force(force),
        })
    }
}

impl<'de> Deserialize<'de> for Load {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TextOrParts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_masses_and_forces() {
        assert_eq!(Load::parse("2 kg"), Ok(Load::Mass(Mass(2.0))));
        assert_eq!(Load::parse("20N"), Ok(Load::Force(Force(20.0))));
        assert_eq!(Load::scan("2 kg hanging"), Some(Ok((Load::Mass(Mass(2.0)), 4))));
        assert_eq!(Load::scan("hanging"), None);
        assert_eq!(Load::scan("1,234 kg").map(|found| found.is_err()), Some(true));
    }

    #[test]
    fn refuses_the_rest_with_a_way_out() {
        let error = Load::parse("6 mm").unwrap_err();
        assert_eq!(error.span, 2..4);
        assert_eq!(error.message, "mm is a unit of length, expected a mass or force");
        assert_eq!(error.hint.as_deref(), Some("use kg, g, lb, oz, N, kgf or lbf"));
        assert_eq!(Load::parse("6").unwrap_err().message, "the unit is missing");
    }

    #[test]
    fn a_mass_pulls_with_its_weight() {
        assert_eq!(Load::Mass(Mass(2.0)).force(), Force(19.6133));
        assert_eq!(Load::Force(Force(20.0)).force(), Force(20.0));
    }

    #[test]
    fn shows_what_was_stated() {
        let units = Units::metric();
        assert_eq!(Load::Mass(Mass(2.0)).show(&units).to_string(), "2\u{a0}kg");
        assert_eq!(Load::Force(Force(20.0)).show(&units).to_string(), "20\u{a0}N");
    }

    #[test]
    fn json_forms() {
        let read = |json| serde_json::from_str::<Load>(json);
        let mass = Load::Mass(Mass(2.0));
        assert_eq!(serde_json::to_string(&mass).unwrap(), r#"{"mass_kg":2.0}"#);
        for json in [r#""2 kg""#, r#"{"mass_kg":2}"#, r#"{"mass_kg":"2000 g"}"#] {
            assert_eq!(read(json).unwrap(), mass, "{json}");
        }
        let force = Load::Force(Force(20.0));
        assert_eq!(serde_json::to_string(&force).unwrap(), r#"{"force_n":20.0}"#);
        assert_eq!(read(r#"{"force_n":20}"#).unwrap(), force);
        for (json, message) in [
            (
                r#""2 KG""#,
                "unknown unit `KG` (did you mean kG (flux density) or kg (mass)?)",
            ),
            (r#"{"mass_kg":"2 N"}"#, "N is a unit of force, expected a mass"),
            (r#"{"weight":2}"#, "unknown variant `weight`"),
            ("2", "expected a load as text with a unit"),
            ("{}", "expected"),
        ] {
            let error = read(json).unwrap_err().to_string();
            assert!(error.contains(message), "{json}: {error}");
        }
    }
}
