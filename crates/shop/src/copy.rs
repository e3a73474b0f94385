//! A copy of a database while others go on using it.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, MAIN_DB};
use tempfile::{Builder, NamedTempFile};

use crate::error::{Result, ShopError};
use crate::life;

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
    let copy = unfinished(folder_of(to)).map_err(file_error("write beside"))?;
    connection.backup(MAIN_DB, copy.path(), None)?;
    life::begin(&Connection::open(copy.path())?)?;
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

/// How names of copies begin that are not finished.
const UNFINISHED: &str = ".unfinished-";
/// A copy that is older was left by a program that was killed: none takes so long.
const LEFT_AFTER: Duration = Duration::from_secs(3600);

/// A copy that is not finished, in a folder; those that were left there long ago go.
pub(crate) fn unfinished(folder: &Path) -> std::io::Result<NamedTempFile> {
    for entry in fs::read_dir(folder)?.flatten() {
        let is_one = entry.file_name().to_string_lossy().starts_with(UNFINISHED);
        let age = || entry.metadata().ok()?.modified().ok()?.elapsed().ok();
        if is_one && age().is_some_and(|age| age > LEFT_AFTER) {
            // One that cannot be removed is in nobody's way.
            let _ = fs::remove_file(entry.path());
        }
    }
    Builder::new().prefix(UNFINISHED).tempfile_in(folder)
}

/// The folder that a file is in.
pub(crate) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

#[cfg(test)]
mod tests {
    use std::time::SystemTime;

    use super::*;

    #[test]
    fn what_a_killed_program_left_goes_and_what_is_under_way_stays() {
        let folder = tempfile::tempdir().unwrap();
        let left = folder.path().join(".unfinished-left");
        let other = folder.path().join("list.csv");
        let long_ago = SystemTime::now() - 2 * LEFT_AFTER;
        for path in [&left, &other] {
            fs::File::create(path).unwrap().set_modified(long_ago).unwrap();
        }
        let first = unfinished(folder.path()).unwrap();
        let _second = unfinished(folder.path()).unwrap();
        assert!(!left.exists() && other.exists() && first.path().exists());
    }
}
