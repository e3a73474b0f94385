//! Readings taken on the command line, one by one or as they are typed, and taken back.

use std::io::BufRead;

use quantity::{Kind as Measured, Units};

use crate::benchwork::{FitWish, PlaceBody, PlateBody, PoleName, ReadingBody, ReadingKind, ReadingRow};
use crate::command::line::{Instrument, Line, PlaceArgs, PoleWord, StandingName};
use crate::command::{Outcome, done, print, show};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::terminal;

/// The line that takes the last reading back.
const UNDO: &str = "undo";
/// From this status on the program or the machine failed, and no further line is taken.
const FAILED: u16 = 500;

/// The kind of reading of an instrument.
pub fn kind(instrument: Instrument) -> ReadingKind {
    match instrument {
        Instrument::Probe => ReadingKind::FluxDensity,
        Instrument::Tester => ReadingKind::Pull,
        Instrument::Coil => ReadingKind::Moment,
    }
}

/// The name of a standing in the interface.
pub fn standing(name: StandingName) -> &'static str {
    match name {
        StandingName::Judged => "judged",
        StandingName::Counted => "counted",
        StandingName::LeftOut => "left_out",
    }
}

/// The place that was said, for that kind of reading.
pub fn place(args: &PlaceArgs, kind: ReadingKind) -> PlaceBody {
    let plate = PlateBody {
        thickness: args.plate,
        across: args.plate_across,
        paint: args.paint,
        steel: args.steel.clone(),
    };
    PlaceBody {
        kind,
        pieces: Some(args.pieces),
        spacer: args.spacer,
        along: args.along,
        across: args.across,
        pole: args.pole.map(|pole| match pole {
            PoleWord::North => PoleName::North,
            PoleWord::South => PoleName::South,
        }),
        plate: (plate != PlateBody::default()).then_some(plate),
        temperature: args.temperature,
    }
}

/// What readings are said with.
pub struct Said<'a> {
    /// Where.
    pub place: &'a PlaceArgs,
    /// A remark.
    pub note: &'a str,
}

/// A figure with its unit: a plain number is a flux density in the shop's own.
fn with_unit(value: &str, units: &Units) -> String {
    let plain = value.trim().replace(',', ".").parse::<f64>().is_ok_and(f64::is_finite);
    if plain {
        format!("{value} {}", units.scale(Measured::FluxDensity, 1.0).label)
    } else {
        value.to_owned()
    }
}

impl Said<'_> {
    fn reading(&self, desk: &Desk, value: &str, units: &Units) -> Result<ReadingBody, Problem> {
        Ok(ReadingBody {
            id: super::new_id(desk)?,
            value: with_unit(value, units),
            // The value's unit says by what it was read.
            place: place(self.place, ReadingKind::default()),
            taken_at: None,
            note: self.note.to_owned(),
        })
    }
}

/// Takes the readings that were said, all of them or none, and shows each against its band.
///
/// # Errors
/// What does not read; when the database fails.
pub fn said(
    line: &Line,
    desk: &Desk,
    session: &str,
    values: &[String],
    said: &Said<'_>,
    units: &Units,
) -> Result<Outcome, Problem> {
    let bodies = values.iter().map(|value| said.reading(desk, value, units));
    let bodies: Vec<ReadingBody> = bodies.collect::<Result<_, _>>()?;
    desk.add_readings(session, &bodies)?;
    let mut rows = desk.session(session, &FitWish::default(), units)?.rows;
    rows.truncate(bodies.len());
    rows.reverse();
    show(line, &rows, |page| {
        rows.iter().for_each(|row| terminal::reading_taken(page, row))
    })
}

/// Takes readings as they are typed, a line each, until the input ends. Each is saved before the next is read; one that does
/// not read is told on standard error, and the next line goes on.
///
/// # Errors
/// When the database or the input fails, and at the end where lines were not taken.
pub fn typed(line: &Line, desk: &Desk, session: &str, said: &Said<'_>, units: &Units) -> Result<Outcome, Problem> {
    // Whoever types sees at once where there is no such session, and what the first reading should be.
    let kind = ReadingKind::default();
    let expected = desk.expected(session, &FitWish::default(), &place(said.place, kind), units)?;
    if !line.json {
        let mut page = terminal::Page::new();
        terminal::expected(&mut page, &expected);
        print(&page.text())?;
    }
    let (mut lines, mut refused) = (0_usize, 0_usize);
    for text in std::io::stdin().lock().lines() {
        let text =
            text.map_err(|error| Problem::new(Kind::Asked, "the input", format!("it cannot be read: {error}")))?;
        let text = text.trim();
        if text.is_empty() {
            continue;
        }
        lines += 1;
        let outcome = if text == UNDO {
            undo(line, desk, session, None, units)
        } else {
            self::said(line, desk, session, &[text.to_owned()], said, units)
        };
        if let Err(problem) = outcome {
            if problem.status >= FAILED {
                return Err(problem);
            }
            refused += 1;
            terminal::print_problem(&problem, line.json);
        }
    }
    if refused > 0 {
        let detail = format!("{refused} of {lines} lines were not taken; the others are saved");
        return Err(Problem::new(Kind::Asked, "lines were not taken", detail).hint("type them again"));
    }
    Ok(Outcome::Done)
}

/// The reading of that number in a session, or the last.
fn numbered(desk: &Desk, session: &str, number: Option<usize>, units: &Units) -> Result<ReadingRow, Problem> {
    let rows = desk.session(session, &FitWish::default(), units)?.rows;
    let count = rows.len();
    let wanted = |row: &ReadingRow| number.is_none_or(|number| row.number == number);
    rows.into_iter().find(wanted).ok_or_else(|| {
        let problem = match number {
            Some(number) => Problem::new(
                Kind::Absent,
                "no such reading",
                format!("the session has no reading {number}"),
            ),
            None => Problem::new(Kind::Absent, "no reading", "the session has no reading"),
        };
        match count {
            0 => problem.hint("take one first"),
            _ => problem.hint(format!("its readings are numbered from 1 to {count}")),
        }
    })
}

/// Takes a reading back, the last where no number is said.
///
/// # Errors
/// When there is none, and when the database fails.
pub fn undo(line: &Line, desk: &Desk, session: &str, number: Option<usize>, units: &Units) -> Result<Outcome, Problem> {
    let row = numbered(desk, session, number, units)?;
    desk.take_back(&row.id)?;
    done(
        line,
        &format!(
            "Taken back: {}, {}. `lodewright bench bring-back {}` returns it.",
            row.what, row.value.text, row.id
        ),
    )
}

/// Says whether a reading counts.
///
/// # Errors
/// When there is none, and when the database fails.
pub fn stand(
    line: &Line,
    desk: &Desk,
    session: &str,
    number: usize,
    name: StandingName,
    units: &Units,
) -> Result<Outcome, Problem> {
    let row = numbered(desk, session, Some(number), units)?;
    desk.stand(&row.id, standing(name))?;
    let now = match name {
        StandingName::Judged => "counts unless the others contradict it",
        StandingName::Counted => "counts in any case",
        StandingName::LeftOut => "is left out",
    };
    done(
        line,
        &format!("Reading {number}, {}, {}, {now}.", row.what, row.value.text),
    )
}
