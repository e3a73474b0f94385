//! Price lists from files: read, recognise the columns, preview, apply.
//!
//! ```no_run
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! use shop::{Shop, import};
//!
//! let shop = Shop::open("shop.db")?;
//! let bytes = std::fs::read("prices.csv")?;
//! let table = import::read(&bytes, "prices.csv", &import::ReadOptions::default())?;
//! let columns = import::recognise(&table);
//! let preview = import::preview(&shop, &table, &columns, &import::Options::default())?;
//! if preview.may_import {
//!     import::apply(&shop, &table, &columns, &import::Options::default())?;
//! }
//! # Ok(())
//! # }
//! ```
//!
//! A file is either imported whole or not at all. Rows update the item of the same code; a column that the file does
//! not have leaves what the shelf knows.

mod apply;
mod consequences;
mod decimal;
mod delimited;
mod direction;
mod encoding;
mod field;
mod heading;
mod interpret;
mod map;
mod plan;
mod preview;
mod prices;
mod problem;
mod read;
mod single;
mod size;
mod sniff;
mod table;
mod text;
mod told;
mod value;
mod vocabulary;
mod workbook;

pub use apply::{ApplyError, Outcome, apply};
pub use consequences::{Consequence, Consequences};
pub use field::Field;
pub use heading::{Column, recognise};
pub use map::{Choice, Map, MapError};
pub use plan::preview;
pub use preview::{FieldName, LeftOut, Options, Preview, Sample, State};
pub use problem::{MOST_REPORTED, Problem, Severity};
pub use read::{lines, read};
pub use single::{Filled, form, one_line, put, take_off};
pub use table::{Cell, Line, MOST_LINES, ReadError, ReadOptions, Table};
