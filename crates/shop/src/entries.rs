//! The day's work: enquiries in the customers' own words, with what became of them.

mod found;
mod people;

use rusqlite::{OptionalExtension, Row, params};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use utoipa::ToSchema;

use crate::Shop;
use crate::error::{Result, ShopError};

pub use found::{Found, MOST_COUNTED, Missed, Wanted};
pub use people::{Gone, Purged};

/// The most characters of a customer's name, a note and what went out.
const MOST: [(&str, usize); 3] = [("customer", 400), ("note", 4000), ("what was sent", 40_000)];

/// What is filed of an enquiry.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filed {
    /// Its kind: `choose`, `tell`, `compare`, `explain` or `refuse`.
    pub kind: String,
    /// The customer's own words.
    pub message: String,
    /// What they were read as.
    pub read_as: String,
    /// The first sentence of the answer.
    pub lead: String,
    /// The answer on the desk, where there is one.
    pub answer: Option<String>,
    /// What the shelf lacked; `None` where something surely did.
    pub missed: Option<String>,
    /// How many were asked for.
    pub pieces: u32,
    /// When, s.
    pub made_at: i64,
    /// Whether a customer asked by themselves on the public side.
    pub by_themselves: bool,
}

/// An enquiry on the desk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct WorkEntry {
    /// Its id.
    pub id: String,
    /// When it was filed, seconds since 1970-01-01 UTC.
    pub made_at: i64,
    /// Its kind.
    pub kind: String,
    /// The customer's own words; empty where the question was put together by hand.
    pub message: String,
    /// What they were read as.
    pub read_as: String,
    /// The first sentence of the answer.
    pub lead: String,
    /// The id of the answer.
    pub answer: Option<String>,
    /// What the shelf lacked.
    pub missed: Option<String>,
    /// How many were asked for.
    pub pieces: u32,
    /// Who asked.
    pub customer: String,
    /// What the adviser notes.
    pub note: String,
    /// What became of it.
    pub status: Status,
    /// The day on which to ask again, `2026-05-21`.
    pub follow_up: Option<String>,
    /// Whether it is marked.
    pub star: bool,
    /// What went out.
    pub sent: Option<String>,
    /// When it went out.
    pub sent_at: Option<i64>,
    /// Whether a customer asked by themselves on the public side.
    pub by_themselves: bool,
}

/// What became of an enquiry.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// Nothing yet.
    #[default]
    Open,
    /// A reply went out.
    Sent,
    /// The customer ordered.
    Ordered,
    /// Something came back.
    Returned,
}

impl Status {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Open, Self::Sent, Self::Ordered, Self::Returned];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Sent => "sent",
            Self::Ordered => "ordered",
            Self::Returned => "returned",
        }
    }

    /// The one of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|status| status.name() == name)
    }
}

/// What is changed of an entry; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Change {
    /// Who asked.
    pub customer: Option<String>,
    /// What the adviser notes.
    pub note: Option<String>,
    /// What became of it.
    pub status: Option<Status>,
    /// The day on which to ask again, `2026-05-21`; empty for none.
    pub follow_up: Option<String>,
    /// Whether it is marked.
    pub star: Option<bool>,
    /// What went out; an open entry becomes sent with it.
    pub sent: Option<String>,
}

impl Change {
    fn check(&self) -> Result<()> {
        let texts = [&self.customer, &self.note, &self.sent];
        for (text, (what, most)) in texts.into_iter().zip(MOST) {
            if let Some(text) = text.as_ref().filter(|text| text.chars().count() > most) {
                return Err(ShopError::Setting {
                    what,
                    got: format!("{} characters", text.chars().count()),
                    right: format!("at most {most} characters"),
                });
            }
        }
        if let Some(day) = self.follow_up.as_ref().filter(|day| !day.is_empty() && !is_day(day)) {
            return Err(ShopError::Setting {
                what: "the day to follow up",
                got: day.clone(),
                right: "a day such as 2026-05-21, or nothing".into(),
            });
        }
        Ok(())
    }
}

/// Whether a text is a day such as `2026-05-21`.
fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |part: &str, digits: usize| {
        let whole = part.len() == digits && part.bytes().all(|b| b.is_ascii_digit());
        whole.then(|| part.parse::<u32>().ok()).flatten()
    };
    match parts[..] {
        [year, month, day] => {
            number(year, 4).is_some()
                && number(month, 2).is_some_and(|m| (1..=12).contains(&m))
                && number(day, 2).is_some_and(|d| (1..=31).contains(&d))
        }
        _ => false,
    }
}

pub(crate) const COLUMNS: &str = "id, made_at, kind, message, read_as, lead, answer, missed, pieces, customer, note, status, follow_up, star, sent, sent_at, by_themselves";

