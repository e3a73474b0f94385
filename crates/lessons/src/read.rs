//! A lesson's file: a head in TOML between lines of `+++`, then Markdown of headings, paragraphs, lists and chart blocks.

use advice::explain::{self, Topic};
use serde::Deserialize;

/// Longest name of a lesson.
const MOST_NAME: usize = 60;

/// A lesson.
#[derive(Clone, Debug, PartialEq)]
pub struct Lesson {
    /// The standing question that it is about; its text is the lesson's opening.
    pub topic: Topic,
    /// How long it takes to read.
    pub minutes: u32,
    /// Two or three sentences to put into a reply, with figures in braces.
    pub say: String,
    /// Standing questions that it leads on to, by name.
    pub next: Vec<String>,
    /// What follows the opening.
    pub blocks: Vec<Block>,
    /// Whether the shop has written it.
    pub own: bool,
}

/// A part of a lesson.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph, with figures in braces and `**` marks.
    Paragraph(String),
    /// A list of such texts.
    List(Vec<String>),
    /// A chart.
    Chart(Chart),
}

/// What a chart shows.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Chart {
    /// Figures side by side.
    Bars {
        /// What they are.
        title: String,
        /// The figures, by name.
        bars: Vec<Bar>,
    },
    /// A value against a distance, of one or more magnets.
    Curve {
        /// Which value.
        what: What,
        /// The magnets, by what they are beside the reference.
        of: Vec<String>,
    },
    /// What each step in thickness or number brings, with its price.
    Ladder {
        /// What rises.
        by: By,
        /// What is compared.
        measure: Compared,
    },
}

/// A figure of a chart.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bar {
    /// What it is of.
    pub label: String,
    /// Its name among the figures of texts.
    pub figure: String,
}

/// The value of a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// The flux density on the axis.
    Field,
    /// The pull on thick steel.
    Pull,
}

/// What rises on a ladder.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum By {
    /// Thicknesses that the shelf has.
    Thickness,
    /// Any thickness.
    Free,
}

/// What a ladder compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Compared {
    /// The field at the face.
    Face,
    /// The pull in contact with thick steel.
    Pull,
}

/// Why a file is no lesson.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {what}")]
pub struct LessonError {
    /// The line, from 1.
    pub line: usize,
    /// What is wrong with it.
    pub what: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    topic: String,
    /// The question, where it is none of the standing ones or is put otherwise.
    title: Option<String>,
    /// The opening, likewise.
    text: Option<String>,
    minutes: u32,
    say: String,
    #[serde(default)]
    next: Vec<String>,
}

impl Lesson {
    /// Reads a file's text.
    ///
    /// # Errors
    /// What is wrong with it, and in which line.
    pub fn read(text: &str) -> Result<Self, LessonError> {
        let lines: Vec<&str> = text.lines().collect();
        let error = |line: usize, what: String| LessonError { line: line + 1, what };
        if lines.first().map(|line| line.trim_end()) != Some("+++") {
            return Err(error(0, "a lesson begins with a line of +++ and its head".into()));
        }
        let end = fence(&lines, 1, "+++").ok_or_else(|| error(0, "the head has no second line of +++".into()))?;
        let head: Head = toml::from_str(&joined(&lines, 1, end)).map_err(|e| error(1, e.message().to_owned()))?;
        let topic = topic(&head).map_err(|what| error(1, what))?;
        if let Some(name) = head.next.iter().find(|name| explain::topic(name).is_none()) {
            return Err(error(
                1,
                format!("it leads on to {name:?}, which is no standing question"),
            ));
        }
        Ok(Self {
            topic,
            minutes: head.minutes,
            say: head.say,
            next: head.next,
            blocks: blocks(&lines, end + 1)?,
            own: false,
        })
    }
}

/// What a lesson is about: a standing question, or one of its own that says its title and opening.
fn topic(head: &Head) -> Result<Topic, String> {
    let name = &head.topic;
    if name.is_empty() || name.len() > MOST_NAME || !name.chars().all(|c| matches!(c, 'a'..='z' | '0'..='9' | '_')) {
        return Err(format!(
            "the topic {name:?} is no name: small letters a to z, digits and _, at most {MOST_NAME}"
        ));
    }
    let known = explain::topic(name);
    let missing = |what: &str| {
        format!("no standing question is known by the name {name:?}, so that the head needs a {what} as well")
    };
    let said = |own: &Option<String>, theirs: Option<&String>, what: &str| {
        let text = own.as_ref().or(theirs).ok_or_else(|| missing(what))?;
        match text.trim() {
            "" => Err(format!("the {what} is empty")),
            text => Ok(text.to_owned()),
        }
    };
    Ok(Topic {
        title: said(&head.title, known.map(|t| &t.title), "title")?,
        text: said(&head.text, known.map(|t| &t.text), "text")?,
        rule: known.and_then(|t| t.rule.clone()),
        next: known.map(|t| t.next.clone()).unwrap_or_default(),
        name: name.clone(),
    })
}

/// The line from `start` on that is `mark` alone.
fn fence(lines: &[&str], start: usize, mark: &str) -> Option<usize> {
    (start..lines.len()).find(|at| lines[*at].trim_end() == mark)
}

fn joined(lines: &[&str], from: usize, to: usize) -> String {
    lines.get(from..to).unwrap_or_default().join("\n")
}

fn blocks(lines: &[&str], start: usize) -> Result<Vec<Block>, LessonError> {
    let mut out: Vec<Block> = Vec::new();
    // Whether the line before belongs to what the next may continue.
    let mut open = false;
    let mut at = start;
    while let Some(line) = lines.get(at) {
        let line = line.trim();
        let error = |what: String| LessonError { line: at + 1, what };
        if line.is_empty() {
            open = false;
        } else if let Some(kind) = line.strip_prefix("```") {
            if kind.trim() != "chart" {
                return Err(error(format!("a block of {kind:?}, where only chart is known")));
            }
            let end = fence(lines, at + 1, "```").ok_or_else(|| error("the block is not closed".into()))?;
            let chart = toml::from_str(&joined(lines, at + 1, end)).map_err(|e| error(e.message().to_owned()))?;
            out.push(Block::Chart(chart));
            at = end;
            open = false;
        } else if let Some(heading) = line.strip_prefix("## ") {
            out.push(Block::Heading(heading.trim().into()));
            open = false;
        } else if line.starts_with('#') {
            return Err(error(
                "a heading has two signs: the title is that of the standing question".into(),
            ));
        } else if let Some(item) = line.strip_prefix("- ") {
            match out.last_mut().filter(|_| open) {
                Some(Block::List(items)) => items.push(item.trim().into()),
                _ => out.push(Block::List(vec![item.trim().into()])),
            }
            open = true;
        } else {
            match out.last_mut().filter(|_| open) {
                Some(Block::Paragraph(text)) => {
                    text.push(' ');
                    text.push_str(line);
                }
                Some(Block::List(items)) => {
                    if let Some(last) = items.last_mut() {
                        last.push(' ');
                        last.push_str(line);
                    }
                }
                _ => out.push(Block::Paragraph(line.into())),
            }
            open = true;
        }
        at += 1;
    }
    Ok(out)
}

#[cfg(test)]
mod tests;
