//! Blanks and segments, as the page receives them, and what is said about each blank.

use serde::Serialize;
use serde_json::Value;
use utoipa::ToSchema;

/// A piece of the sentence: fixed text or a blank.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Segment {
    /// Fixed text, with the spaces around it.
    Text {
        /// The text.
        text: String,
    },
    /// A blank with its present value.
    Blank {
        /// The blank.
        blank: Blank,
    },
}

impl Segment {
    pub(crate) fn text(text: impl Into<String>) -> Self {
        Segment::Text { text: text.into() }
    }
}

/// A value of the question that can be changed where it stands in the sentence.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Blank {
    /// JSON pointer into the question.
    pub path: String,
    /// How it reads in the sentence.
    pub text: String,
    /// What it is, in words.
    pub label: String,
    /// What kind of editor it needs.
    pub kind: BlankKind,
    /// What may be chosen; `None` for a value that is typed.
    pub options: Option<Vec<Choice>>,
    /// What the editor starts from: a string with a unit, a number, an option's value, a list; `null` when unset.
    pub value: Value,
    /// Whether it may be cleared to `null`.
    pub optional: bool,
    /// Whether the value was assumed rather than given.
    pub assumed: bool,
    /// One line of help.
    pub help: String,
    /// A value that could stand there.
    pub example: String,
}

/// The kind of editor that a blank needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BlankKind {
    /// A mass or a force.
    Load,
    /// A length.
    Length,
    /// A flux density.
    Field,
    /// A temperature.
    Temperature,
    /// An amount of money, without its currency.
    Money,
    /// A whole number.
    Count,
    /// A number.
    Factor,
    /// One of the options.
    Choice,
    /// Any of the options.
    Choices,
    /// A list of material and thickness.
    Layers,
    /// Material and thickness, which may be `null`.
    Steel,
    /// True or false.
    Switch,
    /// A list of words that are typed.
    Words,
    /// A mass.
    Mass,
}

/// Something that may be chosen for a blank.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Choice {
    /// What the question gets.
    pub value: Value,
    /// How it reads.
    pub text: String,
}

impl Choice {
    pub(crate) fn new(value: impl Into<Value>, text: impl Into<String>) -> Self {
        Self {
            value: value.into(),
            text: text.into(),
        }
    }
}

/// What is always said about a blank.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Spec {
    pub path: &'static str,
    pub label: &'static str,
    pub kind: BlankKind,
    pub optional: bool,
    pub help: &'static str,
    pub example: &'static str,
}

impl Spec {
    pub(crate) const fn must(
        path: &'static str,
        label: &'static str,
        kind: BlankKind,
        help: &'static str,
        example: &'static str,
    ) -> Self {
        Self {
            path,
            label,
            kind,
            optional: false,
            help,
            example,
        }
    }

    pub(crate) const fn may(
        path: &'static str,
        label: &'static str,
        kind: BlankKind,
        help: &'static str,
        example: &'static str,
    ) -> Self {
        Self {
            optional: true,
            ..Self::must(path, label, kind, help, example)
        }
    }

    /// The blank with a value.
    pub(crate) fn blank(self, text: impl Into<String>, value: impl Into<Value>) -> Blank {
        Blank {
            path: self.path.into(),
            text: text.into(),
            label: self.label.into(),
            kind: self.kind,
            options: None,
            value: value.into(),
            optional: self.optional,
            assumed: false,
            help: self.help.into(),
            example: self.example.into(),
        }
    }

    /// The blank of a quantity, whose text is also what the editor starts from.
    pub(crate) fn typed(self, text: String) -> Blank {
        self.blank(text.clone(), text)
    }
}

impl Blank {
    pub(crate) fn with(mut self, options: Vec<Choice>) -> Self {
        self.options = Some(options);
        self
    }
}
