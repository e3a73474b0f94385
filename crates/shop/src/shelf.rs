//! Reading the shelf, and putting items on it.

use std::collections::HashMap;

use advice::Item;
use rusqlite::Connection;

use crate::error::Result;
use crate::journal::{self, Kind};
use crate::{Shop, rows};

impl Shop {
    /// Every item on the shelf, by code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn items(&self) -> Result<Vec<Item>> {
        all(&self.lock())
    }

    /// Every item on the shelf together with the revision that they are of.
    ///
    /// # Errors
    /// When the database fails.
    pub fn snapshot(&self) -> Result<(u64, Vec<Item>)> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        Ok((journal::revision(&transaction)?, all(&transaction)?))
    }

    /// The item of this code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn item(&self, code: &str) -> Result<Option<Item>> {
        Ok(rows::select(&self.lock(), "WHERE code = ?1", [code])?.pop())
    }

    /// The items that hold every word of `query` in code, name, shape, size (metric or inch), grade, coating or
    /// note; all items for an empty query. Sizes may be written `15x5`, `15 x 5` or `15 × 5`.
    ///
    /// # Errors
    /// When the database fails.
    pub fn search(&self, query: &str) -> Result<Vec<Item>> {
        let query = query.to_lowercase().replace(['×', '*'], "x").replace(" x ", "x");
        let words: Vec<&str> = query.split_whitespace().take(MOST_SEARCH_WORDS).collect();
        let conditions: Vec<String> = (1..=words.len()).map(|at| format!("instr(words, ?{at}) > 0")).collect();
        let condition = match conditions.len() {
            0 => "ORDER BY code".to_owned(),
            _ => format!("WHERE {} ORDER BY code", conditions.join(" AND ")),
        };
        rows::select(&self.lock(), &condition, rusqlite::params_from_iter(words))
    }

    /// Counts the changes of shelf and grades so far. An answer made at another revision may be out of date.
    ///
    /// # Errors
    /// When the database fails.
    pub fn revision(&self) -> Result<u64> {
        journal::revision(&self.lock())
    }

    /// Puts items on the shelf, each over the one with the same code. This cannot be undone, and imports from
    /// before it can no longer be.
    ///
    /// # Errors
    /// When the database fails; the shelf is then as it was.
    pub fn fill(&self, items: &[Item]) -> Result<u64> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        let revision = journal::begin(&transaction, Kind::Fill, "")?;
        for item in items {
            rows::write(&transaction, item)?;
        }
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
}

/// More words than this are not looked at.
const MOST_SEARCH_WORDS: usize = 16;

/// Every item on the shelf, by code.
pub(crate) fn all(connection: &Connection) -> Result<Vec<Item>> {
    rows::select(connection, "ORDER BY code", [])
}

/// Every item on the shelf under its code.
pub(crate) fn by_code(connection: &Connection) -> Result<HashMap<String, Item>> {
    Ok(all(connection)?
        .into_iter()
        .map(|item| (item.code.clone(), item))
        .collect())
}
