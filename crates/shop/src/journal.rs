//! The list of changes, and how the last import is taken back.

use rusqlite::{Connection, OptionalExtension, params};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::product::Product;
use crate::rows;

/// So many of the newest changes can be taken back; older ones lose their journal.
const KEPT_CHANGES: i64 = 20;

/// What kind of change made a revision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Items put on the shelf by a program; not undone.
    Fill,
    /// A price list.
    Import,
    /// An import taken back.
    Undo,
    /// The shop's own grades.
    Grades,
    /// Certificates of lots.
    Lots,
}

impl Kind {
    fn name(self) -> &'static str {
        match self {
            Kind::Fill => "fill",
            Kind::Import => "import",
            Kind::Undo => "undo",
            Kind::Grades => "grades",
            Kind::Lots => "lots",
        }
    }
}

/// The number of the newest revision; 0 for a new shop.
pub(crate) fn revision(connection: &Connection) -> Result<u64> {
    let newest: i64 = connection
        .prepare_cached("SELECT coalesce(max(number), 0) FROM revision")?
        .query_row([], |row| row.get(0))?;
    Ok(newest.unsigned_abs())
}

/// Begins a new revision; the caller holds the transaction.
pub(crate) fn begin(connection: &Connection, kind: Kind, label: &str) -> Result<i64> {
    connection.execute(
        "INSERT INTO revision (kind, label) VALUES (?1, ?2)",
        params![kind.name(), label],
    )?;
    Ok(connection.last_insert_rowid())
}

/// Keeps what a line of the shelf was before `revision`, so that it can be brought back.
pub(crate) fn record(connection: &Connection, revision: i64, code: &str, before: Option<&Product>) -> Result<()> {
    let before = before
        .map(serde_json::to_string)
        .transpose()
        .map_err(|error| ShopError::Damaged(format!("item \"{code}\" that cannot be written: {error}")))?;
    connection
        .prepare_cached("INSERT INTO journal (revision, code, before) VALUES (?1, ?2, ?3)")?
        .execute(params![revision, code, before])?;
    Ok(())
}

/// Drops what is too old to be taken back.
pub(crate) fn trim(connection: &Connection) -> Result<()> {
    connection.execute(
        "DELETE FROM journal WHERE revision < (SELECT min(number) FROM \
         (SELECT number FROM revision WHERE kind = 'import' ORDER BY number DESC LIMIT ?1))",
        [KEPT_CHANGES],
    )?;
    Ok(())
}

impl Shop {
    /// Takes back the newest import that has not been taken back yet, and says what the new revision is. Called
    /// again it takes back the import before that one, up to twenty imports.
    ///
    /// # Errors
    /// [`ShopError::NothingToUndo`], or when the database fails; the shelf is then as it was.
    pub fn undo_last_import(&self) -> Result<u64> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        let newest: Option<(i64, String, String)> = transaction
            .query_row(
                "SELECT number, kind, label FROM revision WHERE kind IN ('fill', 'import') AND undone IS NULL \
                 ORDER BY number DESC LIMIT 1",
                [],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()?;
        let Some((import, label)) = newest
            .filter(|(_, kind, _)| kind == "import")
            .map(|(number, _, label)| (number, label))
        else {
            return Err(ShopError::NothingToUndo);
        };
        let before: Vec<(String, Option<String>)> = transaction
            .prepare("SELECT code, before FROM journal WHERE revision = ?1")?
            .query_map([import], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        if before.is_empty() {
            return Err(ShopError::NothingToUndo);
        }
        let undo = begin(&transaction, Kind::Undo, &label)?;
        for (code, product) in before {
            match product {
                None => rows::remove(&transaction, &code)?,
                Some(text) => {
                    let product: Product = serde_json::from_str(&text)
                        .map_err(|error| ShopError::Damaged(format!("a journal that does not read: {error}")))?;
                    rows::write(&transaction, &product)?;
                }
            }
        }
        transaction.execute("UPDATE revision SET undone = ?1 WHERE number = ?2", [undo, import])?;
        transaction.commit()?;
        Ok(undo.unsigned_abs())
    }
}
