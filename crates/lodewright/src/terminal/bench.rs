//! Readings of the bench on a terminal.

use crate::benchwork::BenchSheet;
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
