//! The list of changes, with what was there before each.

use rusqlite::{Connection, params};

use crate::error::{Result, ShopError};
use crate::product::Product;

/// So many of the newest changes can be taken back; older ones lose their journal.
const KEPT_CHANGES: i64 = 20;

/// What kind of change made a revision.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Items put on the shelf by a program; not undone.
    Fill,
    /// A price list.
    Import,
    /// A change taken back.
    Undo,
    /// A change done again.
    Redo,
    /// The shop's settings.
    Settings,
    /// A backup put in the place of the shop.
    Restore,
    /// The shop's own grades.
    Grades,
    /// Certificates of lots.
    Lots,
    /// What the bench knows of lots and of the usual probe.
    Bench,
}

impl Kind {
    pub(crate) fn name(self) -> &'static str {
        match self {
            Kind::Fill => "fill",
            Kind::Import => "import",
            Kind::Undo => "undo",
            Kind::Redo => "redo",
            Kind::Settings => "settings",
            Kind::Restore => "restore",
            Kind::Grades => "grades",
            Kind::Lots => "lots",
            Kind::Bench => "bench",
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
