//! Magnets, coils and steel in three dimensions.
//!
//! [`solve`](solve::solve) finds the scalar potential of a [`Problem`] on a [`Grid`] of hexahedra: `H = T - grad phi`, where `T` is a field whose curl is the current density of windings, and
//! `div B = 0`. Steel follows its own magnetisation curve. [`OnPlate`] draws a magnet on a plate and gives its pull with an estimate of the error.
//!
//! A block over a sheet of mild steel:
//!
//! ```
//! use spatial::{Face, OnPlate};
//! use steel::SteelTable;
//!
//! let steels = SteelTable::builtin()?;
//! let mild = steels.curve("mild steel").ok_or("a steel of the table")?;
//! let block = OnPlate {
//!     face: Face::Rectangle([0.020, 0.010]),
//!     height: 0.005,
//!     polarisation: 1.3,
//!     permeability: 1.05,
//!     gap: 0.001,
//!     thickness: 0.001,
//!     plate: Face::Rectangle([0.060, 0.050]),
//!     steel: mild.curve.clone(),
//! };
//! let pull = block.pull()?;
//! assert!(pull.value > 10.0 && pull.value < 40.0 && pull.error < 0.03, "{pull:?}");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod beside;
mod grid;
mod law;
mod lines;
mod multigrid;
mod on_plate;
mod problem;
pub mod solve;
mod system;

pub use beside::{Beside, Side};
pub use grid::{Across, Grid};
pub use law::share_of_mirror;
pub use lines::{Key, USUAL, graded};
pub use on_plate::{Face, LEAST_GAP, OnPlate, Pull};
pub use problem::{Matter, Problem};
