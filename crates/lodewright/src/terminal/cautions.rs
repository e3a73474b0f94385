//! Cautions on a terminal.

use advice::view::cautions::{Caution, folded};
use advice::view::text::plain;

use super::Page;

/// Those that lead, with their rules; the others are named, or told too where the page is unfolded.
pub fn cautions(page: &mut Page, all: &[Caution]) {
    if all.is_empty() {
        return;
    }
    page.heading("Cautions");
    let unfolded = page.is_unfolded();
    for caution in all.iter().filter(|caution| caution.leads || unfolded) {
        page.hanging(&format!("{} [{}]", plain(&caution.runs), caution.rule), "  ", "    ");
    }
    let others = folded(all).join(", ");
    if !unfolded && !others.is_empty() {
        page.hanging(
            &format!("Also mind: {others}. `--cautions` tells all of it."),
            "  ",
            "    ",
        );
    }
}
