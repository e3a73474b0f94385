//! Sheets as PDF on the command line.

use std::path::Path;

use quantity::Units;

use super::line::{Line, PaperArgs, PaperCommand};
use super::{Outcome, done, ladder_request, shelf};
use crate::desk::Desk;
use crate::problem::Problem;

/// Writes the sheet that the line asks for.
///
/// # Errors
/// Whatever keeps it from being made or written.
pub fn run(line: &Line, desk: &Desk, command: &PaperCommand, units: &Units) -> Result<Outcome, Problem> {
    let (pdf, args) = match command {
        PaperCommand::Answer { id, args } => (desk.answer_pdf(id, args.paper, units)?, args),
        PaperCommand::Ladder { ladder, args } => {
            let request = ladder_request(desk, ladder)?;
            (desk.ladder_pdf(&request, args.paper, units)?, args)
        }
        PaperCommand::Item { code, args } => (desk.item_pdf(code, args.paper, units)?, args),
    };
    write(line, &pdf, args)
}

fn write(line: &Line, pdf: &[u8], args: &PaperArgs) -> Result<Outcome, Problem> {
    let file: &Path = &args.out;
    shelf::write_whole(file, pdf, args.overwrite)?;
    done(line, &format!("{} is written.", file.display()))
}
