//! Readings of the bench on a terminal.

mod taking;

pub use taking::{begun, expected, grade, inspection, kept, plan, probe, reading_taken};

use advice::view::text::plain;

use crate::benchwork::{BenchSheet, BenchView, FoundView, Imported, MeasuredView, ReadingRow, SessionView};
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

/// Probes, sessions and kept values.
pub fn benches(page: &mut Page, view: &BenchView) {
    page.heading("Probes");
    for one in &view.probes {
        probe(page, one);
    }
    if view.probes.is_empty() {
        page.line("  None: enter one, `lodewright bench probe NAME --depth 0.5mm`.");
    }
    page.heading("Sessions");
    if view.sessions.is_empty() {
        page.line("  None: begin one, `lodewright bench begin CODE --lot NAME`.");
    } else {
        let rows = view
            .sessions
            .iter()
            .map(|session| {
                vec![
                    session.id.clone(),
                    session.title.clone(),
                    session.probe.clone(),
                    session.readings.to_string(),
                    session.last_at.clone().unwrap_or_else(|| session.begun_at.clone()),
                ]
            })
            .collect();
        page.table(&["id", "magnet", "probe", "readings", "last"], rows, &[3]);
    }
    if !view.kept.is_empty() {
        page.heading("Kept");
        kept(page, &view.kept);
    }
}

/// A session: every reading against its band, the oldest first, and what they say.
pub fn session(page: &mut Page, view: &SessionView, found: Option<&FoundView>) {
    let lot = Some(format!(", lot {}", view.lot)).filter(|_| !view.lot.is_empty());
    page.heading(&format!("{}{}", view.magnet, lot.unwrap_or_default()));
    page.line(&format!(
        "Read with {}, whose element lies {} deep; begun {}.",
        view.probe_name, view.probe_depth, view.begun_at
    ));
    page.blank();
    if view.rows.is_empty() {
        page.line("No readings yet.");
        return;
    }
    let row = |row: &ReadingRow| {
        let counts = if row.odd {
            ", odd, left out"
        } else if row.counts {
            ""
        } else {
            ", left out"
        };
        let cells = vec![
            row.number.to_string(),
            row.what.clone(),
            row.value.text.clone(),
            row.expected.text.clone(),
            format!("{}{counts}", row.says),
        ];
        (cells, row.reasons.join("; "))
    };
    let rows = view.rows.iter().rev().map(row).collect();
    page.noted_table(
        &["", "reading", "read", "expected", "in its 95 % band"],
        rows,
        &[0, 2, 3],
    );
    for kept in &view.used {
        page.hanging(&format!("Uses {} ({}).", kept.text, kept.from), "", "  ");
    }
    let Some(found) = found else { return };
    page.blank();
    page.hanging(&plain(&found.lead), "", "");
    page.heading("Fitted");
    let rows = found
        .parameters
        .iter()
        .map(|p| {
            let line = &p.line;
            [&line.name, &line.value, &line.interval, &line.before]
                .map(Clone::clone)
                .to_vec()
        })
        .collect();
    page.table(&["", "value", "95 % interval", "known before"], rows, &[1]);
    let findings = found.findings.iter().map(|f| format!("{}: {}", f.label, f.text));
    let findings: Vec<String> = findings.chain([found.noise.clone()]).collect();
    let next: Vec<String> = found.next.iter().map(|next| next.text.clone()).collect();
    for (heading, lines) in [("What it says", &findings), ("Read next", &next)] {
        if !lines.is_empty() {
            page.heading(heading);
            for line in lines {
                page.hanging(line, "  ", "    ");
            }
        }
    }
}

/// What came of a file of readings.
pub fn readings_taken(page: &mut Page, came: &Imported) {
    let readings = |n: usize| {
        if n == 1 {
            "one reading".to_owned()
        } else {
            format!("{n} readings")
        }
    };
    let known = if came.known > 0 {
        format!(" {} of the same file was there already.", readings(came.known))
    } else {
        String::new()
    };
    page.hanging(&format!("Took {}.{known}", readings(came.added)), "", "");
}

/// What the shop's meters read on its magnets, beside what was predicted.
pub fn measured(page: &mut Page, view: &MeasuredView) {
    if view.rows.is_empty() {
        page.line("No readings: begin a session, `lodewright bench begin CODE --lot NAME`.");
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
