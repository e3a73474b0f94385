//! CSV: UTF-8 with a byte order mark, so that spreadsheet programs know the encoding; commas, decimal points, CRLF.

use csv::{Terminator, WriterBuilder};

use super::columns::{Value, columns};
use super::{FORMULA_STARTS, failed, products};
use crate::Shop;
use crate::error::Result;

/// The whole shelf as CSV.
///
/// Spreadsheet programs turn codes such as `14-07` into dates when they open a CSV file; the workbook of
/// [`super::xlsx`] is safe from that.
///
/// Text that a spreadsheet program would run as a formula gets a quote before it; an import takes it off again.
///
/// # Errors
/// When the database fails.
pub fn csv(shop: &Shop) -> Result<Vec<u8>> {
    let products = products(shop)?;
    let columns = columns(&products, shop.settings()?.currency);
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(b"\xef\xbb\xbf".to_vec());
    writer
        .write_record(columns.iter().map(|column| column.heading.as_str()))
        .map_err(failed)?;
    for product in &products {
        writer
            .write_record(columns.iter().map(|column| cell(column.value(product))))
            .map_err(failed)?;
    }
    writer.into_inner().map_err(failed)
}

fn cell(value: Value) -> String {
    match value {
        Value::Text(text) => guarded(text),
        value => value.plain(),
    }
}

/// Puts a quote before what would be run as a formula, and before what looks as if that had been done.
fn guarded(text: String) -> String {
    if text.trim_start_matches('\'').starts_with(FORMULA_STARTS) {
        format!("'{text}")
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_are_guarded_and_nothing_else() {
        for (text, cell) in [
            ("=1+1", "'=1+1"),
            ("@a", "'@a"),
            ("-3", "'-3"),
            ("'=1", "''=1"),
            ("plain", "plain"),
            ("'s", "'s"),
        ] {
            assert_eq!(guarded(text.to_owned()), cell);
        }
    }
}
