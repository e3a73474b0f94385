//! The bench on the command line: readings of a file, and the table as measured.

use quantity::Units;

use super::line::{BenchArgs, BenchCommand, Line};
use super::{Outcome, done, json_of, shelf, show, text_of};
use crate::benchwork::{self, TableForm};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::{reading, terminal};

/// Does what the line asks for.
///
/// # Errors
/// Whatever keeps it from being read, worked out or written.
pub fn run(line: &Line, desk: &Desk, args: &BenchArgs, units: &Units) -> Result<Outcome, Problem> {
    match (&args.command, &args.file) {
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
            let form = [TableForm::Csv, TableForm::Xlsx]
                .into_iter()
                .find(|form| kind.as_deref() == Some(form.name()))
                .ok_or_else(|| {
                    let detail = format!("{} ends in neither .csv nor .xlsx", file.display());
                    Problem::new(Kind::Asked, "no such format", detail)
                        .hint("such as as-measured.csv or as-measured.xlsx")
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
