//! Magnet grades: remanence, coercivity and what heat does to them.
//!
//! The built-in table is `data/grades.toml`; a shop adds its own rows in the same terms.

mod file;

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::body::LARGEST_POLARISATION;
use crate::names::folded;

/// Temperature that grade values refer to, °C.
pub const REFERENCE_CELSIUS: f64 = 20.0;

/// Kind of magnet material.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// Sintered neodymium iron boron.
    #[serde(rename = "ndfeb")]
    NdFeB,
    /// Sintered samarium cobalt, 1:5 or 2:17.
    SmCo,
    /// Hard ferrite, called ceramic in the American trade.
    Ferrite,
    /// Cast or sintered aluminium nickel cobalt.
    AlNiCo,
    /// Neodymium powder in plastic.
    #[serde(rename = "bonded_ndfeb")]
    BondedNdFeB,
}

/// One grade. Values at 20 °C.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GradeRow {
    /// Name in the trade, such as `N42SH`.
    pub name: String,
    /// Other names for it.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Kind of material.
    pub family: Family,
    /// Least remanence delivered, T.
    pub br_min: f64,
    /// Remanence to compute with, T.
    pub br_typical: f64,
    /// Largest remanence delivered, T.
    pub br_max: f64,
    /// Least intrinsic coercivity, A/m.
    pub hcj_min: f64,
    /// Slope of the recoil line, relative to `μ0`.
    pub recoil_permeability: f64,
    /// Reversible change of remanence, as a share per kelvin.
    pub alpha_br_per_k: f64,
    /// Reversible change of intrinsic coercivity, as a share per kelvin; positive for ferrite, which weakens in the cold.
    pub beta_hcj_per_k: f64,
    /// Usual ceiling of service, °C.
    pub max_service_celsius: f64,
    /// Usual floor of service, °C.
    pub min_service_celsius: f64,
    /// Curie temperature, °C.
    pub curie_celsius: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Whether the curve of the second quadrant is straight down to its knee; false for AlNiCo.
    pub linear: bool,
    /// Where the values come from.
    pub source: String,
}

/// Why a table of grades or a row in it is not acceptable.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum GradeError {
    /// The text is not TOML or lacks a field.
    #[error("grades cannot be read: {0}")]
    Text(String),
    /// A value is out of range.
    #[error("grade {grade}: {field} must be {allowed}, got {value}")]
    Value {
        /// Name of the grade.
        grade: String,
        /// Field of the row.
        field: &'static str,
        /// What would be right.
        allowed: &'static str,
        /// What was given.
        value: f64,
    },
    /// A grade has no name, or only spaces and hyphens.
    #[error("grade in row {row} must have a name")]
    NoName {
        /// Row number, from 1.
        row: usize,
    },
    /// Two rows answer to one name.
    #[error("grades {first} and {second} both answer to the name {name}")]
    SameName {
        /// The name.
        name: String,
        /// Grade that has it.
        first: String,
        /// Grade that wants it too.
        second: String,
    },
    /// A class speaks of a series or number that is not there.
    #[error("class {series}{suffix} names {missing}, which the series does not have")]
    Series {
        /// Prefix of the series.
        series: String,
        /// Suffix of the class.
        suffix: String,
        /// What is missing.
        missing: String,
    },
    /// The temperature is not a number or at or above the Curie temperature.
    #[error(
        "temperature for {grade} must be between -273.15 °C and its Curie temperature of {curie_celsius} °C, got {celsius} °C"
    )]
    Temperature {
        /// Name of the grade.
        grade: String,
        /// Its Curie temperature, °C.
        curie_celsius: f64,
        /// What was given, °C.
        celsius: f64,
    },
}

