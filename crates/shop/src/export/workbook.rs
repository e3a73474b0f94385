//! XLSX: one sheet, headings fixed at the top. Text is written as text, so no formula can come of it.

use rust_xlsxwriter::{Format, Workbook};

use super::columns::{Value, columns};
use super::{failed, products};
use crate::Shop;
use crate::error::Result;

/// The whole shelf as an XLSX workbook.
///
/// # Errors
/// When the database fails, or the shelf has more items than a sheet has rows.
pub fn xlsx(shop: &Shop) -> Result<Vec<u8>> {
    let products = products(shop)?;
    let settings = shop.settings()?;
    let columns = columns(&products, settings.currency);
    let mut book = Workbook::new();
    let bold = Format::new().set_bold();
    let sheet = book.add_worksheet();
    sheet.set_name("shelf").map_err(failed)?;
    sheet.set_freeze_panes(1, 1).map_err(failed)?;
    for (at, column) in (0u16..).zip(&columns) {
        sheet
            .write_string_with_format(0, at, &column.heading, &bold)
            .map_err(failed)?;
        for (row, product) in (1u32..).zip(&products) {
            match column.value(product) {
                Value::Nothing => continue,
                Value::Text(text) => sheet.write_string(row, at, text),
                Value::Number(number) => sheet.write_number(row, at, number),
                // A sheet holds floats; a count beyond 2^53 would change.
                Value::Count(count) if count > 1 << 53 => sheet.write_string(row, at, count.to_string()),
                Value::Count(count) => sheet.write_number(row, at, count as f64),
                Value::Money(money) => sheet.write_number(row, at, money.to_f64()),
            }
            .map_err(failed)?;
        }
    }
    sheet.autofit();
    book.save_to_buffer().map_err(failed)
}
