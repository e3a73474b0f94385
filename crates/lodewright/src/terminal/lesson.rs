//! Lessons on a terminal.

use lessons::LessonView;
use lessons::view::{BlockView, ChartView, LessonLine};

use super::Page;

/// The widest bar, columns.
const WIDEST: f64 = 30.0;

/// Lists lessons.
pub fn lessons(page: &mut Page, all: &[LessonLine]) {
    page.heading("Lessons");
    for lesson in all {
        page.line(&format!("{}: {}", lesson.name, lesson.title));
    }
}

/// Prints a lesson.
pub fn lesson(page: &mut Page, view: &LessonView) {
    page.heading(&view.title);
    page.runs("", &view.lead, "");
    for block in &view.blocks {
        match block {
            BlockView::Heading { text } => page.heading(text),
            BlockView::Paragraph { runs } => page.runs("", runs, ""),
            BlockView::List { items } => {
                for item in items {
                    page.runs("- ", item, "");
                }
            }
            BlockView::Chart { chart } => drawn(page, chart),
        }
    }
    page.heading("To put into a reply");
    page.line(&view.say);
    for assumed in &view.assumed {
        page.blank();
        page.runs("", assumed, "");
    }
}

fn drawn(page: &mut Page, chart: &ChartView) {
    match chart {
        ChartView::Bars(bars) => {
            page.blank();
            page.line(&format!("{}:", bars.title));
            for bar in &bars.bars {
                let length = (bar.share * WIDEST).round() as usize;
                page.line(&format!("  {} {}, {}", "█".repeat(length.max(1)), bar.text, bar.label));
            }
            page.blank();
        }
        ChartView::Plot(plot) => {
            let names: Vec<&str> = plot.curves.iter().map(|curve| curve.name.as_str()).collect();
            page.line(&format!("({}: {}; drawn on the page)", plot.title, names.join("; ")));
        }
        ChartView::Ladder(ladder) => {
            page.blank();
            for rung in &ladder.rungs {
                page.line(&format!("  {}: {}, {}", rung.label, rung.value.text, rung.price_text));
            }
            page.blank();
        }
    }
}
