//! Fields and forces of permanent magnets in closed form; their [materials] and the [numerics] behind are crates of their own.
//!
//! Everything is in SI units and `f64`: metres, tesla, amperes per metre, newtons.
//! Temperatures are degrees Celsius and carry `_celsius` in their names.
//! Magnets in an [`Assembly`] are uniformly magnetised along their own axis, which is always `z`;
//! those in a [`Scene`] are of any form, placed anywhere, turned any way and magnetised along any direction.
//! Recoil permeability enters a scene exactly, through [`recoil_solve`]; to first order through [`recoil`].
//!
//! Read in this order:
//!
//! | module | holds |
//! | --- | --- |
//! | [`shape`], [`profile`], [`arc`], [`solid`] | the forms a magnet can have, and how it is magnetised |
//! | [`demag`], [`fluxmetric`] | their demagnetising factors |
//! | [`placed`], [`scene`] | bodies of any form anywhere, and their field |
//! | [`overlap`] | which of them share space |
//! | [`recoil_solve`] | finite recoil permeability by surface charge |
//! | [`mod@load`], [`work`] | their forces and torques, pull on a plate, work to separate |
//! | [`arrangement`] | piles, grids, circles, facing pairs and Halbach rows of bodies |
//! | [`gradient`], [`limit`] | slopes of the field, and its limits on surfaces and edges |
//! | [`plane`], [`section`] | a plane and its window, outlines of bodies cut by it |
//! | [`stream`], [`lines`] | the stream function, lines of flux in a plane |
//! | [`body`], [`assembly`] | magnets with parallel axes, and their field in closed form |
//! | [`force`] | forces between them and the pull on an ideal plate, in closed form |
//! | [`mod@stack`], [`stack_field`], [`pull`] | plated pieces stacked into one assembly, its field and its pull for ranking |
//! | [`recoil`], [`recoil_correction`] | effective polarisation, working point, margin to the knee |
//! | [`inside`] | the field inside a magnet, the part past the knee, loss by heat |
//!
//! The field of a disc and its pull on an ideal plate:
//!
//! ```
//! use magnetics::load::plate_pull;
//! use magnetics::{Placed, Polarisation, Scene, Shape, Solid};
//!
//! let disc = Shape::Disc { diameter: 0.010, thickness: 0.005 };
//! let magnet = Placed::new(Solid::Plain(disc), Polarisation::Along([0.0, 0.0, 1.0]), [0.0; 3], [0.0; 3])?;
//!
//! // On the axis, 1 mm above the face: J/2 of the difference of two cosines.
//! let [_, _, b] = Scene::new(vec![magnet.clone()]).flux_density([0.0, 0.0, 0.0035])?;
//! let cosine = |z: f64| z / z.hypot(0.005);
//! assert!((b - 0.5 * (cosine(0.006) - cosine(0.001))).abs() < 1e-12);
//!
//! let (pull, error) = plate_pull(&[magnet], 0.001)?;
//! assert!(pull > 7.6 && pull < 7.61 && error < 1e-6);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod arc;
pub mod arrangement;
pub mod assembly;
mod block;
pub mod body;
mod closed;
mod cylinder;
pub mod demag;
mod diametral;
mod far;
pub mod fluxmetric;
pub mod force;
pub mod gradient;
pub mod inside;
mod kind;
pub mod limit;
pub mod lines;
pub mod load;
mod many;
pub mod overlap;
mod patch;
pub mod placed;
pub mod plane;
pub mod profile;
pub mod pull;
pub mod recoil;
pub mod recoil_correction;
pub mod recoil_solve;
pub mod scene;
pub mod section;
pub mod shape;
mod sheet;
pub mod solid;
pub mod stack;
pub mod stack_field;
pub mod stream;
mod trace;
mod turned;
pub mod work;

pub use assembly::{Assembly, FieldError};
pub use body::{Body, BodyError};
pub use force::ForceError;
pub use load::{Load, LoadError, load};
pub use placed::Placed;
pub use pull::{GapError, StackPull};
pub use recoil_solve::SettleError;
pub use scene::{Element, Scene};
pub use shape::{Shape, ShapeError};
pub use solid::{PlacedError, Polarisation, Solid};
pub use stack::stack;
pub use stack_field::StackField;
