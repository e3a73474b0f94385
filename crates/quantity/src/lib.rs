//! Quantities as people write them, held in SI.
//!
//! Newtypes over `f64` ([`Length`], [`FluxDensity`], [`FieldStrength`], [`Force`], [`Mass`],
//! [`Temperature`]), the [`Load`] that is either a mass or a force, and exact [`Money`].
//! Text is turned into a quantity by [`parse`] (a whole field) or [`scan`] and [`scan_any`]
//! (the start of a sentence); a quantity is turned into text by [`Quantity::show`] in the
//! reader's [`Units`].
//!
//! ```
//! use quantity::{Length, Quantity, Units, parse};
//!
//! let gap: Length = parse("1-1/8\"")?;
//! assert_eq!(gap.show(&Units::metric()).to_string(), "28.575\u{a0}mm");
//! assert_eq!(gap.show(&Units::inch()).to_string(), "1-1/8\u{a0}in");
//! # Ok::<(), quantity::ParseError>(())
//! ```
//!
//! Every reader here is total: any text gives a value or a [`ParseError`], never a panic, and
//! never a value that is not finite.

mod currency;
mod error;
mod kind;
mod lex;
mod load;
mod money;
mod number;
mod parse;
mod serial;
mod show;
mod si;
mod unit;
mod units;

pub use currency::{Currency, CurrencyError};
pub use error::ParseError;
pub use kind::{Kind, STANDARD_GRAVITY};
pub use load::Load;
pub use money::{Money, MoneyError};
pub use number::Convention;
pub use parse::{Any, parse, parse_with_default, scan, scan_any};
pub use show::Shown;
pub use si::{FieldStrength, FluxDensity, Force, Length, Mass, Quantity, Temperature};
pub use unit::Unit;
pub use units::{FieldUnit, FluxUnit, ForceUnit, LengthUnit, MassUnit, Scale, TemperatureUnit, Units, UnitsError};
