//! Replies to what is told, compared, explained or refused.

use advice::enquiry::About;
use advice::view::cautions::Caution;
use advice::view::compare::CompareView;
use advice::view::explain::{ExplainView, RefuseView};
use advice::view::row::RowView;
use advice::view::tell::TellView;
use advice::view::text::{Run, capital, plain};
use serde::Deserialize;
use utoipa::ToSchema;

use crate::choose::{Sender, cautions};
use crate::letter::{Block, Letter, MOST_WORDS, count_words};
use crate::messages::Messages;

/// The most figures of a magnet.
const MOST_FIGURES: usize = 4;
/// The most questions that are asked back at once.
const MOST_QUESTIONS: usize = 4;
/// The most usual answers that stand behind one.
const MOST_ANSWERS: usize = 4;
/// The most words of a text that is quoted whole.
const MOST_QUOTED: usize = 110;

/// A message of parts that may be left out from behind until it is short enough.
fn fitted(subject: String, messages: &Messages, sender: &Sender, parts: Vec<Block>, spare: Vec<Block>) -> Letter {
    let mut spare = spare;
    loop {
        let mut blocks = vec![
            Block::Lines(vec![messages.text("greeting", &[])]),
            Block::Lines(vec![messages.text("thanks", &[])]),
        ];
        blocks.extend(parts.iter().cloned());
        blocks.extend(spare.iter().cloned());
        let mut closing = vec![messages.text("closing", &[])];
        closing.extend(sender.lines.iter().cloned());
        blocks.push(Block::Lines(closing));
        let letter = Letter::new(subject.clone(), &blocks);
        if letter.words <= MOST_WORDS || spare.pop().is_none() {
            return letter;
        }
    }
}

fn one(text: String) -> Block {
    Block::Lines(vec![text])
}

fn first_caution(all: &[Caution], messages: &Messages) -> Block {
    Block::Lines(cautions(all, messages).into_iter().take(1).collect())
}

/// The first sentences of a text, whole ones, up to so many words; the first one in any case.
fn opening(text: &str, most: usize) -> String {
    let mut out = String::new();
    for sentence in text.split_inclusive(". ") {
        if !out.is_empty() && count_words(&out) + count_words(sentence) > most {
            break;
        }
        out += sentence;
    }
    out.trim_end().to_owned()
}

/// What is told of a magnet.
pub fn tell(view: &TellView, messages: &Messages, sender: &Sender) -> Letter {
    let lead = opening(&plain(&view.lead), MOST_QUOTED);
    // What the first sentences say with its range is not said again.
    let is_said = |row: &&RowView| {
        let low = row.range.as_deref().and_then(|range| range.split(' ').next());
        lead.contains(&row.value) && low.is_none_or(|low| lead.contains(low))
    };
    let figures = view
        .figures
        .iter()
        .take(MOST_FIGURES)
        .filter(|row| !is_said(row))
        .map(|row| {
            let label = capital(&row.label);
            match &row.range {
                Some(range) => messages.text(
                    "figure-range",
                    &[
                        ("label", (&label).into()),
                        ("value", (&row.value).into()),
                        ("range", range.into()),
                    ],
                ),
                None => messages.text("figure", &[("label", (&label).into()), ("value", (&row.value).into())]),
            }
        })
        .collect();
    let subject = messages.text("subject-tell", &[("magnet", (&view.title).into())]);
    let mut spare = vec![Block::List(figures)];
    let assumed: Vec<String> = view.assumed.iter().map(|words| plain(words)).collect();
    if !assumed.is_empty() {
        spare.push(one(messages.text("assumed", &[("what", (&assumed.join("; ")).into())])));
    }
    spare.push(first_caution(&view.cautions, messages));
    fitted(subject, messages, sender, vec![one(lead)], spare)
}

/// Magnets side by side.
pub fn compare(view: &CompareView, messages: &Messages, sender: &Sender) -> Letter {
    let sides = view
        .columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            // What was asked stands first; what it costs is always wanted.
            let price = view.rows.iter().skip(2).find(|row| row.about == Some(About::Price));
            let figures: Vec<String> = view
                .rows
                .iter()
                .take(2)
                .chain(price)
                .filter_map(|row| Some(format!("{} {}", row.label, row.cells.get(at)?)))
                .collect();
            messages.text(
                "side",
                &[
                    ("title", (&capital(&column.title)).into()),
                    ("figures", (&figures.join(", ")).into()),
                ],
            )
        })
        .collect();
    let parts = vec![one(opening(&plain(&view.lead), MOST_QUOTED)), Block::List(sides)];
    let spare = vec![first_caution(&view.cautions, messages)];
    fitted(messages.text("subject-compare", &[]), messages, sender, parts, spare)
}

/// A question back, with what is usually answered.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct QuestionBack {
    /// The question.
    pub question: String,
    /// Usual answers, as they are shown.
    #[serde(default)]
    pub answers: Vec<String>,
}

/// What is asked back where an enquiry cannot be answered yet.
pub fn ask_back(questions: &[QuestionBack], messages: &Messages, sender: &Sender) -> Letter {
    let asked = |back: &QuestionBack| match &back.answers[..] {
        [] => back.question.clone(),
        answers => {
            let some: Vec<&str> = answers.iter().take(MOST_ANSWERS).map(String::as_str).collect();
            messages.text(
                "ask-with",
                &[
                    ("question", (&back.question).into()),
                    ("answers", (&some.join("; ")).into()),
                ],
            )
        }
    };
    let parts = vec![
        one(messages.text("please-tell", &[])),
        Block::List(questions.iter().take(MOST_QUESTIONS).map(asked).collect()),
    ];
    let spare = vec![one(messages.text("not-sure", &[]))];
    fitted(messages.text("subject-refuse", &[]), messages, sender, parts, spare)
}

/// A standing question.
pub fn explain(view: &ExplainView, messages: &Messages, sender: &Sender) -> Letter {
    let subject = messages.text("subject-explain", &[("title", (&view.title).into())]);
    let text = opening(&plain(&view.text), MOST_QUOTED);
    fitted(subject, messages, sender, vec![one(text)], Vec::new())
}

/// Why something is refused, and what would do.
pub fn refuse(view: &RefuseView, messages: &Messages, sender: &Sender) -> Letter {
    let lines = |texts: &[Vec<Run>]| texts.iter().map(|text| capital(&plain(text))).collect::<Vec<_>>();
    let mut spare = Vec::new();
    let instead = lines(&view.instead);
    if !instead.is_empty() {
        spare.push(one(messages.text("instead", &[])));
        spare.extend(instead.into_iter().map(|way| Block::List(vec![way])));
    }
    let lead = one(opening(&plain(&view.lead), MOST_QUOTED));
    fitted(
        messages.text("subject-refuse", &[]),
        messages,
        sender,
        vec![lead],
        spare,
    )
}

#[cfg(test)]
mod tests;
