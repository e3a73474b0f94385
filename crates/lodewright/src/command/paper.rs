//! Documents on the command line.

use std::path::Path;

use press::Document;
use quantity::Units;

use super::line::{Line, PaperArgs, PaperCommand};
use super::{Outcome, done, ladder_request, shelf};
use crate::desk::Desk;
use crate::printing::Form;
use crate::problem::Problem;

/// Writes the document that the line asks for, as PDF, or as HTML, CSV or XLSX where the file's name ends so.
///
/// # Errors
/// Whatever keeps it from being made or written.
pub fn run(line: &Line, desk: &Desk, command: &PaperCommand, units: &Units) -> Result<Outcome, Problem> {
    let (document, args) = match command {
        PaperCommand::Answer { id, args } => {
            let bytes = Form::of_file(&args.out).made(
                || desk.answer_paper(id, args.paper, units),
                || desk.answer_list(id, units),
            )?;
            return keep(line, &bytes, args);
        }
        PaperCommand::Ladder { ladder, args } => {
            let request = ladder_request(desk, ladder)?;
            let bytes = Form::of_file(&args.out).made(
                || desk.ladder_paper(&request, args.paper, units),
                || desk.ladder_list(&request, units),
            )?;
            return keep(line, &bytes, args);
        }
        PaperCommand::Item { code, args } => (desk.item_paper(code, args.paper, units)?, args),
        PaperCommand::Told { words, args } => {
            let enquiry = desk.read(&words.join(" "))?;
            let bytes = Form::of_file(&args.out).made(
                || desk.enquiry_paper(&enquiry, args.paper, units),
                || desk.comparison_list(&enquiry, units),
            )?;
            return keep(line, &bytes, args);
        }
        PaperCommand::Lesson { name, args } => (desk.lesson_paper(name, args.paper, units)?, args),
    };
    write(line, &document, args)
}

/// Writes a document where the line says.
pub(super) fn write(line: &Line, document: &Document, args: &PaperArgs) -> Result<Outcome, Problem> {
    keep(line, &Form::of_file(&args.out).written(document)?, args)
}

fn keep(line: &Line, bytes: &[u8], args: &PaperArgs) -> Result<Outcome, Problem> {
    let file: &Path = &args.out;
    shelf::write_whole(file, bytes, args.overwrite)?;
    done(line, &format!("{} is written.", file.display()))
}
