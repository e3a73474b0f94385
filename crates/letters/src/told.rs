//! Replies to what is told, compared, explained or refused.

use advice::view::cautions::Caution;
use advice::view::compare::CompareView;
use advice::view::explain::{ExplainView, RefuseView};
use advice::view::tell::TellView;
use advice::view::text::{Run, capital, plain};

use crate::choose::{Sender, cautions};
use crate::letter::{Block, Letter, MOST_WORDS, count_words};
use crate::messages::Messages;

/// The most figures of a magnet.
const MOST_FIGURES: usize = 4;
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
    let figures = view
        .figures
        .iter()
        .take(MOST_FIGURES)
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
    let lead = one(opening(&plain(&view.lead), MOST_QUOTED));
    let mut spare = vec![Block::List(figures)];
    let assumed: Vec<String> = view.assumed.iter().map(|words| plain(words)).collect();
    if !assumed.is_empty() {
        spare.push(one(messages.text("assumed", &[("what", (&assumed.join("; ")).into())])));
    }
    spare.push(first_caution(&view.cautions, messages));
    fitted(subject, messages, sender, vec![lead], spare)
}

/// Magnets side by side.
pub fn compare(view: &CompareView, messages: &Messages, sender: &Sender) -> Letter {
    let sides = view
        .columns
        .iter()
        .enumerate()
        .map(|(at, column)| {
            let figures: Vec<String> = view
                .rows
                .iter()
                .take(3)
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
