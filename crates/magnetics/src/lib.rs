//! Fields, forces and materials of permanent magnets in closed form.
//!
//! Everything is in SI units and `f64`: metres, tesla, amperes per metre, newtons.
//! Temperatures are degrees Celsius and carry `_celsius` in their names.
//! Magnets in an [`Assembly`] are uniformly magnetised along their own axis, which is always `z`;
//! those in a [`Scene`] are of any form, placed anywhere, turned any way and magnetised along any direction.
//! Recoil permeability enters a scene exactly, through [`recoil_solve`]; to first order through [`recoil`].
//!
//! | module | holds |
//! | --- | --- |
//! | [`shape`] | discs, rings, blocks and spheres |
//! | [`demag`] | their demagnetising factors |
//! | [`body`] | one magnet placed in space |
//! | [`assembly`] | the field of them all: B and H at any point |
//! | [`placed`], [`scene`] | bodies of any form anywhere, and their field |
//! | [`recoil_solve`] | finite recoil permeability by surface charge |
//! | [`profile`], [`arc`] | turned profiles and segments of rings |
//! | [`mod@load`], [`work`] | their forces and torques, pull on a plate, work to separate |
//! | [`arrangement`] | piles, grids, circles, facing pairs and Halbach rows of bodies |
//! | [`section`] | outlines of bodies cut by a plane |
//! | [`gradient`], [`limit`] | slopes of the field, and its limits on surfaces and edges |
//! | [`fluxmetric`] | their demagnetising factors |
//! | [`batch`] | all of that by lines of JSON |
//! | [`force`] | forces between bodies and the pull on an ideal plate |
//! | [`mod@stack`] | plated pieces stacked into one assembly |
//! | [`pull`] | the allocation-free path to the pull of a stack, for ranking |
//! | [`stack_field`] | the same to its field |
//! | [`recoil`] | effective polarisation, working point, margin to the knee |
//! | [`grade`], [`coating`] | material and plating tables |
//! | [`curve`] | the demagnetisation curve of a grade at a temperature |
//! | [`inside`] | the field inside a magnet, the part past the knee, loss by heat |
//! | [`lines`], [`stream`] | lines of flux in a plane, the stream function |
//! | [`elliptic`] | complete elliptic integrals |
//! | [`oracle`] | values from outside the project, compared with ours |

pub mod arc;
pub mod arrangement;
pub mod assembly;
pub mod batch;
mod block;
pub mod body;
mod closed;
pub mod coating;
mod contour;
pub mod curve;
mod cylinder;
pub mod demag;
mod diametral;
mod dual;
pub mod elliptic;
mod far;
pub mod fluxmetric;
pub mod force;
pub mod grade;
pub mod gradient;
pub mod inside;
mod kind;
pub mod limit;
pub mod lines;
pub mod load;
mod many;
mod names;
mod number;
pub mod oracle;
mod overlap;
mod patch;
pub mod placed;
pub mod profile;
pub mod pull;
mod quadrature;
pub mod recoil;
pub mod recoil_correction;
pub mod recoil_solve;
pub mod scene;
pub mod section;
pub mod shape;
mod sheet;
pub mod stack;
pub mod stack_field;
pub mod stream;
mod trace;
mod turned;
mod vector;
pub mod work;

pub use assembly::{Assembly, FieldError};
pub use body::{Body, BodyError};
pub use force::ForceError;
pub use load::{Load, LoadError, load};
pub use placed::{Placed, PlacedError, Polarisation, Solid};
pub use pull::StackPull;
pub use recoil_solve::SettleError;
pub use scene::{Element, Scene};
pub use shape::{Shape, ShapeError};
pub use stack::stack;
pub use stack_field::StackField;

/// Magnetic constant, in H/m.
///
/// The exact value before the 2019 revision of the SI; the measured CODATA 2018 value,
/// 1.256 637 062 12e-6 H/m, differs by 5.5e-10 of it.
pub const MU_0: f64 = 4e-7 * std::f64::consts::PI;
