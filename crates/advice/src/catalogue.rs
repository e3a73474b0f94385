//! The materials that advice reckons with: grades, coatings, steels and layers.

use magnetics::coating::CoatingTable;
use magnetics::grade::{Family, GradeRow, GradeTable};
use serde::Deserialize;
use steel::SteelTable;
use thiserror::Error;

/// Everything that has a name in a question or on a shelf.
#[derive(Clone, Debug)]
pub struct Catalogue {
    /// Magnet grades, the shop's own among them.
    pub grades: GradeTable,
    /// Coatings.
    pub coatings: CoatingTable,
    /// What magnets stick to.
    pub steels: SteelTable,
    /// What lies between.
    pub layers: Vec<LayerMaterial>,
    /// Words for families of material.
    pub families: Vec<FamilyWords>,
}

/// A material that may lie between a magnet and its steel.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LayerMaterial {
    /// Its usual name.
    pub name: String,
    /// Other wordings.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Plus or minus on its thickness, as a part of it.
    pub tolerance: f64,
}

/// The words by which customers name a family of material.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FamilyWords {
    /// The family.
    pub family: Family,
    /// Its usual name.
    pub name: String,
    /// Other wordings.
    pub aliases: Vec<String>,
}

/// A grade or a family that a question allows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Every grade of this family.
    Family(Family),
    /// The grade of this name in the table.
    Grade(String),
}

impl Wanted {
    /// Whether that grade is among what is wanted.
    pub fn admits(&self, grade: &GradeRow) -> bool {
        match self {
            Wanted::Family(family) => grade.family == *family,
            Wanted::Grade(name) => grade.name == *name,
        }
    }
}

/// Why the data that comes with the program does not read.
#[derive(Debug, Error)]
#[error("built-in {table} data does not read: {reason}")]
pub struct CatalogueError {
    table: &'static str,
    reason: String,
}

#[derive(Deserialize)]
struct LayerFile {
    layer: Vec<LayerMaterial>,
}

#[derive(Deserialize)]
struct FamilyFile {
    family: Vec<FamilyWords>,
}

/// How alike two names must be to be offered for each other (Jaro-Winkler, 0 to 1).
const ALIKE: f64 = 0.75;

impl Catalogue {
    /// The materials that come with the program.
    ///
    /// # Errors
    /// Only when embedded data is broken, which tests exclude.
    pub fn builtin() -> Result<Self, CatalogueError> {
        fn ok<T, E: ToString>(table: &'static str, read: Result<T, E>) -> Result<T, CatalogueError> {
            read.map_err(|e| CatalogueError {
                table,
                reason: e.to_string(),
            })
        }
        let layers: LayerFile = ok("layer", toml::from_str(include_str!("../data/layers.toml")))?;
        let families: FamilyFile = ok("family", toml::from_str(include_str!("../data/families.toml")))?;
        Ok(Self {
            grades: ok("grade", GradeTable::builtin())?.clone(),
            coatings: ok("coating", CoatingTable::builtin())?.clone(),
            steels: ok("steel", SteelTable::builtin())?,
            layers: layers.layer,
            families: families.family,
        })
    }

    /// The same materials with a shop's own grades.
    pub fn with_grades(self, grades: GradeTable) -> Self {
        Self { grades, ..self }
    }

    /// The layer material of that name or alias, whatever its case.
    pub fn layer(&self, name: &str) -> Option<&LayerMaterial> {
        self.layers.iter().find(|l| named(name, &l.name, &l.aliases))
    }

    /// The grade or family that a word names.
    pub fn wanted(&self, name: &str) -> Option<Wanted> {
        let grade = self.grades.get(name).map(|row| Wanted::Grade(row.name.clone()));
        grade.or_else(|| {
            let family = self.families.iter().find(|f| named(name, &f.name, &f.aliases))?;
            Some(Wanted::Family(family.family))
        })
    }

    /// Up to three names of grades or families that are written much like `name`.
    pub fn like(&self, name: &str) -> Vec<&str> {
        let wanted = name.to_lowercase();
        let names = self
            .grades
            .rows()
            .iter()
            .map(|g| &g.name)
            .chain(self.families.iter().map(|f| &f.name));
        let mut scored: Vec<(f64, &str)> = names
            .map(|n| (strsim::jaro_winkler(&wanted, &n.to_lowercase()), n.as_str()))
            .filter(|(score, _)| *score >= ALIKE)
            .collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        scored.into_iter().take(3).map(|(_, n)| n).collect()
    }

    /// The name of a family.
    pub fn family_name(&self, family: Family) -> &str {
        self.families
            .iter()
            .find(|f| f.family == family)
            .map_or("other", |f| f.name.as_str())
    }
}

fn named(wanted: &str, name: &str, aliases: &[String]) -> bool {
    let wanted = wanted.trim();
    name.eq_ignore_ascii_case(wanted) || aliases.iter().any(|a| a.eq_ignore_ascii_case(wanted))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_data_reads_and_covers_every_family() {
        let catalogue = Catalogue::builtin().unwrap();
        for row in catalogue.grades.rows() {
            assert_ne!(catalogue.family_name(row.family), "other", "{}", row.name);
        }
        assert!(catalogue.layers.iter().all(|l| (0.0..0.5).contains(&l.tolerance)));
    }

    #[test]
    fn grades_and_families_are_found_by_any_of_their_words() {
        let catalogue = Catalogue::builtin().unwrap();
        assert_eq!(catalogue.wanted("n42 sh"), Some(Wanted::Grade("N42SH".into())));
        assert_eq!(catalogue.wanted("Ceramic"), Some(Wanted::Family(Family::Ferrite)));
        assert_eq!(catalogue.wanted("cheese"), None);
        assert!(catalogue.like("neodimium").contains(&"neodymium"));
    }
}
