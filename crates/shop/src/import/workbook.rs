//! XLSX workbooks, read cell by cell so that a small file cannot fill the memory.

use std::io::{Cursor, Read, Write, copy};

use calamine::{DataRef, Reader, Xlsx, XlsxError};
use zip::ZipArchive;

use super::heading::heading_line;
use super::table::{
    Budget, Cell, HEADING_LINES, Line, MOST_COLUMNS, MOST_LINES, Raw, ReadError, check_length, too_many,
};
use super::text::{excerpt, nearest};

/// The most bytes of a workbook when unpacked.
const MOST_UNPACKED: u64 = 256 << 20;
/// The most bytes of text in all cells.
const MOST_TEXT: usize = 128 << 20;
/// Headings are looked for on so many sheets.
const MOST_SHEETS: usize = 32;

/// The lines of the sheet of this name, or of the first sheet that has a line of headings.
pub(crate) fn read(bytes: &[u8], sheet: Option<&str>) -> Result<Raw, ReadError> {
    check_archive(bytes)?;
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let names = book.sheet_names();
    let wanted: Vec<String> = match sheet.filter(|name| !name.is_empty()) {
        None => names,
        Some(sheet) => match names.iter().find(|name| name.eq_ignore_ascii_case(sheet.trim())) {
            Some(name) => vec![name.clone()],
            None => {
                let near = nearest(sheet, names.iter().map(String::as_str));
                let right = if near.is_empty() {
                    names.join(", ")
                } else {
                    near.join(", ")
                };
                return Err(ReadError::new(
                    format!("there is no sheet \"{}\"", excerpt(sheet)),
                    format!("one of: {}", excerpt(&right)),
                ));
            }
        },
    };
    let mut first = None;
    for name in wanted.into_iter().take(MOST_SHEETS) {
        let lines = lines(&mut book, &name)?;
        let found = heading_line(&lines).is_some();
        let raw = Raw {
            lines,
            encoding: "XLSX",
            sheet: Some(name),
        };
        if found {
            return Ok(raw);
        }
        first = first.or(Some(raw));
    }
    first.ok_or_else(|| ReadError::new("the workbook has no sheet", "a workbook with the price list on a sheet"))
}

/// Refuses archives that are not workbooks, and those that unpack to more than they may. What an archive says about
/// its sizes is not trusted: everything is unpacked once into nothing.
fn check_archive(bytes: &[u8]) -> Result<(), ReadError> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| {
        ReadError::new(
            format!("the file is a damaged zip archive: {error}"),
            "a whole .xlsx or .csv file",
        )
    })?;
    let has = |name: &str| archive.index_for_name(name).is_some();
    if !has("xl/workbook.xml") {
        let (what, right) = if has("xl/workbook.bin") {
            ("a binary workbook (.xlsb)", "save it as .xlsx or .csv")
        } else if has("word/document.xml") {
            (
                "a text document (.docx)",
                "copy the table to a spreadsheet and save it as .xlsx or .csv",
            )
        } else if has("mimetype") && has("content.xml") {
            ("an OpenDocument file", "save it as .xlsx or .csv")
        } else {
            (
                "a zip archive, but not a workbook",
                "unpack it and give the .csv or .xlsx file inside",
            )
        };
        return Err(ReadError::new(format!("the file is {what}"), right));
    }
    let mut left = MOST_UNPACKED;
    for at in 0..archive.len() {
        let entry = archive.by_index(at).map_err(|error| {
            ReadError::new(
                format!("part of the workbook cannot be unpacked: {error}"),
                "a workbook that is not encrypted or damaged",
            )
        })?;
        let most = entry.name().map_or(MOST_STYLES, |name| most_marks(&name));
        let mut marks = Marks::default();
        let unpacked = copy(&mut entry.take(left + 1), &mut marks).map_err(|error| {
            ReadError::new(
                format!("part of the workbook is damaged: {error}"),
                "a whole .xlsx file",
            )
        })?;
        if marks.0 > most {
            return Err(ReadError::new(
                "the workbook has more texts or styles than a price list needs",
                "a workbook with the price list only, or a .csv file",
            ));
        }
        left = left.checked_sub(unpacked).ok_or_else(|| {
            ReadError::new(
                format!("the workbook unpacks to more than {} MiB", MOST_UNPACKED >> 20),
                "a workbook with the price list only, or a .csv file",
            )
        })?;
    }
    Ok(())
}

/// The most tags of the table of texts, where a text has four, and of any part but that and the sheets: these are
/// held in memory whole, and a tag of some bytes becomes an entry of some hundred.
const MOST_TEXTS: u64 = 8_000_000;
const MOST_STYLES: u64 = 300_000;

