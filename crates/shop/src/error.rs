//! What can go wrong with a shop's database.

use std::io::ErrorKind;
use std::path::PathBuf;

use rusqlite::ErrorCode;

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
    /// The database was written by an older version, and cannot be brought to the form of this one.
    #[error("{} was written by an older version of this program and cannot be written: make it writable once", .0.display())]
    TooOld(PathBuf),
    /// The file is not there any more.
    #[error("{} is gone; put it back, or restore a backup with `lodewright shelf restore`", .0.display())]
    Gone(PathBuf),
    /// The file cannot be written.
    #[error("{} cannot be written", .0.display())]
    ReadOnly(PathBuf),
    /// A backup cannot be taken.
    #[error("{} is no whole backup of a shop: {why}; the shop is as it was", path.display())]
    BadBackup {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        why: String,
    },
    /// A backup would replace a file.
    #[error("{} exists already; choose another name or ask to overwrite it", .0.display())]
    Exists(PathBuf),
    /// A backup would replace the database that is open.
    #[error("{} is the open database itself; choose another name for its backup", .0.display())]
    SameFile(PathBuf),
    /// Nothing on the shelf has this code.
    #[error("nothing on the shelf has the code \"{0}\"")]
    NotOnShelf(String),
    /// The shelf has changed since the caller looked.
    #[error("the shelf is at revision {found}, not {expected}: it has changed since you looked; look again")]
    Conflict {
        /// The revision that the caller worked from.
        expected: u64,
        /// The revision now.
        found: u64,
    },
    /// There is no change left to take back.
    #[error("there is no import and no change of settings, grades or lots to undo")]
    NothingToUndo,
    /// Nothing was taken back, or something was changed since.
    #[error("there is nothing to do again: nothing was undone, or the shelf was changed since")]
    NothingToRedo,
    /// What a change would bring back is not understood any more.
    #[error("{0}")]
    Ununderstood(String),
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
    /// Something of the bench does not fit.
    #[error("{0}")]
    Bench(String),
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

impl ShopError {
    /// What to do about it, for a person, where the message does not say so.
    pub fn hint(&self) -> Option<&'static str> {
        match self {
            Self::Database(error) => database_hint(error),
            Self::ReadOnly(_) => Some(MAKE_WRITABLE),
            Self::File { source, .. } => file_hint(source.kind()),
            _ => None,
        }
    }
}

const MAKE_WRITABLE: &str =
    "give yourself the right to write the file and its folder, or start the program as its owner";
const FREE_ROOM: &str = "free some room on the disk; what is kept already can be read meanwhile";

fn file_hint(kind: ErrorKind) -> Option<&'static str> {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Some(FREE_ROOM),
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => Some(MAKE_WRITABLE),
        _ => None,
    }
}

fn database_hint(error: &rusqlite::Error) -> Option<&'static str> {
    Some(match error.sqlite_error_code()? {
        ErrorCode::DiskFull => FREE_ROOM,
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied | ErrorCode::CannotOpen => MAKE_WRITABLE,
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => {
            "another program is writing to the shop: wait until it has done, or end it, and try again"
        }
        ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase => {
            "put a backup back with `lodewright shelf restore`; the program's own are in the folder beside the file"
        }
        ErrorCode::SystemIoFailure => {
            "look whether the disk is full or failing; `lodewright shelf check` looks at the file"
        }
        _ => return None,
    })
}

/// The result of most calls of this crate.
pub type Result<T, E = ShopError> = std::result::Result<T, E>;
