//! Coatings and platings: how thick, how hot, where they last.
//!
//! The built-in table is `data/coatings.toml`.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::names::folded;

/// Micrometres in a metre.
const MICROMETRES: f64 = 1e6;

/// How well a coating serves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rating {
    /// Do not rely on it.
    Poor,
    /// For a while, or with care.
    Fair,
    /// The usual choice.
    Good,
}

/// Where the magnet will be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Surroundings {
    /// Indoors, dry.
    Dry,
    /// Indoors with condensation, or occasional water.
    Damp,
    /// Rain, frost and sun.
    Outdoors,
    /// Touching food or drink.
    Food,
}

/// A rating and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Suitability {
    /// How well it serves.
    pub rating: Rating,
    /// Why, in a few words.
    pub reason: String,
}

/// Thickness a side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thickness {
    /// Least, m.
    pub min: f64,
    /// Usual, m.
    pub typical: f64,
    /// Most, m.
    pub max: f64,
}

/// One coating.
#[derive(Clone, Debug, PartialEq)]
pub struct Coating {
    /// Name.
    pub name: String,
    /// Other names for it.
    pub aliases: Vec<String>,
    /// Thickness a side, m.
    pub thickness: Thickness,
    /// Hours in neutral salt spray to first rust, least and most, where common practice names them.
    pub salt_spray_hours: Option<[f64; 2]>,
    /// Ceiling of service of the coating itself, °C.
    pub max_celsius: f64,
    /// Whether people with a nickel allergy should keep off.
    pub contains_nickel: bool,
    /// Friction on a smooth painted wall where it is not that of metal: least, usual and most.
    pub friction: Option<[f64; 3]>,
    /// The adhesive on one face, which lies over the listed size; `None` for a coating without one.
    pub pad: Option<Thickness>,
    /// Where the values come from.
    pub source: String,
    suitability: [Suitability; 4],
}

/// The adhesive on one face of a self-adhesive magnet, m, from transfer tape to foam: common practice, no source.
const PAD: Thickness = Thickness {
    min: 0.05e-3,
    typical: 0.2e-3,
    max: 1.0e-3,
};
/// An adhesive of that kind gives way above so many degrees: common practice, no source.
const PAD_CELSIUS: f64 = 70.0;
/// What stands behind the name of a coating with an adhesive on one face.
const WITH_PAD: &str = ", self-adhesive";

impl Coating {
    /// The same coating with an adhesive on one face.
    fn self_adhesive(&self) -> Self {
        let named = |name: &String| format!("{name}{WITH_PAD}");
        Self {
            name: named(&self.name),
            aliases: self.aliases.iter().map(named).collect(),
            max_celsius: self.max_celsius.min(PAD_CELSIUS),
            pad: Some(PAD),
            ..self.clone()
        }
    }

    /// The same coating without thickness, for what it costs.
    #[must_use]
    pub fn bare(&self) -> Self {
        let thickness = Thickness {
            min: 0.0,
            typical: 0.0,
            max: 0.0,
        };
        Self {
            thickness,
            pad: None,
            ..self.clone()
        }
    }

    /// Whether it goes by that name, without regard to case, spaces and hyphens.
    #[must_use]
    pub fn answers_to(&self, name: &str) -> bool {
        let wanted = folded(name);
        std::iter::once(&self.name)
            .chain(&self.aliases)
            .any(|name| folded(name) == wanted)
    }

    /// How well it serves in the given surroundings.
    #[must_use]
    pub fn suitability(&self, surroundings: Surroundings) -> &Suitability {
        let [dry, damp, outdoors, food] = &self.suitability;
        match surroundings {
            Surroundings::Dry => dry,
            Surroundings::Damp => damp,
            Surroundings::Outdoors => outdoors,
            Surroundings::Food => food,
        }
    }
}

/// Why a table of coatings is not acceptable.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CoatingError {
    /// The text is not TOML or lacks a field.
    #[error("coatings cannot be read: {0}")]
    Text(String),
    /// Thicknesses are not in order, or a value is out of range.
    #[error("coating {coating}: {field} must be {allowed}")]
    Value {
        /// Name of the coating.
        coating: String,
        /// Field of the row.
        field: &'static str,
        /// What would be right.
        allowed: &'static str,
    },
    /// Two rows answer to one name.
    #[error("two coatings answer to the name {0}")]
    SameName(String),
}

/// Coatings with look-up by name or alias, without regard to case, spaces and hyphens.
#[derive(Clone, Debug)]
pub struct CoatingTable {
    rows: Vec<Coating>,
    /// Each of them with an adhesive on one face.
    padded: Vec<Coating>,
}

static BUILTIN: LazyLock<Result<CoatingTable, CoatingError>> =
    LazyLock::new(|| CoatingTable::from_toml(include_str!("../data/coatings.toml")));

