//! Parcels on a terminal.

use advice::view::text::capital;
use parcels::ParcelView;

use super::Page;

/// A parcel held against the rules, and what to change.
pub fn parcel(page: &mut Page, view: &ParcelView) {
    page.line(&view.title);
    page.blank();
    page.runs("", &view.lead, "");
    page.heading("Rules");
    let rows = view
        .rules
        .iter()
        .map(|rule| (rule.cells(), format!("{} [{}]", rule.clause, rule.source)));
    let headings = ["rule", "at", "limit", "field", "at most", ""];
    page.noted_table(&headings, rows.collect(), &[1, 2, 3, 4]);
    if !view.changes.is_empty() {
        page.heading("What to change");
        for change in &view.changes {
            page.runs("- ", &change.text, "  ");
        }
    }
    page.heading("The parcel");
    for fact in &view.facts {
        page.hanging(&format!("{}: {}", fact.label, fact.text), "  ", "    ");
    }
    page.heading("How to pack it");
    for step in &view.steps {
        page.hanging(step, "  ", "    ");
    }
    page.heading("Other ways");
    for way in &view.ways {
        page.hanging(&format!("{}: {} [{}]", way.name, way.text, way.source), "  ", "    ");
    }
    page.heading("Mind");
    for caution in &view.cautions {
        page.hanging(caution, "  ", "    ");
    }
    for assumed in &view.assumed {
        page.hanging(&format!("{}.", capital(assumed)), "  ", "    ");
    }
}
