//! The last change taken back, and done again.

use rusqlite::{Connection, OptionalExtension};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::journal::{Kind, begin, record};
use crate::product::Product;
use crate::{grades, lots, rows, settings, shelf};

/// A change that was taken back or done again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Undone {
    /// The revision of the shelf now.
    pub revision: u64,
    /// What it was: the name of the price list, *settings*, *the shop's own grades*, or code and lot.
    pub what: String,
}

/// Changes that stand and can be taken back or done again, and what ends them. Of grades and lots earlier versions noted nothing.
const NEWEST: &str = "SELECT number, kind, label FROM revision WHERE undone IS NULL AND \
     (kind IN ('fill', 'import', 'settings', 'undo') \
     OR kind = 'grades' AND number IN (SELECT revision FROM grade_journal) \
     OR kind = 'lots' AND number IN (SELECT revision FROM lot_journal))";

impl Shop {
    /// Takes back the newest import or change of settings, own grades or lots that has not been taken back yet. Called again it takes back the
    /// one before that, up to twenty imports.
    ///
    /// # Errors
    /// [`ShopError::NothingToUndo`], [`ShopError::Ununderstood`] where what it would bring back is not understood any more,
    /// or when the database fails; the shelf is then as it was.
    pub fn undo(&self) -> Result<Undone> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let newest: Option<(i64, String, String)> = transaction
            .query_row(
                &format!("{NEWEST} AND kind <> 'undo' ORDER BY number DESC LIMIT 1"),
                [],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()?;
        let (change, _, label) = newest
            .filter(|(_, kind, _)| kind != "fill")
            .ok_or(ShopError::NothingToUndo)?;
        let undo = begin(&transaction, Kind::Undo, &label)?;
        if !bring_back(&transaction, change, undo)? {
            return Err(ShopError::NothingToUndo);
        }
        transaction.execute("UPDATE revision SET undone = ?1 WHERE number = ?2", [undo, change])?;
        transaction.commit()?;
        Ok(Undone {
            revision: undo.unsigned_abs(),
            what: label,
        })
    }

    /// Does the change again that was taken back last, unless something that can be taken back was changed since.
    ///
    /// # Errors
    /// [`ShopError::NothingToRedo`], otherwise as [`Self::undo`].
    pub fn redo(&self) -> Result<Undone> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let newest: Option<(i64, String, String)> = transaction
            .query_row(&format!("{NEWEST} ORDER BY number DESC LIMIT 1"), [], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })
            .optional()?;
        let (undo, _, label) = newest
            .filter(|(_, kind, _)| kind == "undo")
            .ok_or(ShopError::NothingToRedo)?;
        let redo = begin(&transaction, Kind::Redo, &label)?;
        if !bring_back(&transaction, undo, redo)? {
            return Err(ShopError::NothingToRedo);
        }
        // The change stands again, and can be taken back again.
        transaction.execute("UPDATE revision SET undone = NULL WHERE undone = ?1", [undo])?;
        transaction.execute("UPDATE revision SET undone = ?1 WHERE number = ?2", [redo, undo])?;
        transaction.commit()?;
        Ok(Undone {
            revision: redo.unsigned_abs(),
            what: label,
        })
    }
}

/// Makes everything what it was before `change`, and notes under `now` what it was until then; whether there was anything.
fn bring_back(connection: &Connection, change: i64, now: i64) -> Result<bool> {
    let before: Vec<(String, Option<String>)> = connection
        .prepare("SELECT code, before FROM journal WHERE revision = ?1")?
        .query_map([change], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<Result<_, _>>()?;
    let settings = settings::noted(connection, change)?;
    let has_grades = grades::bring_back(connection, change, now)?;
    let has_lots = lots::bring_back(connection, change, now)?;
    if before.is_empty() && settings.is_none() && !has_grades && !has_lots {
        return Ok(false);
    }
    if let Some(settings) = settings {
        settings::bring_back(connection, now, settings.as_deref())?;
    }
    let grades = grades::table(connection)?;
    let present = shelf::by_code(connection)?;
    for (code, product) in before {
        record(connection, now, &code, present.get(&code))?;
        let Some(text) = product else {
            rows::remove(connection, &code)?;
            continue;
        };
        let product: Product = serde_json::from_str(&text)
            .map_err(|error| ShopError::Ununderstood(format!("item \"{code}\" as it was does not read: {error}")))?;
        if let Product::Magnet(item) = &product
            && grades.get(&item.grade).is_none()
        {
            return Err(ShopError::Ununderstood(format!(
                "item \"{code}\" had the grade \"{}\", which is not known any more; take that grade back first",
                item.grade
            )));
        }
        rows::write(connection, &product)?;
    }
    Ok(true)
}
