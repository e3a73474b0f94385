//! What magnets are made of: grades, demagnetisation curves, coatings.
//!
//! Everything is in SI units and `f64`; temperatures are degrees Celsius and carry `_celsius` in their names.
//!
//! | module | holds |
//! | --- | --- |
//! | [`grade`] | remanence, coercivity and what heat does to them, by the names of the trade |
//! | [`curve`] | the demagnetisation curve of a grade at a temperature |
//! | [`coating`] | platings: thickness, and where they last |
//!
//! ```
//! use materials::grade::GradeTable;
//!
//! let n42 = GradeTable::builtin()?.get("N42").ok_or("a grade of the table")?;
//! assert!((1.28..=1.35).contains(&n42.br_typical));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod coating;
pub mod curve;
pub mod grade;
mod names;

/// Magnetic constant, in H/m.
///
/// The exact value before the 2019 revision of the SI; the measured CODATA 2018 value,
/// 1.256 637 062 12e-6 H/m, differs by 5.5e-10 of it.
pub const MU_0: f64 = 4e-7 * std::f64::consts::PI;

/// Largest magnitude of a polarisation that is accepted, T; beyond any material.
pub const LARGEST_POLARISATION: f64 = 10.0;
