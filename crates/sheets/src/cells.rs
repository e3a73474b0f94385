//! Text in the cells of a workbook.

use rust_xlsxwriter::{Format, Worksheet, XlsxError};

/// With these a spreadsheet program begins a formula.
pub(crate) const FORMULA_STARTS: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];
/// The most characters that a cell holds.
const MOST_CELL: usize = 32_000;

/// Text in a cell. One that begins like a formula is marked as text, so that it stays one when it is edited or exported.
///
/// # Errors
/// When the cell lies beyond the sheet.
pub(crate) fn text(sheet: &mut Worksheet, row: u32, column: u16, text: &str) -> Result<(), XlsxError> {
    let short: String = text.chars().take(MOST_CELL).collect();
    if short.starts_with(FORMULA_STARTS) {
        let marked = Format::new().set_quote_prefix();
        sheet.write_string_with_format(row, column, short, &marked)?;
    } else {
        sheet.write_string(row, column, short)?;
    }
    Ok(())
}
