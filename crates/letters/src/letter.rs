//! A message as it is sent: plain text and HTML of the same words.

use html_escape::encode_double_quoted_attribute as escaped;
use serde::Serialize;
use utoipa::ToSchema;

/// The most words of a message.
pub const MOST_WORDS: usize = 150;

/// A message to look over, to edit and to send.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Letter {
    /// The subject line.
    pub subject: String,
    /// Plain text.
    pub text: String,
    /// The same as HTML, a part of a page.
    pub html: String,
    /// How many words it has.
    pub words: usize,
}

/// A part of a message.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// Lines that belong together.
    Lines(Vec<String>),
    /// One line each, with a dash.
    List(Vec<String>),
}

impl Letter {
    /// A message of these parts; empty ones are left out.
    pub fn new(subject: String, blocks: &[Block]) -> Self {
        let blocks: Vec<&Block> = blocks.iter().filter(|block| !block.lines().is_empty()).collect();
        let text = join_text(&blocks);
        let html = blocks.iter().map(|block| block.html()).collect();
        let words = count_words(&text);
        Self {
            // A subject is one line.
            subject: subject.split_whitespace().collect::<Vec<_>>().join(" "),
            text,
            html,
            words,
        }
    }
}

/// Text of blocks, an empty line between them; a list follows its heading at once.
fn join_text(blocks: &[&Block]) -> String {
    let mut text = String::new();
    for (at, block) in blocks.iter().enumerate() {
        let dash = match block {
            Block::Lines(_) => "",
            Block::List(_) => "- ",
        };
        if at > 0 {
            text.push_str(if dash.is_empty() { "\n\n" } else { "\n" });
        }
        let lines: Vec<String> = block.lines().iter().map(|line| format!("{dash}{line}")).collect();
        text += &lines.join("\n");
    }
    text.push('\n');
    text
}

impl Block {
    /// Its lines.
    pub fn lines(&self) -> &[String] {
        match self {
            Self::Lines(lines) | Self::List(lines) => lines,
        }
    }

    fn html(&self) -> String {
        let lines: Vec<_> = self.lines().iter().map(|line| escaped(line)).collect();
        match self {
            Self::Lines(_) => format!("<p>{}</p>\n", lines.join("<br>\n")),
            Self::List(_) => format!("<ul>\n<li>{}</li>\n</ul>\n", lines.join("</li>\n<li>")),
        }
    }
}

/// The words of a text, as a person counts them.
pub fn count_words(text: &str) -> usize {
    // Figures and their units are held together by spaces that do not break.
    text.split([' ', '\n'])
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .count()
}

#[cfg(test)]
mod tests;
