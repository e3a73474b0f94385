//! A price list as a table of cells, whatever file it came from.

use quantity::{Convention, Unit};

/// The most lines of a price list.
pub const MOST_LINES: usize = 200_000;
/// The most columns of a price list.
pub(crate) const MOST_COLUMNS: usize = 256;
/// The most cells that are not empty, so that memory is bounded.
pub(crate) const MOST_CELLS: usize = 6_000_000;
/// The longest text of a cell, characters.
pub(crate) const LONGEST_CELL: usize = 4_000;
/// The headings are looked for in so many first lines.
pub(crate) const HEADING_LINES: usize = 25;

/// How a file is to be read, where it does not say so itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadOptions {
    /// Unit of sizes whose heading and cell state none; the shop's setting if `None`. A spelling such as `mm`.
    pub length_unit: Option<String>,
    /// The decimal sign; found from the numbers if `Auto`.
    pub decimal: Convention,
    /// Which sheet of a workbook; the first with a heading line if `None`.
    pub sheet: Option<String>,
    /// Encoding of a text file, such as `windows-1252`; found from the bytes if `None`.
    pub encoding: Option<String>,
    /// The line of the file that names the columns, from 1; 0 where none does. Found by its words if `None`.
    pub heading_line: Option<u32>,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing, or blanks.
    Empty,
    /// Text, blanks at the ends taken off.
    Text(Box<str>),
    /// A number of a workbook.
    Number(f64),
    /// A formula of a workbook whose stored result is 0: perhaps it was never computed.
    FormulaZero,
    /// A date of a workbook, as text; spreadsheet programs turn sizes such as 10-5 into dates.
    Date(Box<str>),
    /// An error of a workbook, such as `#REF!`.
    Error(Box<str>),
}

impl Cell {
    /// A cell of this text.
    pub(crate) fn text(text: &str) -> Self {
        match text.trim() {
            "" => Cell::Empty,
            text => Cell::Text(text.into()),
        }
    }

    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        *self == Cell::Empty
    }

    /// The cell as text, numbers with a decimal point.
    pub fn shown(&self) -> String {
        match self {
            Cell::Empty => String::new(),
            Cell::Text(text) | Cell::Date(text) | Cell::Error(text) => text.to_string(),
            Cell::Number(number) => number.to_string(),
            Cell::FormulaZero => "0".into(),
        }
    }
}

/// One line of a price list.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its number in the file, from 1.
    pub number: u32,
    /// Its cells; empty ones at the end may be missing.
    pub cells: Vec<Cell>,
}

impl Line {
    /// The cell in this column.
    pub fn cell(&self, column: usize) -> &Cell {
        self.cells.get(column).unwrap_or(&Cell::Empty)
    }
}

/// A price list, its headings apart from its lines.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Name of the file that it came from.
    pub name: String,
    /// The texts above the headings with the numbers of their lines.
    pub titles: Vec<(u32, String)>,
    /// Headings, in order.
    pub headings: Vec<String>,
    /// The lines below the headings that are not empty.
    pub lines: Vec<Line>,
    /// Encoding of a text file; `XLSX` for a workbook.
    pub encoding: String,
    /// The sheet that was read, for a workbook.
    pub sheet: Option<String>,
    /// Unit of sizes that state none, where the caller gave one.
    pub length_unit: Option<Unit>,
    /// The decimal sign, where the caller gave one.
    pub decimal: Convention,
}

/// A file that cannot be read as a price list.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{wrong}")]
pub struct ReadError {
    /// What is wrong: lower case, no full stop.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

impl ReadError {
    pub(crate) fn new(wrong: impl Into<String>, right: impl Into<String>) -> Self {
        Self {
            wrong: wrong.into(),
            right: right.into(),
        }
    }
}

/// Lines before it is known which of them are the headings, and where they came from.
pub(crate) struct Raw {
    pub(crate) lines: Vec<Line>,
    pub(crate) encoding: &'static str,
    pub(crate) sheet: Option<String>,
}

/// Counts cells against the limit.
#[derive(Default)]
pub(crate) struct Budget {
    lines: usize,
    cells: usize,
}

impl Budget {
    /// Takes a line of `cells` cells.
    pub(crate) fn take(&mut self, cells: usize) -> Result<(), ReadError> {
        self.lines += 1;
        // Title lines and headings come on top of the lines of items.
        if self.lines > MOST_LINES + HEADING_LINES {
            return Err(too_many(MOST_LINES, "lines"));
        }
        if cells > MOST_COLUMNS {
            return Err(too_many(MOST_COLUMNS, "columns"));
        }
        self.add_cells(cells)
    }

    /// Takes more cells of the same line.
    pub(crate) fn add_cells(&mut self, cells: usize) -> Result<(), ReadError> {
        self.cells += cells;
        if self.cells > MOST_CELLS {
            Err(too_many(MOST_CELLS, "cells"))
        } else {
            Ok(())
        }
    }
}

pub(crate) fn too_many(limit: usize, what: &str) -> ReadError {
    ReadError::new(format!("the file has more than {limit} {what}"), "split the list")
}

/// Refuses a cell that is too long to be one.
pub(crate) fn check_length(text: &str, line: u32) -> Result<(), ReadError> {
    if text.len() > LONGEST_CELL && text.chars().count() > LONGEST_CELL {
        return Err(ReadError::new(
            format!("line {line} has a cell of more than {LONGEST_CELL} characters"),
            "shorter texts; if it is a text file, look for a quotation mark that is not closed",
        ));
    }
    Ok(())
}
