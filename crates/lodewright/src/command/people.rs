//! The people of a shop on the command line.

use shop::Role;

use super::deed::note;
use super::line::{Line, PeopleCommand};
use super::{Outcome, done, show};
use crate::desk::{Desk, seconds_now, time_text};
use crate::problem::{Kind, Problem};
use crate::serve::{INVITATION, Origin};

/// Does what the line asks of the people.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line, desk: &Desk, command: &PeopleCommand) -> Result<Outcome, Problem> {
    match command {
        PeopleCommand::List => {
            let people = desk.shop.people()?;
            show(line, &people, |page| {
                for person in &people {
                    page.line(&format!("{}  {}", person.name, person.role.name()));
                }
                if people.is_empty() {
                    page.line("Nobody may sign in yet: `lodewright people invite NAME --role owner` makes a link.");
                }
            })?;
            Ok(if people.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        PeopleCommand::Invite { name, role, origin } => {
            let link = invitation(desk, name, *role, origin)?;
            note(&desk.shop, format!("invite {name} as {}", role.name()));
            show(line, &serde_json::json!({ "link": link }), |page| {
                page.line(&format!(
                    "With this link {name} chooses a password; it serves once, within {} days:",
                    INVITATION / 86_400
                ));
                page.whole(&link);
            })
        }
        PeopleCommand::Remove { name } if desk.shop.remove_person(name)? => {
            note(&desk.shop, format!("remove {name}"));
            done(line, &format!("{name} can no longer sign in."))
        }
        PeopleCommand::Remove { name } => Err(Problem::new(
            Kind::Absent,
            "no such person",
            format!("nobody of the name {name:?} may sign in"),
        )
        .hint("`lodewright people list` shows who may")),
        PeopleCommand::Deeds { most } => {
            let deeds = desk.shop.deeds(*most)?;
            show(line, &deeds, |page| {
                for deed in &deeds {
                    page.line(&format!("{}  {}  {}", time_text(deed.at), deed.person, deed.what));
                }
            })?;
            Ok(if deeds.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
    }
}

/// A link with which somebody may choose a password, once.
///
/// # Errors
/// A name that does not fit, or a database that fails.
pub fn invitation(desk: &Desk, name: &str, role: Role, origin: &Origin) -> Result<String, Problem> {
    let token = desk.shop.token()?;
    desk.shop.invite(name, role, &token, seconds_now() + INVITATION)?;
    Ok(format!("{origin}/sign-in/join?token={token}"))
}
