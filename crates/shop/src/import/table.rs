//! A price list as a table of cells, whatever file it came from.

use quantity::{Convention, Kind, Unit};

use super::sniff::{Content, content};
use super::text::excerpt;
use super::{delimited, encoding, heading, workbook};

/// The most lines of a price list.
pub const MOST_LINES: usize = 200_000;
/// The largest file, bytes.
pub(crate) const MOST_BYTES: usize = 64 << 20;
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

/// Reads a price list from the bytes of a file: delimited text in any usual encoding, or an XLSX workbook. What kind
/// it is, is found from the content; `name` is for print only.
///
/// # Errors
/// When it is something else, is damaged, has no line of headings, or is larger than 64 MiB, [`MOST_LINES`] lines,
/// 256 columns or 6 million cells.
pub fn read(bytes: &[u8], name: &str, options: &ReadOptions) -> Result<Table, ReadError> {
    if bytes.len() > MOST_BYTES {
        return Err(ReadError::new(
            format!("the file has {} MiB", bytes.len() >> 20),
            format!("at most {} MiB; split the list", MOST_BYTES >> 20),
        ));
    }
    let length_unit = options
        .length_unit
        .as_deref()
        .filter(|unit| !unit.trim().is_empty())
        .map(length_unit)
        .transpose()?;
    let raw = match content(bytes) {
        Content::Nothing => {
            return Err(ReadError::new(
                "the file is empty",
                "a price list with a line of headings and a line an item",
            ));
        }
        Content::Other(what, right) => return Err(ReadError::new(format!("the file is {what}"), right)),
        Content::Zip => workbook::read(bytes, options.sheet.as_deref())?,
        Content::Text => {
            let (text, encoding) =
                encoding::decode(bytes, options.encoding.as_deref().filter(|label| !label.is_empty()))
                    .map_err(|(wrong, right)| ReadError::new(wrong, right))?;
            Raw {
                lines: delimited::read(&text)?,
                encoding,
                sheet: None,
            }
        }
    };
    let (headings, lines) = split_headings(raw.lines)?;
    Ok(Table {
        name: excerpt(name),
        headings,
        lines,
        encoding: raw.encoding.to_owned(),
        sheet: raw.sheet,
        length_unit,
        decimal: options.decimal,
    })
}

fn length_unit(text: &str) -> Result<Unit, ReadError> {
    Unit::named(text)
        .filter(|unit| unit.kind() == Kind::Length)
        .ok_or_else(|| {
            ReadError::new(
                format!("unknown unit of length \"{}\"", excerpt(text)),
                "mm, cm, m or in",
            )
        })
}

/// Takes the headings off: of the first lines, the one with the most columns that are recognised.
fn split_headings(mut lines: Vec<Line>) -> Result<(Vec<String>, Vec<Line>), ReadError> {
    let at = heading_line(&lines).ok_or_else(|| {
        ReadError::new(
            format!("there is no line of headings in the first {HEADING_LINES} lines"),
            "a line that names the columns, such as: code, shape, diameter (mm), thickness (mm), grade, price 1, price 10",
        )
    })?;
    let body = lines.split_off(at + 1);
    let headings: Vec<String> = lines
        .pop()
        .map(|line| line.cells.iter().map(Cell::shown).collect())
        .unwrap_or_default();
    Ok((headings, body))
}

/// Which of the first lines is the headings, if any has at least two that are recognised.
pub(crate) fn heading_line(lines: &[Line]) -> Option<usize> {
    let scores = lines
        .iter()
        .take(HEADING_LINES)
        .enumerate()
        .map(|(at, line)| (heading_score(line), at));
    let (score, at) = scores.max_by_key(|(score, at)| (*score, std::cmp::Reverse(*at)))?;
    (score >= 2).then_some(at)
}

/// How many different fields are recognised in a line.
pub(crate) fn heading_score(line: &Line) -> usize {
    let headings: Vec<String> = line.cells.iter().map(Cell::shown).collect();
    heading::columns(&headings)
        .iter()
        .filter(|column| column.field.is_some())
        .count()
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
