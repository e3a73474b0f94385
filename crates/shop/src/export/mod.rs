//! The shelf as a price list that an import reads back without a change.

mod columns;
mod delimited;
mod workbook;

pub use delimited::csv;
pub use workbook::xlsx;

use crate::ShopError;

/// Text that begins so would be run as a formula by a spreadsheet program.
pub(crate) const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn failed(error: impl std::fmt::Display) -> ShopError {
    ShopError::Export(error.to_string())
}
