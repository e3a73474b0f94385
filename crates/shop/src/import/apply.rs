//! Doing an import: all of it, or nothing.

use rusqlite::TransactionBehavior;
use serde::Serialize;
use utoipa::ToSchema;

use super::heading::Column;
use super::plan::{Options, Preview, plan};
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
}

/// An import that was not done; the shelf is as it was.
#[derive(Debug, thiserror::Error)]
pub enum ApplyError {
    /// The file has errors; they are in the preview.
    #[error("the file has {} errors; nothing was imported", .0.errors)]
    Refused(Box<Preview>),
    /// The shop could not be changed.
    #[error(transparent)]
    Shop(#[from] ShopError),
}

impl From<rusqlite::Error> for ApplyError {
    fn from(error: rusqlite::Error) -> Self {
        ApplyError::Shop(error.into())
    }
}

/// Imports a table: every line of it, or nothing at all.
///
/// # Errors
/// [`ApplyError::Refused`] where a line has an error, [`ShopError::Conflict`] where the shelf is not at
/// `options.revision`, or when the database fails.
pub fn apply(shop: &Shop, table: &Table, columns: &[Column], options: &Options) -> Result<Outcome, ApplyError> {
    let mut connection = shop.lock();
    let transaction = connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let plan = plan(&transaction, table, columns, options)?;
    if !plan.preview.may_import {
        return Err(ApplyError::Refused(Box::new(plan.preview)));
    }
    let mut outcome = Outcome {
        revision: plan.preview.revision,
        new: plan.preview.new,
        changed: plan.preview.changed,
        unchanged: plan.preview.unchanged,
        retired: plan.retired.len(),
    };
    if plan.writes.is_empty() && plan.retired.is_empty() {
        return Ok(outcome);
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
    journal::trim(&transaction)?;
    transaction.commit()?;
    outcome.revision = revision.unsigned_abs();
    Ok(outcome)
}
