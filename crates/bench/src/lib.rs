//! How sure a predicted number is.
//!
//! The one mechanism behind every band that Lodewright prints: inputs with their limits go through the same
//! function that made the value, and come out as an interval with the share of each cause.

pub mod band;

pub use band::{Band, Cause, Input, Share, propagate};
