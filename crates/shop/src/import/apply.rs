//! Doing an import: all of it, or nothing.

use serde::Serialize;
use utoipa::ToSchema;

use super::heading::Column;
use super::map;
use super::plan::{Before, Plan, planned};
use super::preview::{Options, Preview};
use super::table::Table;
use crate::error::ShopError;
use crate::journal::{self, Kind};
use crate::{Shop, rows};

/// What an import has done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Outcome {
    /// The revision of the shelf now; the one before where nothing was to change.
    pub revision: u64,
    /// Items that were not on the shelf.
    pub new: usize,
    /// Items that were on it otherwise.
    pub changed: usize,
    /// Items that were on it as they are.
    pub unchanged: usize,
    /// Items taken off, because the file does not have them.
    pub retired: usize,
    /// Lines left out, because they cannot be read.
    pub skipped: usize,
}

/// An import that was not done; the shelf is as it was.
#[derive(Debug, thiserror::Error)]
pub enum ApplyError {
    /// The file has errors; they are in the preview.
    #[error("the file has {} errors; nothing was imported", .0.errors)]
    Refused(Box<Preview>),
    /// Something would be lost or turned over; what, is in the preview.
    #[error("the import has {} consequences that nobody has confirmed; nothing was imported", .0.consequences.count())]
    Unconfirmed(Box<Preview>),
    /// The shop could not be changed.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<rusqlite::Error> for ApplyError {
    fn from(error: rusqlite::Error) -> Self {
        ApplyError::Shop(error.into())
    }
}

/// Imports a table: every line of it, or nothing at all. The lines are read before others are kept waiting, and a dated copy
/// of the shop is made first.
///
/// # Errors
/// [`ApplyError::Refused`] where a line has an error, [`ApplyError::Unconfirmed`] where something would be lost and nobody
/// has confirmed it, [`ShopError::Conflict`] where the shelf is not at `options.revision`, or when the database fails.
pub fn apply(shop: &Shop, table: &Table, columns: &[Column], options: &Options) -> Result<Outcome, ApplyError> {
    let mut plan = planned(shop, table, columns, options)?;
    refuse(&plan, options)?;
    let mut connection = shop.lock()?;
    if plan.writes.is_empty() && plan.retired.is_empty() {
        if let Some(map) = &options.keep {
            map::keep(&connection, &table.headings, map)?;
        }
        return Ok(plan.outcome(plan.preview.revision));
    }
    shop.backup_before(&connection, "import")?;
    let transaction = connection.transaction()?;
    if journal::revision(&transaction)? != plan.preview.revision {
        // Somebody was faster; nobody is now.
        plan = super::plan::plan(Before::read(&transaction)?, table, columns, options)?;
        refuse(&plan, options)?;
    }
    let revision = journal::begin(&transaction, Kind::Import, &table.name)?;
    for (product, before) in &plan.writes {
        journal::record(&transaction, revision, product.code(), before.as_ref())?;
        rows::write(&transaction, product)?;
    }
    for product in &plan.retired {
        journal::record(&transaction, revision, product.code(), Some(product))?;
        rows::remove(&transaction, product.code())?;
    }
    if let Some(map) = &options.keep {
        map::keep(&transaction, &table.headings, map)?;
    }
    journal::trim(&transaction)?;
    transaction.commit()?;
    Ok(plan.outcome(revision.unsigned_abs()))
}

/// Refuses a plan that has errors, or that would lose something without anybody having said so.
fn refuse(plan: &Plan, options: &Options) -> Result<(), ApplyError> {
    if !plan.preview.may_import {
        return Err(ApplyError::Refused(Box::new(plan.preview.clone())));
    }
    if plan.preview.consequences.count() > 0 && !options.confirmed {
        return Err(ApplyError::Unconfirmed(Box::new(plan.preview.clone())));
    }
    Ok(())
}

impl Plan {
    fn outcome(&self, revision: u64) -> Outcome {
        Outcome {
            revision,
            new: self.preview.new,
            changed: self.preview.changed,
            unchanged: self.preview.unchanged,
            retired: self.retired.len(),
            skipped: self.preview.bad,
        }
    }
}
