//! Steels by name, from `data/steels.toml`.

use serde::Deserialize;
use thiserror::Error;

/// A material that a magnet may be asked to hold on.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Steel {
    /// Its name in the trade.
    pub name: String,
    /// Other wordings.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Mean flux density that a section carries at a field a magnet can spare, in tesla; `None` where the material
    /// gives no useful pull.
    #[serde(default)]
    pub usable_flux_density_t: Option<f64>,
    /// Where the value comes from.
    pub source: String,
}

/// Why a table of steels could not be read.
#[derive(Debug, Error)]
pub enum SteelError {
    /// The text is not the table it should be.
    #[error("steel table does not read: {0}")]
    Unreadable(#[from] toml::de::Error),
}

/// The steels that Lodewright knows.
#[derive(Clone, Debug)]
pub struct SteelTable(Vec<Steel>);

#[derive(Deserialize)]
struct File {
    steel: Vec<Steel>,
}

impl SteelTable {
    /// The steels that come with the program.
    ///
    /// # Errors
    /// Only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<Self, SteelError> {
        let file: File = toml::from_str(include_str!("../data/steels.toml"))?;
        Ok(Self(file.steel))
    }

    /// The steel of that name or alias, whatever its case.
    pub fn find(&self, name: &str) -> Option<&Steel> {
        let wanted = name.trim();
        self.0
            .iter()
            .find(|s| s.name.eq_ignore_ascii_case(wanted) || s.aliases.iter().any(|a| a.eq_ignore_ascii_case(wanted)))
    }

    /// All steels in the order of the data.
    pub fn all(&self) -> &[Steel] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_aliases_lead_to_one_steel_each() {
        let table = SteelTable::builtin().unwrap();
        let mut seen = std::collections::HashSet::new();
        for steel in table.all() {
            for name in std::iter::once(&steel.name).chain(&steel.aliases) {
                assert!(seen.insert(name.to_lowercase()), "{name} stands twice");
                assert_eq!(table.find(&name.to_uppercase()).unwrap().name, steel.name);
            }
            assert!(!steel.source.is_empty());
            if let Some(b) = steel.usable_flux_density_t {
                assert!((0.3..=2.2).contains(&b));
            }
        }
        assert!(table.find("cheese").is_none());
    }

    #[test]
    fn plain_stainless_is_taken_for_the_kind_that_does_not_hold() {
        let table = SteelTable::builtin().unwrap();
        assert!(table.find("stainless steel").unwrap().usable_flux_density_t.is_none());
    }
}
