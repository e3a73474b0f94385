//! The desk as the day's work: enquiries in the customers' own words, with what they were read as and what became of them.

use advice::Item;
use advice::answer::{Answer, Verdict, WouldDo};
use advice::enquiry::Enquiry;
use advice::view::answer::AnswerView;
use advice::view::text::{Reader, capital, plain};
use magnetics::Shape;
use quantity::Units;
use serde::{Deserialize, Serialize};
use shop::entries::{Change, Filed, Gone, Missed, Purged, Status, Wanted, WorkEntry};
use utoipa::ToSchema;

use crate::desk::{Asker, Desk, Wish, seconds_now, time_text};
use crate::enquiries::EnquirySheet;
use crate::problem::{Kind, Problem};

/// The most characters of a message that is filed.
const MOST_MESSAGE: usize = 40_000;
/// The most entries of a page.
pub const MOST_LISTED: usize = 200;
/// The most groups of what was missed.
const MOST_MISSED: usize = 100;

/// A page of entries.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct DayWork {
    /// The entries, newest first.
    pub entries: Vec<EntryView>,
    /// How many there are in all that were looked for.
    pub total: u64,
    /// Whether a search finds more than are counted.
    pub more: bool,
    /// How many there are of each status: open, sent, ordered, returned.
    pub counts: [u64; 4],
    /// How many are to be followed up today or are late.
    pub due: u64,
    /// Today, UTC, `2026-05-21`.
    pub today: String,
}

/// An entry as it is shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct EntryView {
    /// When it was filed, UTC.
    pub filed_at: String,
    /// When the reply went out, UTC.
    pub replied_at: Option<String>,
    /// The entry.
    #[serde(flatten)]
    pub entry: WorkEntry,
}

/// An enquiry to be filed that is no choice of magnets.
#[derive(Clone, Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FileRequest {
    /// The customer's own words.
    #[serde(default)]
    pub message: String,
    /// The enquiry as it was read.
    pub enquiry: Enquiry,
}

/// What was filed.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct FiledAs {
    /// The entry's id.
    pub id: String,
}

impl Desk {
    /// Files a choice that is kept, in the customer's own words.
    ///
    /// # Errors
    /// When the database fails.
    pub fn file_choice(
        &self,
        message: &str,
        answer: &Answer,
        view: &AnswerView,
        id: &str,
        asker: Asker,
    ) -> Result<String, Problem> {
        Ok(self.shop.file(&Filed {
            kind: "choose".into(),
            message: shortened(message),
            read_as: advice::sentence::words(&answer.question, &Units::metric()),
            lead: plain(&view.lead),
            answer: Some(id.into()),
            missed: missed(answer, view),
            pieces: answer.question.pieces,
            made_at: seconds_now(),
            by_themselves: asker == Asker::Customer,
        })?)
    }

    /// Files an enquiry of any other kind.
    ///
    /// # Errors
    /// What it lacks, and when the database fails.
    pub fn file_enquiry(&self, request: &FileRequest, units: &Units) -> Result<String, Problem> {
        let sheet = self.enquire(&request.enquiry, Wish::default(), units)?;
        self.file_told(&request.message, &sheet, Asker::Shop)
    }

    /// Files what was told, compared, explained or refused.
    ///
    /// # Errors
    /// When the database fails.
    pub fn file_told(&self, message: &str, sheet: &EnquirySheet, asker: Asker) -> Result<String, Problem> {
        let (kind, read_as, lead, missed) = match sheet {
            EnquirySheet::Choose(_) => {
                return Err(Problem::new(
                    Kind::Asked,
                    "filed with its answer",
                    "a choice is filed when it is kept",
                )
                .field("/enquiry/kind"));
            }
            EnquirySheet::Tell(view) => ("tell", view.title.clone(), plain(&view.lead), None),
            EnquirySheet::Compare(view) => {
                let titles: Vec<&str> = view.columns.iter().map(|column| column.title.as_str()).collect();
                ("compare", titles.join("; "), plain(&view.lead), None)
            }
            EnquirySheet::Explain(view) => ("explain", view.title.clone(), plain(&view.text), None),
            EnquirySheet::Refuse(view) => {
                let reason = serde_json::to_value(view.reason).ok();
                let reason = reason.as_ref().and_then(|r| r.as_str()).unwrap_or_default();
                let reason = capital(&reason.replace('_', " "));
                ("refuse", reason.clone(), plain(&view.lead), Some(reason))
            }
        };
        Ok(self.shop.file(&Filed {
            kind: kind.into(),
            message: shortened(message),
            read_as,
            lead,
            answer: None,
            missed,
            pieces: 0,
            made_at: seconds_now(),
            by_themselves: asker == Asker::Customer,
        })?)
    }

    /// Purges what is older than the shop keeps things, where it has said how long that is.
    ///
    /// # Errors
    /// When the database fails.
    pub fn purge_by_age(&self, now: i64) -> Result<Purged, Problem> {
        Ok(match self.shop.settings()?.keep_days {
            Some(days) => self.shop.purge_older(now - i64::from(days) * 86_400)?,
            None => Purged::default(),
        })
    }

