//! Fields of magnets that need not be on the shelf: drawn in air, solved on steel.

use std::path::Path;

use compute::Budget;
use quantity::Units;

use super::line::Line;
use super::{Outcome, json_of, print, shelf, show};
use crate::drawing::draw;
use crate::problem::Problem;
use crate::reading;
use crate::steelwork::sheet;
use crate::terminal;

/// Draws what the file asks, to a file or to standard output.
pub fn run(line: &Line, file: &Path, out: Option<&Path>, overwrite: bool) -> Result<Outcome, Problem> {
    let request = reading::read_stated(json_of(file, "the picture")?)?;
    let drawing = draw(&request, &line.units.unwrap_or(Units::metric()), &Budget::own())?;
    let Some(out) = out else {
        if line.json {
            return show(line, &drawing, |_| {});
        }
        print(&format!("{}\n", drawing.svg))?;
        return Ok(Outcome::Done);
    };
    shelf::write_whole(out, drawing.svg.as_bytes(), overwrite)?;
    show(line, &drawing, |page| {
        page.line(&format!("{}: {}", out.display(), drawing.title));
        for warning in &drawing.warnings {
            page.line(&format!("Warning: {warning}."));
        }
    })
}

/// Solves the set-up in the file, and prints what it pulls.
pub fn steel(line: &Line, file: &Path) -> Result<Outcome, Problem> {
    let request = reading::read_stated(json_of(file, "the set-up")?)?;
    let sheet = sheet(&request, &|| true, &line.units.unwrap_or(Units::metric()))?;
    show(line, &sheet, |page| terminal::steel(page, &sheet))
}