impl GradeRow {
    /// Check that the values are finite, in range and in order.
    ///
    /// # Errors
    /// [`GradeError::Value`] for the first value that is not.
    pub fn validate(&self) -> Result<(), GradeError> {
        let check = |field, value: f64, right: bool, allowed| {
            if right && value.is_finite() {
                Ok(())
            } else {
                Err(GradeError::Value {
                    grade: self.name.clone(),
                    field,
                    allowed,
                    value,
                })
            }
        };
        let br = |value: f64| value > 0.0 && value <= LARGEST_POLARISATION;
        check("br_min", self.br_min, br(self.br_min), "above 0 T and at most 10 T")?;
        check(
            "br_typical",
            self.br_typical,
            br(self.br_typical) && self.br_typical >= self.br_min,
            "at least br_min and at most 10 T",
        )?;
        check(
            "br_max",
            self.br_max,
            br(self.br_max) && self.br_max >= self.br_typical,
            "at least br_typical and at most 10 T",
        )?;
        check(
            "hcj_min",
            self.hcj_min,
            self.hcj_min > 0.0 && self.hcj_min < 1e8,
            "above 0 A/m and below 1e8 A/m",
        )?;
        check(
            "recoil_permeability",
            self.recoil_permeability,
            (1.0..=100.0).contains(&self.recoil_permeability),
            "from 1 to 100",
        )?;
        let coefficient = |value: f64| value.abs() <= 0.02;
        check(
            "alpha_br_per_k",
            self.alpha_br_per_k,
            coefficient(self.alpha_br_per_k),
            "a share per kelvin from -0.02 to 0.02 (-0.12 % is -0.0012)",
        )?;
        check(
            "beta_hcj_per_k",
            self.beta_hcj_per_k,
            coefficient(self.beta_hcj_per_k),
            "a share per kelvin from -0.02 to 0.02 (-0.6 % is -0.006)",
        )?;
        check(
            "curie_celsius",
            self.curie_celsius,
            self.curie_celsius > REFERENCE_CELSIUS && self.curie_celsius < 2000.0,
            "between 20 °C and 2000 °C",
        )?;
        check(
            "max_service_celsius",
            self.max_service_celsius,
            self.max_service_celsius > REFERENCE_CELSIUS && self.max_service_celsius < self.curie_celsius,
            "above 20 °C and below the Curie temperature",
        )?;
        check(
            "min_service_celsius",
            self.min_service_celsius,
            self.min_service_celsius >= -273.15 && self.min_service_celsius < REFERENCE_CELSIUS,
            "from -273.15 °C to below 20 °C",
        )?;
        check(
            "density",
            self.density,
            self.density > 500.0 && self.density < 20_000.0,
            "between 500 kg/m³ and 20000 kg/m³",
        )
    }

    /// A remanence at 20 °C taken to another temperature, T: `Br (1 + α (T - 20))`, reversible, never below zero.
    ///
    /// # Errors
    /// [`GradeError::Temperature`] outside absolute zero to the Curie temperature, [`GradeError::Value`] for a remanence out of range.
    pub fn br_at(&self, br20: f64, celsius: f64) -> Result<f64, GradeError> {
        if !(br20 > 0.0 && br20 <= LARGEST_POLARISATION) {
            return Err(GradeError::Value {
                grade: self.name.clone(),
                field: "remanence at 20 °C",
                allowed: "above 0 T and at most 10 T",
                value: br20,
            });
        }
        self.warmed(br20, self.alpha_br_per_k, celsius)
    }

    /// Least intrinsic coercivity at a temperature, A/m: `HcJ (1 + β (T - 20))`, reversible, never below zero.
    ///
    /// # Errors
    /// [`GradeError::Temperature`] outside absolute zero to the Curie temperature.
    pub fn hcj_at(&self, celsius: f64) -> Result<f64, GradeError> {
        self.warmed(self.hcj_min, self.beta_hcj_per_k, celsius)
    }

    fn warmed(&self, at_reference: f64, per_k: f64, celsius: f64) -> Result<f64, GradeError> {
        if !(celsius >= -273.15 && celsius < self.curie_celsius) {
            return Err(GradeError::Temperature {
                grade: self.name.clone(),
                curie_celsius: self.curie_celsius,
                celsius,
            });
        }
        Ok((at_reference * (1.0 + per_k * (celsius - REFERENCE_CELSIUS))).max(0.0))
    }
}

/// Grades with look-up by name or alias, without regard to case, spaces and hyphens.
#[derive(Clone, Debug)]
pub struct GradeTable {
    rows: Vec<GradeRow>,
    by_name: HashMap<String, usize>,
}

