//! How sure a predicted number is.
//!
//! The one mechanism behind every band that Lodewright prints: inputs with their distributions go through the same
//! function that made the value, and come out as an interval with the share of each cause.
//!
//! The method is that of the Guide to the expression of uncertainty in measurement, JCGM 100:2008, carried out by
//! [`propagate`]: first order where that is enough, second order where the response bends, and the propagation of
//! distributions of JCGM 101:2008 where neither will do.

pub mod band;
mod draws;
pub mod input;
pub mod law;
mod normal;
pub mod propagate;

pub use band::{Band, Method, Share};
pub use input::{Cause, Distribution, Input};
pub use law::Law;
pub use propagate::{NotFinite, against, outline, propagate};
