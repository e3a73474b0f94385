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
                &format!("{} entries are deleted for good.{kept}", count(gone.entries)),
            )
        }
        WorkCommand::Purge { before, yes } => {
            let seconds = start_of(before).ok_or_else(|| {
                Problem::new(Kind::Asked, "no such day", format!("{before:?} is no day")).hint("such as 2026-05-21")
            })?;
            if !yes {
                let entries = desk.shop.count_older(seconds)?;
                return Err(unsure(&format!("{} entries of before {before}", count(entries))));
            }
            let entries = desk.shop.purge_older(seconds)?;
            done(line, &format!("{} entries are deleted for good.", count(entries)))
        }
    }
}

fn unsure(what: &str) -> Problem {
    Problem::new(Kind::Asked, "not done yet", format!("{what} would be deleted for good"))
        .hint("add --yes to delete them")
}
