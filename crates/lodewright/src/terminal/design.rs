//! Magnets made to a wish, on a terminal.

use advice::view::text::capital;
use design::view::{DesignView, DraftView, SizeView};

use super::Page;

/// What was found for a wish.
pub fn design(page: &mut Page, view: &DesignView) {
    page.line(&view.read);
    page.blank();
    page.line(&view.lead);
    page.line(&view.limit);
    if !view.drafts.is_empty() {
        page.heading("Drafts");
        let mut headings = vec!["", "", "it gives"];
        headings.extend(view.aims.iter().map(String::as_str));
        headings.push("cost");
        let rows = view.drafts.iter().enumerate().map(|(k, draft)| row(k, draft)).collect();
        let right: Vec<usize> = (2..headings.len()).collect();
        page.table(&headings, rows, &right);
    }
    for (k, draft) in view.drafts.iter().enumerate() {
        page.heading(&format!("{}. {}", k + 1, capital(&draft.name)));
        page.hanging(
            &format!("{}. {}.", sizes(&draft.sizes), capital(&draft.basis)),
            "  ",
            "    ",
        );
        page.hanging(&format!("{}.", capital(&draft.strain)), "  ", "    ");
        if let Some(standard) = &draft.standard {
            let text = format!(
                "{}: {}; {}.",
                capital(&standard.costs),
                sizes(&standard.sizes),
                standard.value
            );
            page.hanging(&text, "  ", "    ");
        }
        for step in &draft.making {
            page.hanging(step, "  ", "    ");
        }
    }
    page.heading("Mind");
    for note in &view.notes {
        page.hanging(note, "  ", "    ");
    }
    for assumed in &view.assumed {
        page.hanging(&format!("Taken since it was not said: {assumed}."), "  ", "    ");
    }
    if let Some(refine) = &view.refine {
        page.hanging(refine, "  ", "    ");
    }
}

fn sizes(sizes: &[SizeView]) -> String {
    let parts: Vec<String> = sizes
        .iter()
        .map(|size| format!("{} {}", size.what, size.size))
        .collect();
    capital(&parts.join(", "))
}

fn row(k: usize, draft: &DraftView) -> Vec<String> {
    let mark = match (draft.keeps, draft.in_front) {
        (true, true) => "*",
        (true, false) => "",
        (false, _) => "short",
    };
    let mut cells = vec![format!("{} {mark}", k + 1), draft.name.clone(), draft.value.clone()];
    cells.extend(draft.least.iter().cloned());
    cells.push(draft.cost.clone());
    cells
}
