//! What a magnet sticks to: steels, and the field of magnets with steel.
//!
//! [`solve`] computes magnets and steel that share an axis by finite elements; [`setups`] draws the usual ones; [`thin_plate`] is a quick estimate for thin plates.

pub mod batch;
mod curve;
mod drawing;
mod material;
mod mesh;
pub mod law;
pub mod setups;
pub mod solve;
mod thin;

pub use curve::{BhCurve, CurveError, CurvePoint};
pub use material::{NamedCurve, Steel, SteelError, SteelTable};
pub use thin::{ThinPlate, thin_plate};
