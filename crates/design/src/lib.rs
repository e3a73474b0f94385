//! Magnets that are made to a wish: free sizes within a space, found by search, with the limit that no magnet can pass.
//!
//! Everything is in SI units and `f64`. Nothing here reads a clock: how much work a search may be is counted in drafts.
//!
//! Read in this order:
//!
//! | module | holds |
//! | --- | --- |
//! | [`wish`], [`stuff`] | what is wished for, and of what it is made |
//! | [`ask`] | a wish in words |
//! | [`family`], [`draft`] | the families of arrangements, and the pieces of one |
//! | [`recipes`] | which sizes of a family are free, and the draft that follows from them |
//! | [`known`], [`cost`] | the steel, and what it may cost to make |
//! | [`measure`] | what a draft does |
//! | [`search`] | the drafts that keep a wish with the least of what is to be least |
//! | [`ceiling`](mod@ceiling) | the limit that no magnet can pass |
//! | [`stock`] | arrangements out of pieces that are on a shelf, and how they are put together |
//! | [`sizes`], [`round`] | preferred sizes, and what a draft does in them |
//! | [`told`], [`view`] | all that is told of a wish, and its words |
//!
//! ```
//! use design::known::{Known, USUAL_STEEL};
//! use design::search::{Effort, search};
//! use design::stuff::Stuff;
//! use design::wish::{Aim, Area, Goal, Space, Wish};
//! use materials::grade::GradeTable;
//! use numerics::stop::Stop;
//!
//! let n42 = GradeTable::builtin()?.get("N42").ok_or("a grade of the table")?;
//! let wish = Wish {
//!     goal: Goal::Reach { field: 0.1, distance: 5e-3, spot: 0.0 },
//!     space: Space { across: Area::Round(20e-3), height: 20e-3, filled: false },
//!     stuff: Stuff::of_grade(n42, 20.0)?,
//!     aims: vec![Aim::Mass],
//!     families: vec![design::family::Family::Disc],
//!     lot: 100,
//! };
//! let outcome = search(&wish, &Known::of_steel(USUAL_STEEL)?, Effort::First, &Stop::new(), &|_| {})?;
//! assert!(outcome.found[0].keeps && outcome.found[0].value() < 0.102);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod ask;
pub mod ceiling;
pub mod cost;
pub mod draft;
pub mod family;
pub mod known;
pub mod measure;
pub mod recipes;
pub mod round;
pub mod search;
pub mod sizes;
pub mod stock;
pub mod stuff;
pub mod told;
pub mod view;
pub mod wish;
