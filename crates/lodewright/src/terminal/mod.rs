//! Answers, ladders and lists on a terminal.

mod answer;
mod lists;
mod page;
mod steel;

pub use answer::{answer, item, ladder, not_understood};
pub use lists::{desk, grades, imported, items, lots, parts, preview, verify};
pub use page::Page;
pub use steel::steel;

use std::io::Write;

use shop::import::Problem;

use crate::trouble::Trouble;

/// The most problems of a file that are printed beside its error.
const MOST_PROBLEMS: usize = 20;

/// Says on standard error what was wrong and what would be right. There is nobody to tell where that is closed.
pub fn print_trouble(trouble: &Trouble, json: bool) {
    let text = if json {
        serde_json::to_string_pretty(trouble).unwrap_or_else(|_| trouble.detail.clone()) + "\n"
    } else {
        in_words(trouble)
    };
    let _ = std::io::stderr().write_all(text.as_bytes());
}

fn in_words(trouble: &Trouble) -> String {
    let mut lines = vec![format!("{}: {}", trouble.title, trouble.detail)];
    if let (Some([start, end]), Some(understood)) = (trouble.more.span, &trouble.more.understood) {
        let units: Vec<u16> = understood.text.encode_utf16().collect();
        let columns = |to: usize| {
            units
                .get(..to)
                .map_or(0, |u| String::from_utf16_lossy(u).chars().count())
        };
        let (from, to) = (columns(start), columns(end));
        lines.push(format!("  {}", understood.text));
        lines.push(format!(
            "  {}{}",
            " ".repeat(from),
            "^".repeat(to.saturating_sub(from).max(1))
        ));
    }
    if let Some(field) = trouble
        .more
        .field
        .as_ref()
        .filter(|f| f.starts_with('/') && trouble.more.understood.is_none())
    {
        lines.push(format!("at: {field}"));
    }
    if let Some(hint) = &trouble.more.hint {
        lines.push(format!("hint: {hint}"));
    }
    for problem in trouble.more.problems.iter().take(MOST_PROBLEMS) {
        let Problem {
            line,
            column,
            wrong,
            right,
            ..
        } = problem;
        lines.push(format!("line {line}, {column}: {wrong} (would be right: {right})"));
    }
    lines.push(String::new());
    lines.join("\n")
}
