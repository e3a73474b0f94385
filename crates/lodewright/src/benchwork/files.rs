//! Readings out of a file, and into one.

use bench::session::read_value;
use bench::{Plate, Pole, Reading};
use quantity::{Length, Quantity, Temperature, Units};
use serde::Serialize;
use sheets::list::quoted;
use shop::bench::{Standing, Taken, line_id};
use shop::import::{self, Cell, Line, Severity};
use utoipa::ToSchema;

use super::opened::FitWish;
use super::view::ReadingRow;
use super::wire::as_given;
use crate::desk::{Desk, seconds_now, time_text};
use crate::problem::{Kind, Problem};

/// Headings of the columns that are read. What a file has beside them, in brackets, is the unit of plain numbers.
const COLUMNS: [&str; 14] = [
    "value",
    "unit",
    "pieces",
    "spacer",
    "along",
    "across",
    "pole",
    "plate",
    "plate_across",
    "paint",
    "steel",
    "temperature",
    "note",
    "counts",
];
/// Headings that an export has too, and that are passed over when it is read.
const PASSED_OVER: [&str; 7] = ["number", "taken", "expected", "low", "high", "lot", "probe"];

/// What came of a file.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Imported {
    /// Readings that are new.
    pub added: usize,
    /// Readings that were there already, by the same file.
    pub known: usize,
}

/// A column by its name, and the unit that its heading states.
struct Column {
    name: &'static str,
    unit: String,
    at: usize,
}

/// The columns of a file.
struct Head(Vec<Column>);

fn head(line: &Line) -> Result<Head, import::Problem> {
    let mut columns = Vec::new();
    for (at, cell) in line.cells.iter().enumerate() {
        let shown = cell.shown();
        // A unit stands in brackets or behind a comma; its letters keep their case.
        let (name, unit) = match shown.split_once(['(', '[', ',']) {
            Some((name, unit)) => (name, unit.trim().trim_end_matches([')', ']']).trim()),
            None => (shown.as_str(), ""),
        };
        let name = name.trim().to_lowercase();
        let name = name.as_str();
        if name.is_empty() || PASSED_OVER.contains(&name) {
            continue;
        }
        let name = if name == "reading" { "value" } else { name };
        match COLUMNS.iter().find(|known| **known == name) {
            Some(name) => columns.push(Column {
                name,
                unit: unit.to_owned(),
                at,
            }),
            None => {
                return Err(problem(
                    line.number,
                    &cell.shown(),
                    &cell.shown(),
                    format!("there is no column {:?}", cell.shown()),
                    &format!("the columns are {}", COLUMNS.join(", ")),
                ));
            }
        }
    }
    if columns.iter().all(|c| c.name != "value") {
        return Err(problem(
            line.number,
            "",
            "",
            "the first line names no column value".into(),
            "a line of headings such as: value, pieces, spacer; the value with its unit, or value (mT)",
        ));
    }
    Ok(Head(columns))
}

fn problem(line: u32, column: &str, value: &str, wrong: String, right: &str) -> import::Problem {
    import::Problem {
        line,
        column: column.into(),
        value: value.into(),
        wrong,
        right: right.into(),
        severity: Severity::Error,
    }
}

/// One line while it is read.
struct Row<'a> {
    head: &'a Head,
    line: &'a Line,
}

