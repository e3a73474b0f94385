//! What is done at the bench, on a terminal: probes, sessions begun, readings taken, lots inspected.

use advice::view::text::{Fact, capital};

use crate::benchwork::{
    ExpectedView, GradeView, InspectionView, KeptLine, PlanView, ProbeLine, ReadingRow, SessionView,
};
use crate::terminal::Page;

/// A probe as it is known.
pub fn probe(page: &mut Page, probe: &ProbeLine) {
    let usual = if probe.usual { ", the usual one" } else { "" };
    page.hanging(&format!("{}{usual}: {}", probe.name, probe.says), "  ", "    ");
}

/// A session that was begun, and what its probe should show.
pub fn begun(page: &mut Page, session: &SessionView, to_come: &ExpectedView) {
    let lot = Some(format!(", lot {}", session.lot)).filter(|_| !session.lot.is_empty());
    page.hanging(
        &format!(
            "Session {}: {}{}, read with {}.",
            session.id,
            session.magnet,
            lot.unwrap_or_default(),
            session.probe_name
        ),
        "",
        "  ",
    );
    expected(page, to_come);
}

/// What an instrument should show, and what widens the band.
pub fn expected(page: &mut Page, view: &ExpectedView) {
    page.runs(&format!("{}: ", capital(&view.what)), &view.says, "  ");
    let causes: Vec<String> = view
        .shares
        .iter()
        .map(|share| format!("{} ({})", share.cause, share.text))
        .collect();
    page.hanging(
        &format!("before the first reading the band has: {}", causes.join(", ")),
        "  ",
        "    ",
    );
}

/// A reading that was taken, against its band.
pub fn reading_taken(page: &mut Page, row: &ReadingRow) {
    let odd = if row.odd { "; odd, left out" } else { "" };
    page.hanging(
        &format!(
            "{}. {}: {}, expected {}: {}{odd}",
            row.number, row.what, row.value.text, row.expected.text, row.says
        ),
        "",
        "    ",
    );
    for reason in &row.reasons {
        page.hanging(reason, "    ", "      ");
    }
}

/// The chance of each grade.
pub fn grade(page: &mut Page, view: &GradeView) {
    page.runs("", &view.lead, "");
    page.blank();
    let rows = view
        .grades
        .iter()
        .map(|grade| {
            let label = if grade.label { "on the label" } else { "" };
            vec![grade.name.clone(), grade.text.clone(), label.into()]
        })
        .collect();
    page.table(&["grade", "chance", ""], rows, &[1]);
    for finding in &view.findings {
        page.hanging(&format!("{}: {}", finding.label, finding.text), "  ", "    ");
    }
}

/// Values that were kept, with their ids.
pub fn kept(page: &mut Page, lines: &[KeptLine]) {
    for kept in lines {
        page.hanging(&format!("{} ({}; id {})", kept.text, kept.from, kept.id), "  ", "    ");
    }
}

/// A sampling plan.
pub fn plan(page: &mut Page, view: &PlanView) {
    page.runs("", &view.lead, "");
    for mark in &view.curve.marks {
        page.hanging(&mark.text, "  ", "    ");
    }
    for text in [&view.curve.remark, &view.switching, &view.source] {
        page.hanging(text, "", "");
    }
}

fn facts(page: &mut Page, heading: &str, facts: &[Fact]) {
    if facts.is_empty() {
        return;
    }
    page.heading(heading);
    for fact in facts {
        page.hanging(&format!("{}: {}", fact.label, fact.text), "  ", "    ");
    }
}

/// A lot while it is inspected.
pub fn inspection(page: &mut Page, view: &InspectionView) {
    page.runs("", &view.plan.lead, "");
    page.runs("", &view.proposal.says, "");
    if let Some(noted) = &view.proposal.noted {
        page.hanging(&format!("Noted of this lot: {}", noted.says), "", "");
    }
    page.blank();
    page.runs("", &view.says, "");
    page.hanging(&view.rule, "", "");
    let rows = view
        .pieces
        .iter()
        .enumerate()
        .map(|(at, piece)| vec![(at + 1).to_string(), piece.value.text.clone(), piece.state.clone()])
        .collect::<Vec<_>>();
    if !rows.is_empty() {
        page.heading("Pieces");
        page.table(&["", "reads", ""], rows, &[0, 1]);
    }
    facts(page, "Spread", &view.facts);
    facts(page, "Certificate", &view.certificate);
}
