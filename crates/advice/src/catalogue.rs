//! The materials that advice reckons with: grades, coatings, steels and layers.

use std::collections::HashMap;

use materials::coating::CoatingTable;
use materials::grade::{Family, GradeError, GradeRow, GradeTable};
use quantity::{FieldStrength, FluxDensity};
use serde::{Deserialize, Serialize};
use steel::SteelTable;
use thiserror::Error;
use utoipa::ToSchema;

use crate::item::Item;
use crate::question::Amount;

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
    /// Items that are reckoned with the certificate of their lot, by code.
    certified: HashMap<String, Certified>,
}

/// What a maker's certificate says of a lot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Certificate {
    /// The lot.
    pub lot: String,
    /// Remanence at 20 °C.
    #[schema(value_type = Amount)]
    pub br: FluxDensity,
    /// Intrinsic coercivity at 20 °C, where it is given.
    #[serde(default)]
    #[schema(value_type = Option<Amount>)]
    pub hcj: Option<FieldStrength>,
}

/// Spread of the remanence within a lot and of its measurement, as a share: common practice, no source.
const LOT_SPREAD: f64 = 0.01;
/// The same of the coercivity.
const LOT_SPREAD_HCJ: f64 = 0.03;

impl Certificate {
    /// The row of a lot: its grade with what the certificate says in place of the grade's own brackets.
    ///
    /// # Errors
    /// [`GradeError`] for values that no magnet has.
    pub fn row(&self, grade: &GradeRow) -> Result<GradeRow, GradeError> {
        let br = self.br.si();
        let hcj = self.hcj.map(|h| h.si());
        let mut row = GradeRow {
            br_min: br * (1.0 - LOT_SPREAD),
            br_typical: br,
            br_max: br * (1.0 + LOT_SPREAD),
            source: format!("certificate of lot {}", self.lot),
            // The fullness of a bent curve stays that of the grade.
            energy_product: grade.energy_product.map(|p| p * br / grade.br_typical),
            ..grade.clone()
        };
        if let Some(hcj) = hcj {
            row.hcj_min = hcj * (1.0 - LOT_SPREAD_HCJ);
            row.hcj_typical = Some(hcj);
            row.hcj_max = Some(hcj * (1.0 + LOT_SPREAD_HCJ));
            let ratio = hcj / grade.hcj_typical();
            row.hcb = grade.hcb.map(|h| h * ratio);
            row.energy_product = row.energy_product.map(|p| p * ratio);
        }
        row.validate()?;
        Ok(row)
    }
}

/// A certificate with the row that it gives.
#[derive(Clone, Debug)]
struct Certified {
    certificate: Certificate,
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
            certified: HashMap::new(),
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
                self.certified.insert(code, Certified { certificate, row });
            }
        }
        Ok(self)
    }

    /// The same materials without any certificates.
    #[must_use]
    pub fn without_certificates(mut self) -> Self {
        self.certified.clear();
        self
    }

    /// What an item is made of: its lot's certificate where there is one, else its grade.
    pub fn grade_of(&self, item: &Item) -> Option<&GradeRow> {
        let certified = self.certified.get(&item.code).filter(|_| !item.code.is_empty());
        certified.map(|c| &c.row).or_else(|| self.grades.get(&item.grade))
    }

    /// The certificate with which an item is reckoned, where there is one.
    pub fn certificate_of(&self, item: &Item) -> Option<&Certificate> {
        self.certified.get(&item.code).map(|c| &c.certificate)
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
