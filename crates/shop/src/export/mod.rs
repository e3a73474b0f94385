//! The shelf as a price list that an import reads back without a change.

mod columns;
mod delimited;
mod workbook;

pub use delimited::csv;
pub use workbook::xlsx;

use columns::Value;
use quantity::Currency;

use crate::{Product, Shop, ShopError};

/// Text that begins so would be run as a formula by a spreadsheet program.
pub(crate) const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn failed(error: impl std::fmt::Display) -> ShopError {
    ShopError::Export(error.to_string())
}

/// Quantities that a new item has cells for the prices of.
const USUAL_STEPS: [u64; 3] = [1, 10, 100];

/// The heading and the text of every cell of one line; for a new one those of a magnet, with nothing in them.
pub(crate) fn cells(product: Option<&Product>, currency: Currency) -> Vec<(String, String)> {
    let lines: Vec<Product> = product.cloned().into_iter().collect();
    let mut cells: Vec<(String, String)> = columns::columns(&lines, currency)
        .into_iter()
        .map(|column| {
            let text = product.map_or(Value::Nothing, |product| column.value(product)).plain();
            (column.heading, text)
        })
        .collect();
    if !cells
        .iter()
        .any(|(heading, _)| heading.starts_with(columns::PRICE_FROM))
    {
        let at = cells
            .iter()
            .position(|(heading, _)| heading == "link")
            .unwrap_or(cells.len());
        let new = USUAL_STEPS.map(|from| (columns::price_heading(from, currency), String::new()));
        cells.splice(at..at, new);
    }
    cells
}

/// Everything on the shelf: magnets by code, then parts, then goods.
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
    Ok(shelf.into_products().collect())
}
