//! How sure a predicted number is.
//!
//! The one mechanism behind every band that Lodewright prints: inputs with their distributions go through the same
//! function that made the value, and come out as an interval with the share of each cause.
//!
//! The method is that of the Guide to the expression of uncertainty in measurement, JCGM 100:2008, carried out by
//! [`propagate`]: first order where that is enough, second order where the response bends, and the propagation of
//! distributions of JCGM 101:2008 where neither will do.
//!
//! ```
//! use uncertainty::{Cause, Input, propagate};
//!
//! // A remanence of 1.28 to 1.35 T pulls as its square.
//! let remanence = Input::new(Cause::Grade, 1.28, 1.31, 1.35);
//! let band = propagate(&[remanence], |x| 20.0 * x[0] * x[0])?;
//! assert!(band.low > 20.0 * 1.28 * 1.28 && band.high < 20.0 * 1.35 * 1.35);
//! assert!(band.chance_of_at_least(30.0) == 1.0);
//! # Ok::<(), uncertainty::NotFinite>(())
//! ```

pub mod band;
mod draws;
pub mod input;

mod normal;
pub mod propagate;
pub mod spread;

pub use band::{Band, Method, Share};
pub use input::{Cause, Distribution, Input};
pub use normal::COVERAGE;
pub use propagate::{NotFinite, against, outline, propagate};
pub use spread::Spread;
