//! Lists on a terminal: the shelf, imports, grades, the desk, outside values.

use advice::view::goods::GoodsLine;
use advice::view::item::ItemLine;
use advice::view::part::PartLine;
use compute::oracle::{CheckKind, OracleRow};
use materials::grade::GradeRow;
use quantity::{FieldStrength, FluxDensity, Quantity, Temperature, Units};
use shop::Settings;
use shop::desk::Kept;
use shop::import::{Outcome, Preview, State};

use crate::desk::time_text;
use crate::lots::LotLine;
use crate::terminal::Page;

/// Coatings are listed on pages of at least so many columns.
const COATINGS_FROM: usize = 100;
/// The most lines of each state that a preview prints.
const MOST_SAMPLES: usize = 10;
/// The most lines of problems that are printed.
const MOST_PROBLEMS: usize = 50;

/// The settings of a shop.
pub fn settings(page: &mut Page, settings: &Settings) {
    page.line(&format!(
        "{}: prices in {}, shown in {}.",
        settings.name,
        settings.currency.code(),
        String::from(settings.units)
    ));
    let tells: Vec<&str> = settings.public_tells.iter().map(|told| told.name()).collect();
    page.line(&match tells[..] {
        [] => "The public side tells what would do, by material and size alone.".into(),
        _ => format!("The public side tells what would do, with {}.", tells.join(", ")),
    });
    if settings.public_lessons.is_some() || settings.public_sheets.is_some() {
        page.line(&format!(
            "It shows lessons: {}; sheets: {}.",
            settings.public_lessons, settings.public_sheets
        ));
    }
    page.line(&match settings.keep_days {
        None => "Enquiries and answers are kept always.".into(),
        Some(days) => format!("Enquiries and answers are kept for {days} days, marked ones always."),
    });
}

/// Items of the shelf; their coatings where there is room.
pub fn items(page: &mut Page, lines: &[ItemLine]) {
    let wide = page.width() >= COATINGS_FROM;
    let dash = || "-".to_string();
    let row = |i: &ItemLine| {
        let mut row = vec![
            i.code.clone(),
            i.title.clone(),
            i.face.as_ref().map_or_else(String::new, |f| f.text.clone()),
            i.stock.map_or_else(dash, |n| n.to_string()),
            i.price_from.clone().unwrap_or_else(dash),
            i.price_least.clone().unwrap_or_else(dash),
        ];
        if wide {
            row.push(i.coating.clone());
        }
        row
    };
    let headings = [
        "code",
        "item",
        "at the face",
        "stock",
        "price from",
        "down to",
        "coating",
    ];
    let shown = if wide {
        headings.as_slice()
    } else {
        headings.get(..6).unwrap_or_default()
    };
    page.table(shown, lines.iter().map(row).collect(), &[2, 3, 4, 5]);
    page.line(&if lines.len() == 1 {
        "1 item".into()
    } else {
        format!("{} items", lines.len())
    });
}

/// Steel parts of the shelf.
pub fn parts(page: &mut Page, lines: &[PartLine]) {
    let dash = || "-".to_string();
    let row = |p: &PartLine| {
        vec![
            p.code.clone(),
            p.title.clone(),
            p.mass.text.clone(),
            p.stock.map_or_else(dash, |n| n.to_string()),
            p.price_from.clone().unwrap_or_else(dash),
            p.price_least.clone().unwrap_or_else(dash),
        ]
    };
    let headings = ["code", "part", "mass", "stock", "price from", "down to"];
    page.table(&headings, lines.iter().map(row).collect(), &[2, 3, 4, 5]);
    page.line(&if lines.len() == 1 {
        "1 part".into()
    } else {
        format!("{} parts", lines.len())
    });
}

/// Pots, hooks, strips and the like of the shelf.
pub fn goods(page: &mut Page, lines: &[GoodsLine]) {
    let dash = || "-".to_string();
    let row = |g: &GoodsLine| {
        vec![
            g.code.clone(),
            g.title.clone(),
            g.stated_pull.as_ref().map_or_else(dash, |pull| pull.text.clone()),
            g.stock.map_or_else(dash, |n| n.to_string()),
            g.price_from.clone().unwrap_or_else(dash),
            g.price_least.clone().unwrap_or_else(dash),
        ]
    };
    let headings = ["code", "goods", "stated pull", "stock", "price from", "down to"];
    page.table(&headings, lines.iter().map(row).collect(), &[2, 3, 4, 5]);
    page.line(&if lines.len() == 1 {
        "1 line; its pull is what the maker states, not computed".into()
    } else {
        format!(
            "{} lines; their pull is what the maker states, not computed",
            lines.len()
        )
    });
}

