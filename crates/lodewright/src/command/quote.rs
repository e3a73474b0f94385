//! Quotations on the command line.

use advice::view::text::count;
use quantity::Units;

use super::line::{Line, QuoteCommand};
use super::{Outcome, done, paper, shelf, show};
use crate::desk::Desk;
use crate::problem::Problem;
use crate::quoting::QuotationRequest;
use crate::terminal;

/// The most quotations that are listed.
const MOST_LISTED: usize = 100_000;

/// Does what the line asks of quotations.
///
/// # Errors
/// Whatever keeps it from being done.
pub fn run(line: &Line, desk: &Desk, command: &QuoteCommand, units: &Units) -> Result<Outcome, Problem> {
    match command {
        QuoteCommand::Make {
            customer,
            lines,
            reference,
            note,
            valid_days,
            issue_of,
        } => {
            let request = QuotationRequest {
                customer: customer.clone(),
                reference: reference.clone(),
                note: note.clone(),
                terms: None,
                valid_days: *valid_days,
                lines: lines.clone(),
            };
            let made = desk.quote(&request, issue_of.as_deref(), units)?;
            show(line, &made, |page| terminal::quotation(page, &made))
        }
        QuoteCommand::List => {
            let all = desk.quotations(MOST_LISTED)?;
            show(line, &all, |page| {
                page.line(&format!("{} quotations", count(all.len() as u64)));
                for one in &all {
                    page.line(&format!("{} / {}  {}", one.number, one.issue, one.customer));
                }
            })?;
            Ok(if all.is_empty() {
                Outcome::Nothing
            } else {
                Outcome::Done
            })
        }
        QuoteCommand::Open { number, issue } => {
            let made = desk.quotation(number, *issue)?;
            show(line, &made, |page| terminal::quotation(page, &made))
        }
        QuoteCommand::Paper { number, issue, args } => {
            let book = args.out.extension().is_some_and(|end| end.eq_ignore_ascii_case("xlsx"));
            if !book {
                return paper::write(line, &desk.quotation_paper(number, *issue, args.paper)?, args);
            }
            shelf::write_whole(&args.out, &desk.quotation_xlsx(number, *issue)?, args.overwrite)?;
            done(line, &format!("{} is written.", args.out.display()))
        }
    }
}
