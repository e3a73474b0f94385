//! What a magnet sticks to: steels, and the field of magnets with steel.
//!
//! [`solve`] computes magnets and steel that share an axis by finite elements; [`setups`] draws the usual ones; [`law`] is the pull of a magnet on a plate, distilled from it.

mod behind;
pub mod beside;
mod curve;
pub mod drawing;
pub mod law;
mod material;
mod mesh;
pub mod setups;
pub mod solve;

pub use behind::Behind;
pub use curve::{BhCurve, CurveError, CurvePoint};
pub use material::{NamedCurve, Steel, SteelError, SteelTable};
