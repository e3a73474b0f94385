//! The bench on the command line: readings of a file, sessions, and the table as measured.

mod begin;
mod inspect;
mod take;

use quantity::Units;
use serde::Serialize;

use super::line::{BenchArgs, BenchCommand, FitArgs, Line};
use super::{MOST_TEXT, Outcome, bytes_of, done, json_of, print, shelf, show, text_of};
use crate::benchwork::{self, ExpectedView, FitWish, FoundView, KeepBody, SessionView};
use crate::desk::Desk;
use crate::printing::Form;
use crate::problem::{Kind, Problem};
use crate::{reading, terminal};

/// A session with what its readings say.
#[derive(Serialize)]
struct Shown {
    session: SessionView,
    found: Option<FoundView>,
}

/// A session that was begun, with what the probe should show of one piece at its face.
#[derive(Serialize)]
struct Begun {
    session: SessionView,
    expected: ExpectedView,
}

/// What stands for the session that was begun last.
const LAST: &str = "last";
/// Signs of an id that is made here.
const ID_SIGNS: usize = 12;

/// An id that nobody else has: 48 random bits.
///
/// # Errors
/// When the database fails.
fn new_id(desk: &Desk) -> Result<String, Problem> {
    let mut id = desk.shop.token()?;
    id.truncate(ID_SIGNS);
    Ok(id)
}

/// The id of a session that was named: its own, or `last`.
///
/// # Errors
/// When there is none yet, and when the database fails.
fn session_of(desk: &Desk, named: &str) -> Result<String, Problem> {
    if named != LAST {
        return Ok(named.to_owned());
    }
    let newest = desk.shop.sessions(1)?.into_iter().next();
    newest.map(|entry| entry.session.id).ok_or_else(|| {
        Problem::new(Kind::Absent, "no session", "no session was begun yet")
            .hint("begin one: lodewright bench begin CODE --lot NAME")
    })
}

impl FitArgs {
    fn wish(&self) -> FitWish {
        FitWish {
            free: self.free.clone(),
            with: self.others.clone(),
            ..FitWish::default()
        }
    }
}

/// Brings back what was taken away under an id, whatever it is.
fn bring_back(desk: &Desk, id: &str) -> Result<&'static str, Problem> {
    let shop = &desk.shop;
    if shop.restore_reading(id)? {
        return Ok("reading");
    }
    if shop.restore_session(id)? {
        return Ok("session");
    }
    if shop.restore_result(id)? {
        return Ok("kept value");
    }
    if shop.restore_probe(id)? {
        return Ok("probe");
    }
    let detail = format!("nothing of the id {id:?} was taken away");
    Err(Problem::new(Kind::Absent, "nothing to bring back", detail)
        .hint("what takes something away says how it comes back"))
}

/// Takes a session or a kept value away by its id.
fn remove(desk: &Desk, id: &str) -> Result<&'static str, Problem> {
    if desk.shop.remove_session(id)? {
        Ok("session")
    } else if desk.shop.remove_result(id)? {
        Ok("kept value")
    } else {
        let detail = format!("the bench has no session and no kept value {id:?}");
        Err(Problem::new(Kind::Absent, "nothing to remove", detail).hint("lodewright bench list has their ids"))
    }
}

