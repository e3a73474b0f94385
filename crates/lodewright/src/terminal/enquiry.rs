//! What is told, compared, explained or refused, on a terminal.

use advice::view::compare::CompareView;
use advice::view::explain::{ExplainView, RefuseView};
use advice::view::row::NextView;
use advice::view::tell::TellView;
use advice::view::text::{Run, capital, plain};

use crate::enquiries::EnquirySheet;
use crate::terminal::cautions::cautions;
use crate::terminal::{Page, answer};

/// The answer to an enquiry; of one to choose from at most so many candidates.
pub fn enquiry(page: &mut Page, sheet: &EnquirySheet, most: usize) {
    match sheet {
        EnquirySheet::Choose(sheet) => answer(page, &sheet.view, most),
        EnquirySheet::Tell(view) => tell(page, view),
        EnquirySheet::Compare(view) => compare(page, view),
        EnquirySheet::Explain(view) => explain(page, view),
        EnquirySheet::Refuse(view) => refuse(page, view),
    }
}

fn tell(page: &mut Page, view: &TellView) {
    page.runs("", &view.lead, "");
    page.blank();
    for reason in &view.because {
        page.runs("because ", reason, "  ");
    }
    assumed(page, &view.assumed);
    for row in &view.figures {
        let range = row
            .range
            .as_ref()
            .map_or_else(String::new, |range| format!(" ({range})"));
        let remark = plain(&row.remark);
        let remark = if remark.is_empty() {
            remark
        } else {
            format!("; {remark}")
        };
        page.hanging(&format!("{}: {}{range}{remark}", row.label, row.value), "  ", "    ");
    }
    for chart in &view.charts {
        if !chart.remark.is_empty() {
            page.hanging(&format!("{}: {}", chart.title, chart.remark), "  ", "    ");
        }
    }
    cautions(page, &view.cautions);
    next(page, &view.next);
}

fn compare(page: &mut Page, view: &CompareView) {
    page.runs("", &view.lead, "");
    page.blank();
    let names: Vec<String> = view
        .columns
        .iter()
        .enumerate()
        .map(|(k, column)| {
            let code = column
                .code
                .as_ref()
                .map_or_else(String::new, |code| format!(" ({code})"));
            page.line(&format!("  {}: {}{code}", k + 1, column.title));
            (k + 1).to_string()
        })
        .collect();
    page.blank();
    let headings: Vec<&str> = std::iter::once("").chain(names.iter().map(String::as_str)).collect();
    let rows = view.rows.iter().map(|row| {
        let cells = row.cells.iter().enumerate().map(|(k, cell)| {
            let mark = if row.best == Some(k) { "*" } else { "" };
            format!("{cell}{mark}")
        });
        std::iter::once(row.label.clone()).chain(cells).collect()
    });
    let right: Vec<usize> = (1..headings.len()).collect();
    page.table(&headings, rows.collect(), &right);
    if view.rows.iter().any(|row| row.best.is_some()) {
        page.line("* best of them");
    }
    assumed(page, &view.assumed);
    cautions(page, &view.cautions);
    next(page, &view.next);
}

fn explain(page: &mut Page, view: &ExplainView) {
    page.heading(&view.title);
    page.blank();
    page.runs("", &view.text, "");
    rule(page, view.rule.as_deref());
    page.blank();
    for subject in &view.assumed {
        page.line(&capital(&plain(subject)));
    }
    next(page, &view.next);
}

fn refuse(page: &mut Page, view: &RefuseView) {
    page.runs("", &view.lead, "");
    page.blank();
    for reason in &view.because {
        page.runs("because: ", reason, "  ");
    }
    page.heading("What would do");
    for way in &view.instead {
        page.runs("- ", way, "  ");
    }
    rule(page, view.rule.as_deref());
    next(page, &view.next);
}

fn rule(page: &mut Page, rule: Option<&str>) {
    if let Some(rule) = rule {
        page.hanging(&format!("[{rule}]"), "  ", "  ");
    }
}

fn assumed(page: &mut Page, assumed: &[Vec<Run>]) {
    for words in assumed {
        page.runs("assumed: ", words, "  ");
    }
}

fn next(page: &mut Page, next: &[NextView]) {
    if next.is_empty() {
        return;
    }
    page.blank();
    let ways: Vec<&str> = next.iter().map(|way| way.text.as_str()).collect();
    page.hanging(&format!("Further: {}.", ways.join("; ")), "", "  ");
}
