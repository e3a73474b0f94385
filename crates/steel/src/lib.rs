//! What a magnet sticks to: steels, and the field of magnets with steel.
//!
//! [`solve`] computes magnets and steel that share an axis by finite elements; [`setups`] draws the usual ones; [`pull_law`] is the pull of a magnet on a plate, distilled from it.
//!
//! A disc on a plate of mild steel:
//!
//! ```
//! use steel::drawing::{Drawing, Material, Part};
//! use steel::solve::{Options, solve};
//! use steel::SteelTable;
//!
//! let steels = SteelTable::builtin()?;
//! let mild = steels.curve("mild steel").ok_or("a steel of the table")?;
//! let disc = Material::Magnet { polarisation: 1.3, recoil_permeability: 1.05 };
//! let drawing = Drawing::new(vec![
//!     Part::ring("magnet", [0.0, 0.010], [0.001, 0.006], disc),
//!     Part::ring("plate", [0.0, 0.040], [-0.005, 0.0], Material::Steel(mild.curve.clone())),
//! ]);
//! let options = Options { force_on: Some("plate".into()), ..Options::default() };
//! let force = solve(&drawing, &options)?.force_on("plate")?;
//! assert!(force > 30.0 && force < 60.0, "{force} N");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod behind;
pub mod beside;
mod curve;
pub mod drawing;
pub mod edge;
mod material;
mod mesh;
pub mod pull_law;
pub mod setups;
pub mod solve;

pub use behind::Behind;
pub use curve::{BhCurve, CurveError, CurvePoint, FieldPoint};
pub use material::{NamedCurve, Steel, SteelError, SteelTable};
