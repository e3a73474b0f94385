//! Readings of the bench on a terminal.

use crate::benchwork::{BenchSheet, MeasuredView};
use crate::terminal::Page;

/// What a session of readings tells.
pub fn bench(page: &mut Page, sheet: &BenchSheet) {
    page.heading("Readings against what was expected before them");
    let rows = sheet
        .readings
        .iter()
        .map(|r| {
            let verdict = if r.inside { "inside" } else { "outside" };
            let row = [&r.what, &r.read, &r.expected, &r.band].map(Clone::clone);
            let row = row.into_iter().chain([verdict.into(), r.fitted.clone()]).collect();
            (row, r.reasons.join("; "))
        })
        .collect();
    page.noted_table(
        &["reading", "read", "expected", "95 % band", "", "fitted"],
        rows,
        &[1, 2, 5],
    );
    if !sheet.parameters.is_empty() {
        page.blank();
        page.heading("Fitted");
        let rows = sheet
            .parameters
            .iter()
            .map(|p| vec![p.name.clone(), p.value.clone(), p.interval.clone(), p.before.clone()])
            .collect();
        page.table(&["", "value", "95 % interval", "known before"], rows, &[1]);
    }
    for (heading, lines) in [("What it says", &sheet.findings), ("Read next", &sheet.next)] {
        if !lines.is_empty() {
            page.blank();
            page.heading(heading);
            for line in lines {
                page.hanging(line, "  ", "    ");
            }
        }
    }
}

/// What the shop's meters read on its magnets, beside what was predicted.
pub fn measured(page: &mut Page, view: &MeasuredView) {
    if view.rows.is_empty() {
        page.line("No readings: begin a session at the bench of the page, `lodewright serve`.");
        return;
    }
    page.heading("As measured");
    let rows = view
        .rows
        .iter()
        .map(|row| {
            let of = [row.code.as_deref().unwrap_or_default(), &row.magnet, &row.lot];
            let named: Vec<&str> = of.into_iter().filter(|part| !part.is_empty()).collect();
            vec![
                named.join(", "),
                row.what.clone(),
                row.readings.to_string(),
                row.mean.text.clone(),
                row.predicted.text.clone(),
                format!("{} to {}", row.low.text, row.high.text),
                row.off.clone(),
            ]
        })
        .collect();
    page.table(
        &[
            "magnet",
            "place",
            "readings",
            "measured",
            "predicted",
            "95 % band",
            "off",
        ],
        rows,
        &[2, 3, 4, 6],
    );
    page.blank();
    page.hanging(&view.says, "", "");
}
