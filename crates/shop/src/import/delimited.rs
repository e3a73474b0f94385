//! Delimited text: which delimiter it has, and its lines.

use std::borrow::Cow;

use csv::{ReaderBuilder, StringRecord, Trim};

use super::heading::heading_score;
use super::table::{Budget, Cell, HEADING_LINES, Line, ReadError, check_length};

/// In the order in which a draw is decided.
const DELIMITERS: [u8; 4] = [b';', b'\t', b',', b'|'];

/// The lines of a text with cells between delimiters; the delimiter is found from the headings.
pub(crate) fn read(text: &str) -> Result<Vec<Line>, ReadError> {
    // Lines that end in a carriage return alone, as on old Macintosh systems.
    let old = !text.contains('\n') && text.contains('\r');
    let text: Cow<'_, str> = if old {
        text.replace('\r', "\n").into()
    } else {
        text.into()
    };
    let (text, stated, skipped) = stated_delimiter(&text);
    let delimiter = stated.unwrap_or_else(|| likely_delimiter(text));
    let mut lines = Vec::new();
    let mut budget = Budget::default();
    for record in records(text, delimiter) {
        let (number, record) = record?;
        let number = number + skipped;
        for text in &record {
            check_length(text, number)?;
        }
        let mut cells: Vec<Cell> = record.iter().map(|text| Cell::text(unguarded(text))).collect();
        while cells.last().is_some_and(Cell::is_empty) {
            cells.pop();
        }
        if !cells.is_empty() {
            budget.take(cells.len())?;
            cells.shrink_to_fit();
            lines.push(Line { number, cells });
        }
    }
    Ok(lines)
}

/// Takes off the quote that an export puts before text which a spreadsheet program would run as a formula.
fn unguarded(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if rest.trim_start_matches('\'').starts_with(crate::export::FORMULA_STARTS) => rest,
        _ => text,
    }
}

/// A first line such as `sep=;`, as some spreadsheet programs write; the rest of the text and the lines taken.
fn stated_delimiter(text: &str) -> (&str, Option<u8>, u32) {
    let (first, rest) = text.split_once('\n').unwrap_or((text, ""));
    match first
        .trim_end_matches('\r')
        .trim_matches('"')
        .strip_prefix("sep=")
        .map(str::as_bytes)
    {
        Some([delimiter]) if DELIMITERS.contains(delimiter) => (rest, Some(*delimiter), 1),
        _ => (text, None, 0),
    }
}

/// The delimiter with which the first lines have the most headings that are recognised; for a draw the one with the
/// most cells.
fn likely_delimiter(text: &str) -> u8 {
    let score = |delimiter: u8| {
        let first = records(text, delimiter).take(HEADING_LINES).map_while(Result::ok);
        let lines = first.map(|(number, record)| Line {
            number,
            cells: record.iter().map(Cell::text).collect(),
        });
        lines
            .map(|line| (heading_score(&line), line.cells.len()))
            .max()
            .unwrap_or_default()
    };
    let mut best = (score(DELIMITERS[0]), DELIMITERS[0]);
    for delimiter in DELIMITERS.into_iter().skip(1) {
        let candidate = (score(delimiter), delimiter);
        if candidate.0 > best.0 {
            best = candidate;
        }
    }
    best.1
}

/// The records of a text with the lines that they begin on.
fn records(text: &str, delimiter: u8) -> impl Iterator<Item = Result<(u32, StringRecord), ReadError>> {
    let reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .trim(Trim::All)
        .from_reader(text.as_bytes());
    reader.into_records().map(|record| {
        let record = record.map_err(|error| ReadError::new(format!("the text is no table: {error}"), "a .csv file"))?;
        let line = record.position().map_or(0, |position| {
            // The position is before the empty lines that were skipped.
            let rest = usize::try_from(position.byte())
                .ok()
                .and_then(|at| text.as_bytes().get(at..))
                .unwrap_or_default();
            let skipped = rest
                .iter()
                .take_while(|byte| matches!(byte, b'\r' | b'\n'))
                .filter(|byte| **byte == b'\n')
                .count();
            position.line() + skipped as u64
        });
        Ok((u32::try_from(line).unwrap_or(u32::MAX), record))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<Vec<String>> {
        read(text)
            .unwrap()
            .iter()
            .map(|line| line.cells.iter().map(Cell::shown).collect())
            .collect()
    }

    #[test]
    fn finds_the_delimiter_even_among_decimal_commas() {
        let expected = [["code", "diameter", "grade"], ["a", "1,5", "N42"]];
        for delimiter in [";", "\t", "|"] {
            let text = format!("code{delimiter}diameter{delimiter}grade\r\na{delimiter}1,5{delimiter}N42\r\n");
            assert_eq!(cells(&text), expected, "{delimiter:?}");
        }
        assert_eq!(cells("code,diameter,grade\na,\"1,5\",N42\n"), expected);
        assert_eq!(cells("sep=;\ncode;diameter;grade\na;1,5;N42"), expected);
    }

    #[test]
    fn keeps_the_line_numbers_of_the_file() {
        let lines = read("code;note;grade\n\n\na;\"two\nlines\";N42\nb;;N45\n").unwrap();
        assert_eq!(lines.iter().map(|line| line.number).collect::<Vec<_>>(), [1, 4, 6]);
    }

    #[test]
    fn reads_lines_that_end_in_a_carriage_return() {
        assert_eq!(read("code,grade\ra,N42\r").unwrap()[1].number, 2);
    }

    #[test]
    fn a_quotation_mark_that_is_not_closed_is_found() {
        let text = format!("code,note,grade\na,\"no end,N42\n{}", "b,x,N42\n".repeat(1_000));
        let error = read(&text).unwrap_err();
        assert!(error.wrong.starts_with("line 2 has a cell"), "{}", error.wrong);
        assert!(error.right.contains("quotation mark"));
    }

    #[test]
    fn takes_off_the_guard_before_formulas_only() {
        assert_eq!(unguarded("'=1+1"), "=1+1");
        assert_eq!(unguarded("''=1+1"), "'=1+1");
        assert_eq!(unguarded("'quoted'"), "'quoted'");
    }

    #[test]
    fn wide_and_long_texts_are_refused() {
        assert!(
            read(&",".repeat(300).replace(',', "x,"))
                .unwrap_err()
                .wrong
                .contains("256 columns")
        );
        let long = "a,b\n".repeat(super::super::MOST_LINES + 100);
        assert!(read(&long).unwrap_err().wrong.contains("200000 lines"));
    }
}
