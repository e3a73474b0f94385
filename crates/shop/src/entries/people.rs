//! A person's data: handed over whole, or taken away for good; and old entries purged.
//!
//! What is deleted is overwritten in the file, and its log is emptied. Copies that were made before hold it still.

use rusqlite::{Connection, Transaction, params};
use serde::Serialize;
use utoipa::ToSchema;

use super::{COLUMNS, WorkEntry, entry};
use crate::Shop;
use crate::backups::backups;
use crate::error::Result;

/// What was taken away, or would be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Gone {
    /// Entries.
    pub entries: u64,
    /// Quotations that bear the customer's name: they are kept, since a shop must keep its offers; their issues are counted.
    pub quotations_kept: u64,
    /// Dated copies of the shop that were made before and may hold them still.
    pub copies_kept: u64,
}

/// What was purged, or would be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Purged {
    /// Entries that were purged, or would be.
    pub entries: u64,
    /// Answers that were purged with them, or would be.
    pub answers: u64,
    /// Dated copies of the shop that were made before and may hold them still.
    pub copies_kept: u64,
}

/// Entries of before a time; those that are marked stay.
const OLD: &str = "made_at < ?1 AND star = 0";
/// Answers asked for before a time that no entry has but those above.
const OLD_ANSWERS: &str = "asked_at < ?1 AND NOT EXISTS (SELECT 1 FROM entry WHERE entry.answer = desk.id AND NOT (made_at < ?1 AND star = 0))";

impl Shop {
    /// All entries of a customer of exactly that name, those taken off the desk too.
    ///
    /// # Errors
    /// When the database fails.
    pub fn entries_of(&self, customer: &str) -> Result<Vec<WorkEntry>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM entry WHERE customer = ?1 ORDER BY made_at DESC, number DESC"
        ))?;
        let rows = statement.query_map([customer.trim()], entry)?;
        Ok(rows.collect::<std::result::Result<_, _>>()?)
    }

    /// Takes away all entries of a customer of exactly that name, for good, with the answers that no other entry has.
    ///
    /// # Errors
    /// When the database fails.
    pub fn forget_customer(&self, customer: &str) -> Result<Gone> {
        let customer = customer.trim();
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let kept: i64 = transaction.query_row(
            "SELECT count(*) FROM quotation WHERE customer = ?1",
            [customer],
            |row| row.get(0),
        )?;
        let entries = if customer.is_empty() {
            0
        } else {
            drop_entries(&transaction, "customer = ?1", customer)?
        };
        erase(transaction)?;
        empty_log(&connection)?;
        Ok(Gone {
            entries,
            quotations_kept: kept.unsigned_abs(),
            copies_kept: self.copies(),
        })
    }

    /// What would be purged of before that time, in seconds since 1970-01-01 UTC; entries that are marked stay.
    ///
    /// # Errors
    /// When the database fails.
    pub fn count_older(&self, before: i64) -> Result<Purged> {
        let connection = self.read()?;
        let count = |table: &str, which: &str| -> Result<u64> {
            let count: i64 = connection.query_row(
                &format!("SELECT count(*) FROM {table} WHERE {which}"),
                [before],
                |row| row.get(0),
            )?;
            Ok(count.unsigned_abs())
        };
        Ok(Purged {
            entries: count("entry", OLD)?,
            answers: count("desk", OLD_ANSWERS)?,
            copies_kept: self.copies(),
        })
    }

    /// Purges entries of before that time, for good, with the answers that no other entry has; those that are marked stay.
    ///
    /// # Errors
    /// When the database fails.
    pub fn purge_older(&self, before: i64) -> Result<Purged> {
        let purged = self.count_older(before)?;
        if (purged.entries, purged.answers) == (0, 0) {
            return Ok(purged);
        }
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        // Entries refer to answers, so they go first; by then none of those that went has one.
        let entries = transaction.execute(&format!("DELETE FROM entry WHERE {OLD}"), [before])?;
        let answers = transaction.execute(&format!("DELETE FROM desk WHERE {OLD_ANSWERS}"), [before])?;
        erase(transaction)?;
        empty_log(&connection)?;
        Ok(Purged {
            entries: entries as u64,
            answers: answers as u64,
            ..purged
        })
    }

    /// How many dated copies of the shop there are.
    fn copies(&self) -> u64 {
        self.path().map_or(0, |path| backups(path).len() as u64)
    }
}

/// Ends a transaction that deleted, so that nothing of it stays: in the index of words, or in the log beside the file.
fn erase(transaction: Transaction<'_>) -> Result<()> {
    transaction.execute("INSERT INTO entry_words (entry_words) VALUES ('optimize')", [])?;
    transaction.commit()?;
    Ok(())
}

/// Empties the log beside the file, which holds pages as they were. Where somebody reads just then it is emptied later.
fn empty_log(connection: &Connection) -> Result<()> {
    connection.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
    Ok(())
}

/// Deletes entries by that condition, and the answers that none is left of.
fn drop_entries(transaction: &Transaction<'_>, condition: &str, value: impl rusqlite::ToSql) -> Result<u64> {
    transaction.execute_batch("CREATE TEMP TABLE IF NOT EXISTS dropped (answer TEXT); DELETE FROM dropped")?;
    transaction.execute(
        &format!("INSERT INTO dropped SELECT answer FROM entry WHERE {condition} AND answer IS NOT NULL"),
        params![value],
    )?;
    let entries = transaction.execute(&format!("DELETE FROM entry WHERE {condition}"), params![value])?;
    transaction.execute(
        "DELETE FROM desk WHERE id IN (SELECT answer FROM dropped) \
         AND NOT EXISTS (SELECT 1 FROM entry WHERE entry.answer = desk.id)",
        [],
    )?;
    Ok(entries as u64)
}
