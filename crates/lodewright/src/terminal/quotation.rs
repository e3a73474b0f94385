//! Quotations on a terminal.

use advice::view::text::count;
use sheets::quotation::Quotation;

use super::Page;

/// Prints a quotation.
pub fn quotation(page: &mut Page, made: &Quotation) {
    page.heading(&format!("{}, issue {}: {}", made.number, made.issue, made.customer));
    page.line(&format!("Made on {}, valid until {}.", made.date, made.valid_until));
    for line in &made.lines {
        page.blank();
        page.line(&format!(
            "{} × {} ({}): {}.",
            count(line.quantity),
            line.title,
            line.codes,
            line.does
        ));
        for price in &line.breaks {
            let text = match (price.each, price.total) {
                (Some(each), Some(total)) => format!(
                    "{} at {} each: {}",
                    count(price.quantity),
                    each.show(made.currency),
                    total.rounded(made.currency).show(made.currency)
                ),
                _ => format!("{}: price on request", count(price.quantity)),
            };
            page.line(&format!("  {text}"));
        }
    }
    if let (Some(total), without) = made.total()
        && without < made.lines.len()
    {
        page.blank();
        page.line(&format!("In all {}.", total.show(made.currency)));
    }
}
