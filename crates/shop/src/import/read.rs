//! Reading the bytes of a file as a price list, whatever kind of file it is.

use quantity::{Kind, Unit};

use super::heading::heading_line;
use super::sniff::{Content, content};
use super::table::{Cell, HEADING_LINES, Line, Raw, ReadError, ReadOptions, Table};
use super::text::excerpt;
use super::{delimited, encoding, workbook};

/// The largest file, bytes.
const MOST_BYTES: usize = 64 << 20;

/// Reads a price list from the bytes of a file: delimited text in any usual encoding, or an XLSX workbook. What kind
/// it is, is found from the content; `name` is for print only.
///
/// # Errors
/// When it is something else, is damaged, has no line of headings, or is larger than 64 MiB, [`MOST_LINES`](super::MOST_LINES) lines,
/// 256 columns or 6 million cells.
pub fn read(bytes: &[u8], name: &str, options: &ReadOptions) -> Result<Table, ReadError> {
    let length_unit = options
        .length_unit
        .as_deref()
        .filter(|unit| !unit.trim().is_empty())
        .map(length_unit)
        .transpose()?;
    let raw = raw(
        bytes,
        options,
        "a price list with a line of headings and a line an item",
    )?;
    let Split {
        titles,
        headings,
        lines,
    } = split_headings(raw.lines, options.heading_line)?;
    Ok(Table {
        name: excerpt(name),
        titles,
        headings,
        lines,
        encoding: raw.encoding.to_owned(),
        sheet: raw.sheet,
        length_unit,
        decimal: options.decimal,
    })
}

/// The lines of any table, whatever file it came from, those without a cell left out; of a workbook those of its
/// first sheet, unless another looks like a price list.
///
/// # Errors
/// As [`read`], without headings.
pub fn lines(bytes: &[u8]) -> Result<Vec<Line>, ReadError> {
    Ok(raw(bytes, &ReadOptions::default(), "a table with a line of headings")?.lines)
}

/// The lines of a file; `wanted` says what it should hold where it is empty.
fn raw(bytes: &[u8], options: &ReadOptions, wanted: &str) -> Result<Raw, ReadError> {
    if bytes.len() > MOST_BYTES {
        return Err(ReadError::new(
            format!("the file has {} MiB", bytes.len() >> 20),
            format!("at most {} MiB; split the list", MOST_BYTES >> 20),
        ));
    }
    match content(bytes) {
        Content::Nothing => Err(ReadError::new("the file is empty", wanted)),
        Content::Other(what, right) => Err(ReadError::new(format!("the file is {what}"), right)),
        Content::Zip => workbook::read(bytes, options.sheet.as_deref()),
        Content::Text => {
            let (text, encoding) =
                encoding::decode(bytes, options.encoding.as_deref().filter(|label| !label.is_empty()))
                    .map_err(|(wrong, right)| ReadError::new(wrong, right))?;
            Ok(Raw {
                lines: delimited::read(&text)?,
                encoding,
                sheet: None,
            })
        }
    }
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

/// A list cut at its headings.
struct Split {
    titles: Vec<(u32, String)>,
    headings: Vec<String>,
    lines: Vec<Line>,
}

/// Takes the headings off: the line that is said, or of the first lines the one with the most columns that are recognised.
fn split_headings(mut lines: Vec<Line>, said: Option<u32>) -> Result<Split, ReadError> {
    let at = match said {
        Some(0) => {
            let columns = lines.iter().map(|line| line.cells.len()).max().unwrap_or(0);
            return Ok(Split {
                titles: Vec::new(),
                headings: (1..=columns).map(|column| format!("column {column}")).collect(),
                lines,
            });
        }
        Some(number) => lines.iter().position(|line| line.number == number).ok_or_else(|| {
            let numbers = lines.first().zip(lines.last());
            let right = numbers.map_or("a line of the file".to_owned(), |(first, last)| {
                format!("a line from {} to {} that is not empty; 0 where no line names the columns", first.number, last.number)
            });
            ReadError::new(format!("there is nothing on line {number}"), right)
        })?,
        None => heading_line(&lines).ok_or_else(|| {
            ReadError::new(
                format!("there is no line of headings in the first {HEADING_LINES} lines"),
                "a line that names the columns, such as: code, shape, diameter (mm), thickness (mm), grade, price 1, price 10; \
                 or say which line it is, and what each column holds",
            )
        })?,
    };
    let body = lines.split_off(at + 1);
    let headings: Vec<String> = lines
        .pop()
        .map(|line| line.cells.iter().map(Cell::shown).collect())
        .unwrap_or_default();
    let titles = lines.iter().flat_map(|line| {
        let texts = line.cells.iter().map(Cell::shown).filter(|text| !text.is_empty());
        texts.map(|text| (line.number, text))
    });
    Ok(Split {
        titles: titles.collect(),
        headings,
        lines: body,
    })
}
