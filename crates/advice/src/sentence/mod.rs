//! The sentence with blanks that a [`Question`] is read and edited as.
//!
//! Every question opens with its verb and what the verb needs; what is set beyond that follows as clauses, and the
//! number of pieces closes it. [`words`] is the same sentence as plain text, which [`crate::words::parse`] reads back.
//! What may be set and is not is offered by [`more`].

mod blank;
mod clause;
mod opening;
mod print;
mod start;
mod verb;

#[cfg(test)]
mod tests;

pub use blank::{Blank, BlankKind, Choice, Segment};
pub use start::start;
pub use verb::Verb;

use quantity::Units;
use serde_json::Value;

use crate::question::Question;

/// A value that the answer went by though the question leaves it open, or that was filled in for the customer.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// JSON pointer into the question.
    pub path: String,
    /// The value as it would stand in the question's JSON.
    pub value: Value,
}

/// The sentence of a question, cut into fixed text and blanks.
///
/// An assumed value that the question leaves open is shown in its place; assumed blanks are marked. An assumed value
/// that does not fit the question is left out.
pub fn segments(question: &Question, units: &Units, assumed: &[Assumed]) -> Vec<Segment> {
    let full = completed(question, assumed);
    let mut segments = opening::opening(&full, units);
    for clause in clause::clauses(&full, units) {
        segments.extend(clause.segments());
    }
    segments.extend(opening::closing(&full));
    for segment in &mut segments {
        if let Segment::Blank { blank } = segment {
            blank.assumed = assumed.iter().any(|a| a.path == blank.path);
        }
    }
    joined(segments)
}

/// The blanks that the question leaves open, with a value of `null`.
pub fn more(question: &Question, units: &Units) -> Vec<Blank> {
    clause::clauses(question, units).into_iter().filter_map(clause::Clause::offer).collect()
}

/// The sentence as plain text, with exact values to 12 digits; [`crate::words::parse`] reads it back.
pub fn words(question: &Question, units: &Units) -> String {
    segments(question, units, &[])
        .iter()
        .map(|segment| match segment {
            Segment::Text { text } => text.as_str(),
            Segment::Blank { blank } => blank.text.as_str(),
        })
        .collect()
}

/// The question with the assumed values in the places that it leaves open.
fn completed(question: &Question, assumed: &[Assumed]) -> Question {
    assumed.iter().fold(question.clone(), |question, Assumed { path, value }| {
        filled(&question, path, value).unwrap_or(question)
    })
}

fn filled(question: &Question, path: &str, value: &Value) -> Option<Question> {
    let mut json = serde_json::to_value(question).ok()?;
    if json.pointer(path).is_some_and(|set| !set.is_null()) {
        return None;
    }
    let (parent, key) = path.rsplit_once('/')?;
    json.pointer_mut(parent)?.as_object_mut()?.insert(key.to_owned(), value.clone());
    serde_json::from_value(json).ok()
}

/// Neighbouring texts as one.
fn joined(segments: Vec<Segment>) -> Vec<Segment> {
    let mut joined: Vec<Segment> = Vec::with_capacity(segments.len());
    for segment in segments {
        match (joined.last_mut(), segment) {
            (Some(Segment::Text { text }), Segment::Text { text: more }) => text.push_str(&more),
            (_, segment) => joined.push(segment),
        }
    }
    joined
}
