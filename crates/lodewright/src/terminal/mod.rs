//! Answers, ladders and lists on a terminal.

mod answer;
mod bench;
mod cautions;
mod design;
mod enquiry;
mod lesson;
mod lists;
mod page;
mod parcel;
mod quotation;
mod steel;
mod work;

pub use answer::{answer, item, ladder, reading, with_parts};
pub use bench::{
    begun, bench, benches, expected, grade, inspection, kept, measured, plan, probe, reading_taken, readings_taken,
    session,
};
pub use design::design;
pub use enquiry::enquiry;
pub use lesson::{lesson, lessons};
pub use lists::{desk, faults, goods, grades, imported, items, lots, parts, preview, settings, unread, verify};
pub use page::Page;
pub use parcel::parcel;
pub use quotation::quotation;
pub use steel::steel;
pub use work::{day_work, entry};

use std::io::Write;

use shop::import;

use crate::problem::Problem;

/// The most problems of a file that are printed beside its error.
const MOST_PROBLEMS: usize = 20;

/// Says on standard error what was wrong and what would be right. There is nobody to tell where that is closed.
pub fn print_problem(problem: &Problem, json: bool) {
    let text = if json {
        serde_json::to_string_pretty(problem).unwrap_or_else(|_| problem.detail.clone()) + "\n"
    } else {
        in_words(problem)
    };
    let _ = std::io::stderr().write_all(text.as_bytes());
}

fn in_words(problem: &Problem) -> String {
    let mut lines = vec![format!("{}: {}", problem.title, problem.detail)];
    if let (Some([start, end]), Some(understood)) = (problem.more.span, &problem.more.understood) {
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
    if let Some(field) = problem
        .more
        .field
        .as_ref()
        .filter(|f| f.starts_with('/') && problem.more.understood.is_none())
    {
        lines.push(format!("at: {field}"));
    }
    if let Some(hint) = &problem.more.hint {
        lines.push(format!("hint: {hint}"));
    }
    for problem in problem.more.problems.iter().take(MOST_PROBLEMS) {
        let import::Problem {
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
