//! Papers as links on the command line.

use quantity::Units;

use super::line::{Line, LinkCommand};
use super::{Outcome, json_of, ladder_request, show};
use crate::desk::Desk;
use crate::links::{ChangedLine, Subject};
use crate::problem::Problem;
use crate::reading;

/// Does what the line asks of links.
///
/// # Errors
/// Whatever keeps a paper from being made, kept or found.
pub fn run(line: &Line, desk: &Desk, command: &LinkCommand, units: &Units) -> Result<Outcome, Problem> {
    let of = match command {
        LinkCommand::Item { code } => Subject::Item { code: code.clone() },
        LinkCommand::Ladder(ladder) => Subject::Ladder {
            request: ladder_request(desk, ladder)?,
        },
        LinkCommand::Lesson { name } => Subject::Lesson { name: name.clone() },
        LinkCommand::Told { words } => Subject::Told {
            enquiry: Box::new(desk.read(&words.join(" "))?),
        },
        LinkCommand::Parcel { file } => Subject::Parcel {
            request: reading::read(&json_of(file, "the parcel")?)?,
        },
        LinkCommand::Answer { id } => Subject::Answer { id: id.clone() },
        LinkCommand::Quotation { number, issue } => Subject::Quotation {
            number: number.clone(),
            issue: *issue,
        },
        LinkCommand::Changes { id } => {
            let link = desk.link(id)?;
            let found = desk.link_again(id)?;
            return show(line, &found, |page| {
                page.line(&format!(
                    "{}, as it stood at revision {} of the shelf; it is at {} now.",
                    link.title, link.revision, found.revision
                ));
                if found.changes.is_empty() {
                    page.line("Every line is the same.");
                }
                for ChangedLine { was, is } in &found.changes {
                    let said = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".into());
                    page.line(&format!("was: {}", said(was)));
                    page.line(&format!("is:  {}", said(is)));
                }
            });
        }
    };
    let link = desk.keep_link(&of, units)?;
    show(line, &link, |page| {
        page.line(&format!("{} is kept as it stands, as {}.", link.title, link.id));
        page.line(&link.address);
    })
}
