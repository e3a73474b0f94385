//! The sentence with blanks that a [`Question`] is read and edited as.
//!
//! Every question opens with its verb and what the verb needs; what is set beyond that follows as clauses, and the
//! number of pieces closes it. [`words`] is the same sentence as plain text, which the crate `enquiry` reads back.
//! What may be set and is not is offered by [`more`].

mod asked;
mod clause;
mod opening;
mod print;
mod start;

#[cfg(test)]
mod tests;

pub use crate::blank::{Blank, BlankKind, Choice, Segment};
pub use asked::Verb;
pub use start::start;

use quantity::Units;
use serde_json::{Value, json};

use crate::answer::Assumed;
use crate::question::{Need, Question};

/// The sentence of a question, cut into fixed text and blanks.
///
/// An assumed value that the question leaves open is shown in its place, and its blank is marked. One that does not
/// fit the question is left out.
pub fn segments(question: &Question, units: &Units, assumed: &[Assumed]) -> Vec<Segment> {
    let full = completed(question, assumed);
    let mut segments = opening::opening(&full, units);
    for clause in clause::clauses(&full, units) {
        segments.extend(clause.segments());
    }
    segments.extend(opening::closing(&full));
    for segment in &mut segments {
        if let Segment::Blank { blank } = segment {
            blank.assumed = assumed.iter().any(|a| place(a).0 == blank.path);
        }
    }
    joined(segments)
}

/// The blanks that the question leaves open, with a value of `null`.
pub fn more(question: &Question, units: &Units) -> Vec<Blank> {
    clause::clauses(question, units)
        .into_iter()
        .filter_map(clause::Clause::offer)
        .collect()
}

/// The sentence as plain text, which the crate `enquiry` reads back, each value within a millionth.
pub fn words(question: &Question, units: &Units) -> String {
    segments(question, units, &[])
        .iter()
        .map(|segment| match segment {
            Segment::Text { text } => text.as_str(),
            Segment::Blank { blank } => blank.text.as_str(),
        })
        .collect()
}

/// Where an assumption belongs in the question, and its value where the question itself has none; no place for a tolerance.
fn place(assumed: &Assumed) -> (&'static str, Option<Value>) {
    match assumed {
        Assumed::SafetyFactor { factor, .. } => ("/need/safety_factor", Some(json!(factor))),
        Assumed::Friction { mid, .. } => ("/need/friction", Some(json!(mid))),
        Assumed::SwitchMargin { margin } => ("/need/margin", Some(json!(margin))),
        Assumed::RoomTemperature => ("/conditions/warmest", Some(json!("20 °C"))),
        Assumed::ThickSteel => ("/need/steel", None),
        Assumed::FrictionSpread { .. } | Assumed::Placement { .. } | Assumed::ByHand { .. } => ("", None),
    }
}

/// The question with the assumed values in the places that it leaves open.
fn completed(question: &Question, assumed: &[Assumed]) -> Question {
    assumed
        .iter()
        .fold(question.clone(), |question, assumed| match place(assumed) {
            (path, Some(value)) => filled(&question, path, value).unwrap_or(question),
            (_, None) => question,
        })
}

fn filled(question: &Question, path: &str, value: Value) -> Option<Question> {
    let mut json = serde_json::to_value(question).ok()?;
    if json.pointer(path).is_some_and(|set| !set.is_null()) {
        return None;
    }
    let (parent, key) = path.rsplit_once('/')?;
    json.pointer_mut(parent)?.as_object_mut()?.insert(key.to_owned(), value);
    serde_json::from_value(json).ok()
}

/// The verb of a need by its name in JSON: `pull_together`.
pub fn verb(need: &Need) -> &'static str {
    Verb::of(need).name()
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
