//! The bench: readings of a meter against predictions.
//!
//! Lengths and fields are in SI, temperatures in kelvin where a [`quantity::Temperature`] stands and in degrees Celsius where
//! the name says so. Nothing here reads a disk, a clock or a network.
//!
//! | module | holds |
//! | --- | --- |
//! | [`probe`] | a gaussmeter's probe: where its element lies, how large it is, how true it reads |
//! | [`plate`] | what a pull tester pulls from |
//! | [`lot`] | magnets of one delivery: sizes, grade, plating |
//! | [`reading`] | one reading: of what, where, how much |
//! | [`element`] | the mean field over the element |
//! | [`error`] | why a reading cannot be predicted |
//! | [`setup`] | what a reading comes from: one function of uncertain inputs |
//! | [`expected`] | the expected reading with its band, and what would have to be off |
//! | [`least_squares`] | weighted non-linear least squares with its covariance |
//! | [`mod@fit`] | probe, lots and joints from a set of readings |
//! | [`mod@foretell`] | what a fit says of further readings |
//! | [`next`] | which reading to take next |
//! | [`identify`] | which grade it is |
//! | [`sampling`] | single sampling plans by lot size and AQL |
//! | [`lots`] | spread, capability, conformity, control limits |
//! | [`session`] | probe, lots and readings as people write them |

pub mod element;
pub mod error;
pub mod expected;
pub mod fit;
pub mod foretell;
pub mod identify;
pub mod least_squares;
pub mod lot;
pub mod lots;
pub mod next;
pub mod plate;
pub mod probe;
pub mod reading;
pub mod sampling;
pub mod session;
pub mod setup;

pub use error::SetupError;
pub use expected::{Needed, expected, needed};
pub use fit::{Fit, FitError, Options, Parameter, fit};
pub use foretell::{Foretold, foretell};
pub use lot::Lot;
pub use plate::Plate;
pub use probe::{Element, Probe, Stem};
pub use reading::{Pole, Reading, Value};
pub use session::Session;
pub use setup::Setup;
