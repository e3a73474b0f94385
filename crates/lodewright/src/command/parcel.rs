//! Parcels on the command line.

use advice::enquiry::NamedMagnet;
use parcels::ParcelRequest;
use parcels::request::PackedLine;
use quantity::Units;

use super::line::{Line, ParcelArgs};
use super::{Outcome, done, json_of, shelf, show};
use crate::desk::Desk;
use crate::printing::Form;
use crate::problem::Problem;
use crate::reading;
use crate::terminal;

/// Holds the parcel that the line says against the rules, and writes its slip where that is asked.
///
/// # Errors
/// Whatever keeps it from being packed or written.
pub fn run(line: &Line, desk: &Desk, args: &ParcelArgs, units: &Units) -> Result<Outcome, Problem> {
    let request = match &args.question {
        Some(file) => reading::read(&json_of(file, "the parcel")?)?,
        None => ParcelRequest {
            lines: args.lines.iter().map(packed).collect(),
            arrangement: args.arrangement.into(),
            per_stack: args.per_stack,
            sides: args.sides(),
            filler: args.filler,
            lining: args.lining,
        },
    };
    if let Some(file) = &args.out {
        let slip = Form::of_file(file).written(&desk.parcel_paper(&request, args.paper, units)?)?;
        shelf::write_whole(file, &slip, args.overwrite)?;
        return done(line, &format!("{} is written.", file.display()));
    }
    let view = desk.parcel(&request, units)?;
    show(line, &view, |page| terminal::parcel(page, &view))
}

fn packed((code, count): &(String, u32)) -> PackedLine {
    PackedLine {
        magnet: NamedMagnet {
            code: Some(code.clone()),
            ..NamedMagnet::default()
        },
        count: *count,
    }
}
