//! Looking through the entries: search, filters, counts, and what was missed.

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use serde::Serialize;
use utoipa::ToSchema;

use super::{COLUMNS, Status, WorkEntry, entry};
use crate::Shop;
use crate::error::Result;

/// So many entries that a search finds are counted.
pub const MOST_COUNTED: usize = 1000;

/// Which entries are wanted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Wanted {
    /// Words that they hold, by their beginnings; all of them.
    pub search: String,
    /// Of that status.
    pub status: Option<Status>,
    /// Those that are marked.
    pub star: bool,
    /// Those to follow up on or before that day, `2026-05-21`.
    pub due: Option<String>,
    /// Those that the shelf could not meet.
    pub missed: bool,
    /// So many are left out.
    pub offset: usize,
    /// At most so many.
    pub limit: usize,
}

/// Entries that were found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// The entries, newest first.
    pub entries: Vec<WorkEntry>,
    /// How many there are in all; of a search at most [`MOST_COUNTED`].
    pub total: u64,
    /// Whether a search finds more than are counted.
    pub more: bool,
}

/// What was asked and the shelf could not give.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Missed {
    /// What it lacked.
    pub what: String,
    /// How often it was asked for.
    pub times: u64,
    /// How many pieces in all.
    pub pieces: u64,
    /// When it was asked for last, seconds since 1970-01-01 UTC.
    pub last_at: i64,
    /// The words of the customer who asked last.
    pub words: String,
}

impl Shop {
    /// The entries that are wanted.
    ///
    /// # Errors
    /// When the database fails.
    pub fn find_entries(&self, wanted: &Wanted) -> Result<Found> {
        let (mut tables, mut order) = ("entry", "made_at DESC, entry.number DESC");
        let mut conditions = vec!["deleted = 0".to_owned()];
        let mut values: Vec<Value> = Vec::new();
        let query = words_query(&wanted.search);
        let most = if query.is_empty() { usize::MAX } else { MOST_COUNTED + 1 };
        if !query.is_empty() {
            // The index of words goes first, whatever the planner thinks of it, and is read from its end.
            tables = "entry_words CROSS JOIN entry ON entry.number = entry_words.rowid";
            order = "entry_words.rowid DESC";
            conditions.push("entry_words MATCH ?".into());
            values.push(query.into());
        }
        if let Some(status) = wanted.status {
            conditions.push("status = ?".into());
            values.push(status.name().to_owned().into());
        }
        if wanted.star {
            conditions.push("star = 1".into());
        }
        if let Some(day) = &wanted.due {
            conditions.push("follow_up <= ?".into());
            values.push(day.clone().into());
        }
        if wanted.missed {
            conditions.push("missed IS NOT NULL".into());
        }
        let conditions = conditions.join(" AND ");
        let found = format!("SELECT entry.number FROM {tables} WHERE {conditions}");
        let connection = self.read()?;
        let whole = |n: usize| Value::from(i64::try_from(n).unwrap_or(i64::MAX));
        // Without words an index counts them; with words each has to be looked at.
        let mut counted = values.clone();
        counted.push(whole(most));
        let total = connection
            .prepare_cached(&format!("SELECT count(*) FROM ({found} LIMIT ?)"))?
            .query_row(params_from_iter(&counted), |row| row.get::<_, i64>(0))?
            .unsigned_abs();
        values.extend([whole(wanted.limit), whole(wanted.offset)]);
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry WHERE number IN ({found} ORDER BY {order} LIMIT ? OFFSET ?) \
             ORDER BY made_at DESC, number DESC"
        ))?;
        let most_counted = u64::try_from(most).map_or(u64::MAX, |most| most.saturating_sub(1));
        let entries = statement.query_map(params_from_iter(&values), entry)?;
        Ok(Found {
            entries: entries.collect::<std::result::Result<_, _>>()?,
            total: total.min(most_counted),
            more: total > most_counted,
        })
    }

    /// How many entries there are of each status, in the order of [`Status::ALL`].
    ///
    /// # Errors
    /// When the database fails.
    pub fn count_entries(&self) -> Result<[u64; 4]> {
        let connection = self.read()?;
        let [open, sent, ordered, returned] = Status::ALL.map(|status| of_status(&connection, status));
        Ok([open?, sent?, ordered?, returned?])
    }

    /// What was asked since then and the shelf could not give, the most frequent first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn missed(&self, since: i64, limit: usize) -> Result<Vec<Missed>> {
        let connection = self.read()?;
        // SQLite takes bare columns from the row of the greatest value.
        let mut statement = connection.prepare_cached(
            "SELECT missed, count(*), sum(pieces), max(made_at), CASE WHEN message = '' THEN read_as ELSE message END \
             FROM entry WHERE missed IS NOT NULL AND deleted = 0 AND made_at >= ?1 \
             GROUP BY missed ORDER BY count(*) DESC, max(made_at) DESC LIMIT ?2",
        )?;
        let rows = statement.query_map((since, i64::try_from(limit).unwrap_or(i64::MAX)), |row| {
            Ok(Missed {
                what: row.get(0)?,
                times: row.get::<_, i64>(1)?.unsigned_abs(),
                pieces: row.get::<_, i64>(2)?.unsigned_abs(),
                last_at: row.get(3)?,
                words: row.get(4)?,
            })
        })?;
        Ok(rows.collect::<std::result::Result<_, _>>()?)
    }
}

fn of_status(connection: &Connection, status: Status) -> Result<u64> {
    let count: i64 = connection
        .prepare_cached("SELECT count(*) FROM entry WHERE deleted = 0 AND status = ?1")?
        .query_row([status.name()], |row| row.get(0))?;
    Ok(count.unsigned_abs())
}

/// Words as a query of the index: each by its beginning, all of them. What is no letter and no digit parts words.
fn words_query(search: &str) -> String {
    let words = search
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.map(|word| format!("\"{word}\"*")).collect::<Vec<_>>().join(" ")
}
