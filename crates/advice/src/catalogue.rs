//! The materials that advice reckons with: grades, coatings, steels and layers.

use std::collections::HashMap;

use materials::coating::CoatingTable;
use materials::grade::{Family, GradeError, GradeRow, GradeTable};
use serde::Deserialize;
use steel::SteelTable;
use thiserror::Error;

use crate::item::Item;
use crate::known::{Certificate, Known, Meter, ReadLot, ReadPieces, UsualProbe, meter_at};

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
    /// The probe that the shop usually reads with.
    pub probe: Option<UsualProbe>,
    /// Items that are reckoned by what is known of their lot, by code.
    known: HashMap<String, KnownRow>,
}

/// What is known of a lot, and the row that it gives.
#[derive(Clone, Debug)]
struct KnownRow {
    certificate: Option<Certificate>,
    /// Readings, which stand before a certificate of the same lot.
    readings: Option<ReadLot>,
    row: GradeRow,
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
            probe: None,
            known: HashMap::new(),
        })
    }

    /// The same materials with a shop's own grades.
    pub fn with_grades(self, grades: GradeTable) -> Self {
        Self { grades, ..self }
    }

    /// The same materials with certificates of lots, by the code and the grade of the items that they are of.
    ///
    /// One whose grade is not known is passed over, as its item is.
    ///
    /// # Errors
    /// [`GradeError`] for values that no magnet has.
    pub fn with_certificates(
        mut self,
        certificates: impl IntoIterator<Item = (String, String, Certificate)>,
    ) -> Result<Self, GradeError> {
        for (code, grade, certificate) in certificates {
            if let Some(grade) = self.grades.get(&grade) {
                let row = certificate.row(grade)?;
                let known = KnownRow {
                    certificate: Some(certificate),
                    readings: None,
                    row,
                };
                self.known.insert(code, known);
            }
        }
        Ok(self)
    }

    /// The same materials with what readings say of lots, by the code and the grade of the items that they are of.
    ///
    /// A certificate of another lot stands before them. What no magnet can have is passed over.
    #[must_use]
    pub fn with_read_lots(mut self, lots: impl IntoIterator<Item = (String, String, ReadLot)>) -> Self {
        for (code, grade, lot) in lots {
            let known = self.known.get(&code);
            let certificate = known.and_then(|known| known.certificate.clone());
            if certificate.as_ref().is_some_and(|c| c.lot.trim() != lot.lot.trim()) {
                continue;
            }
            let below = known.map(|known| &known.row).or_else(|| self.grades.get(&grade));
            if let Some(Ok(row)) = below.map(|below| lot.row(below)) {
                let known = KnownRow {
                    certificate,
                    readings: Some(lot),
                    row,
                };
                self.known.insert(code, known);
            }
        }
        self
    }

    /// The same materials with the probe that the shop usually reads with.
    #[must_use]
    pub fn with_probe(self, probe: Option<UsualProbe>) -> Self {
        Self { probe, ..self }
    }

    /// The same materials where nothing is known of any lot or probe.
    #[must_use]
    pub fn as_graded(mut self) -> Self {
        self.known.clear();
        self.probe = None;
        self
    }

    fn known_row(&self, item: &Item) -> Option<&KnownRow> {
        self.known.get(&item.code).filter(|_| !item.code.is_empty())
    }

    /// What an item is made of: what is known of its lot, else its grade.
    pub fn grade_of(&self, item: &Item) -> Option<&GradeRow> {
        let known = self.known_row(item).map(|known| &known.row);
        known.or_else(|| self.grades.get(&item.grade))
    }

    /// By what an item is reckoned in place of its grade, where there is anything.
    pub fn known_of(&self, item: &Item) -> Option<Known> {
        let known = self.known_row(item)?;
        let by_certificate = || known.certificate.clone().map(Known::Certificate);
        known.readings.clone().map(Known::Readings).or_else(by_certificate)
    }

    /// The certificate of an item's lot, where there is one.
    pub fn certificate_of(&self, item: &Item) -> Option<&Certificate> {
        self.known_row(item)?.certificate.as_ref()
    }

    /// What readings say of the pieces of an item.
    pub fn read_pieces(&self, item: &Item) -> ReadPieces {
        let lot = self.known_row(item).and_then(|known| known.readings.as_ref());
        let plating = self.coatings.get(&item.coating).map_or(0.0, |c| c.thickness.typical);
        lot.map_or_else(ReadPieces::default, |lot| lot.pieces(&item.shape, plating))
    }

    /// The probe that the shop usually reads with, or one that nobody has measured.
    pub fn usual_probe(&self) -> UsualProbe {
        self.probe.clone().unwrap_or_else(UsualProbe::unmeasured)
    }

    /// How a probe whose element lies that deep (m) reads, and plus or minus on its depth, m.
    pub fn meter_at(&self, depth: f64) -> (Meter, f64) {
        meter_at(self.probe.as_ref(), depth)
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
