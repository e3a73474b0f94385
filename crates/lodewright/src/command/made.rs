//! Magnets made to a wish, on the command line.

use numerics::stop::Stop;
use quantity::Units;

use super::line::{DesignArgs, Line};
use super::{Outcome, json_of, show};
use crate::designing::DesignRequest;
use crate::desk::Desk;
use crate::problem::Problem;
use crate::reading;
use crate::terminal;

/// Searches what would do the wish that the line says.
///
/// # Errors
/// Whatever keeps it from being found.
pub fn run(line: &Line, desk: &Desk, args: &DesignArgs, units: &Units) -> Result<Outcome, Problem> {
    let request = match &args.question {
        Some(file) => reading::read(&json_of(file, "the wish")?)?,
        None => DesignRequest {
            wish: args.words.join(" "),
            least: args.least.clone(),
            families: args.families.clone(),
            sizes: args.sizes.clone(),
            refined: args.refined,
        },
    };
    let view = desk.design(&request, units, &Stop::new(), &|progress| {
        tracing::info!(done = progress.done, of = progress.of, family = ?progress.family, "searched");
    })?;
    let found = view.drafts.iter().any(|draft| draft.keeps) || view.stock.builds.iter().any(|build| build.keeps);
    let shown = show(line, &view, |page| terminal::design(page, &view))?;
    Ok(if found { shown } else { Outcome::Nothing })
}
