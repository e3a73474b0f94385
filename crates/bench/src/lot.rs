//! Magnets of one delivery.

use magnetics::Shape;
use materials::coating::{Coating, Thickness};
use materials::grade::GradeRow;
use quantity::Length;

use crate::error::SetupError;

/// Spread of one lot's scale, the effective remanence over the usual one of its grade, as a standard uncertainty: material,
/// dead layer, magnetisation and sizes together; common practice, no source.
pub const LOT_SPREAD: f64 = 0.06;
/// Layer at each surface of a ground magnet that holds no magnetisation, m: none to a few grains; from memory.
pub const DEAD_LAYER: [f64; 3] = [0.0, 0.015e-3, 0.05e-3];
/// Air in a joint between plated pieces, m; common practice, no source.
pub const JOINT: [f64; 3] = [0.0, 0.01e-3, 0.04e-3];
/// Tolerance of sizes where none is known, m; common practice, no source.
pub const USUAL_TOLERANCE: f64 = 0.1e-3;
/// Below this thickness a reading needs the measured thickness and plating, m: a tenth of a millimetre is then five parts in
/// a hundred and more.
pub const THIN: f64 = 2e-3;

/// The part of a magnet of that shape under its plating (m) that its dead layer leaves; `None` where nothing is left of it.
#[must_use]
pub fn alive(shape: &Shape, plating: f64) -> Option<f64> {
    let [least, usual, most] = DEAD_LAYER;
    let dead = (least + 2.0 * usual + most) / 4.0;
    let [whole, alive] = [plating, plating + dead].map(|layer| shape.shrunk(layer).map(|s| s.volume()));
    Some(alive.ok()? / whole.ok()?)
}

/// Magnets of one delivery, as listed and as far as measured. Values at 20 °C.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    /// Name.
    pub name: String,
    /// Sizes with plating.
    pub shape: Shape,
    /// The grade on its label.
    pub grade: GradeRow,
    /// Plating a side, m: least, usual, most.
    pub plating: [f64; 3],
    /// Largest deviation of a size, m.
    pub tolerance: f64,
    /// Thickness by a micrometer with its standard uncertainty, m.
    pub measured_thickness: Option<[f64; 2]>,
    /// Mean and standard uncertainty of the scale.
    pub scale: [f64; 2],
}

impl Lot {
    /// A lot of that shape, grade and coating with usual tolerance and spread.
    #[must_use]
    pub fn new(name: &str, shape: Shape, grade: &GradeRow, coating: &Coating) -> Self {
        let Thickness { min, typical, max } = coating.thickness;
        Self {
            name: name.to_owned(),
            shape,
            grade: grade.clone(),
            plating: [min, typical, max],
            tolerance: USUAL_TOLERANCE,
            measured_thickness: None,
            scale: [1.0, LOT_SPREAD],
        }
    }

    /// The lot with its thickness measured, and with what standard uncertainty.
    #[must_use]
    pub fn measured(mut self, thickness: Length, standard: Length) -> Self {
        self.measured_thickness = Some([thickness.si(), standard.si()]);
        self
    }

    /// The scale that the same moment would have if there were no dead layer, as models of magnets in use have it; `None` where
    /// nothing would be left of the magnet.
    #[must_use]
    pub fn magnetised_through(&self, scale: f64) -> Option<f64> {
        Some(scale * alive(&self.shape, self.plating[1])?)
    }

    /// Whether its readings need a thickness that nobody measured.
    #[must_use]
    pub fn wants_thickness(&self) -> bool {
        self.measured_thickness.is_none() && self.shape.height() < THIN && !matches!(self.shape, Shape::Sphere { .. })
    }

    /// Checks that its values are finite and in range.
    ///
    /// # Errors
    /// [`SetupError`] for the first that is not.
    pub fn validate(&self) -> Result<(), SetupError> {
        self.shape.validate()?;
        self.grade.validate()?;
        let [min, usual, max] = self.plating;
        SetupError::check("plating", min, 0.0, usual)?;
        SetupError::check("plating", usual, min, max)?;
        SetupError::check("plating", max, usual, 1e-3)?;
        self.shape.shrunk(max)?;
        SetupError::check("tolerance", self.tolerance, 0.0, 0.3 * self.shape.height())?;
        if let Some([thickness, standard]) = self.measured_thickness {
            SetupError::check(
                "measured thickness",
                thickness,
                0.3 * self.shape.height(),
                3.0 * self.shape.height(),
            )?;
            SetupError::check("standard uncertainty of the thickness", standard, 0.0, 0.3 * thickness)?;
        }
        SetupError::check("scale", self.scale[0], 0.1, 3.0)?;
        SetupError::check("standard uncertainty of the scale", self.scale[1], 0.0, 1.0)
    }
}
