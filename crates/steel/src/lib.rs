//! What a magnet sticks to, and what thin steel does to its pull.

mod material;
mod thin;

pub use material::{Steel, SteelError, SteelTable};
pub use thin::{ThinPlate, thin_plate};
