//! What is asked back, with its usual answers.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A short question back, for a place of the reading.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Ask {
    /// JSON pointer into the reading: `/question/need/load`.
    pub place: String,
    /// The question.
    pub question: String,
    /// Usual answers to press.
    pub answers: Vec<UsualAnswer>,
    /// What the answer takes until this is said, where it can: the end at which a magnet does less.
    pub meanwhile: Option<UsualAnswer>,
}

/// An answer to press.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UsualAnswer {
    /// As it is shown.
    pub label: String,
    /// What it sets at the place.
    pub sets: Value,
}

/// The most answers to press.
const MOST_ANSWERS: usize = 4;

impl Ask {
    /// With what was read, though not surely, as the first answer; a range, such as what is usual there, answers nothing.
    pub(crate) fn with_guess(mut self, guess: &Value) -> Self {
        let range = guess.as_str().is_some_and(|text| text.contains(".."));
        if guess.is_null() || range {
            return self;
        }
        let usual = self.answers.iter().position(|a| a.sets == *guess);
        let first = match usual {
            Some(at) => self.answers.remove(at),
            None => UsualAnswer {
                label: said(guess),
                sets: guess.clone(),
            },
        };
        self.answers.insert(0, first);
        self.answers.truncate(MOST_ANSWERS);
        self
    }
}

/// A value of a reading as a label.
fn said(value: &Value) -> String {
    match value {
        Value::String(text) => text.replace('_', " "),
        Value::Array(list) => list.iter().map(said).collect::<Vec<_>>().join(", "),
        Value::Object(parts) => parts.values().map(said).collect::<Vec<_>>().join(", "),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        other => other.to_string(),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    ask: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    place: String,
    question: String,
    answers: Vec<(String, Value)>,
    /// Which of the answers is taken meanwhile, counted from 0.
    meanwhile: Option<usize>,
}

static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    let file: File = toml::from_str(include_str!("../data/asks.toml")).expect("data/asks.toml is well formed");
    file.ask
});

/// The ending of the place of rows that ask about an amount that is zero or less.
const NOT_POSITIVE: &str = " not positive";

/// What is asked at a place; of a load that is said but is none, with what would be right.
pub(crate) fn ask(place: &str, not_positive: bool) -> Ask {
    let general: String = place
        .split('/')
        .map(|part| {
            if !part.is_empty() && part.chars().all(|c| c.is_ascii_digit()) {
                "*"
            } else {
                part
            }
        })
        .collect::<Vec<_>>()
        .join("/");
    let row = ROWS
        .iter()
        .find(|row| not_positive && row.place.strip_suffix(NOT_POSITIVE) == Some(&general))
        .or_else(|| ROWS.iter().find(|row| row.place == general));
    let answers: Vec<UsualAnswer> = row.map_or_else(Vec::new, |r| {
        r.answers
            .iter()
            .map(|(label, sets)| UsualAnswer {
                label: label.clone(),
                sets: sets.clone(),
            })
            .collect()
    });
    Ask {
        place: place.to_owned(),
        question: row.map_or_else(|| "What is meant here?".to_owned(), |r| r.question.clone()),
        meanwhile: row.and_then(|r| answers.get(r.meanwhile?).cloned()),
        answers,
    }
}

/// What is asked of the thickness of a layer whose material usually has a thickness between two, mm.
pub(crate) fn layer(place: &str, material: &str, [thin, thick]: [f64; 2]) -> Ask {
    let usual = |mm: f64| UsualAnswer {
        label: format!("about {mm} mm"),
        sets: Value::from(format!("{mm} mm")),
    };
    let mut asked = ask(place, false);
    asked.question = format!("How thick is the {material}?");
    asked.answers = vec![usual(thin), usual(thick), usual(10.0 * thick)];
    asked.meanwhile = Some(usual(thick));
    asked
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ask_has_two_to_four_answers() {
        for row in ROWS.iter() {
            assert!((2..=4).contains(&row.answers.len()), "{}", row.place);
            let place = row.place.replace('*', "1");
            let plain = place.strip_suffix(NOT_POSITIVE);
            assert_eq!(ask(plain.unwrap_or(&place), plain.is_some()).question, row.question);
            assert!(row.meanwhile.is_none_or(|k| k < row.answers.len()), "{}", row.place);
        }
    }
}
