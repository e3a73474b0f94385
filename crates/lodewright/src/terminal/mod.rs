//! Answers, ladders and lists on a terminal.

mod answer;
mod lists;
mod page;

pub use answer::{answer, item, ladder, not_understood};
pub use lists::{desk, grades, imported, items, preview, verify};
pub use page::Page;

use crate::trouble::Trouble;

/// Says on standard error what was wrong and what would be right.
pub fn print_trouble(trouble: &Trouble, json: bool) {
    if json {
        eprintln!("{}", serde_json::to_string_pretty(trouble).unwrap_or_else(|_| trouble.detail.clone()));
        return;
    }
    eprintln!("{}: {}", trouble.title, trouble.detail);
    if let (Some([start, end]), Some(understood)) = (trouble.span, &trouble.understood) {
        let units: Vec<u16> = understood.text.encode_utf16().collect();
        let columns = |to: usize| units.get(..to).map_or(0, |u| String::from_utf16_lossy(u).chars().count());
        let (from, to) = (columns(start), columns(end));
        eprintln!("  {}", understood.text);
        eprintln!("  {}{}", " ".repeat(from), "^".repeat((to - from).max(1)));
    }
    if let Some(hint) = &trouble.hint {
        eprintln!("hint: {hint}");
    }
    for problem in trouble.problems.iter().take(20) {
        eprintln!("line {}, {}: {} (would be right: {})", problem.line, problem.column, problem.wrong, problem.right);
    }
}
