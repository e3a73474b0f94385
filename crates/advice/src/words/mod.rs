//! Plain words, as a customer types them, into a [`Question`].
//!
//! The text is cut into tokens ([`lexer`]); known words, names and values become symbols ([`symbols`]); the verb is found
//! ([`verb`]); forms from `data/forms.toml` say which words and values belong together ([`forms`]); what they say is
//! collected ([`draft`]) and made into a question ([`build`]). The words themselves are in `data/words.toml`.
//!
//! Order does not matter, and every word is accounted for: understood with a meaning, understood as a filler, or not
//! understood. Absurd values pass; judging them is the business of the question's own check.

mod build;
mod dictionary;
mod draft;
mod forms;
mod lexer;
mod slot;
mod spelling;
mod symbols;
mod understand;
mod verb;
mod vocabulary;
mod word_list;

#[cfg(test)]
pub(crate) mod tests;

use std::ops::Range;

pub use vocabulary::{Name, Vocabulary};

use crate::question::Question;

/// The longest text that is read, in bytes.
pub const LONGEST_TEXT: usize = 10_000;

/// What was understood of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Parsed {
    /// The question; `None` when something is missing or there is a problem.
    pub question: Option<Question>,
    /// The text from its first byte to its last, cut into parts that do not overlap.
    pub parts: Vec<Part>,
    /// What is contradictory, said twice, or cannot be taken, in the order of the text.
    pub problems: Vec<WordsProblem>,
    /// What the text must still say.
    pub missing: Vec<Missing>,
}

/// A stretch of the text and what it was taken for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// Byte offsets into the text.
    pub range: Range<usize>,
    /// The meaning in words, such as `load`; empty for fillers, spaces and stops; `None` when not understood.
    pub meaning: Option<String>,
    /// For a part that was not understood: what may have been meant.
    pub hint: Option<String>,
}

/// Something in the text that keeps it from being a question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WordsProblem {
    /// Byte offsets into the text.
    pub range: Range<usize>,
    /// What was wrong.
    pub message: String,
    /// What would be right.
    pub hint: Option<String>,
}

/// A blank of the question that the text leaves empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// JSON pointer into the question.
    pub path: String,
    /// What is missing, in words.
    pub label: String,
    /// Words that would fill it.
    pub example: String,
}

/// Reads a question in plain words.
///
/// `vocabulary` holds the names of materials and grades that may occur. Total: any text gives a result, in a time that
/// grows with its length; a text longer than [`LONGEST_TEXT`] is refused as a whole.
///
/// A text without a verb is taken as something to hold when it names a load, and as a field to reach when it names a
/// flux density; the part concerned says so.
pub fn parse(text: &str, vocabulary: &Vocabulary) -> Parsed {
    if text.len() > LONGEST_TEXT {
        return Parsed {
            question: None,
            parts: vec![Part {
                range: 0..text.len(),
                meaning: None,
                hint: None,
            }],
            problems: vec![WordsProblem {
                range: 0..text.len(),
                message: format!("the text is {} bytes long; at most {LONGEST_TEXT} are read", text.len()),
                hint: Some("say what the magnet must do in a few sentences".into()),
            }],
            missing: Vec::new(),
        };
    }
    understand::understand(text, vocabulary)
}
