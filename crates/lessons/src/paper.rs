//! Lessons as documents: hand-outs on paper, and pages for a shop's own site.

use advice::view::text::plain;
use letters::Messages;
use press::{Document, Flow, Style, Text};
use sheets::sheet::{LEAD, document, list, text, titled};
use sheets::{Imprint, Maker, chart, ladder};

use crate::view::{BlockView, ChartView, LessonLine, LessonView};

/// Width of a chart, points.
const WIDE: f32 = 480.0;
/// Height of one with axes.
const HIGH: f32 = 210.0;

/// Who publishes, of which shelf, and what else is published with it.
pub struct Publisher<'a> {
    /// The shop.
    pub maker: &'a Maker,
    /// The day and the address.
    pub imprint: &'a Imprint,
    /// The revision of the shelf that the figures are of.
    pub revision: u64,
    /// The lessons that are published together, to which links lead; none on paper.
    pub beside: &'a [LessonLine],
    /// The words of paper.
    pub messages: &'a Messages,
}

/// The document of a lesson.
pub fn lesson(view: &LessonView, by: &Publisher) -> Document {
    let mut flows = titled(&view.title, "");
    flows.push(Flow::Paragraph(text(&view.lead, LEAD)));
    flows.extend(view.rule.clone().map(Flow::small));
    flows.push(Flow::Space(6.0));
    for block in &view.blocks {
        match block {
            BlockView::Heading { text } => flows.extend([Flow::Space(6.0), Flow::heading(text.clone())]),
            BlockView::Paragraph { runs } => flows.push(Flow::Paragraph(text(runs, Style::BODY))),
            BlockView::List { items } => flows.extend(list(items)),
            BlockView::Chart { chart } => flows.extend(charted(chart, by.messages)),
        }
    }
    flows.push(Flow::Space(8.0));
    flows.extend(
        view.assumed
            .iter()
            .map(|runs| Flow::Paragraph(text(runs, Style::SMALL))),
    );
    flows.push(Flow::small(by.messages.text("paper-method", &[])));
    flows.extend(view.next.iter().filter_map(|line| linked(line, by)));
    made(&view.title, flows, by)
}

/// The document that lists the lessons which are published together.
pub fn index(title: &str, by: &Publisher) -> Document {
    let mut flows = titled(title, "");
    flows.extend(by.beside.iter().filter_map(|line| linked(line, by)));
    made(title, flows, by)
}

/// The file of a lesson.
pub fn file_name(name: &str) -> String {
    format!("{name}.html")
}

fn made(title: &str, flows: Vec<Flow>, by: &Publisher) -> Document {
    document(title, flows, by.maker, by.imprint, by.messages, by.revision)
}

/// A link to a lesson that is published too.
fn linked(line: &LessonLine, by: &Publisher) -> Option<Flow> {
    let there = by.beside.iter().any(|lesson| lesson.name == line.name);
    there.then(|| Flow::Link {
        text: Text::new(line.title.clone(), Style::BODY),
        to: file_name(&line.name),
    })
}

fn charted(shown: &ChartView, messages: &Messages) -> Vec<Flow> {
    let mut flows = vec![Flow::Space(6.0)];
    match shown {
        ChartView::Bars(bars) => {
            let figures: Vec<chart::Bar> = bars
                .bars
                .iter()
                .map(|bar| (bar.label.as_str(), bar.share, bar.text.as_str()))
                .collect();
            flows.push(Flow::Drawing(chart::bars(&bars.title, &figures, WIDE)));
        }
        ChartView::Plot(plot) => {
            flows.push(Flow::Drawing(chart::plotted(plot, WIDE, HIGH)));
            flows.push(Flow::small(plot.remark.clone()));
        }
        ChartView::Ladder(view) => {
            flows.push(Flow::Paragraph(text(&view.lead, Style::BODY)));
            flows.push(Flow::Drawing(ladder::staircase(view, &plain(&view.lead))));
            flows.push(Flow::small(messages.text("ladder-staircase", &[])));
            flows.push(Flow::Table(ladder::rungs(view, messages)));
        }
    }
    flows.push(Flow::Space(6.0));
    flows
}

#[cfg(test)]
mod tests;
