//! A person's data: handed over whole, or taken away for good; and old entries purged.

use rusqlite::params;
use serde::Serialize;
use utoipa::ToSchema;

use super::{COLUMNS, WorkEntry, entry};
use crate::Shop;
use crate::error::Result;

/// What was taken away, or would be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Gone {
    /// Entries.
    pub entries: u64,
    /// Quotations that bear the customer's name: they are kept, since a shop must keep its offers; their issues are counted.
    pub quotations_kept: u64,
}

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
        transaction.execute_batch("PRAGMA secure_delete = ON")?;
        let entries = if customer.is_empty() {
            0
        } else {
            drop_entries(&transaction, "customer = ?1", customer)?
        };
        transaction.commit()?;
        Ok(Gone {
            entries,
            quotations_kept: kept.unsigned_abs(),
        })
    }

    /// How many entries older than that would be purged, in seconds since 1970-01-01 UTC; those that are marked stay.
    ///
    /// # Errors
    /// When the database fails.
    pub fn count_older(&self, before: i64) -> Result<u64> {
        let connection = self.read()?;
        let count: i64 = connection.query_row(
            "SELECT count(*) FROM entry WHERE made_at < ?1 AND star = 0",
            [before],
            |row| row.get(0),
        )?;
        Ok(count.unsigned_abs())
    }

    /// Purges entries older than that, for good, with the answers that no other entry has; those that are marked stay.
    ///
    /// # Errors
    /// When the database fails.
    pub fn purge_older(&self, before: i64) -> Result<u64> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let entries = drop_entries(&transaction, "made_at < ?1 AND star = 0", before)?;
        transaction.commit()?;
        Ok(entries)
    }
}

/// Deletes entries by that condition, and the answers that none is left of.
fn drop_entries(transaction: &rusqlite::Transaction<'_>, condition: &str, value: impl rusqlite::ToSql) -> Result<u64> {
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