    /// A page of the day's work.
    ///
    /// # Errors
    /// When the database fails.
    pub fn day_work(&self, wanted: &Wanted) -> Result<DayWork, Problem> {
        let found = self.shop.find_entries(wanted)?;
        let today = day(seconds_now());
        let due = Wanted {
            due: Some(today.clone()),
            limit: 0,
            ..Wanted::default()
        };
        Ok(DayWork {
            entries: found.entries.into_iter().map(EntryView::from).collect(),
            total: found.total,
            more: found.more,
            counts: self.shop.count_entries()?,
            due: self.shop.find_entries(&due)?.total,
            today,
        })
    }

    /// Changes an entry.
    ///
    /// # Errors
    /// What does not fit, an entry that is not there, or a database that fails.
    pub fn change_entry(&self, id: &str, change: &Change) -> Result<EntryView, Problem> {
        if !self.shop.change_entry(id, change, seconds_now())? {
            return Err(absent(id));
        }
        let entry = self.shop.entry(id)?.ok_or_else(|| absent(id))?;
        Ok(entry.into())
    }

    /// Takes an entry off the desk, or brings it back.
    ///
    /// # Errors
    /// When there is none, or the database fails.
    pub fn mark_entry(&self, id: &str, deleted: bool) -> Result<(), Problem> {
        if self.shop.mark_entry(id, deleted)? {
            Ok(())
        } else {
            Err(absent(id))
        }
    }

    /// What was asked in so many days and the shelf could not give, the most frequent first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn missed(&self, days: u32) -> Result<Vec<Missed>, Problem> {
        let since = seconds_now() - i64::from(days) * 86_400;
        Ok(self.shop.missed(since, MOST_MISSED)?)
    }

    /// All that is kept of a customer of exactly that name.
    ///
    /// # Errors
    /// When the database fails.
    pub fn hand_over(&self, customer: &str) -> Result<Vec<EntryView>, Problem> {
        Ok(self
            .shop
            .entries_of(customer)?
            .into_iter()
            .map(EntryView::from)
            .collect())
    }

    /// Takes away all entries of a customer of exactly that name, for good.
    ///
    /// # Errors
    /// When the database fails, or no customer is named.
    pub fn forget(&self, customer: &str) -> Result<Gone, Problem> {
        if customer.trim().is_empty() {
            return Err(Problem::new(
                Kind::Asked,
                "nobody is named",
                "whose data shall be deleted is not said",
            )
            .field("customer"));
        }
        Ok(self.shop.forget_customer(customer)?)
    }
}

impl From<WorkEntry> for EntryView {
    fn from(entry: WorkEntry) -> Self {
        Self {
            filed_at: time_text(entry.made_at),
            replied_at: entry.sent_at.map(time_text),
            entry,
        }
    }
}

fn absent(id: &str) -> Problem {
    Problem::new(Kind::Absent, "no such entry", format!("no entry {id:?} is on the desk"))
        .hint("it may have been deleted or purged")
}

/// The day of a time in seconds since 1970, UTC: `2026-05-21`.
pub fn day(seconds: i64) -> String {
    time_text(seconds).chars().take(10).collect()
}

/// Seconds since 1970 at the start of a day such as `2026-05-21`, UTC.
pub fn start_of(day: &str) -> Option<i64> {
    let date: jiff::civil::Date = day.parse().ok()?;
    date.to_zoned(jiff::tz::TimeZone::UTC)
        .ok()
        .map(|zoned| zoned.timestamp().as_second())
}

/// The status of that name.
///
/// # Errors
/// A name that is none.
pub fn status_named(name: &str) -> Result<Status, Problem> {
    Status::named(name).ok_or_else(|| {
        let all = Status::ALL.map(Status::name).join(", ");
        Problem::new(Kind::Asked, "no such status", format!("{name:?} is no status"))
            .hint(format!("they are {all}"))
            .field("status")
    })
}

fn shortened(message: &str) -> String {
    message.trim().chars().take(MOST_MESSAGE).collect()
}

/// What the shelf lacked: the magnet that would have done, or the first way out; `None` where something surely does.
fn missed(answer: &Answer, view: &AnswerView) -> Option<String> {
    if answer.first().is_some_and(|c| c.verdict == Verdict::Sure) {
        return None;
    }
    let reader = Reader {
        units: Units::metric(),
        currency: answer.shelf.currency,
    };
    let short = answer.shortfall.as_ref()?;
    let made = short.would_do.iter().find_map(|way| match way {
        WouldDo::Custom {
            diameter,
            thickness,
            grade,
            breaks_limits: false,
            ..
        } => {
            let shape = Shape::Disc {
                diameter: *diameter,
                thickness: *thickness,
            };
            Some(reader.item(&Item::made(shape, grade, "none")))
        }
        _ => None,
    });
    let first = || {
        view.shortfall
            .as_ref()?
            .would_do
            .first()
            .map(|way| capital(&plain(way)))
    };
    made.or_else(first).or_else(|| Some("Nothing within the limits".into()))
}

#[cfg(test)]
mod tests;
