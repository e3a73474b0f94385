//! Magnets made to a wish, on a terminal.

use advice::view::text::capital;
use design::view::{DesignView, DraftView, SizeView, StockBuildView, StockPieceView, StockView};

use super::Page;

/// What was found for a wish.
pub fn design(page: &mut Page, view: &DesignView) {
    page.line(&view.read);
    page.blank();
    stock(page, &view.stock, &view.aims);
    page.heading("To be made");
    page.line(&view.lead);
    page.line(&view.limit);
    if !view.drafts.is_empty() {
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

/// What pieces of the shelf do it.
fn stock(page: &mut Page, stock: &StockView, aims: &[String]) {
    page.heading("From the shelf");
    page.line(&stock.lead);
    if !stock.builds.is_empty() {
        let mut headings = vec!["", "", "it gives", "price"];
        headings.extend(aims.iter().map(String::as_str));
        let right: Vec<usize> = (2..headings.len()).collect();
        let rows = stock.builds.iter().enumerate();
        page.table(&headings, rows.map(|(k, build)| stock_row(k, build)).collect(), &right);
    }
    for (k, build) in stock.builds.iter().enumerate() {
        page.heading(&format!("{}. {}", letter(k), capital(&build.name)));
        for piece in &build.pieces {
            page.hanging(&pieces(piece), "  ", "    ");
        }
        page.hanging(
            &format!("{} for the lot. {}.", build.lot_price, build.on_hand),
            "  ",
            "    ",
        );
        let set = if build.sizes.is_empty() {
            String::new()
        } else {
            format!("{}. ", sizes(&build.sizes))
        };
        page.hanging(&format!("{set}{}.", capital(&build.basis)), "  ", "    ");
        page.hanging(&format!("{}.", capital(&build.strain)), "  ", "    ");
        for (step, text) in build.steps.iter().enumerate() {
            page.hanging(&format!("{}. {text}", step + 1), "  ", "     ");
        }
        for care in &build.care {
            page.hanging(care, "  ", "    ");
        }
    }
}

/// The letter of a build: drafts have numbers.
fn letter(k: usize) -> char {
    ('A'..='Z').nth(k).unwrap_or('Z')
}

fn pieces(piece: &StockPieceView) -> String {
    let StockPieceView {
        code,
        what,
        count,
        bought,
        each,
        sum,
        ..
    } = piece;
    format!("{count} × {code}: {what}. {bought} for the lot at {each}, {sum}.")
}

fn stock_row(k: usize, build: &StockBuildView) -> Vec<String> {
    let mark = if build.keeps { "" } else { "short" };
    let mut cells = vec![
        format!("{} {mark}", letter(k)),
        build.name.clone(),
        build.value.clone(),
        build.price.clone(),
    ];
    cells.extend(build.least.iter().cloned());
    cells
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