impl Row<'_> {
    /// The text of a cell, a plain number with the unit that its heading states; empty where there is none.
    fn text(&self, name: &str) -> String {
        let Some(column) = self.head.0.iter().find(|c| c.name == name) else {
            return String::new();
        };
        let cell = self.line.cell(column.at);
        let shown = cell.shown();
        let plain = matches!(cell, Cell::Number(_) | Cell::FormulaZero) || !shown.chars().any(char::is_alphabetic);
        if shown.is_empty() || column.unit.is_empty() || !plain {
            shown
        } else {
            format!("{shown} {}", column.unit)
        }
    }

    fn wrong(&self, name: &str, wrong: String, right: &str) -> import::Problem {
        problem(self.line.number, name, &self.text(name), wrong, right)
    }

    fn quantity<Q: Quantity>(&self, name: &str, right: &str) -> Result<Option<Q>, import::Problem> {
        let text = self.text(name);
        if text.is_empty() || text.split_whitespace().next().is_some_and(|n| n == "0") {
            return Ok(None);
        }
        quantity::parse(&text)
            .map(Some)
            .map_err(|error| self.wrong(name, error.one_line(), right))
    }

    fn reading(&self) -> Result<(Reading, String, Standing), import::Problem> {
        let given = [self.text("value"), self.text("unit")].join(" ");
        let given = given.trim();
        let right = "a value with its unit such as 159 mT, 1590 G, 12 N or 0.05 A m2, or a heading such as value (mT)";
        if self.text("value").is_empty() {
            return Err(self.wrong("value", "the value is missing".into(), right));
        }
        let value = read_value(given)
            .or_else(|e| read_value(&given.replacen(',', ".", 1)).map_err(|_| e))
            .map_err(|_| self.wrong("value", "this is no reading".into(), right))?;
        let pieces = match self.text("pieces").as_str() {
            "" => 1,
            text => text
                .parse()
                .map_err(|_| self.wrong("pieces", "this is no number of pieces".into(), "a whole number from 1"))?,
        };
        let length = |name| Ok(self.quantity(name, "a length such as 0.5 mm")?.unwrap_or(Length(0.0)));
        let plate = Plate {
            thickness: self.quantity("plate", "its thickness such as 1 mm")?,
            across: self.quantity("plate_across", "a length such as 40 mm")?,
            paint: length("paint")?,
            steel: Some(self.text("steel"))
                .filter(|name| !name.is_empty())
                .unwrap_or(Plate::default().steel),
        };
        let usual = Reading::at_face(0, pieces, value);
        let reading = Reading {
            spacer: length("spacer")?,
            along: length("along")?,
            across: length("across")?,
            pole: match self.text("pole").to_lowercase().as_str() {
                "" => None,
                "n" | "north" => Some(Pole::North),
                "s" | "south" => Some(Pole::South),
                _ => return Err(self.wrong("pole", "this is no pole".into(), "N or S, or nothing")),
            },
            temperature: self
                .quantity::<Temperature>("temperature", "a temperature such as 22 °C")?
                .unwrap_or(usual.temperature),
            note: self.text("note"),
            plate: (!plate.is_usual()).then_some(plate),
            ..usual
        };
        reading
            .validate()
            .map_err(|error| self.wrong("value", error.to_string(), "a value within that range"))?;
        let standing = match self.text("counts").to_lowercase().as_str() {
            "" | "judged" => Standing::Judged,
            "yes" | "counted" => Standing::Counted,
            "no" | "left_out" | "left out" => Standing::LeftOut,
            _ => {
                return Err(self.wrong(
                    "counts",
                    "this does not say whether it counts".into(),
                    "judged, counted or left_out, or nothing",
                ));
            }
        };
        let unit = given.trim_start_matches(|c: char| !c.is_alphabetic());
        Ok((reading, unit.chars().take(12).collect(), standing))
    }
}

