//! What can go wrong with a shop's database.

use std::path::PathBuf;

/// A shop that could not be opened, read or changed. Nothing is left half-changed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ShopError {
    /// The file holds something else than a database.
    #[error("{} is not a database; it was left as it is", .0.display())]
    NotADatabase(PathBuf),
    /// The database belongs to another program.
    #[error("{} is a database, but not one of a shop; it was left as it is", .0.display())]
    NotAShop(PathBuf),
    /// The database was written by a newer version.
    #[error("{} was written by a newer version of this program; it was left as it is", .0.display())]
    TooNew(PathBuf),
    /// A backup would replace a file.
    #[error("{} exists already; choose another name or ask to overwrite it", .0.display())]
    Exists(PathBuf),
    /// A backup would replace the database that is open.
    #[error("{} is the open database itself; choose another name for its backup", .0.display())]
    SameFile(PathBuf),
    /// The shelf has changed since the caller looked.
    #[error("the shelf is at revision {found}, not {expected}: it has changed since you looked; look again")]
    Conflict {
        /// The revision that the caller worked from.
        expected: u64,
        /// The revision now.
        found: u64,
    },
    /// There is no import left to take back.
    #[error("there is no import to undo")]
    NothingToUndo,
    /// A setting does not fit.
    #[error("{what} must be {right}, got \"{got}\"")]
    Setting {
        /// Which one.
        what: &'static str,
        /// What was given.
        got: String,
        /// What is right.
        right: String,
    },
    /// A grade does not fit.
    #[error("{0}")]
    Grades(String),
    /// A lot or its certificate does not fit.
    #[error("{0}")]
    Lot(String),
    /// A file could not be made.
    #[error("the list could not be written: {0}")]
    Export(String),
    /// Something in the database is not as this program writes it.
    #[error("the database holds {0}; restore a backup")]
    Damaged(String),
    /// The database failed.
    #[error("the database failed: {0}")]
    Database(#[from] rusqlite::Error),
    /// A file could not be read or written.
    #[error("could not {action} {}: {source}", path.display())]
    File {
        /// What was tried.
        action: &'static str,
        /// On which file.
        path: PathBuf,
        /// Why not.
        source: std::io::Error,
    },
}

/// The result of most calls of this crate.
pub type Result<T, E = ShopError> = std::result::Result<T, E>;