/// What an import would change and what is wrong with it.
pub fn preview(page: &mut Page, preview: &Preview) {
    page.line(&format!(
        "{} lines ({}): {} new, {} changed, {} unchanged, {} bad",
        preview.rows, preview.encoding, preview.new, preview.changed, preview.unchanged, preview.bad
    ));
    page.heading("Columns");
    if preview.kept.is_some() {
        page.line("  as was said of an earlier file with the same headings; --forget-map reads the headings alone");
    }
    for column in &preview.columns {
        let read_as = column
            .field
            .as_ref()
            .map_or_else(|| "not read".into(), ToString::to_string);
        let unit = column.unit.map_or_else(String::new, |u| format!(" in {}", u.label()));
        let remark = column.remark.as_ref().map_or_else(String::new, |r| format!(" ({r})"));
        page.hanging(&format!("{}: {read_as}{unit}{remark}", column.heading), "  ", "    ");
    }
    for (state, heading) in [(State::New, "New"), (State::Changed, "Changed")] {
        let mut of_state = preview.sample.iter().filter(|s| s.state == state).peekable();
        if of_state.peek().is_none() {
            continue;
        }
        page.heading(heading);
        for line in of_state.take(MOST_SAMPLES) {
            let changes = if line.changes.is_empty() {
                String::new()
            } else {
                format!(": {}", line.changes.join("; "))
            };
            page.hanging(
                &format!("line {}  {}  {}{changes}", line.line, line.code, line.title),
                "  ",
                "    ",
            );
        }
        let all = if state == State::New {
            preview.new
        } else {
            preview.changed
        };
        if all > MOST_SAMPLES {
            page.line(&format!("  and {} more", all - MOST_SAMPLES));
        }
    }
    consequences(page, preview);
    left_out(page, preview);
    if !preview.problems.is_empty() {
        page.heading("Problems");
        let rows = preview
            .problems
            .iter()
            .take(MOST_PROBLEMS)
            .map(|p| {
                vec![
                    p.line.to_string(),
                    p.column.clone(),
                    p.value.clone(),
                    p.wrong.clone(),
                    p.right.clone(),
                ]
            })
            .collect();
        page.table(
            &["line", "column", "value", "what is wrong", "what would be right"],
            rows,
            &[0],
        );
        let all = preview.errors + preview.warnings;
        if all > MOST_PROBLEMS {
            page.line(&format!("and {} more", all - MOST_PROBLEMS));
        }
    }
    page.blank();
    page.line(if preview.may_import && preview.skipping && preview.bad > 0 {
        "It can be imported without the lines that cannot be read."
    } else if preview.may_import {
        "It can be imported."
    } else if preview.may_skip {
        "It cannot be imported as it is; nothing was changed. --skip-bad leaves the lines out that cannot be read."
    } else {
        "It cannot be imported as it is; nothing was changed."
    });
}

/// The lines that cannot be read, with the reasons.
fn left_out(page: &mut Page, preview: &Preview) {
    if !preview.skipping || preview.left_out.is_empty() {
        return;
    }
    page.heading("Left out");
    for bad in preview.left_out.iter().take(MOST_PROBLEMS) {
        let line = format!("line {}  {}: {}", bad.line, bad.text, bad.why.join("; "));
        page.hanging(&line, "  ", "    ");
    }
    if preview.bad > MOST_PROBLEMS {
        page.line(&format!("  and {} more", preview.bad - MOST_PROBLEMS));
    }
}

/// What an import has done.
pub fn imported(page: &mut Page, done: &Outcome) {
    if done.skipped > 0 {
        let lines = if done.skipped == 1 {
            "line that cannot be read was"
        } else {
            "lines that cannot be read were"
        };
        page.line(&format!("{} {lines} left out.", done.skipped));
    }
    page.line(&format!(
        "Imported: {} new, {} changed, {} unchanged, {} taken off. The shelf is at revision {}; `lodewright shelf undo` takes it back.",
        done.new, done.changed, done.unchanged, done.retired, done.revision
    ));
}

/// What of the shelf the import would take away or turn over.
fn consequences(page: &mut Page, preview: &Preview) {
    let found = &preview.consequences;
    if found.count() == 0 {
        return;
    }
    page.heading("To be confirmed");
    let lines = |count: usize, what: &str| (count > 0).then(|| format!("{count} {what}"));
    let counts = [
        lines(found.prices_lost, "lose their prices"),
        lines(found.stock_lost, "lose their stock"),
        lines(found.notes_lost, "lose their note"),
        lines(
            found.prices_moved,
            &format!("have a price that changes by more than a factor of {}", found.factor),
        ),
        lines(found.retired, "leave the shelf"),
        lines(found.look_alikes, "have a new code that looks like another"),
    ];
    page.hanging(&counts.into_iter().flatten().collect::<Vec<_>>().join("; "), "", "  ");
    for one in found.told.iter().take(MOST_SAMPLES) {
        let place = match one.line {
            0 => String::new(),
            line => format!("line {line}  "),
        };
        page.hanging(&format!("{place}{}: {}", one.code, one.text), "  ", "    ");
    }
    if found.told.len() > MOST_SAMPLES {
        page.line(&format!("  and {} more", found.count() - MOST_SAMPLES));
    }
}