impl Desk {
    /// Adds the readings of a file to a session: all of them, or none. The same file adds nothing the second time.
    ///
    /// # Errors
    /// A file that is no table, and every line that does not read; when there is no such session.
    pub fn import_readings(&self, session: &str, bytes: &[u8]) -> Result<Imported, Problem> {
        let refused = |error: import::ReadError| {
            Problem::new(Kind::Asked, "the file cannot be read as readings", error.wrong).hint(error.right)
        };
        let lines = import::lines(bytes).map_err(refused)?;
        let mut problems = Vec::new();
        let mut taken = Vec::new();
        let (first, rest) = lines.split_first().ok_or_else(|| {
            Problem::new(
                Kind::Asked,
                "the file cannot be read as readings",
                "the file has no line",
            )
            .hint("a line of headings such as value, pieces, spacer, and a line a reading")
        })?;
        match head(first) {
            Err(wrong) => problems.push(wrong),
            Ok(head) => {
                let now = seconds_now();
                for line in rest {
                    match (Row { head: &head, line }).reading() {
                        Err(wrong) if problems.len() < import::MOST_REPORTED => problems.push(wrong),
                        Err(_) => {}
                        Ok((reading, unit, standing)) => taken.push(Taken {
                            id: line_id(session, bytes, line.number),
                            taken_at: now,
                            reading,
                            unit,
                            standing,
                        }),
                    }
                }
            }
        }
        if !problems.is_empty() {
            let count = problems.len();
            let errors = if count == 1 {
                "an error".into()
            } else {
                format!("{count} errors")
            };
            let detail = format!("the file has {errors}; no reading was taken from it");
            let mut problem = Problem::new(Kind::Asked, "the readings cannot be taken", detail)
                .hint("put right what the lines say and read the file in again");
            problem.more.problems = problems;
            return Err(problem);
        }
        if taken.is_empty() {
            return Err(
                Problem::new(Kind::Asked, "no readings", "the file has no reading below its headings")
                    .hint("a line a reading"),
            );
        }
        let added = self.shop.add_readings(session, &taken)?;
        Ok(Imported {
            added,
            known: taken.len() - added,
        })
    }

    /// The readings of a session as a table that can be read in again: comma-separated, with what was expected of each.
    ///
    /// # Errors
    /// When there is no such session, and when the database fails.
    pub fn export_readings(&self, id: &str, units: &Units) -> Result<String, Problem> {
        let view = self.session(id, &FitWish::default(), units)?;
        let mut taken = self.shop.readings(id)?;
        taken.reverse();
        Ok(exported(&taken, &view.rows))
    }
}

/// Readings as a table, the oldest first; `rows` are the same readings as they are shown, both newest first.
fn exported(taken: &[Taken], rows: &[ReadingRow]) -> String {
    let mut lines = vec![
        "number,taken,value,pieces,spacer (mm),along (mm),across (mm),pole,plate (mm),plate_across (mm),paint (mm),steel,temperature (°C),counts,expected,low,high,note"
            .to_owned(),
    ];
    for (taken, row) in taken.iter().zip(rows).rev() {
        let reading = &taken.reading;
        let mm = |l: Length| format!("{}", (l.si() * 1e9).round() / 1e6);
        let plate = reading.plate.as_ref();
        let size = |l: Option<Length>| l.map_or_else(String::new, mm);
        // Ends of the band as parts of the middle.
        let end = |percent: f64| {
            let si = row.expected.value * (1.0 + percent / 100.0);
            format!("{:.4} {}", si, row.expected.unit)
        };
        let cells = [
            row.number.to_string(),
            time_text(taken.taken_at),
            as_given(taken).replace('\u{a0}', " "),
            reading.pieces.to_string(),
            mm(reading.spacer),
            mm(reading.along),
            mm(reading.across),
            reading.pole.map_or_else(String::new, |pole| match pole {
                Pole::North => "N".into(),
                Pole::South => "S".into(),
            }),
            size(plate.and_then(|plate| plate.thickness)),
            size(plate.and_then(|plate| plate.across)),
            size(plate.map(|plate| plate.paint).filter(|paint| paint.si() != 0.0)),
            plate.map_or_else(String::new, |plate| plate.steel.clone()),
            format!("{:.2}", reading.celsius()),
            taken.standing.name().into(),
            row.expected.text.replace('\u{a0}', " "),
            end(row.low),
            end(row.high),
            reading.note.clone(),
        ];
        lines.push(cells.map(|cell| quoted(&cell)).join(","));
    }
    lines.join("\r\n") + "\r\n"
}
