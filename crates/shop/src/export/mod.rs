//! The shelf as a price list that an import reads back without a change.

mod columns;
mod delimited;
mod workbook;

pub use delimited::csv;
pub use workbook::xlsx;

use crate::{Product, Shop, ShopError};

/// Text that begins so would be run as a formula by a spreadsheet program.
pub(crate) const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn failed(error: impl std::fmt::Display) -> ShopError {
    ShopError::Export(error.to_string())
}

/// Everything on the shelf: magnets by code, then parts by code.
fn products(shop: &Shop) -> Result<Vec<Product>, ShopError> {
    let shelf = shop.snapshot()?;
    if let Some(line) = shelf.unread.first() {
        return Err(failed(format!(
            "{} lines of the shelf cannot be read, the first \"{}\": {}; import them anew first",
            shelf.unread.len(),
            line.code,
            line.why
        )));
    }
    let magnets = shelf.items.into_iter().map(Product::Magnet);
    Ok(magnets.chain(shelf.parts.into_iter().map(Product::Part)).collect())
}
