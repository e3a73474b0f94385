//! The bench on the command line: readings of a file, sessions, and the table as measured.

use quantity::Units;
use serde::Serialize;

use super::line::{BenchArgs, BenchCommand, Line};
use super::{MOST_TEXT, Outcome, bytes_of, done, json_of, print, shelf, show, text_of};
use crate::benchwork::{self, FitWish, FoundView, SessionView, TableForm};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::{reading, terminal};

/// A session with what its readings say.
#[derive(Serialize)]
struct Shown {
    session: SessionView,
    found: Option<FoundView>,
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
        (Some(BenchCommand::Show { session, free, others }), _) => {
            let wish = FitWish {
                free: free.clone(),
                with: others.clone(),
                ..FitWish::default()
            };
            let view = Shown {
                session: desk.session(session, &wish, units)?,
                found: desk.found(session, &wish, units)?,
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
            let text = desk.export_readings(session, units)?;
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
            let came = desk.import_readings(session, &bytes)?;
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
            let kind = file.extension().map(|e| e.to_string_lossy().to_lowercase());
            let form = [TableForm::Csv, TableForm::Xlsx, TableForm::Pdf]
                .into_iter()
                .find(|form| kind.as_deref() == Some(form.name()))
                .ok_or_else(|| {
                    let detail = format!("{} ends in none of .csv, .xlsx, .pdf", file.display());
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
