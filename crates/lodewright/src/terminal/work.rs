//! The day's work on a terminal.

use advice::view::text::count;

use super::Page;
use crate::daywork::{DayWork, EntryView};

/// The most characters of a message that are printed.
const MOST: usize = 240;

/// Prints entries.
pub fn day_work(page: &mut Page, work: &DayWork) {
    let [open, sent, ordered, returned] = work.counts.map(count);
    page.line(&format!(
        "{}{} found; {open} open, {sent} sent, {ordered} ordered, {returned} returned, {} to follow up.",
        count(work.total),
        if work.more { " or more" } else { "" },
        count(work.due)
    ));
    for entry in &work.entries {
        page.blank();
        self::entry(page, entry);
    }
}

/// Prints an entry.
pub fn entry(page: &mut Page, view: &EntryView) {
    let entry = &view.entry;
    let star = if entry.star { " *" } else { "" };
    let who = if entry.customer.is_empty() { "" } else { ", " };
    let answer = entry
        .answer
        .as_ref()
        .map_or_else(String::new, |id| format!(", answer {id}"));
    page.line(&format!(
        "{}{star}  {}  {}{who}{}{answer}",
        entry.id,
        view.filed_at,
        entry.status.name(),
        entry.customer
    ));
    if !entry.message.is_empty() {
        let short: String = entry.message.chars().take(MOST).collect();
        page.line(&format!("  \"{}\"", short.replace('\n', " ")));
    }
    page.line(&format!("  read as: {}", entry.read_as));
    page.line(&format!("  {}", entry.lead));
    if !entry.note.is_empty() {
        page.line(&format!("  note: {}", entry.note));
    }
    if let Some(day) = &entry.follow_up {
        page.line(&format!("  follow up: {day}"));
    }
}
