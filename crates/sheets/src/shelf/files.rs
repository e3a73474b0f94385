//! The table of a shelf as a workbook, as CSV, as JSON.

use csv::{Terminator, WriterBuilder};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, XlsxError};
use serde_json::{Map, Value, json};

use super::Cell;
use crate::cells::{FORMULA_STARTS, text};

/// Why a table could not be written.
#[derive(Debug, thiserror::Error)]
pub enum TableError {
    /// The workbook.
    #[error("the workbook cannot be made: {0}")]
    Workbook(#[from] XlsxError),
    /// The comma-separated file.
    #[error("the comma-separated table cannot be made: {0}")]
    Delimited(String),
    /// The JSON.
    #[error("the JSON cannot be made: {0}")]
    Json(#[from] serde_json::Error),
}

/// A workbook: headings fixed at the top, text that is never run as a formula. The same table gives the same bytes.
///
/// # Errors
/// When it has more rows than a sheet, or cannot be written.
pub fn xlsx(headings: &[String], rows: &[Vec<Cell>]) -> Result<Vec<u8>, TableError> {
    let mut workbook = Workbook::new();
    // The day of writing would make every file another.
    let made = ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&made));
    let strong = Format::new().set_bold().set_text_wrap();
    let sheet = workbook.add_worksheet();
    sheet.set_freeze_panes(1, 1)?;
    for (column, heading) in (0u16..).zip(headings) {
        sheet.write_string_with_format(0, column, heading, &strong)?;
    }
    for (row, cells) in (1u32..).zip(rows) {
        for (column, cell) in (0u16..).zip(cells) {
            match cell {
                Cell::Nothing => {}
                Cell::Number(number) => {
                    sheet.write_number(row, column, *number)?;
                }
                Cell::Text(said) => text(sheet, row, column, said)?,
            }
        }
    }
    for (column, width) in [(0, 14.0), (1, 8.0), (2, 22.0), (3, 10.0), (4, 20.0)] {
        sheet.set_column_width(column, width)?;
    }
    Ok(workbook.save_to_buffer()?)
}

/// CSV in UTF-8 with a byte order mark, commas, decimal points, CRLF; text that would be run as a formula has a quote before it.
///
/// # Errors
/// When it cannot be written.
pub fn csv(headings: &[String], rows: &[Vec<Cell>]) -> Result<Vec<u8>, TableError> {
    let failed = |e: &dyn std::fmt::Display| TableError::Delimited(e.to_string());
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::CRLF)
        .from_writer(b"\xef\xbb\xbf".to_vec());
    writer.write_record(headings).map_err(|e| failed(&e))?;
    for cells in rows {
        let texts = cells.iter().map(|cell| match cell {
            Cell::Nothing => String::new(),
            Cell::Number(number) => number.to_string(),
            Cell::Text(text) if text.starts_with(FORMULA_STARTS) => format!("'{text}"),
            Cell::Text(text) => text.clone(),
        });
        writer.write_record(texts).map_err(|e| failed(&e))?;
    }
    writer.into_inner().map_err(|e| failed(&e))
}

/// JSON: a list of objects with the headings as keys.
///
/// # Errors
/// When it cannot be written.
pub fn json(headings: &[String], rows: &[Vec<Cell>]) -> Result<Vec<u8>, TableError> {
    let object = |cells: &Vec<Cell>| -> Value {
        let pairs = headings.iter().zip(cells).map(|(heading, cell)| {
            let value = match cell {
                Cell::Nothing => Value::Null,
                Cell::Number(number) => json!(number),
                Cell::Text(text) => json!(text),
            };
            (heading.clone(), value)
        });
        Value::Object(pairs.collect::<Map<_, _>>())
    };
    let all: Vec<Value> = rows.iter().map(object).collect();
    let mut bytes = serde_json::to_vec_pretty(&all)?;
    bytes.push(b'\n');
    Ok(bytes)
}
