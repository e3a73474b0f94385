//! A plain list: as a workbook, and as comma-separated text. Text stays text: no cell is ever run as a formula.

use advice::view::text::Figure;
use quantity::{Mass, Quantity as _, Units};
use rust_xlsxwriter::{Format, Workbook};

use crate::cells::{self, FORMULA_STARTS};
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

/// Texts such as `62.9 N (6.4 kg)` or `€ 1.10` as the cells of a column, and the unit that all of its numbers have: where they have
/// several, all stay texts. A dash is nothing.
#[must_use]
pub fn measured(texts: &[Option<String>]) -> (Option<String>, Vec<Cell>) {
    let read: Vec<Option<(f64, String)>> = texts.iter().map(|text| figure(text.as_deref()?)).collect();
    let mut units = read.iter().flatten().map(|(_, unit)| unit);
    let unit = units.next().cloned().unwrap_or_default();
    let alike = units.all(|other| *other == unit);
    let cells = texts
        .iter()
        .zip(&read)
        .map(|(text, read)| match (read, text.as_deref()) {
            (Some((number, _)), _) if alike => Cell::Number(*number),
            (_, None | Some("-")) => Cell::Nothing,
            (_, Some(text)) => Cell::Text(text.replace('\u{a0}', " ")),
        });
    ((alike && !unit.is_empty()).then_some(unit), cells.collect())
}

/// The two ends of a range such as `56.1 to 67.0 N`, each with its unit.
#[must_use]
pub fn ends(range: &str) -> Option<[String; 2]> {
    let (low, high) = range.split_once(" to ")?;
    let (_, unit) = figure(high)?;
    let low = match figure(low) {
        Some((_, own)) if own.is_empty() => format!("{low} {unit}"),
        _ => low.to_owned(),
    };
    Some([low, high.to_owned()])
}

/// The number and the unit of a text: its unit stands behind it, or before it as a sign of money does; what follows in brackets says
/// the same in another.
fn figure(text: &str) -> Option<(f64, String)> {
    let text = text.split(" (").next()?.replace('\u{a0}', " ");
    let digits = |c: char| c.is_ascii_digit() || c == '.';
    let from = text.find(|c: char| digits(c) || "+-−".contains(c))?;
    let (before, rest) = text.split_at(from);
    let end = rest
        .char_indices()
        .find(|(at, c)| !(digits(*c) || *c == ' ' || *at == 0))
        .map_or(rest.len(), |(at, _)| at);
    let (number, behind) = rest.split_at(end);
    let (before, behind) = (before.trim(), behind.trim());
    if !before.is_empty() && !behind.is_empty() || behind.contains(',') {
        return None;
    }
    match Cell::number_of(number) {
        Cell::Number(number) => Some((number, format!("{before}{behind}"))),
        _ => None,
    }
}

impl Cell {
    /// A figure without its unit, to the digits that it is shown with, so that list and page have one number.
    #[must_use]
    pub fn of(figure: &Figure) -> Self {
        let text = figure.text.strip_suffix(&figure.unit).unwrap_or(&figure.text);
        Self::number_of(text)
    }

    /// A mass in the unit of its column, [`mass_unit`].
    #[must_use]
    pub fn mass(figure: &Figure, units: &Units) -> Self {
        let [column, own] = [0.0, f64::MAX].map(|si| units.scale(Mass::KIND, si));
        match figure.unit == column.label {
            true => Self::of(figure),
            false => Self::Number(rounded(figure.value / own.factor * column.factor)),
        }
    }

    /// The number of a text such as `+6.1 %`, `× 1.4` or `12 800`; the text itself where it is no number.
    #[must_use]
    pub fn number_of(text: &str) -> Self {
        let digits: String = text
            .chars()
            .filter(|letter| !letter.is_whitespace() && !"+×%".contains(*letter))
            .map(|letter| if letter == '−' { '-' } else { letter })
            .collect();
        match digits.parse::<f64>() {
            Ok(number) => Self::Number(number),
            Err(_) if digits.is_empty() => Self::Nothing,
            Err(_) => Self::Text(text.to_owned()),
        }
    }

    fn text(&self) -> String {
        match self {
            Self::Text(text) => quoted(text),
            Self::Number(number) if number.is_finite() => number.to_string(),
            Self::Number(_) | Self::Nothing => String::new(),
        }
    }
}

/// The unit of a column of masses, small and large: grams or ounces.
#[must_use]
pub fn mass_unit(units: &Units) -> &'static str {
    units.scale(Mass::KIND, 0.0).label
}

/// Digits that a computed number has in a list.
const DIGITS: i32 = 4;

/// A number to so many digits.
pub(crate) fn rounded(number: f64) -> f64 {
    if number == 0.0 || !number.is_finite() {
        return number;
    }
    let step = 10f64.powi(DIGITS - 1 - number.abs().log10().floor() as i32);
    (number * step).round() / step
}

/// A cell as it stands in comma-separated text; what a spreadsheet program would run as a formula gets a quote before it.
#[must_use]
pub fn quoted(cell: &str) -> String {
    // A negative number is one and stays one.
    let runs = cell.starts_with(FORMULA_STARTS) && !(cell.starts_with('-') && cell.parse::<f64>().is_ok());
    let guarded = if runs { format!("'{cell}") } else { cell.to_owned() };
    if guarded.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", guarded.replace('"', "\"\""))
    } else {
        guarded
    }
}

#[cfg(test)]
mod tests;
