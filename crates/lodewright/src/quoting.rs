//! Quotations: made from kept answers, frozen, opened again, put on paper and into workbooks.

use advice::view::since::is_same;
use letters::Messages;
use press::Document;
use quantity::Units;
use serde::{Deserialize, Serialize};
use sheets::quotation::{self, Line, MOST_LINES, Quotation};
use shop::{Issued, Paper};
use utoipa::ToSchema;

use crate::desk::{Desk, seconds_now};
use crate::links::Subject;
use crate::printing::{imprint, maker, messages};
use crate::problem::{Kind, Problem};

/// The most characters of a customer's name, and of the reference.
const MOST_NAME: usize = 400;
/// The most characters of a note and of terms.
const MOST_TEXT: usize = 4000;
/// The most builds of a line.
const MOST_QUANTITY: u64 = 100_000_000;
/// Seconds in a day.
const DAY: i64 = 86_400;

/// What a quotation is made of.
#[derive(Clone, Debug, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct QuotationRequest {
    /// For whom.
    pub customer: String,
    /// The customer's reference.
    #[serde(default)]
    pub reference: String,
    /// What else is said.
    #[serde(default)]
    pub note: String,
    /// Terms; those of the shop where absent.
    pub terms: Option<String>,
    /// For how many days it is valid; as the shop has it where absent.
    pub valid_days: Option<u32>,
    /// The builds.
    pub lines: Vec<LineRequest>,
}

/// A build of a kept answer.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LineRequest {
    /// The answer's id.
    pub answer: String,
    /// The build's place among its candidates; the one that is put first where absent.
    pub candidate: Option<usize>,
    /// How many builds; as many as were asked for where absent.
    pub quantity: Option<u64>,
}

impl Desk {
    /// Makes a quotation, or a new issue of the one of that number.
    ///
    /// # Errors
    /// A request that does not fit, an answer or a quotation that is not there, or a database that fails.
    pub fn quote(&self, request: &QuotationRequest, number: Option<&str>, units: &Units) -> Result<Quotation, Problem> {
        check(request)?;
        let messages = messages()?;
        let settings = self.shop.settings()?;
        let lines: Vec<Line> = request
            .lines
            .iter()
            .enumerate()
            .map(|(at, line)| self.line(at, line, units, &messages))
            .collect::<Result<_, _>>()?;
        let now = seconds_now();
        let days = request.valid_days.unwrap_or(settings.letterhead.valid_days);
        let revision = self.shop.revision()?;
        let mut made = Quotation {
            number: String::new(),
            issue: 0,
            customer: request.customer.trim().into(),
            reference: request.reference.trim().into(),
            note: request.note.trim().into(),
            date: day(now),
            valid_until: day(now + DAY * i64::from(days)),
            currency: settings.currency,
            units: *units,
            terms: request.terms.clone().unwrap_or(settings.letterhead.terms),
            revision,
            lines,
        };
        let year = made.date.get(..4).and_then(|year| year.parse().ok()).unwrap_or(0);
        let customer = made.customer.clone();
        let issued = self
            .shop
            .issue_quotation(year, number, &customer, now, |number, issue| {
                number.clone_into(&mut made.number);
                made.issue = issue;
                serde_json::to_string(&made)
                    .map_err(|e| Problem::new(Kind::Internal, "the quotation cannot be kept", e.to_string()))
            })?;
        match (issued, number) {
            (None, Some(number)) => Err(absent(number, None)),
            _ => Ok(made),
        }
    }

    fn line(&self, at: usize, line: &LineRequest, units: &Units, messages: &Messages) -> Result<Line, Problem> {
        let field = |part: &str| format!("/lines/{at}/{part}");
        let (answer, view) = self
            .kept_view(&line.answer, units)
            .map_err(|problem| problem.field(field("answer")))?;
        let first = answer.order().first().copied();
        let index = line.candidate.or(first).ok_or_else(|| {
            Problem::new(
                Kind::Asked,
                "nothing to offer",
                "that answer has no build that would do",
            )
            .field(field("answer"))
        })?;
        Line::of((&line.answer, &answer, &view), index, line.quantity, units, messages).ok_or_else(|| {
            let detail = format!("answer {:?} has no candidate {index}", line.answer);
            Problem::new(Kind::Asked, "no such candidate", detail).field(field("candidate"))
        })
    }

    /// A quotation as it left: that issue, or the last.
    ///
    /// # Errors
    /// When there is none, or the database fails.
    pub fn quotation(&self, number: &str, issue: Option<u32>) -> Result<Quotation, Problem> {
        let text = self
            .shop
            .quotation(number, issue)?
            .ok_or_else(|| absent(number, issue))?;
        serde_json::from_str(&text).map_err(|e| {
            let detail = format!("quotation {number:?} was kept in a form that this version does not read: {e}");
            Problem::new(Kind::Internal, "the quotation cannot be read", detail)
        })
    }

