//! Reading the shelf, and putting items on it.

use std::collections::HashMap;

use advice::{Item, Part};
use rusqlite::Connection;

use crate::error::Result;
use crate::journal::{self, Kind};
use crate::product::Product;
use crate::{Shop, rows};

/// The whole shelf as it stood at a revision.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// The revision.
    pub revision: u64,
    /// Its magnets, by code.
    pub items: Vec<Item>,
    /// Its steel parts, by code.
    pub parts: Vec<Part>,
}

impl Shop {
    /// Every item on the shelf, by code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn items(&self) -> Result<Vec<Item>> {
        all(&self.lock())
    }

    /// Every item and part on the shelf together with the revision that they are of.
    ///
    /// # Errors
    /// When the database fails.
    pub fn snapshot(&self) -> Result<Snapshot> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        Ok(Snapshot {
            revision: journal::revision(&transaction)?,
            items: all(&transaction)?,
            parts: all_parts(&transaction)?,
        })
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
        let (condition, words) = condition(query);
        rows::select(&self.lock(), &condition, rusqlite::params_from_iter(words))
    }

    /// The steel parts that hold every word of `query` in code, name, kind, size, steel or note, as [`Self::search`].
    ///
    /// # Errors
    /// When the database fails.
    pub fn search_parts(&self, query: &str) -> Result<Vec<Part>> {
        let (condition, words) = condition(query);
        rows::parts::select(&self.lock(), &condition, rusqlite::params_from_iter(words))
    }

    /// Counts the changes of shelf and grades so far. An answer made at another revision may be out of date.
    ///
    /// # Errors
    /// When the database fails.
    pub fn revision(&self) -> Result<u64> {
        journal::revision(&self.lock())
    }

    /// Puts items and parts on the shelf, each over the one with the same code. This cannot be undone, and imports from
    /// before it can no longer be.
    ///
    /// # Errors
    /// When the database fails; the shelf is then as it was.
    pub fn fill(&self, items: &[Item], parts: &[Part]) -> Result<u64> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        let revision = journal::begin(&transaction, Kind::Fill, "")?;
        let magnets = items.iter().cloned().map(Product::Magnet);
        for product in magnets.chain(parts.iter().cloned().map(Product::Part)) {
            rows::write(&transaction, &product)?;
        }
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
}

/// More words than this are not looked at.
const MOST_SEARCH_WORDS: usize = 16;

/// What picks the rows that hold every word of a query, and the words.
fn condition(query: &str) -> (String, Vec<String>) {
    let query = query.to_lowercase().replace(['×', '*'], "x").replace(" x ", "x");
    let words: Vec<String> = query
        .split_whitespace()
        .take(MOST_SEARCH_WORDS)
        .map(str::to_owned)
        .collect();
    let conditions: Vec<String> = (1..=words.len()).map(|at| format!("instr(words, ?{at}) > 0")).collect();
    let condition = match conditions.len() {
        0 => "ORDER BY code".to_owned(),
        _ => format!("WHERE {} ORDER BY code", conditions.join(" AND ")),
    };
    (condition, words)
}

/// Every item on the shelf, by code.
pub(crate) fn all(connection: &Connection) -> Result<Vec<Item>> {
    rows::select(connection, "ORDER BY code", [])
}

/// Every steel part on the shelf, by code.
pub(crate) fn all_parts(connection: &Connection) -> Result<Vec<Part>> {
    rows::parts::select(connection, "ORDER BY code", [])
}

/// Everything on the shelf under its code.
pub(crate) fn by_code(connection: &Connection) -> Result<HashMap<String, Product>> {
    let magnets = all(connection)?.into_iter().map(Product::Magnet);
    let parts = all_parts(connection)?.into_iter().map(Product::Part);
    Ok(magnets
        .chain(parts)
        .map(|product| (product.code().to_owned(), product))
        .collect())
}
