//! Packed magnets: what is in the box and how it lies there, the field around it against the rules of air transport, and what
//! to change so that it may fly.
//!
//! | module | holds |
//! | --- | --- |
//! | [`request`] | what is asked of a parcel |
//! | [`pack`] | pieces laid out as columns or closed rings, and the sources that stand for them |
//! | [`field`] | the field of sources, and its most over all directions at a distance from the box |
//! | [`lining`] | what a steel lining keeps in, an estimate |
//! | [`rules`] | the rules, from `data/rules.toml` |
//! | [`judge`] | a parcel held against the rules |
//! | [`changes`] | what to change so that it may fly |
//! | [`view`] | all of it in words |
//!
//! SI units throughout: metres, tesla, A m².

pub mod changes;
pub mod field;
pub mod judge;
pub mod lining;
pub mod pack;
pub mod request;
pub mod rules;
pub mod view;

pub use judge::{Parcel, judge};
pub use request::{Arrangement, ParcelRequest};
pub use view::{ParcelView, view};
