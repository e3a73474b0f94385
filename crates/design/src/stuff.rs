//! What magnets are made of, at the temperature of use.

use magnetics::solid::LARGEST_PERMEABILITY;
use materials::curve::{Curve, CurveError, Material};
use materials::grade::{Family as Kind, GradeRow};
use thiserror::Error;

/// A magnet material at a temperature.
#[derive(Clone, Debug, PartialEq)]
pub struct Stuff {
    /// Name of the grade, or of what was given.
    pub name: String,
    /// Kind of material, where it is known: costs go by it.
    pub kind: Option<Kind>,
    /// Remanence, T.
    pub remanence: f64,
    /// Recoil permeability.
    pub permeability: f64,
    /// Density, kg/m³.
    pub density: f64,
    /// Its curve with the least coercivity delivered: what heat and opposing fields may do at worst.
    pub curve: Curve,
}

/// Why there is no such material.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum StuffError {
    /// The temperature or a number is out of range.
    #[error(transparent)]
    Curve(#[from] CurveError),
    /// The density is out of range.
    #[error("density must be from 500 to 20000 kg/m3, got {0}")]
    Density(f64),
    /// The permeability is out of range.
    #[error("recoil permeability must be from 1 to {LARGEST_PERMEABILITY}, got {0}")]
    Permeability(f64),
}

impl Stuff {
    /// A grade at a temperature, with the usual remanence and the least coercivity.
    ///
    /// # Errors
    /// [`StuffError`] for a temperature at which the grade has no coercivity left or that is out of range.
    pub fn of_grade(grade: &GradeRow, celsius: f64) -> Result<Self, StuffError> {
        let curve = Material::least_coercive(grade).curve(celsius)?;
        Ok(Self {
            name: grade.name.clone(),
            kind: Some(grade.family),
            remanence: curve.remanence(),
            permeability: grade.recoil_permeability,
            density: grade.density,
            curve,
        })
    }

    /// A material by its numbers: remanence, T, coercivity, A/m, recoil permeability and density, kg/m³.
    ///
    /// # Errors
    /// [`StuffError`] for a number out of range.
    pub fn given(
        name: &str,
        remanence: f64,
        coercivity: f64,
        permeability: f64,
        density: f64,
    ) -> Result<Self, StuffError> {
        if !(1.0..=LARGEST_PERMEABILITY).contains(&permeability) {
            return Err(StuffError::Permeability(permeability));
        }
        if !(500.0..=20_000.0).contains(&density) {
            return Err(StuffError::Density(density));
        }
        let curve = Curve::with_knee(remanence, coercivity, permeability, materials::grade::USUAL_SQUARENESS)?;
        Ok(Self {
            name: name.to_owned(),
            kind: None,
            remanence,
            permeability,
            density,
            curve,
        })
    }

    /// Recoil permeability less 1.
    #[must_use]
    pub fn susceptibility(&self) -> f64 {
        self.permeability - 1.0
    }
}

#[cfg(test)]
mod tests;
