//! A backup put in the place of a shop: checked before, whole or not at all, with what was there kept.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, MAIN_DB, OpenFlags, params};
use tempfile::NamedTempFile;

use crate::error::{Result, ShopError};
use crate::journal::{self, Kind};
use crate::life::{self, Life, Seen};
use crate::{backups, check, copy, database, file, opened};

/// What a restore has done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Restored {
    /// The revision of the shelf now: above all that were before.
    pub revision: u64,
    /// Where what was there before is kept, if there was anything.
    pub kept: Option<PathBuf>,
}

/// Puts the backup in the file `from` in the place of the shop at `path`. Programs that have the shop open see it at their
/// next look.
///
/// # Errors
/// A backup that is not one, is damaged or of a newer version, or is the shop itself; a disk that cannot be written. The
/// shop is then as it was.
pub fn restore(path: &Path, from: &Path) -> Result<Restored> {
    if file::Identity::of(from).is_some_and(|backup| file::Identity::of(path) == Some(backup)) {
        return Err(ShopError::SameFile(from.to_owned()));
    }
    if !from.exists() {
        return Err(ShopError::File {
            action: "read",
            path: from.to_owned(),
            source: std::io::ErrorKind::NotFound.into(),
        });
    }
    database::check_magic(from)?;
    let source = Connection::open_with_flags(from, database::READING)?;
    let copied = checked(path, from, &source)?;
    put(path, from, copied, None)
}

/// Makes what another program has written over the shop's file the newest state of the shop, whatever the log beside it says.
///
/// # Errors
/// What was written is not whole, or nothing can be written; the shop is then as it was.
pub(crate) fn take_over(path: &Path) -> Result<()> {
    let Seen::Life(over) = opened::in_file(path) else {
        return Err(ShopError::Damaged("what another program has written over it".into()));
    };
    let flags = database::READING | OpenFlags::SQLITE_OPEN_URI;
    let source = Connection::open_with_flags(database::unchanging(path), flags)?;
    let copied = checked(path, path, &source)?;
    drop(source);
    put(path, path, copied, Some(&over)).map(drop)
}

/// Puts a copy that was checked in the place of the shop. What was there before is kept, but where another program has written
/// `over` it, of which nothing whole is left.
fn put(
    path: &Path,
    from: &Path,
    (copied, mut checked): (NamedTempFile, Connection),
    over: Option<&Life>,
) -> Result<Restored> {
    let opened = database::open(path).and_then(|shop| Ok((journal::revision(&shop)?, shop)));
    match opened {
        Ok((_, shop)) if shop.is_readonly(MAIN_DB)? => Err(ShopError::ReadOnly(path.to_owned())),
        Ok((above, mut shop)) => {
            let kept = match above {
                0 => None,
                _ if over.is_some() => None,
                _ => Some(backups::automatic(&shop, path, "restore")?),
            };
            let revision = begin_above(&mut checked, above, from)?;
            life::go_on(&checked, &shop, over)?;
            drop(checked);
            shop.restore(MAIN_DB, copied.path(), None::<fn(rusqlite::backup::Progress)>)?;
            life::settle(&shop)?;
            Ok(Restored { revision, kept })
        }
        Err(_) => {
            let revision = begin_above(&mut checked, 0, from)?;
            drop(checked);
            let kept = set_aside(path)?;
            copied.persist(path).map_err(|failed| ShopError::File {
                action: "write",
                path: path.to_owned(),
                source: failed.error,
            })?;
            Ok(Restored { revision, kept })
        }
    }
}

/// A copy of a backup beside the shop, brought to the newest schema and found whole.
fn checked(path: &Path, from: &Path, source: &Connection) -> Result<(NamedTempFile, Connection)> {
    let broken = |why: String| ShopError::BadBackup {
        path: from.to_owned(),
        why,
    };
    database::check_owner(source, from)?;
    let beside = copy::folder_of(path);
    let copied = copy::unfinished(beside).map_err(|source| ShopError::File {
        action: "write beside",
        path: path.to_owned(),
        source,
    })?;
    source
        .backup(MAIN_DB, copied.path(), None)
        .map_err(|error| broken(error.to_string()))?;
    let mut connection = Connection::open(copied.path())?;
    connection.pragma_update(None, "journal_mode", "DELETE")?;
    let faults = check::faults(&connection).map_err(|error| broken(error.to_string()));
    // A file of an older version may lack what is looked for; it is looked at again after its migration.
    if let Ok([fault, ..]) = faults.as_deref()
        && fault.contains("damaged")
    {
        return Err(broken(fault.clone()));
    }
    database::prepare(&mut connection, from)?;
    connection.pragma_update(None, "journal_mode", "DELETE")?;
    match check::faults(&connection)?.into_iter().next() {
        Some(fault) => Err(broken(fault)),
        None => Ok((copied, connection)),
    }
}

/// Begins a revision above all of the backup's own and `above`, so that whoever has seen another shelf sees that it changed.
fn begin_above(connection: &mut Connection, above: u64, from: &Path) -> Result<u64> {
    let number = journal::revision(connection)?.max(above) + 1;
    let label = from.file_name().unwrap_or_default().to_string_lossy().into_owned();
    connection.execute(
        "INSERT INTO revision (number, kind, label) VALUES (?1, ?2, ?3)",
        params![i64::try_from(number).unwrap_or(i64::MAX), Kind::Restore.name(), label],
    )?;
    Ok(number)
}

/// Copies a file that is no shop any more, and the logs beside it, and takes the logs out of the way; `None` where there is none.
fn set_aside(path: &Path) -> Result<Option<PathBuf>> {
    if !path.exists() {
        return Ok(None);
    }
    let folder = backups::made_folder(path)?;
    let failed = |source| ShopError::File {
        action: "set aside",
        path: path.to_owned(),
        source,
    };
    let free = (1..)
        .map(|k| folder.join(format!("damaged-{k}")))
        .find(|name| !name.exists());
    let kept = free.unwrap_or_else(|| folder.join("damaged"));
    fs::copy(path, &kept).map_err(failed)?;
    for ending in ["-wal", "-shm"] {
        let log = beside(path, ending);
        if log.exists() {
            fs::copy(&log, beside(&kept, ending)).map_err(failed)?;
            // It would be taken for the log of the new file.
            fs::remove_file(&log).map_err(failed)?;
        }
    }
    file::give_to_owner_of(path, &kept);
    Ok(Some(kept))
}

/// The name of a file with more at its end.
fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    name.into()
}
