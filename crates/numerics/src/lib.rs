//! What closed forms are computed with.
//!
//! | module | holds |
//! | --- | --- |
//! | [`number`] | a number, or several side by side for the vector units of a processor |
//! | [`dual`] | numbers that carry their slopes |
//! | [`vector`] | vectors of three components, and turning them |
//! | [`quadrature`] | Gauss rules, graded and adaptive panels |
//! | [`elliptic`] | complete elliptic integrals |
//! | [`contour`] | level lines of a smooth function |
//! | [`stop`] | a flag that ends long work |
//!
//! ```
//! use numerics::elliptic::{ellip_e, ellip_k};
//!
//! // Legendre's relation at m = 1/2.
//! let (k, e) = (ellip_k(0.5), ellip_e(0.5));
//! assert!((2.0 * e * k - k * k - std::f64::consts::FRAC_PI_2).abs() < 1e-15);
//! ```

pub mod contour;
pub mod dual;
pub mod elliptic;
pub mod number;
pub mod quadrature;
pub mod stop;
pub mod vector;