pub(crate) fn entry(row: &Row<'_>) -> rusqlite::Result<WorkEntry> {
    Ok(WorkEntry {
        id: row.get("id")?,
        made_at: row.get("made_at")?,
        kind: row.get("kind")?,
        message: row.get("message")?,
        read_as: row.get("read_as")?,
        lead: row.get("lead")?,
        answer: row.get("answer")?,
        missed: row.get("missed")?,
        pieces: row.get("pieces")?,
        customer: row.get("customer")?,
        note: row.get("note")?,
        status: Status::named(&row.get::<_, String>("status")?).unwrap_or_default(),
        follow_up: row.get("follow_up")?,
        star: row.get("star")?,
        sent: row.get("sent")?,
        sent_at: row.get("sent_at")?,
        by_themselves: row.get("by_themselves")?,
    })
}

impl Shop {
    /// Files an enquiry and gives its id. The same words on the same day are the same entry: its time, answer and lead are
    /// renewed, and what was noted of it stays. What a customer asked by themselves is an entry of its own.
    ///
    /// # Errors
    /// When the database fails.
    pub fn file(&self, filed: &Filed) -> Result<String> {
        let day = filed.made_at.div_euclid(86_400);
        let asker = if filed.by_themselves { "\0by themselves" } else { "" };
        let text = format!("{day}\0{}\0{}\0{}{asker}", filed.kind, filed.message, filed.read_as);
        let id: String = Sha256::digest(text.as_bytes())
            .iter()
            .take(8)
            .map(|b| format!("{b:02x}"))
            .collect();
        self.lock()?.execute(
            "INSERT INTO entry (id, made_at, kind, message, read_as, lead, answer, missed, pieces, by_themselves) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) \
             ON CONFLICT (id) DO UPDATE SET made_at = max(made_at, excluded.made_at), lead = excluded.lead, \
             answer = excluded.answer, missed = excluded.missed, pieces = excluded.pieces, deleted = 0",
            params![
                id,
                filed.made_at,
                filed.kind,
                filed.message,
                filed.read_as,
                filed.lead,
                filed.answer,
                filed.missed,
                filed.pieces,
                filed.by_themselves
            ],
        )?;
        Ok(id)
    }

    /// The entry of that id.
    ///
    /// # Errors
    /// When the database fails.
    pub fn entry(&self, id: &str) -> Result<Option<WorkEntry>> {
        let connection = self.read()?;
        let found = connection
            .prepare_cached(&format!("SELECT {COLUMNS} FROM entry WHERE id = ?1 AND deleted = 0"))?
            .query_row([id], entry)
            .optional()?;
        Ok(found)
    }

    /// The id of the newest entry of an answer.
    ///
    /// # Errors
    /// When the database fails.
    pub fn entry_of_answer(&self, answer: &str) -> Result<Option<String>> {
        let connection = self.read()?;
        let found = connection
            .prepare_cached("SELECT id FROM entry WHERE answer = ?1 AND deleted = 0 ORDER BY made_at DESC LIMIT 1")?
            .query_row([answer], |row| row.get(0))
            .optional()?;
        Ok(found)
    }

    /// Changes an entry; whether there was one. `now` is when, for what was sent.
    ///
    /// # Errors
    /// What does not fit, or a database that fails.
    pub fn change_entry(&self, id: &str, change: &Change, now: i64) -> Result<bool> {
        change.check()?;
        let changed = self.lock()?.execute(
            "UPDATE entry SET customer = coalesce(?2, customer), note = coalesce(?3, note), \
             status = coalesce(?4, CASE WHEN ?7 IS NOT NULL AND status = 'open' THEN 'sent' ELSE status END), \
             follow_up = CASE WHEN ?5 IS NULL THEN follow_up WHEN ?5 = '' THEN NULL ELSE ?5 END, \
             star = coalesce(?6, star), sent = coalesce(?7, sent), \
             sent_at = CASE WHEN ?7 IS NULL THEN sent_at ELSE ?8 END \
             WHERE id = ?1 AND deleted = 0",
            params![
                id,
                change.customer.as_deref().map(str::trim),
                change.note,
                change.status.map(Status::name),
                change.follow_up,
                change.star,
                change.sent,
                now
            ],
        )?;
        Ok(changed == 1)
    }

    /// Takes an entry off the desk so that it can be restored, or brings it back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn mark_entry(&self, id: &str, deleted: bool) -> Result<bool> {
        let changed = self.lock()?.execute(
            "UPDATE entry SET deleted = ?2 WHERE id = ?1 AND deleted = ?3",
            params![id, deleted, !deleted],
        )?;
        Ok(changed == 1)
    }
}

#[cfg(test)]
mod tests;
