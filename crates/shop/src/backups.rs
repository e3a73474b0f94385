//! Dated copies that the program makes by itself before changes that could be regretted.
//!
//! They lie in a folder beside the shop's file, under the time (UTC) and the reason. The newest are kept.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use crate::copy;
use crate::error::{Result, ShopError};

/// So many copies are kept.
pub const KEPT_BACKUPS: usize = 20;
/// What follows the name of the shop's file in that of the folder.
const FOLDER: &str = "-backups";
const ENDING: &str = ".sqlite";

/// The folder of the copies of the shop in the file at `path`.
pub(crate) fn folder(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(FOLDER);
    name.into()
}

/// Copies the database in the file at `path` and gives the name of the copy; older ones beyond the most that are kept are
/// removed.
pub(crate) fn automatic(connection: &Connection, path: &Path, before: &str) -> Result<PathBuf> {
    let folder = folder(path);
    fs::create_dir_all(&folder).map_err(|source| ShopError::File {
        action: "make the folder of backups",
        path: folder.clone(),
        source,
    })?;
    let now: String = connection.query_row("SELECT strftime('%Y-%m-%d-%H%M%f', 'now')", [], |row| row.get(0))?;
    let to = dated(connection, &folder, &now.replace('.', ""), before)?;
    prune(&folder);
    Ok(to)
}

/// A copy under a time and a reason; another that was made at the same moment keeps its name.
fn dated(connection: &Connection, folder: &Path, now: &str, before: &str) -> Result<PathBuf> {
    let mut others = 0;
    loop {
        let moment = if others == 0 {
            now.to_owned()
        } else {
            format!("{now}-{others}")
        };
        let to = folder.join(format!("{moment}-before-{before}{ENDING}"));
        match copy::whole(connection, &to, false) {
            Err(ShopError::Exists(_)) if others < KEPT_BACKUPS => others += 1,
            made => return made.map(|()| to),
        }
    }
}

/// The copies that were made of the shop in the file at `path`, oldest first.
pub fn backups(path: &Path) -> Vec<PathBuf> {
    listed(&folder(path))
}

fn listed(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut found: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| path.to_string_lossy().ends_with(ENDING))
        .collect();
    found.sort();
    found
}

fn prune(folder: &Path) {
    let all = listed(folder);
    for old in all.iter().take(all.len().saturating_sub(KEPT_BACKUPS)) {
        // One that cannot be removed is in nobody's way.
        let _ = fs::remove_file(old);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn copies_of_the_same_moment_do_not_stand_in_each_others_way() {
        let folder = tempfile::tempdir().expect("a folder");
        let shop = Connection::open_in_memory().expect("a database");
        let copy = || dated(&shop, folder.path(), "2026-01-02-030405678", "import").expect("a copy");
        let (first, second) = (copy(), copy());
        assert_ne!(first, second);
        assert_eq!(listed(folder.path()).len(), 2);
    }
}
