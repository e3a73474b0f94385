//! Lists on a terminal: the shelf, imports, grades, the desk, outside values.

use advice::view::item::ItemLine;
use magnetics::grade::GradeRow;
use magnetics::oracle::OracleRow;
use quantity::{FieldStrength, FluxDensity, Quantity, Temperature, Units};
use shop::desk::Kept;
use shop::import::{Outcome, Preview};

use crate::desk::time_text;
use crate::terminal::Page;

/// The most lines of problems that are printed.
const MOST_PROBLEMS: usize = 50;

/// Items of the shelf.
pub fn items(page: &mut Page, lines: &[ItemLine]) {
    let rows = lines
        .iter()
        .map(|i| {
            vec![
                i.code.clone(),
                i.title.clone(),
                i.coating.clone(),
                i.face.as_ref().map_or_else(String::new, |f| f.text.clone()),
                i.stock.map_or_else(|| "-".into(), |n| n.to_string()),
                i.price_from.clone().unwrap_or_else(|| "-".into()),
                i.price_least.clone().unwrap_or_else(|| "-".into()),
            ]
        })
        .collect();
    page.table(&["code", "item", "coating", "at the face", "stock", "price from", "down to"], rows, &[3, 4, 5, 6]);
    page.line(&format!("{} items", lines.len()));
}

/// What an import would change and what is wrong with it.
pub fn preview(page: &mut Page, preview: &Preview) {
    page.line(&format!(
        "{} lines ({}): {} new, {} changed, {} unchanged, {} bad",
        preview.rows, preview.encoding, preview.new, preview.changed, preview.unchanged, preview.bad
    ));
    page.heading("Columns");
    for column in &preview.columns {
        let read_as = column.field.as_ref().map_or_else(|| "not read".into(), ToString::to_string);
        let unit = column.unit.map_or_else(String::new, |u| format!(" in {}", u.label()));
        let remark = column.remark.as_ref().map_or_else(String::new, |r| format!(" ({r})"));
        page.hanging(&format!("{}: {read_as}{unit}{remark}", column.heading), "  ", "    ");
    }
    if !preview.problems.is_empty() {
        page.heading("Problems");
        let rows = preview
            .problems
            .iter()
            .take(MOST_PROBLEMS)
            .map(|p| vec![p.line.to_string(), p.column.clone(), p.value.clone(), p.wrong.clone(), p.right.clone()])
            .collect();
        page.table(&["line", "column", "value", "what is wrong", "what would be right"], rows, &[0]);
        let all = preview.errors + preview.warnings;
        if all > MOST_PROBLEMS {
            page.line(&format!("and {} more", all - MOST_PROBLEMS));
        }
    }
    page.line(if preview.may_import { "It can be imported." } else { "It cannot be imported as it is; nothing was changed." });
}

/// What an import has done.
pub fn imported(page: &mut Page, done: &Outcome) {
    page.line(&format!(
        "Imported: {} new, {} changed, {} unchanged, {} taken off. The shelf is at revision {}; `lodewright shelf undo` takes it back.",
        done.new, done.changed, done.unchanged, done.retired, done.revision
    ));
}

/// Grades with their values.
pub fn grades(page: &mut Page, rows: &[GradeRow], units: &Units) {
    let table = rows
        .iter()
        .map(|g| {
            vec![
                g.name.clone(),
                FluxDensity::show_range(FluxDensity(g.br_min), FluxDensity(g.br_max), units).to_string(),
                FieldStrength(g.hcj_min).show(units).to_string(),
                Temperature::from_celsius(g.max_service_celsius).show(units).to_string(),
                g.source.clone(),
            ]
        })
        .collect();
    page.table(&["grade", "remanence", "least coercivity", "rated to", "source"], table, &[1, 2, 3]);
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

/// Values from outside against ours.
pub fn verify(page: &mut Page, rows: &[OracleRow]) {
    let table = rows
        .iter()
        .map(|r| {
            vec![
                r.what.clone(),
                r.source.clone(),
                format!("{:.10}", r.expected),
                format!("{:.10}", r.got),
                format!("{:.1e}", r.difference),
                if r.pass { "agrees" } else { "DIFFERS" }.to_string(),
            ]
        })
        .collect();
    page.table(&["what", "source", "expected", "got", "difference", ""], table, &[2, 3, 4]);
    let failed = rows.iter().filter(|r| !r.pass).count();
    page.line(&format!("{} values from outside: {} agree, {failed} differ", rows.len(), rows.len() - failed));
}
