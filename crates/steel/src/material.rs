//! Steels by name, from `data/steels.toml`, and their magnetisation curves, from `data/curves.toml`.

use std::sync::Arc;

use materials::MU_0;
use serde::Deserialize;
use thiserror::Error;

use crate::curve::{BhCurve, CurveError};

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
    /// Name of its magnetisation curve in the table of curves.
    #[serde(default)]
    pub curve: Option<String>,
    /// Where the value comes from.
    pub source: String,
}

impl Steel {
    /// Whether a magnet holds on it.
    pub fn holds(&self) -> bool {
        self.usable_flux_density_t.is_some()
    }
}

/// Why a table of steels could not be read.
#[derive(Debug, Error)]
pub enum SteelError {
    /// The text is not the table it should be.
    #[error("steel table does not read: {0}")]
    Unreadable(#[from] toml::de::Error),
    /// A magnetisation curve is not one.
    #[error("curve {name} of the steel table: {error}")]
    Curve {
        /// Name of the curve.
        name: String,
        /// What is wrong with it.
        error: CurveError,
    },
}

/// A magnetisation curve with its name and source.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedCurve {
    /// Its name.
    pub name: String,
    /// The curve.
    pub curve: Arc<BhCurve>,
    /// Where it comes from.
    pub source: String,
}

/// The steels that Lodewright knows.
#[derive(Clone, Debug)]
pub struct SteelTable {
    steels: Vec<Steel>,
    curves: Vec<NamedCurve>,
}

#[derive(Deserialize)]
struct File {
    steel: Vec<Steel>,
}

#[derive(Deserialize)]
struct CurveFile {
    curve: Vec<CurveRow>,
}

/// A curve as it is written down: by points, or by the constants of the smooth model.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CurveRow {
    name: String,
    #[serde(default)]
    b: Vec<f64>,
    #[serde(default)]
    h: Vec<f64>,
    end_slope: Option<f64>,
    smooth: Option<Smooth>,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Smooth {
    mu_i: f64,
    b_peak: f64,
    c_a: f64,
    c_b: f64,
    n: f64,
}

impl CurveRow {
    fn read(self) -> Result<NamedCurve, SteelError> {
        let made = match &self.smooth {
            Some(s) => BhCurve::smooth(s.mu_i, s.b_peak, s.c_a, s.c_b, s.n),
            None => BhCurve::new(&self.b, &self.h, self.end_slope.unwrap_or(MU_0)),
        };
        match made {
            Ok(curve) => Ok(NamedCurve {
                name: self.name,
                curve: Arc::new(curve),
                source: self.source,
            }),
            Err(error) => Err(SteelError::Curve { name: self.name, error }),
        }
    }
}

impl SteelTable {
    /// The steels that come with the program.
    ///
    /// # Errors
    /// Only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<Self, SteelError> {
        let file: File = toml::from_str(include_str!("../data/steels.toml"))?;
        let curves: CurveFile = toml::from_str(include_str!("../data/curves.toml"))?;
        Ok(Self {
            steels: file.steel,
            curves: curves.curve.into_iter().map(CurveRow::read).collect::<Result<_, _>>()?,
        })
    }

    /// The steel of that name or alias, whatever its case.
    pub fn find(&self, name: &str) -> Option<&Steel> {
        let wanted = name.trim();
        self.steels
            .iter()
            .find(|s| s.name.eq_ignore_ascii_case(wanted) || s.aliases.iter().any(|a| a.eq_ignore_ascii_case(wanted)))
    }

    /// The steel whose magnetisation curve has that name, or the steel of that name or alias.
    pub fn of_curve(&self, name: &str) -> Option<&Steel> {
        let wanted = name.trim();
        let has = |steel: &&Steel| steel.curve.as_deref().is_some_and(|c| c.eq_ignore_ascii_case(wanted));
        self.find(name).or_else(|| self.steels.iter().find(has))
    }

    /// All steels in the order of the data.
    pub fn all(&self) -> &[Steel] {
        &self.steels
    }

    /// The magnetisation curve of that name, or that of the steel of that name or alias.
    pub fn curve(&self, name: &str) -> Option<&NamedCurve> {
        let by_name = |wanted: &str| self.curves.iter().find(|c| c.name.eq_ignore_ascii_case(wanted));
        by_name(name.trim()).or_else(|| {
            self.find(name)
                .and_then(|steel| steel.curve.as_deref())
                .and_then(by_name)
        })
    }

    /// All magnetisation curves in the order of the data.
    pub fn curves(&self) -> &[NamedCurve] {
        &self.curves
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

    #[test]
    fn every_curve_named_by_a_steel_is_there_and_bends_like_steel() {
        let table = SteelTable::builtin().unwrap();
        for steel in table.all() {
            if let Some(name) = &steel.curve {
                let named = table.curve(name).unwrap();
                assert_eq!(table.curve(&steel.name), Some(named));
            }
        }
        for NamedCurve { name, curve, source } in table.curves() {
            assert!(!source.is_empty());
            // No steel is easier to magnetise than pure iron, and none harder than vacuum.
            for (b, h) in curve.points().skip(1) {
                let mu_r = b / (MU_0 * h);
                assert!((1.0..=5000.0).contains(&mu_r), "{name}: {mu_r} at {b} T");
                assert!(curve.at(b + 1e-9).slope <= 1.0001 / MU_0, "{name} at {b} T");
            }
        }
    }

    /// TEAM problem 13, Eq. (1): B = mu0 H + 2.16 T from 2.22 T, and the quadratic law below it.
    #[test]
    fn team13_follows_its_law_of_saturation() {
        let table = SteelTable::builtin().unwrap();
        let curve = &table.curve("mild steel").unwrap().curve;
        for h in [10e3, 20e3, 30e3, 40e3f64] {
            let b = MU_0 * h - 2.381e-10 * h * h + 2.327e-5 * h + 1.590;
            assert!((curve.at(b).h - h).abs() <= 3e-3 * h, "{h}: {}", curve.at(b).h);
        }
        let h = 200e3;
        assert!((curve.at(MU_0 * h + 2.16).h - h).abs() <= 1e-3 * h);
    }
}