/// What is wrong with a shop's file.
pub fn faults(page: &mut Page, faults: &[String]) {
    if faults.is_empty() {
        page.line("The shop's file is whole, and all in it can be read.");
    }
    for fault in faults {
        page.hanging(fault, "", "  ");
    }
}

/// Lines of the shelf that cannot be read; nothing where there are none.
pub fn unread(page: &mut Page, codes: &[String]) {
    if !codes.is_empty() {
        let text = format!(
            "{} of the shelf cannot be read and {} left out: {}. `lodewright shelf check` says why.",
            if codes.len() == 1 { "One line" } else { "Some lines" },
            if codes.len() == 1 { "is" } else { "are" },
            codes.join(", ")
        );
        page.line(&text);
    }
}

/// Grades with their values, by source.
pub fn grades(page: &mut Page, rows: &[GradeRow], units: &Units) {
    let row = |g: &GradeRow| {
        vec![
            g.name.clone(),
            FluxDensity::show_range(FluxDensity(g.br_min), FluxDensity(g.br_max), units).to_string(),
            FieldStrength(g.hcj_min).show(units).to_string(),
            Temperature::from_celsius(g.max_service_celsius).show(units).to_string(),
        ]
    };
    by_source(
        page,
        rows,
        |g| &g.source,
        &["grade", "remanence", "least coercivity", "rated to"],
        row,
        &[1, 2, 3],
    );
}

/// Lots with their certificates.
pub fn lots(page: &mut Page, lots: &[LotLine]) {
    if lots.is_empty() {
        page.line("No lots: `lodewright lot take` reckons an item with the certificate of its lot.");
        return;
    }
    let row = |l: &LotLine| {
        vec![
            l.code.clone(),
            l.lot.clone(),
            l.br.clone(),
            l.hcj.clone().unwrap_or_else(|| "-".into()),
            match (l.in_use, l.belongs) {
                (true, _) => "in use",
                (false, true) => "",
                (false, false) => "of another magnet",
            }
            .to_string(),
            l.note.clone(),
        ]
    };
    let headings = ["item", "lot", "remanence", "coercivity", "", "note"];
    page.table(&headings, lots.iter().map(row).collect(), &[2, 3]);
}

/// Tables of neighbours that have one source, each under its source.
fn by_source<T>(
    page: &mut Page,
    rows: &[T],
    source: impl Fn(&T) -> &str,
    headings: &[&str],
    cells: impl Fn(&T) -> Vec<String>,
    right: &[usize],
) {
    for group in rows.chunk_by(|a, b| source(a) == source(b)) {
        if let Some(first) = group.first() {
            page.heading(source(first));
        }
        page.table(headings, group.iter().map(&cells).collect(), right);
    }
    page.blank();
}

/// Answers on the desk.
pub fn desk(page: &mut Page, kept: &[Kept]) {
    if kept.is_empty() {
        page.line("The desk is empty: `lodewright ask --keep` puts an answer on it.");
        return;
    }
    for answer in kept {
        page.line(&format!("{}  {}", answer.id, time_text(answer.entry.asked_at)));
        page.hanging(&answer.entry.words, "    ", "    ");
        page.hanging(&answer.entry.lead, "    ", "    ");
    }
}

/// Values from outside against ours, by source.
pub fn verify(page: &mut Page, rows: &[OracleRow]) {
    let row = |r: &OracleRow| {
        vec![
            r.what.clone(),
            ten_digits(r.expected),
            ten_digits(r.got),
            format!("{:.1e}", r.difference),
            if r.pass { "agrees" } else { "DIFFERS" }.to_string(),
        ]
    };
    by_source(
        page,
        rows,
        |r| &r.source,
        &["what", "expected", "got", "difference", ""],
        row,
        &[1, 2, 3],
    );
    let counted = CheckKind::ALL.map(|kind| {
        let count = rows.iter().filter(|r| r.kind == kind).count();
        format!("{count} {}", kind.words())
    });
    page.line(&format!("by what they rest on: {}", counted.join(", ")));
    let failed = rows.iter().filter(|r| !r.pass).count();
    page.line(&format!(
        "{} values from outside: {} agree, {failed} differ",
        rows.len(),
        rows.len() - failed
    ));
}

/// A number with ten digits that count.
fn ten_digits(value: f64) -> String {
    let magnitude = value.abs().log10().floor();
    if (-5.0..9.0).contains(&magnitude) {
        let decimals = 9 - magnitude as i32;
        format!("{value:.*}", usize::try_from(decimals).unwrap_or(0))
    } else if value == 0.0 {
        "0".into()
    } else {
        format!("{value:.9e}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_show_ten_digits_whatever_their_size() {
        assert_eq!(ten_digits(2.622057554292119), "2.622057554");
        assert_eq!(ten_digits(-0.00123456789012), "-0.001234567890");
        assert_eq!(ten_digits(123456789.012), "123456789.0");
        assert_eq!(ten_digits(1.25e-9), "1.250000000e-9");
        assert_eq!(ten_digits(0.0), "0");
        assert_eq!(ten_digits(f64::NAN), "NaN");
    }
}
