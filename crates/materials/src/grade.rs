//! Magnet grades: remanence, coercivity and what heat does to them.
//!
//! The built-in table is `data/grades.toml`; a shop adds its own rows in the same terms.

mod file;

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::LARGEST_POLARISATION;
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

/// Squareness of a grade that lists none: the lower end of good sintered magnets, from memory.
pub const USUAL_SQUARENESS: f64 = 0.9;

fn usual_squareness() -> f64 {
    USUAL_SQUARENESS
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
    /// Intrinsic coercivity commonly delivered, A/m, where it is known.
    #[serde(default)]
    pub hcj_typical: Option<f64>,
    /// Largest intrinsic coercivity delivered, A/m, where it is known.
    #[serde(default)]
    pub hcj_max: Option<f64>,
    /// Slope of the recoil line, relative to `μ0`.
    pub recoil_permeability: f64,
    /// `Hk / HcJ`: where the polarisation has fallen a tenth of the remanence below its recoil line, as a share of the coercivity.
    #[serde(default = "usual_squareness")]
    pub squareness: f64,
    /// Reversible change of remanence, as a share per kelvin.
    pub alpha_br_per_k: f64,
    /// Reversible change of intrinsic coercivity, as a share per kelvin; positive for ferrite, which weakens in the cold.
    pub beta_hcj_per_k: f64,
    /// Between which temperatures the two coefficients hold as a straight line, °C; 20 °C to the ceiling of service where it is not listed.
    #[serde(default)]
    pub coefficients_celsius: Option<[f64; 2]>,
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
    /// Coercivity of B, A/m, for a curve that is not straight.
    #[serde(default)]
    pub hcb: Option<f64>,
    /// Largest energy product, J/m³, for a curve that is not straight.
    #[serde(default)]
    pub energy_product: Option<f64>,
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
        let above = |value: Option<f64>, least: f64| value.is_none_or(|v| v >= least && v < 1e8);
        check(
            "hcj_typical",
            self.hcj_typical.unwrap_or(self.hcj_min),
            above(self.hcj_typical, self.hcj_min),
            "at least hcj_min and below 1e8 A/m",
        )?;
        check(
            "hcj_max",
            self.hcj_max.unwrap_or(self.hcj_min),
            above(self.hcj_max, self.hcj_typical()),
            "at least hcj_typical and below 1e8 A/m",
        )?;
        check(
            "squareness",
            self.squareness,
            (0.05..=0.999).contains(&self.squareness),
            "from 0.05 to 0.999",
        )?;
        let [from, to] = self.coefficients_hold();
        check(
            "coefficients_celsius",
            from,
            from.is_finite() && from <= REFERENCE_CELSIUS && (REFERENCE_CELSIUS..2000.0).contains(&to),
            "a range around 20 °C",
        )?;
        if let (Some(hcb), Some(product)) = (self.hcb, self.energy_product) {
            // A curve between a straight one and a rectangle.
            let fullness = product / (self.br_typical * hcb);
            check(
                "hcb",
                hcb,
                hcb > 0.0 && hcb <= 1.2 * self.hcj_min,
                "above 0 A/m and not above hcj_min",
            )?;
            check(
                "energy_product",
                product,
                (0.25..0.98).contains(&fullness),
                "from 0.25 to 0.98 of br_typical times hcb",
            )?;
        }
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

    /// Intrinsic coercivity commonly delivered, A/m; the least one where no other is known.
    #[must_use]
    pub fn hcj_typical(&self) -> f64 {
        self.hcj_typical.unwrap_or(self.hcj_min)
    }

    /// Between which temperatures the coefficients hold, °C.
    #[must_use]
    pub fn coefficients_hold(&self) -> [f64; 2] {
        self.coefficients_celsius
            .unwrap_or([REFERENCE_CELSIUS, self.max_service_celsius])
    }

    /// A value at 20 °C taken to another temperature along a coefficient, a share per kelvin; never below zero.
    pub(crate) fn warmed(&self, at_reference: f64, per_k: f64, celsius: f64) -> Result<f64, GradeError> {
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
mod tests;
