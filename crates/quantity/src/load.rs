//! What a magnet has to hold, as people state it: a mass or a force.

use serde::{Deserialize, Serialize};

use crate::error::ParseError;
use crate::kind::{Force, Kind, Mass, Quantity};
use crate::lex::{self, Token};
use crate::parse;
use crate::show::Shown;
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
        let token = match lex::token(text)? {
            Ok(token) => token,
            Err(error) => return Some(Err(error)),
        };
        let end = token.end();
        Some(load(text, token).map(|load| (load, end)))
    }

    /// The force of the load: the force itself, or the weight of the mass under
    /// [`STANDARD_GRAVITY`](crate::STANDARD_GRAVITY).
    pub fn force(self) -> Force {
        match self {
            Load::Mass(mass) => mass.weight(),
            Load::Force(force) => force,
        }
    }

    /// The load as text in the reader's units, a mass as a mass and a force as a force.
    pub fn show(self, units: &Units) -> Shown {
        match self {
            Load::Mass(mass) => mass.show(units),
            Load::Force(force) => force.show(units),
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

/// The forms in which a load is read.
#[derive(Deserialize)]
#[serde(untagged)]
enum Written {
    Text(String),
    Parts(Parts),
}

#[derive(Deserialize)]
enum Parts {
    #[serde(rename = "mass_kg")]
    Mass(Mass),
    #[serde(rename = "force_n")]
    Force(Force),
}

impl<'de> Deserialize<'de> for Load {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match Written::deserialize(deserializer)? {
            Written::Text(text) => Load::parse(&text).map_err(|error| serde::de::Error::custom(error.one_line())),
            Written::Parts(Parts::Mass(mass)) => Ok(Load::Mass(mass)),
            Written::Parts(Parts::Force(force)) => Ok(Load::Force(force)),
        }
    }
}