static BUILTIN: LazyLock<Result<GradeTable, GradeError>> =
    LazyLock::new(|| GradeTable::from_toml(include_str!("../data/grades.toml")));

impl GradeTable {
    /// The built-in grades.
    ///
    /// # Errors
    /// [`GradeError`] if the embedded table is defective, which its tests rule out.
    pub fn builtin() -> Result<&'static Self, GradeError> {
        BUILTIN.as_ref().map_err(Clone::clone)
    }

    /// A table from TOML text in the form of the built-in one: `[[grade]]` rows, and `[[series]]` with `[[class]]`.
    ///
    /// # Errors
    /// [`GradeError`] for text that cannot be read and for the first row that is not acceptable.
    pub fn from_toml(text: &str) -> Result<Self, GradeError> {
        Self::from_rows(file::rows(text)?)
    }

    /// A table of the given rows.
    ///
    /// # Errors
    /// [`GradeError`] for the first row that is out of range, has no name, or a name that is taken.
    pub fn from_rows(rows: Vec<GradeRow>) -> Result<Self, GradeError> {
        let mut by_name = HashMap::new();
        for (index, row) in rows.iter().enumerate() {
            row.validate()?;
            if folded(&row.name).is_empty() {
                return Err(GradeError::NoName { row: index + 1 });
            }
            for name in std::iter::once(&row.name).chain(&row.aliases) {
                let taken = by_name.insert(folded(name), index).filter(|&other| other != index);
                if let Some(first) = taken.and_then(|other| rows.get(other)) {
                    return Err(GradeError::SameName {
                        name: name.clone(),
                        first: first.name.clone(),
                        second: row.name.clone(),
                    });
                }
            }
        }
        Ok(Self { rows, by_name })
    }

    /// This table with more rows; a row whose name is already there takes the place of the old one.
    ///
    /// # Errors
    /// [`GradeError`] for a row that is out of range or clashes with another through an alias.
    pub fn with_rows(&self, custom: Vec<GradeRow>) -> Result<Self, GradeError> {
        let replaced: Vec<String> = custom.iter().map(|row| folded(&row.name)).collect();
        let kept = self
            .rows
            .iter()
            .filter(|row| !replaced.contains(&folded(&row.name)))
            .cloned();
        Self::from_rows(kept.chain(custom).collect())
    }

    /// The grade of that name or alias.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&GradeRow> {
        self.by_name.get(&folded(name)).and_then(|&index| self.rows.get(index))
    }

    /// All rows, in the order of the table.
    #[must_use]
    pub fn rows(&self) -> &[GradeRow] {
        &self.rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MU_0;

    /// Kilojoules per cubic metre in 1 MGOe.
    const KILOJOULES: f64 = 7.957_747;

    fn table() -> &'static GradeTable {
        GradeTable::builtin().expect("the built-in table is sound")
    }

    #[test]
    fn names_are_found_as_people_type_them() {
        for (typed, name) in [
            ("n42sh", "N42SH"),
            ("N42 SH", "N42SH"),
            ("n-35", "N35"),
            ("Y30", "Y30"),
            ("C8", "C8"),
            ("ceramic 8", "C8"),
            ("SmCo 26", "Sm2Co17-26"),
            ("smco 18", "SmCo5-18"),
            ("alnico5", "AlNiCo 5"),
            ("BNP-10", "BNP-10"),
        ] {
            assert_eq!(table().get(typed).map(|g| g.name.as_str()), Some(name), "{typed}");
        }
        assert!(table().get("N99").is_none() && table().get("").is_none());
    }

    #[test]
    fn n42_as_the_trade_knows_it() {
        let n42 = table().get("N42").expect("is there");
        assert_eq!((n42.br_min, n42.br_typical, n42.br_max), (1.28, 1.30, 1.32));
        assert_eq!(n42.family, Family::NdFeB);
        assert!(n42.linear && !table().get("AlNiCo 5").expect("is there").linear);
    }

    /// The number of a neodymium grade is its energy product in MGOe; a straight curve bounds it by `Br² / (4 μ0 μ_rec)`.
    #[test]
    fn grade_numbers_agree_with_remanence() {
        let mut seen = 0;
        for row in table().rows().iter().filter(|row| row.family == Family::NdFeB) {
            let digits: String = row.name.chars().filter(char::is_ascii_digit).collect();
            let number: f64 = digits.parse().expect("a number in the name");
            let product = |br: f64| br * br / (4.0 * MU_0 * row.recoil_permeability) / 1e3 / KILOJOULES;
            assert!(
                (product(row.br_typical) - number).abs() <= 3.5,
                "{}: {}",
                row.name,
                product(row.br_typical)
            );
            seen += 1;
        }
        assert_eq!(seen, 58);
    }

    #[test]
    fn warm_neodymium_weakens_and_cold_ferrite_loses_coercivity() {
        let n42 = table().get("N42").expect("is there");
        let warm = n42.br_at(1.30, 80.0).expect("in range");
        assert!((warm - 1.30 * (1.0 - 0.0012 * 60.0)).abs() <= 1e-14);
        let ferrite = table().get("Y30").expect("is there");
        assert!(ferrite.hcj_at(-40.0).expect("in range") < ferrite.hcj_min);
        assert!(n42.hcj_at(200.0).expect("in range") >= 0.0);
        assert!(matches!(n42.br_at(f64::NAN, 20.0), Err(GradeError::Value { .. })));
        for bad in [f64::NAN, -300.0, 310.0, 1e9] {
            assert!(
                matches!(n42.br_at(1.3, bad), Err(GradeError::Temperature { .. })),
                "{bad}"
            );
        }
    }

    #[test]
    fn a_shop_adds_and_replaces_grades() {
        let mut own = table().get("N42").expect("is there").clone();
        own.br_typical = 1.31;
        let changed = table().with_rows(vec![own.clone()]).expect("replaces");
        assert_eq!(changed.rows().len(), table().rows().len());
        assert_eq!(changed.get("n42").map(|g| g.br_typical), Some(1.31));
        own.name = "House 42".into();
        own.aliases = vec!["h42".into()];
        let more = table().with_rows(vec![own.clone()]).expect("adds");
        assert_eq!(more.get("H 42").map(|g| g.name.as_str()), Some("House 42"));
        own.aliases = vec!["N35".into()];
        assert!(matches!(table().with_rows(vec![own]), Err(GradeError::SameName { .. })));
    }

    #[test]
    fn rows_out_of_range_are_refused_by_field() {
        let good = table().get("N42").expect("is there");
        type Spoil = fn(&mut GradeRow);
        let spoils: [(&str, Spoil); 8] = [
            ("br_min", |row| row.br_min = f64::NAN),
            ("br_typical", |row| row.br_typical = 1.0),
            ("br_max", |row| row.br_max = f64::INFINITY),
            ("hcj_min", |row| row.hcj_min = 0.0),
            ("recoil_permeability", |row| row.recoil_permeability = 0.9),
            ("alpha_br_per_k", |row| row.alpha_br_per_k = -0.12),
            ("max_service_celsius", |row| row.max_service_celsius = 400.0),
            ("density", |row| row.density = 7.5),
        ];
        for (expected, spoil) in spoils {
            let mut row = good.clone();
            spoil(&mut row);
            let error = row.validate().expect_err(expected);
            assert!(
                matches!(&error, GradeError::Value { field, .. } if *field == expected),
                "{error}"
            );
        }
        let mut nameless = good.clone();
        nameless.name = " - ".into();
        assert_eq!(
            GradeTable::from_rows(vec![nameless]).err(),
            Some(GradeError::NoName { row: 1 })
        );
        assert!(matches!(
            GradeTable::from_toml("[[grade]]\nname = 3"),
            Err(GradeError::Text(_))
        ));
        let lost = "[[class]]\nseries='Q'\nsuffix=''\nnumbers=[1]\nhcj_min=1.0\nalpha_br_per_k=0.0\nbeta_hcj_per_k=0.0\nmax_service_celsius=50.0";
        assert!(matches!(GradeTable::from_toml(lost), Err(GradeError::Series { .. })));
    }
}
