//! The day's work on the command line.

use advice::view::text::count;
use shop::entries::{Change, Wanted};

use super::line::{Line, WorkCommand};
use super::{Outcome, done, show};
use crate::daywork::{MOST_LISTED, start_of};
use crate::desk::Desk;
use crate::problem::{Kind, Problem};
use crate::terminal;

/// Does what the line asks of the day's work.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line, desk: &Desk, command: &WorkCommand) -> Result<Outcome, Problem> {
    let found = |any: bool| if any { Outcome::Done } else { Outcome::Nothing };
    match command {
        WorkCommand::List {
            search,
            status,
            starred,
            due,
            missed,
        } => {
            let wanted = Wanted {
                search: search.join(" "),
                status: *status,
                star: *starred,
                due: due.clone(),
                missed: *missed,
                offset: 0,
                limit: MOST_LISTED,
            };
            let work = desk.day_work(&wanted)?;
            show(line, &work, |page| terminal::day_work(page, &work))?;
            Ok(found(work.total > 0))
        }
        WorkCommand::Change {
            id,
            customer,
            note,
            status,
            follow_up,
            star,
        } => {
            let change = Change {
                customer: customer.clone(),
                note: note.clone(),
                status: *status,
                follow_up: follow_up.clone(),
                star: *star,
                sent: None,
            };
            let entry = desk.change_entry(id, &change)?;
            show(line, &entry, |page| terminal::entry(page, &entry))
        }
        WorkCommand::Missed { days } => {
            let missed = desk.missed(*days)?;
            show(line, &missed, |page| {
                for one in &missed {
                    page.line(&format!(
                        "{} times, {} pieces: {}",
                        one.times,
                        count(one.pieces),
                        one.what
                    ));
                }
            })?;
            Ok(found(!missed.is_empty()))
        }
        WorkCommand::HandOver { customer } => {
            let entries = desk.hand_over(customer)?;
            show(line, &entries, |page| {
                entries.iter().for_each(|entry| terminal::entry(page, entry))
            })?;
            Ok(found(!entries.is_empty()))
        }
        WorkCommand::Forget { customer, yes } => {
            let entries = desk.hand_over(customer)?.len();
            if !yes {
                return Err(unsure(&format!("{entries} entries of {customer}")));
            }
            let gone = desk.forget(customer)?;
            let kept = match gone.quotations_kept {
                0 => String::new(),
                n => format!(" {} issues of quotations bear the name and are kept.", count(n)),
            };
            done(
                line,
                &format!(
                    "{} entries are deleted for good.{kept}{}",
                    count(gone.entries),
                    copies(desk, gone.copies_kept)
                ),
            )
        }
        WorkCommand::Purge { before, yes } => {
            let seconds = start_of(before).ok_or_else(|| {
                Problem::new(Kind::Asked, "no such day", format!("{before:?} is no day")).hint("such as 2026-05-21")
            })?;
            if !yes {
                let entries = desk.shop.count_older(seconds)?.entries;
                return Err(unsure(&format!("{} entries of before {before}", count(entries))));
            }
            let purged = desk.shop.purge_older(seconds)?;
            done(
                line,
                &format!(
                    "{} entries and {} answers are deleted for good.{}",
                    count(purged.entries),
                    count(purged.answers),
                    copies(desk, purged.copies_kept)
                ),
            )
        }
    }
}

/// What is said of the copies that were made before something was deleted.
fn copies(desk: &Desk, kept: u64) -> String {
    match (kept, desk.shop.backup_folder()) {
        (1.., Some(folder)) => format!(
            " {} dated copies of the shop may hold them still: delete those in {} that are older than today.",
            count(kept),
            folder.display()
        ),
        _ => String::new(),
    }
}

fn unsure(what: &str) -> Problem {
    Problem::new(Kind::Asked, "not done yet", format!("{what} would be deleted for good"))
        .hint("add --yes to delete them")
}
