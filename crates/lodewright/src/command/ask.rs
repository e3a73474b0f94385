//! Questions and enquiries on the command line: the answer at once, and behind it what takes longer.

use advice::Answer;
use advice::answer::Verdict;
use advice::enquiry::Enquiry;
use advice::question::Steelwork;
use advice::view::text::capital;
use quantity::Units;

use super::line::{Ask, Line};
use super::{Outcome, json_of, print, show};
use crate::desk::{AnswerSheet, Asker, Desk, Wish};
use crate::problem::Problem;
use crate::reading;
use crate::reply::Reply;
use crate::terminal::{self, Page};

/// Answers what is asked, in words or from a file.
pub fn run(line: &Line, desk: &Desk, ask: &Ask, units: &Units) -> Result<Outcome, Problem> {
    let wish = Wish {
        keep: ask.keep,
        // JSON is one text, and comes when all of it is there.
        fitted: line.json,
        ..Wish::default()
    };
    let (reply, answer) = match &ask.question {
        Some(file) => {
            let value = json_of(file, "the question")?;
            if value.get("kind").is_some() {
                return enquire(line, desk, ask, &reading::read(&value)?, units);
            }
            let (sheet, answer) = desk.ask(&reading::read(&value)?, wish, units)?;
            if let Some(id) = &sheet.id {
                desk.file_choice("", &answer, &sheet.view, id, Asker::Shop)?;
            }
            (Reply::to(sheet), Some(answer))
        }
        None => desk.reply(&ask.words.join(" "), wish, units)?,
    };
    let Some(mut answer) = answer else {
        show(line, &reply, |page| {
            terminal::reading(page, &reply);
            if let Some(told) = &reply.told {
                terminal::enquiry(page, told, ask.most);
            }
        })?;
        return Ok(if reply.told.is_some() {
            Outcome::Done
        } else {
            Outcome::Nothing
        });
    };
    let shelf = desk.shelf()?;
    let empty = shelf.items.is_empty();
    show(line, &reply, |page| {
        terminal::reading(page, &reply);
        if let Some(sheet) = &reply.sheet {
            terminal::answer(page, &sheet.view, ask.most);
        }
        terminal::unread(page, &shelf.unread);
        if empty {
            page.line("The shelf is empty: `lodewright shelf import` fills it, and --demo brings one to try.");
        }
    })?;
    if let (Some(sheet), false) = (&reply.sheet, line.json) {
        afterwards(desk, ask, sheet, &mut answer, units)?;
    }
    let does = answer.searched.sure > 0 || answer.with_parts().any(|c| c.verdict == Verdict::Sure);
    Ok(if does { Outcome::Done } else { Outcome::Nothing })
}

/// What is printed behind an answer: builds with steel parts, what the solver says of the first build, and where it is kept.
fn afterwards(desk: &Desk, ask: &Ask, sheet: &AnswerSheet, answer: &mut Answer, units: &Units) -> Result<(), Problem> {
    let wanted = answer.question.limits.steelwork;
    let looks = desk.has_parts_for(&answer.question)?;
    if looks {
        let mut page = Page::new();
        page.blank();
        page.line("Builds with steel parts are being worked out.");
        print(&page.text())?;
    }
    if looks || wanted.is_some_and(|wanted| wanted != Steelwork::Bare) {
        let view = desk.complete(answer, sheet.id.as_deref(), units)?;
        let mut page = Page::new();
        terminal::with_parts(&mut page, &view, ask.most);
        print(&page.text())?;
    }
    let confirmed = desk.confirmed(answer, units)?;
    let mut page = Page::new();
    if let Some(confirmed) = &confirmed {
        page.line(&format!("The first one {}", confirmed.text));
        if let Some(behind) = &confirmed.behind {
            page.line(&format!("{}.", capital(behind)));
        }
    }
    if let Some(id) = &sheet.id {
        page.line(&format!("Kept on the desk as {id}."));
    }
    if let Some(why) = &sheet.not_kept {
        page.line(&format!("The answer is not kept: {why}."));
    }
    print(&page.text())?;
    Ok(())
}

/// An enquiry of any kind.
fn enquire(line: &Line, desk: &Desk, ask: &Ask, enquiry: &Enquiry, units: &Units) -> Result<Outcome, Problem> {
    let wish = Wish {
        keep: ask.keep,
        fitted: true,
        ..Wish::default()
    };
    let sheet = desk.enquire(enquiry, wish, units)?;
    show(line, &sheet, |page| terminal::enquiry(page, &sheet, ask.most))
}
