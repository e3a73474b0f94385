//! How an import is to be done, and what it would do.

use quantity::Units;
use serde::Serialize;
use utoipa::ToSchema;

use super::consequences::Consequences;
use super::field::Field;
use super::heading::Column;
use super::interpret::Row;
use super::map::Map;
use super::problem::Problem;
use super::table::{Cell, Line};
use super::text::excerpt;

/// How an import is to be done.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Options {
    /// Take items off the shelf that the file does not have.
    pub retire_missing: bool,
    /// The revision that the caller has seen; the import is refused where the shelf has changed since.
    pub revision: Option<u64>,
    /// Units of texts in the preview.
    pub units: Units,
    /// Whether the consequences have been seen and are wanted.
    pub confirmed: bool,
    /// Leave out the lines that cannot be read, and import the others.
    pub skip_bad: bool,
    /// What was said of the columns, to be kept for the next file with the same headings; `None` leaves what is kept.
    pub keep: Option<Map>,
}

/// What became of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// The code is not on the shelf yet.
    New,
    /// The item differs from the one on the shelf.
    Changed,
    /// The item is on the shelf as it is.
    Unchanged,
    /// The line cannot be imported.
    Bad,
}

/// A line in a preview.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Sample {
    /// Line of the file.
    pub line: u32,
    /// Code, where it could be read.
    pub code: String,
    /// The item in a few words.
    pub title: String,
    /// What would become of it.
    pub state: State,
    /// What would change, in words.
    pub changes: Vec<String>,
}

/// What a column can hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct FieldName {
    /// Its name.
    pub name: &'static str,
    /// The usual units of what is in it; none where it has no unit.
    pub units: Vec<&'static str>,
}

impl FieldName {
    /// All but the prices.
    pub(super) fn all() -> Vec<Self> {
        let units = |name: &str| match Field::named(name) {
            Some(Field::Mass) => vec!["g", "kg", "oz", "lb"],
            Some(Field::StatedPull) => vec!["N", "kg", "lb"],
            Some(field) if field.is_length() => vec!["mm", "cm", "m", "in"],
            _ => Vec::new(),
        };
        let field = |name| FieldName {
            name,
            units: units(name),
        };
        Field::names().map(field).collect()
    }
}

/// A line that cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct LeftOut {
    /// Line of the file.
    pub line: u32,
    /// Code, where it could be read.
    pub code: String,
    /// The beginning of the line, its cells with blanks between.
    pub text: String,
    /// What is wrong with it, in words.
    pub why: Vec<String>,
}

/// So many characters of a line are shown.
const LONGEST_LINE: usize = 160;

impl LeftOut {
    /// The line as read, its reasons taken out.
    pub(super) fn of(line: &Line, row: &mut Row) -> Self {
        let cells: Vec<String> = line
            .cells
            .iter()
            .map(Cell::shown)
            .filter(|text| !text.is_empty())
            .collect();
        let clean = |c: char| if c.is_control() { ' ' } else { c };
        Self {
            line: line.number,
            code: excerpt(row.code.as_deref().unwrap_or_default()),
            text: cells.join("  ").chars().take(LONGEST_LINE).map(clean).collect(),
            why: std::mem::take(&mut row.reasons),
        }
    }
}

/// What an import would do, and what is wrong with the file.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Preview {
    /// Lines below the headings.
    pub rows: usize,
    /// Items that are not on the shelf yet.
    pub new: usize,
    /// Items that differ from the shelf.
    pub changed: usize,
    /// Items that do not.
    pub unchanged: usize,
    /// Lines that cannot be imported.
    pub bad: usize,
    /// Items on the shelf that the file does not have.
    pub missing: usize,
    /// Encoding of the file, or `XLSX`.
    pub encoding: String,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// The columns as recognised.
    pub columns: Vec<Column>,
    /// Some lines of each state.
    pub sample: Vec<Sample>,
    /// The lines that cannot be read, at most [`super::MOST_REPORTED`].
    pub left_out: Vec<LeftOut>,
    /// What is wrong, at most [`super::MOST_REPORTED`].
    pub problems: Vec<Problem>,
    /// All problems that stand in the way, listed or not.
    pub errors: usize,
    /// All that do not.
    pub warnings: usize,
    /// The revision of the shelf that it was compared with.
    pub revision: u64,
    /// Whether the file can be imported.
    pub may_import: bool,
    /// Whether it could be if the lines that cannot be read were left out.
    pub may_skip: bool,
    /// Whether they are.
    pub skipping: bool,
    /// What was said of an earlier file with the same headings, and is used now.
    pub kept: Option<Map>,
    /// What a column can hold, beside prices.
    pub fields: Vec<FieldName>,
    /// What of the shelf would be lost or turned over; where there is any, the import is to be confirmed.
    pub consequences: Consequences,
}