fn most_marks(part: &str) -> u64 {
    let part = part.to_ascii_lowercase();
    if part.contains("worksheets/sheet") || part.starts_with("xl/worksheets/") {
        // Sheets are read cell by cell.
        u64::MAX
    } else if part.ends_with("sharedstrings.xml") {
        MOST_TEXTS
    } else {
        MOST_STYLES
    }
}

/// Counts the tags of what is written to it, and forgets it.
#[derive(Default)]
struct Marks(u64);

impl Write for Marks {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0 += bytes.iter().filter(|byte| **byte == b'<').count() as u64;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

fn damaged(error: XlsxError) -> ReadError {
    match error {
        XlsxError::Password => ReadError::new("the workbook is locked with a password", "save it without a password"),
        error => ReadError::new(
            format!("the workbook is damaged: {error}"),
            "open it in a spreadsheet program and save it again as .xlsx or .csv",
        ),
    }
}

/// The lines of one sheet that are not empty.
fn lines(book: &mut Xlsx<Cursor<&[u8]>>, sheet: &str) -> Result<Vec<Line>, ReadError> {
    // A sheet of charts has no cells to read.
    let mut reader = match book.worksheet_cells_reader(sheet) {
        Ok(reader) => reader,
        Err(XlsxError::WorksheetNotFound(_)) => return Ok(Vec::new()),
        Err(error) => return Err(damaged(error)),
    };
    let mut lines: Vec<Line> = Vec::new();
    let mut budget = Budget::default();
    let mut text_left = MOST_TEXT;
    while let Some(record) = reader.next_cell_with_formula_metadata().map_err(damaged)? {
        let (row, column) = (record.pos.0 as usize, record.pos.1 as usize);
        let cell = cell(&record.value, record.formula.is_some());
        if cell.is_empty() {
            continue;
        }
        if column >= MOST_COLUMNS {
            return Err(too_many(MOST_COLUMNS, "columns"));
        }
        if row >= MOST_LINES + HEADING_LINES {
            return Err(too_many(MOST_LINES, "lines"));
        }
        let number = row as u32 + 1;
        if let Cell::Text(text) = &cell {
            check_length(text, number)?;
            text_left = text_left
                .checked_sub(text.len())
                .ok_or_else(|| too_many(MOST_TEXT >> 20, "MiB of text"))?;
        }
        match lines.last_mut().filter(|line| line.number == number) {
            // Cells of a row come in order; an odd file that repeats one keeps the first.
            Some(line) if column >= line.cells.len() => {
                budget.add_cells(column + 1 - line.cells.len())?;
                line.cells.resize(column, Cell::Empty);
                line.cells.push(cell);
            }
            Some(_) => {}
            None => {
                if lines.last().is_some_and(|line| line.number > number) {
                    return Err(ReadError::new(
                        "the rows of the sheet are not in order",
                        "open it in a spreadsheet program and save it again",
                    ));
                }
                budget.take(column + 1)?;
                let mut cells = vec![Cell::Empty; column];
                cells.push(cell);
                lines.push(Line { number, cells });
            }
        }
    }
    Ok(lines)
}

fn cell(value: &DataRef<'_>, is_formula: bool) -> Cell {
    let number = |number: f64| match number {
        0.0 if is_formula => Cell::FormulaZero,
        number if number.is_finite() => Cell::Number(number),
        number => Cell::Error(number.to_string().into()),
    };
    match value {
        // A formula whose result was not stored is not the same as nothing.
        DataRef::Empty if is_formula => Cell::Error("formula without a value".into()),
        DataRef::Empty => Cell::Empty,
        DataRef::Int(whole) => number(*whole as f64),
        DataRef::Float(value) => number(*value),
        DataRef::String(text) => Cell::text(text),
        DataRef::SharedString(text) => Cell::text(text),
        DataRef::Bool(value) => Cell::text(if *value { "true" } else { "false" }),
        DataRef::DateTime(date) => {
            let (year, month, day, ..) = date.to_ymd_hms_milli();
            Cell::Date(format!("{year:04}-{month:02}-{day:02}").into())
        }
        DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => Cell::Date(excerpt(text).into()),
        DataRef::Error(error) => Cell::Error(error.to_string().into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
    use std::io::Write;
    use zip::ZipWriter;
    use zip::write::SimpleFileOptions;

    fn archive(entries: &[(&str, &[u8])]) -> Vec<u8> {
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        for (name, bytes) in entries {
            writer.start_file(*name, SimpleFileOptions::default()).unwrap();
            writer.write_all(bytes).unwrap();
        }
        writer.finish().unwrap().into_inner()
    }

    #[test]
    fn reads_numbers_texts_dates_formulas_and_gaps() {
        let mut book = Workbook::new();
        book.add_worksheet()
            .set_name("Cover")
            .unwrap()
            .write(0, 0, "Price list")
            .unwrap();
        let sheet = book.add_worksheet();
        sheet.set_name("List").unwrap();
        for (column, heading) in ["code", "diameter", "thickness", "grade", "stock"]
            .into_iter()
            .enumerate()
        {
            sheet.write(2, column as u16, heading).unwrap();
        }
        let date = Format::new().set_num_format("yyyy-mm-dd");
        sheet.write(4, 0, "a").unwrap();
        sheet.write(4, 1, 12.5).unwrap();
        sheet
            .write_with_format(4, 2, ExcelDateTime::from_ymd(2026, 5, 10).unwrap(), &date)
            .unwrap();
        sheet.write(4, 4, Formula::new("=2*3").set_result("6")).unwrap();
        sheet.write(5, 4, Formula::new("=B1*3")).unwrap();
        let bytes = book.save_to_buffer().unwrap();
        let raw = read(&bytes, None).unwrap();
        assert_eq!(raw.sheet.as_deref(), Some("List"));
        assert_eq!(
            raw.lines[1],
            Line {
                number: 5,
                cells: vec![
                    Cell::text("a"),
                    Cell::Number(12.5),
                    Cell::Date("2026-05-10".into()),
                    Cell::Empty,
                    Cell::Number(6.0)
                ]
            }
        );
        assert_eq!(raw.lines[2].cell(4), &Cell::FormulaZero);
        assert_eq!(read(&bytes, Some("cover")).unwrap().sheet.as_deref(), Some("Cover"));
        assert!(read(&bytes, Some("Lisd")).err().unwrap().right.contains("List"));
    }

    #[test]
    fn other_archives_are_named() {
        for (entry, word) in [
            ("a.csv", "zip archive"),
            ("word/document.xml", "text document"),
            ("xl/workbook.bin", "xlsb"),
        ] {
            let error = read(&archive(&[(entry, b"x")]), None).err().unwrap();
            assert!(error.wrong.contains(word), "{}", error.wrong);
        }
        assert!(
            read(b"PK\x03\x04 cut short", None)
                .err()
                .unwrap()
                .wrong
                .contains("damaged")
        );
    }

    #[test]
    fn an_archive_that_unpacks_to_too_much_is_refused() {
        let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
        writer
            .start_file("xl/workbook.xml", SimpleFileOptions::default())
            .unwrap();
        let zeros = vec![0; 1 << 20];
        for _ in 0..(MOST_UNPACKED >> 20) + 1 {
            writer.write_all(&zeros).unwrap();
        }
        let bytes = writer.finish().unwrap().into_inner();
        assert!(bytes.len() < 1 << 20);
        assert!(read(&bytes, None).err().unwrap().wrong.contains("unpacks to more than"));
    }

    /// A workbook of some hundred KiB whose tables of texts or styles fill the memory.
    #[test]
    fn tables_of_texts_and_styles_are_bounded() {
        for (part, entry, count) in [
            ("xl/sharedStrings.xml", "<si><t/></si>", 3_000_000),
            ("xl/styles.xml", "<xf/>", 400_000),
        ] {
            let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
            writer
                .start_file("xl/workbook.xml", SimpleFileOptions::default())
                .unwrap();
            writer.start_file(part, SimpleFileOptions::default()).unwrap();
            let many = entry.repeat(1_000);
            for _ in 0..count / 1_000 {
                writer.write_all(many.as_bytes()).unwrap();
            }
            let bytes = writer.finish().unwrap().into_inner();
            let error = read(&bytes, None).err().unwrap();
            assert!(error.wrong.contains("more texts or styles"), "{part}: {}", error.wrong);
        }
    }

    #[test]
    fn a_formula_without_a_stored_value_is_an_error() {
        let value = DataRef::Empty;
        assert_eq!(cell(&value, false), Cell::Empty);
        assert!(matches!(cell(&value, true), Cell::Error(_)));
    }

    #[test]
    fn a_cell_far_away_costs_no_memory() {
        let mut book = Workbook::new();
        let sheet = book.add_worksheet();
        sheet.write(0, 0, "code").unwrap();
        sheet.write(1_048_575, 16_383, "far").unwrap();
        let bytes = book.save_to_buffer().unwrap();
        assert!(read(&bytes, None).err().unwrap().wrong.contains("more than"));
    }
}