/// Does what the line asks for.
///
/// # Errors
/// Whatever keeps it from being read, worked out or written.
pub fn run(line: &Line, desk: &Desk, args: &BenchArgs, units: &Units) -> Result<Outcome, Problem> {
    match (&args.command, &args.file) {
        (Some(BenchCommand::List), _) => {
            let view = desk.bench(units)?;
            show(line, &view, |page| terminal::benches(page, &view))
        }
        (Some(BenchCommand::Probe(args)), _) => {
            let probe = begin::probe(desk, args, units)?;
            show(line, &probe, |page| terminal::probe(page, &probe))
        }
        (Some(BenchCommand::Begin(args)), _) => {
            let (session, expected) = begin::begin(desk, args, units)?;
            let view = Begun { session, expected };
            show(line, &view, |page| terminal::begun(page, &view.session, &view.expected))
        }
        (Some(BenchCommand::Expect { session, by, place }), _) => {
            let place = take::place(place, take::kind(*by));
            let view = desk.expected(&session_of(desk, session)?, &FitWish::default(), &place, units)?;
            show(line, &view, |page| terminal::expected(page, &view))
        }
        (
            Some(BenchCommand::Read {
                session,
                values,
                note,
                place,
            }),
            _,
        ) => {
            let session = session_of(desk, session)?;
            let said = take::Said { place, note };
            if values.is_empty() {
                take::typed(line, desk, &session, &said, units)
            } else {
                take::said(line, desk, &session, values, &said, units)
            }
        }
        (Some(BenchCommand::Undo { session, number }), _) => {
            take::undo(line, desk, &session_of(desk, session)?, *number, units)
        }
        (Some(BenchCommand::BringBack { id }), _) => {
            let what = bring_back(desk, id)?;
            done(line, &format!("The {what} {id} is back."))
        }
        (
            Some(BenchCommand::Stand {
                session,
                number,
                standing,
            }),
            _,
        ) => take::stand(line, desk, &session_of(desk, session)?, *number, *standing, units),
        (Some(BenchCommand::Grade { session }), _) => {
            let view = desk.grade(&session_of(desk, session)?, units)?;
            show(line, &view, |page| terminal::grade(page, &view))
        }
        (
            Some(BenchCommand::Keep {
                session,
                parameter,
                fit,
            }),
            _,
        ) => {
            let body = KeepBody {
                id: new_id(desk)?,
                parameter: parameter.clone(),
            };
            let kept = desk.keep_found(&session_of(desk, session)?, &fit.wish(), &body, units)?;
            show(line, &kept, |page| terminal::kept(page, std::slice::from_ref(&kept)))
        }
        (Some(BenchCommand::Remove { id }), _) => {
            let what = remove(desk, id)?;
            done(
                line,
                &format!("The {what} {id} is taken away. `lodewright bench bring-back {id}` returns it."),
            )
        }
        (Some(BenchCommand::Plan(args)), _) => {
            let view = benchwork::plan_view(&inspect::plan(args))?;
            show(line, &view, |page| terminal::plan(page, &view))
        }
        (
            Some(BenchCommand::Inspect {
                session,
                plan,
                least,
                most,
                note,
            }),
            _,
        ) => {
            let session = session_of(desk, session)?;
            let view = inspect::inspect(desk, &session, plan, [*least, *most], *note, units)?;
            show(line, &view, |page| terminal::inspection(page, &view))
        }
        (Some(BenchCommand::Show { session, fit }), _) => {
            let (session, wish) = (session_of(desk, session)?, fit.wish());
            let view = Shown {
                session: desk.session(&session, &wish, units)?,
                found: desk.found(&session, &wish, units)?,
            };
            show(line, &view, |page| {
                terminal::session(page, &view.session, view.found.as_ref());
            })
        }
        (
            Some(BenchCommand::Export {
                session,
                out,
                overwrite,
            }),
            _,
        ) => {
            let text = desk.export_readings(&session_of(desk, session)?, units)?;
            match out {
                None => print(&text).map(|()| Outcome::Done),
                Some(file) => {
                    shelf::write_whole(file, format!("\u{feff}{text}").as_bytes(), *overwrite)?;
                    done(line, &format!("The readings are in {}.", file.display()))
                }
            }
        }
        (Some(BenchCommand::Import { session, file }), _) => {
            let bytes = bytes_of(file, MOST_TEXT)?;
            let came = desk.import_readings(&session_of(desk, session)?, &bytes)?;
            show(line, &came, |page| terminal::readings_taken(page, &came))
        }
        (Some(BenchCommand::Table { out: None, .. }), _) => {
            let view = desk.measured(units)?;
            show(line, &view, |page| terminal::measured(page, &view))
        }
        (
            Some(BenchCommand::Table {
                out: Some(file),
                overwrite,
            }),
            _,
        ) => {
            let form = Form::named(file).ok_or_else(|| {
                let detail = format!("{} ends in none of .csv, .xlsx, .pdf, .html", file.display());
                Problem::new(Kind::Asked, "no such format", detail)
                    .hint("such as as-measured.csv, as-measured.xlsx or as-measured.pdf")
            })?;
            shelf::write_whole(file, &desk.measured_file(form, units)?, *overwrite)?;
            done(line, &format!("The table as measured is in {}.", file.display()))
        }
        (None, Some(file)) => {
            let mut session = reading::read(&json_of(file, "the session")?)?;
            if let Some(table) = &args.readings {
                benchwork::add_table(&mut session, &text_of(table)?)?;
            }
            let sheet = benchwork::sheet(&session, &desk.shop.grades()?, units)?;
            show(line, &sheet, |page| terminal::bench(page, &sheet))
        }
        (None, None) => Err(Problem::new(
            Kind::Asked,
            "no file",
            "name a file of readings, or a command of the bench",
        )),
    }
}
