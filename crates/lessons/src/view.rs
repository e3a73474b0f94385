//! A lesson as it is shown: texts with their figures, and charts, for one shelf and one reader.

use advice::Item;
use advice::catalogue::Catalogue;
use advice::explain::{self, Figures, Topic};
use advice::view::explain as explain_view;
use advice::view::text::{Reader, Run, plain};
use serde::Serialize;
use utoipa::ToSchema;

use crate::Lessons;
use crate::chart::Source;
pub use crate::chart::{BarView, BarsView, ChartView};
use crate::read::{Block, Lesson};

/// A lesson in words, figures and charts.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LessonView {
    /// The name of its standing question.
    pub name: String,
    /// The question.
    pub title: String,
    /// Whether the shop has written it.
    pub own: bool,
    /// How long it takes to read, minutes.
    pub minutes: u32,
    /// The short answer.
    pub lead: Vec<Run>,
    /// Where a limit that it names is published.
    pub rule: Option<String>,
    /// What follows.
    pub blocks: Vec<BlockView>,
    /// Two or three sentences to put into a reply.
    pub say: String,
    /// What the figures are of.
    pub assumed: Vec<Vec<Run>>,
    /// Where it leads on to.
    pub next: Vec<LessonLine>,
}

/// A lesson as a line of a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct LessonLine {
    /// The name of its standing question.
    pub name: String,
    /// The question.
    pub title: String,
    /// How long it takes to read, minutes; absent where there is no lesson but a short answer.
    pub minutes: Option<u32>,
    /// Whether the shop has written it.
    pub own: bool,
}

/// A part of a lesson.
#[derive(Clone, Debug, Serialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum BlockView {
    /// A heading.
    Heading {
        /// Its text.
        text: String,
    },
    /// A paragraph.
    Paragraph {
        /// Its text.
        runs: Vec<Run>,
    },
    /// A list.
    List {
        /// Its texts.
        items: Vec<Vec<Run>>,
    },
    /// A chart.
    Chart {
        /// What it shows.
        chart: ChartView,
    },
}

/// A lesson as a line of a list.
pub fn line(lesson: &Lesson) -> LessonLine {
    LessonLine {
        name: lesson.topic.name.clone(),
        title: lesson.topic.title.clone(),
        minutes: Some(lesson.minutes),
        own: lesson.own,
    }
}

/// Shows one of these lessons to a reader, with figures and charts of a shelf.
pub fn view(lesson: &Lesson, among: &Lessons, shelf: &[Item], catalogue: &Catalogue, reader: &Reader) -> LessonView {
    let filled = |text: &str| {
        let topic = Topic {
            text: text.into(),
            next: Vec::new(),
            ..lesson.topic.clone()
        };
        explain_view::explain(&topic, shelf, catalogue, reader).text
    };
    let opening = explain_view::explain(&lesson.topic, shelf, catalogue, reader);
    let source = Source {
        shelf,
        catalogue,
        figures: &Figures::new(shelf, catalogue),
        reader,
    };
    LessonView {
        name: lesson.topic.name.clone(),
        title: lesson.topic.title.clone(),
        own: lesson.own,
        minutes: lesson.minutes,
        lead: opening.text,
        rule: opening.rule,
        blocks: lesson
            .blocks
            .iter()
            .filter_map(|block| {
                Some(match block {
                    Block::Heading(text) => BlockView::Heading { text: text.clone() },
                    Block::Paragraph(text) => BlockView::Paragraph { runs: filled(text) },
                    Block::List(items) => BlockView::List {
                        items: items.iter().map(|item| filled(item)).collect(),
                    },
                    Block::Chart(chart) => BlockView::Chart {
                        chart: source.chart(chart, |text| plain(&filled(text)))?,
                    },
                })
            })
            .collect(),
        say: plain(&filled(&lesson.say)),
        assumed: opening.assumed,
        next: lesson.next.iter().filter_map(|name| next(name, among)).collect(),
    }
}

fn next(name: &str, among: &Lessons) -> Option<LessonLine> {
    match among.named(name) {
        Some(lesson) => Some(line(lesson)),
        None => explain::topic(name).map(|topic| LessonLine {
            name: topic.name.clone(),
            title: topic.title.clone(),
            minutes: None,
            own: false,
        }),
    }
}

#[cfg(test)]
mod tests;
