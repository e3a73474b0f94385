//! Reading the shelf, and putting items on it.

use std::collections::HashMap;

use advice::{Goods, Item, Part};
use rusqlite::{Connection, TransactionBehavior};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::journal::{self, Kind};
use crate::product::Product;
use crate::rows::{self, Unread};
use crate::settings::{self, Settings};

/// The whole shelf as it stood at a revision.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapshot {
    /// The revision.
    pub revision: u64,
    /// Its magnets, by code.
    pub items: Vec<Item>,
    /// Its steel parts, by code.
    pub parts: Vec<Part>,
    /// Its pots, hooks, strips and the like, by code.
    pub goods: Vec<Goods>,
    /// Its lines that cannot be read.
    pub unread: Vec<Unread>,
}

impl Snapshot {
    /// All that can be read: magnets, parts, goods.
    pub fn into_products(self) -> impl Iterator<Item = Product> {
        let magnets = self.items.into_iter().map(Product::Magnet);
        let parts = self.parts.into_iter().map(Product::Part);
        magnets.chain(parts).chain(self.goods.into_iter().map(Product::Goods))
    }
}

impl Shop {
    /// Every item on the shelf that can be read, by code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn items(&self) -> Result<Vec<Item>> {
        all(&*self.read()?)
    }

    /// Every item and part on the shelf together with the revision that they are of.
    ///
    /// # Errors
    /// When the database fails.
    pub fn snapshot(&self) -> Result<Snapshot> {
        let mut connection = self.read()?;
        let transaction = connection.transaction_with_behavior(TransactionBehavior::Deferred)?;
        let mut unread = Vec::new();
        Ok(Snapshot {
            revision: journal::revision(&transaction)?,
            items: rows::each(&transaction, "ORDER BY code", [], &mut unread)?,
            parts: rows::parts::each(&transaction, "ORDER BY code", [], &mut unread)?,
            goods: rows::goods::each(&transaction, "ORDER BY code", [], &mut unread)?,
            unread,
        })
    }

    /// The item of this code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn item(&self, code: &str) -> Result<Option<Item>> {
        let mut unread = Vec::new();
        let found = rows::each(&*self.read()?, "WHERE code = ?1", [code], &mut unread)?.pop();
        match unread.pop() {
            Some(Unread { why, .. }) => Err(ShopError::Damaged(why)),
            None => Ok(found),
        }
    }

    /// What has this code.
    ///
    /// # Errors
    /// When the database fails.
    pub fn product(&self, code: &str) -> Result<Option<Product>> {
        if let Some(item) = self.item(code)? {
            return Ok(Some(Product::Magnet(item)));
        }
        let mut unread = Vec::new();
        let part = rows::parts::each(&*self.read()?, "WHERE code = ?1", [code], &mut unread)?.pop();
        if let Some(part) = part {
            return Ok(Some(Product::Part(part)));
        }
        let goods = rows::goods::each(&*self.read()?, "WHERE code = ?1", [code], &mut unread)?.pop();
        Ok(goods.map(Product::Goods))
    }

    /// The items that hold every word of `query` in code, name, shape, size (metric or inch), grade, coating or
    /// note; all items for an empty query. Lines that cannot be read are in the [`Snapshot`]. Sizes may be written `15x5`, `15 x 5` or `15 × 5`.
    ///
    /// # Errors
    /// When the database fails.
    pub fn search(&self, query: &str) -> Result<Vec<Item>> {
        let (condition, words) = condition(query);
        rows::each(
            &*self.read()?,
            &condition,
            rusqlite::params_from_iter(words),
            &mut Vec::new(),
        )
    }

    /// The steel parts that hold every word of `query` in code, name, kind, size, steel or note, as [`Self::search`].
    ///
    /// # Errors
    /// When the database fails.
    pub fn search_parts(&self, query: &str) -> Result<Vec<Part>> {
        let (condition, words) = condition(query);
        rows::parts::each(
            &*self.read()?,
            &condition,
            rusqlite::params_from_iter(words),
            &mut Vec::new(),
        )
    }

    /// The goods that hold every word of `query` in code, name, kind, size, grade, coating or note, as [`Self::search`].
    ///
    /// # Errors
    /// When the database fails.
    pub fn search_goods(&self, query: &str) -> Result<Vec<Goods>> {
        let (condition, words) = condition(query);
        rows::goods::each(
            &*self.read()?,
            &condition,
            rusqlite::params_from_iter(words),
            &mut Vec::new(),
        )
    }

    /// Counts the changes of shelf and grades so far. An answer made at another revision may be out of date.
    ///
    /// # Errors
    /// When the database fails.
    pub fn revision(&self) -> Result<u64> {
        journal::revision(&*self.read()?)
    }

    /// Puts products on the shelf, each over the one with the same code, and settings where they are given. This cannot be undone, and imports from
    /// before it can no longer be.
    ///
    /// # Errors
    /// When the database fails; the shelf is then as it was.
    pub fn fill(&self, products: impl IntoIterator<Item = Product>, settings: Option<&Settings>) -> Result<u64> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let revision = journal::begin(&transaction, Kind::Fill, "")?;
        for product in products {
            rows::write(&transaction, &product)?;
        }
        if let Some(settings) = settings {
            settings::make(&transaction, settings)?;
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
    rows::each(connection, "ORDER BY code", [], &mut Vec::new())
}

/// Every steel part on the shelf, by code.
pub(crate) fn all_parts(connection: &Connection) -> Result<Vec<Part>> {
    rows::parts::each(connection, "ORDER BY code", [], &mut Vec::new())
}

/// All goods on the shelf, by code.
pub(crate) fn all_goods(connection: &Connection) -> Result<Vec<Goods>> {
    rows::goods::each(connection, "ORDER BY code", [], &mut Vec::new())
}

/// The lines of the shelf that cannot be read.
pub(crate) fn unread(connection: &Connection) -> Result<Vec<Unread>> {
    let mut unread = Vec::new();
    rows::each(connection, "ORDER BY code", [], &mut unread)?;
    rows::parts::each(connection, "ORDER BY code", [], &mut unread)?;
    rows::goods::each(connection, "ORDER BY code", [], &mut unread)?;
    Ok(unread)
}

/// Everything on the shelf under its code.
pub(crate) fn by_code(connection: &Connection) -> Result<HashMap<String, Product>> {
    let magnets = all(connection)?.into_iter().map(Product::Magnet);
    let parts = all_parts(connection)?.into_iter().map(Product::Part);
    let goods = all_goods(connection)?.into_iter().map(Product::Goods);
    Ok(magnets
        .chain(parts)
        .chain(goods)
        .map(|product| (product.code().to_owned(), product))
        .collect())
}