impl CoatingTable {
    /// The built-in coatings.
    ///
    /// # Errors
    /// [`CoatingError`] if the embedded table is defective, which its tests rule out.
    pub fn builtin() -> Result<&'static Self, CoatingError> {
        BUILTIN.as_ref().map_err(Clone::clone)
    }

    /// A table from TOML text in the form of the built-in one.
    ///
    /// # Errors
    /// [`CoatingError`] for text that cannot be read and for the first row that is not acceptable.
    pub fn from_toml(text: &str) -> Result<Self, CoatingError> {
        let file: File = toml::from_str(text).map_err(|error| CoatingError::Text(error.to_string()))?;
        let mut names = std::collections::HashSet::new();
        for row in &file.coating {
            row.validate()?;
            for name in std::iter::once(&row.name).chain(&row.aliases) {
                if !names.insert(folded(name)) {
                    return Err(CoatingError::SameName(name.clone()));
                }
            }
        }
        let rows: Vec<Coating> = file.coating.into_iter().map(Row::into_coating).collect();
        let padded = rows.iter().map(Coating::self_adhesive).collect();
        Ok(Self { rows, padded })
    }

    /// The coating of that name or alias, with an adhesive where the name ends in `, self-adhesive`.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Coating> {
        let among = if name.ends_with(WITH_PAD) {
            &self.padded
        } else {
            &self.rows
        };
        among.iter().find(|coating| coating.answers_to(name))
    }

    /// The coating of that name or alias with an adhesive on one face.
    #[must_use]
    pub fn self_adhesive(&self, name: &str) -> Option<&Coating> {
        let bare = name.strip_suffix(WITH_PAD).unwrap_or(name);
        let at = self.rows.iter().position(|coating| coating.answers_to(bare))?;
        self.padded.get(at)
    }

    /// All coatings without an adhesive, in the order of the table.
    #[must_use]
    pub fn rows(&self) -> &[Coating] {
        &self.rows
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    coating: Vec<Row>,
}

/// A coating as written, in micrometres.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    name: String,
    aliases: Vec<String>,
    thickness_um: Micrometres,
    salt_spray_hours: Option<[f64; 2]>,
    max_celsius: f64,
    contains_nickel: bool,
    friction: Option<[f64; 3]>,
    source: String,
    dry: Suitability,
    damp: Suitability,
    outdoors: Suitability,
    food: Suitability,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Micrometres {
    min: f64,
    typical: f64,
    max: f64,
}

impl Row {
    fn validate(&self) -> Result<(), CoatingError> {
        let fail = |field, allowed| {
            Err(CoatingError::Value {
                coating: self.name.clone(),
                field,
                allowed,
            })
        };
        let Micrometres { min, typical, max } = self.thickness_um;
        if !(min >= 0.0 && min <= typical && typical <= max && max <= 5000.0) {
            return fail("thickness_um", "from 0 to 5000 with min <= typical <= max");
        }
        if !(self.max_celsius > 20.0 && self.max_celsius < 2000.0) {
            return fail("max_celsius", "between 20 and 2000");
        }
        if let Some([least, most]) = self.salt_spray_hours
            && !(least > 0.0 && least <= most && most <= 1e4)
        {
            return fail("salt_spray_hours", "above 0 and at most 10000 with the least first");
        }
        if let Some([least, usual, most]) = self.friction
            && !(least > 0.0 && least <= usual && usual <= most && most <= 2.0)
        {
            return fail("friction", "above 0 and at most 2 with the least first");
        }
        if folded(&self.name).is_empty() {
            return fail("name", "a word");
        }
        Ok(())
    }

    fn into_coating(self) -> Coating {
        let Micrometres { min, typical, max } = self.thickness_um;
        Coating {
            name: self.name,
            aliases: self.aliases,
            thickness: Thickness {
                min: min / MICROMETRES,
                typical: typical / MICROMETRES,
                max: max / MICROMETRES,
            },
            salt_spray_hours: self.salt_spray_hours,
            max_celsius: self.max_celsius,
            contains_nickel: self.contains_nickel,
            friction: self.friction,
            pad: None,
            source: self.source,
            suitability: [self.dry, self.damp, self.outdoors, self.food],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_found_as_people_type_them() {
        let table = CoatingTable::builtin().expect("the built-in table is sound");
        for (typed, name) in [
            ("NiCuNi", "nickel-copper-nickel"),
            ("ni-cu-ni", "nickel-copper-nickel"),
            ("Zinc", "zinc"),
            ("Black Epoxy", "epoxy"),
            ("bare", "none"),
            ("parylene", "parylene"),
        ] {
            assert_eq!(table.get(typed).map(|c| c.name.as_str()), Some(name), "{typed}");
        }
        assert!(table.get("chocolate").is_none());
    }

    #[test]
    fn thickness_is_in_metres_and_nickel_is_flagged() {
        let table = CoatingTable::builtin().expect("the built-in table is sound");
        let nickel = table.get("NiCuNi").expect("is there");
        assert!((nickel.thickness.typical - 18e-6).abs() <= 1e-18 && nickel.contains_nickel);
        assert_eq!(nickel.suitability(Surroundings::Outdoors).rating, Rating::Poor);
        let epoxy = table.get("epoxy").expect("is there");
        assert!(epoxy.suitability(Surroundings::Damp).rating > nickel.suitability(Surroundings::Damp).rating);
        assert!(!epoxy.contains_nickel);
    }

    #[test]
    fn defects_in_a_table_are_reported() {
        let text = include_str!("../data/coatings.toml");
        let twice = format!("{text}\n{text}");
        assert!(matches!(
            CoatingTable::from_toml(&twice),
            Err(CoatingError::SameName(_))
        ));
        let unordered = text.replacen("typical = 18.0", "typical = 80.0", 1);
        assert!(matches!(
            CoatingTable::from_toml(&unordered),
            Err(CoatingError::Value {
                field: "thickness_um",
                ..
            })
        ));
        let nan = text.replacen("max_celsius = 200.0", "max_celsius = nan", 1);
        assert!(matches!(
            CoatingTable::from_toml(&nan),
            Err(CoatingError::Value {
                field: "max_celsius",
                ..
            })
        ));
        assert!(matches!(
            CoatingTable::from_toml("[[coating]]"),
            Err(CoatingError::Text(_))
        ));
    }
}