    /// The quotations so far, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn quotations(&self, limit: usize) -> Result<Vec<Issued>, Problem> {
        Ok(self.shop.quotations(limit)?)
    }

    /// A quotation, on that paper or the shop's own.
    ///
    /// # Errors
    /// When there is none, or the database fails.
    pub fn quotation_paper(&self, number: &str, issue: Option<u32>, paper: Option<Paper>) -> Result<Document, Problem> {
        self.quoted(&self.quotation(number, issue)?, paper)
    }

    /// The same with every line on the shelf as it stands now, on the shop's own paper: what is there no more is left out. Nothing
    /// of it is kept.
    ///
    /// # Errors
    /// When there is none, an answer that it was made from is there no more, or the database fails.
    pub fn quotation_paper_today(&self, number: &str, issue: Option<u32>) -> Result<Document, Problem> {
        let mut made = self.quotation(number, issue)?;
        let messages = messages()?;
        let mut lines = Vec::new();
        for line in &made.lines {
            let (before, sheet, after) = self.asked_again(&line.answer, &made.units)?;
            let same = before.candidates.get(line.candidate).and_then(|was| {
                let mut now = after.candidates.iter();
                now.position(|is| is_same(was, is))
            });
            let answer = (line.answer.as_str(), &after, &sheet.view);
            let now = same.and_then(|index| Line::of(answer, index, Some(line.quantity), &made.units, &messages));
            lines.extend(now);
        }
        made.lines = lines;
        made.revision = self.shop.revision()?;
        self.quoted(&made, None)
    }

    fn quoted(&self, made: &Quotation, paper: Option<Paper>) -> Result<Document, Problem> {
        let settings = self.shop.settings()?;
        let of = Subject::Quotation {
            number: made.number.clone(),
            issue: Some(made.issue),
        };
        let place = of.place();
        let head = maker(&settings, paper);
        let of = |day: &str| imprint(&settings, &place, &format!("{day}T12:00:00Z"));
        let valid = of(&made.valid_until).day;
        Ok(quotation::paper(made, &valid, &head, &of(&made.date), &messages()?))
    }

    /// A quotation as a workbook.
    ///
    /// # Errors
    /// When there is none, or the database fails.
    pub fn quotation_xlsx(&self, number: &str, issue: Option<u32>) -> Result<Vec<u8>, Problem> {
        let made = self.quotation(number, issue)?;
        let name = self.shop.settings()?.name;
        quotation::xlsx(&made, &name, &messages()?)
            .map_err(|e| Problem::new(Kind::Internal, "the workbook cannot be made", e.to_string()))
    }
}

fn check(request: &QuotationRequest) -> Result<(), Problem> {
    let wrong = |field: &str, detail: String| {
        Err(Problem::new(Kind::Asked, "the quotation cannot be made", detail).field(format!("/{field}")))
    };
    if request.customer.trim().is_empty() {
        return wrong("customer", "it names no customer".into());
    }
    let texts = [
        ("customer", request.customer.as_str(), MOST_NAME),
        ("reference", &request.reference, MOST_NAME),
        ("note", &request.note, MOST_TEXT),
        ("terms", request.terms.as_deref().unwrap_or_default(), MOST_TEXT),
    ];
    for (field, text, most) in texts {
        if text.chars().count() > most {
            return wrong(field, format!("the {field} has more than {most} characters"));
        }
    }
    if request.valid_days.is_some_and(|days| days == 0 || days > 3650) {
        return wrong("valid_days", "it is valid from 1 to 3650 days".into());
    }
    if request.lines.is_empty() || request.lines.len() > MOST_LINES {
        return wrong("lines", format!("it has from 1 to {MOST_LINES} lines"));
    }
    for (at, line) in request.lines.iter().enumerate() {
        if line.quantity.is_some_and(|n| n == 0 || n > MOST_QUANTITY) {
            return wrong(
                &format!("lines/{at}/quantity"),
                format!("a quantity is from 1 to {MOST_QUANTITY}"),
            );
        }
    }
    Ok(())
}

fn absent(number: &str, issue: Option<u32>) -> Problem {
    let issue = issue.map_or_else(String::new, |issue| format!(", issue {issue}"));
    Problem::new(
        Kind::Absent,
        "no such quotation",
        format!("there is no quotation {number:?}{issue}"),
    )
}

/// The day of a time in seconds since 1970, UTC: `2026-05-21`.
fn day(seconds: i64) -> String {
    crate::desk::time_text(seconds).chars().take(10).collect()
}

#[cfg(test)]
mod tests;
