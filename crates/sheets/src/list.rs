//! A plain list: as a workbook, and as comma-separated text. Text stays text: no cell is ever run as a formula.

use rust_xlsxwriter::{Format, Workbook};

use crate::cells;
use crate::quotation::WorkbookError;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Text.
    Text(String),
    /// A number; one that is not finite leaves the cell empty.
    Number(f64),
    /// Nothing.
    Nothing,
}

/// Headings with rows below them.
#[derive(Clone, Debug, PartialEq)]
pub struct List {
    /// What the sheet is called, at most 31 characters.
    pub name: &'static str,
    /// The headings.
    pub headings: Vec<String>,
    /// The rows, each as long as the headings.
    pub rows: Vec<Vec<Cell>>,
}

impl List {
    /// As comma-separated text with a line of headings (RFC 4180).
    #[must_use]
    pub fn csv(&self) -> String {
        let line = |cells: Vec<String>| cells.join(",") + "\r\n";
        let head = line(self.headings.iter().map(|heading| quoted(heading)).collect());
        let rows = self.rows.iter().map(|row| line(row.iter().map(Cell::text).collect()));
        head + &rows.collect::<String>()
    }

    /// As a workbook of one sheet.
    ///
    /// # Errors
    /// When it cannot be written.
    pub fn xlsx(&self) -> Result<Vec<u8>, WorkbookError> {
        let mut book = Workbook::new();
        let bold = Format::new().set_bold();
        let sheet = book.add_worksheet();
        sheet.set_name(self.name)?;
        sheet.set_freeze_panes(1, 0)?;
        for (column, heading) in (0u16..).zip(&self.headings) {
            sheet.write_string_with_format(0, column, heading, &bold)?;
        }
        for (row, cells) in (1u32..).zip(&self.rows) {
            for (column, cell) in (0u16..).zip(cells) {
                match cell {
                    Cell::Text(text) => cells::text(sheet, row, column, text)?,
                    Cell::Number(number) if number.is_finite() => {
                        sheet.write_number(row, column, *number)?;
                    }
                    Cell::Number(_) | Cell::Nothing => {}
                }
            }
        }
        sheet.autofit();
        book.save_to_buffer()
    }
}

impl Cell {
    fn text(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Number(number) if number.is_finite() => number.to_string(),
            Self::Number(_) | Self::Nothing => String::new(),
        }
    }
}

/// A cell as it stands in comma-separated text; what a spreadsheet program would run as a formula gets a quote before it.
#[must_use]
pub fn quoted(cell: &str) -> String {
    let guarded = if cell.starts_with(['=', '+', '@', '\t']) || (cell.starts_with('-') && cell.parse::<f64>().is_err())
    {
        format!("'{cell}")
    } else {
        cell.to_owned()
    };
    if guarded.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", guarded.replace('"', "\"\""))
    } else {
        guarded
    }
}

#[cfg(test)]
mod tests;
