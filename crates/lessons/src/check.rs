//! Whether a lesson that somebody has written shows what it means to, on a shelf.

use advice::Item;
use advice::catalogue::Catalogue;
use advice::explain::Figures;

use crate::read::{Block, Chart, Lesson, LessonError};

/// The longest text of a lesson, bytes.
pub const MOST_TEXT: usize = 40_000;

/// Reads a text and holds the figures and charts that it names against a shelf.
///
/// # Errors
/// What is wrong with it, and in which line.
pub fn checked(text: &str, shelf: &[Item], catalogue: &Catalogue) -> Result<Lesson, LessonError> {
    if text.len() > MOST_TEXT {
        return Err(LessonError {
            line: 1,
            what: format!("the text has {} bytes; at most {MOST_TEXT} are kept", text.len()),
        });
    }
    let lesson = Lesson::read(text)?;
    let figures = Figures::new(shelf, catalogue);
    let unknown = |line: usize, name: &str| LessonError {
        line,
        what: format!("no figure is known by the name {name:?}"),
    };
    for (at, line) in text.lines().enumerate() {
        if let Some(name) = braced(line).find(|name| figures.figure(name).is_none()) {
            return Err(unknown(at + 1, name));
        }
    }
    let line_of = |name: &str| {
        let quoted = format!("\"{name}\"");
        text.lines()
            .position(|line| line.contains(&quoted))
            .map_or(1, |at| at + 1)
    };
    for block in &lesson.blocks {
        match block {
            Block::Chart(Chart::Bars { bars, .. }) => {
                if let Some(bar) = bars.iter().find(|bar| figures.figure(&bar.figure).is_none()) {
                    return Err(unknown(line_of(&bar.figure), &bar.figure));
                }
            }
            Block::Chart(Chart::Curve { of, .. }) => {
                if let Some(name) = of.iter().find(|name| figures.given(name).is_none()) {
                    return Err(LessonError {
                        line: line_of(name),
                        what: format!("no magnet is known by the name {name:?}, such as reference, twice or ferrite"),
                    });
                }
            }
            _ => {}
        }
    }
    Ok(lesson)
}

/// The names in braces on a line that are written as names of figures are.
fn braced(line: &str) -> impl Iterator<Item = &str> {
    // The braces of a table in a chart block have spaces in them.
    line.split('{')
        .skip(1)
        .filter_map(|after| after.split_once('}').map(|(name, _)| name))
        .filter(|name| !name.contains(char::is_whitespace))
}

#[cfg(test)]
mod tests;
