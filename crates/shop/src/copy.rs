//! A copy of a database while others go on using it.

use std::io::ErrorKind;
use std::path::Path;

use rusqlite::{Connection, MAIN_DB};

use crate::error::{Result, ShopError};

/// Writes a copy of the whole database to `to`: complete, or not at all.
pub(crate) fn whole(connection: &Connection, to: &Path, overwrite: bool) -> Result<()> {
    let file_error = |action| {
        move |source| ShopError::File {
            action,
            path: to.to_owned(),
            source,
        }
    };
    if let (Some(own), Ok(target)) = (connection.path(), to.canonicalize())
        && Path::new(own).canonicalize().is_ok_and(|own| own == target)
    {
        return Err(ShopError::SameFile(to.to_owned()));
    }
    let copy = tempfile::NamedTempFile::new_in(folder_of(to)).map_err(file_error("write beside"))?;
    connection.backup(MAIN_DB, copy.path(), None)?;
    copy.as_file().sync_all().map_err(file_error("write"))?;
    let kept = if overwrite {
        copy.persist(to)
    } else {
        copy.persist_noclobber(to)
    };
    kept.map(drop).map_err(|failed| match failed.error.kind() {
        ErrorKind::AlreadyExists => ShopError::Exists(to.to_owned()),
        _ => file_error("write")(failed.error),
    })
}

/// The folder that a file is in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}
