//! Dated copies that the program makes by itself before changes that could be regretted.
//!
//! They lie in a folder beside the shop's file, under the time (UTC) and the reason. The newest of each reason are kept.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;

use crate::error::{Result, ShopError};
use crate::{copy, file};

/// So many copies of each reason are kept.
pub const KEPT_BACKUPS: usize = 20;
/// What follows the name of the shop's file in that of the folder.
const FOLDER: &str = "-backups";
const ENDING: &str = ".sqlite";
/// The form of the time in the name of a copy; a zero stands for any digit.
const MOMENT: &str = "0000-00-00-000000000";
/// What copies are made before.
const REASONS: [&str; 6] = ["import", "settings", "grades", "lot", "restore", "upgrade"];

/// The folder of the copies of the shop in the file at `path`.
pub(crate) fn folder(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(FOLDER);
    name.into()
}

/// Copies the database in the file at `path` and gives the name of the copy; older ones beyond the most that are kept are
/// removed.
pub(crate) fn automatic(connection: &Connection, path: &Path, before: &str) -> Result<PathBuf> {
    let folder = made_folder(path)?;
    let now: String = connection.query_row("SELECT strftime('%Y-%m-%d-%H%M%f', 'now')", [], |row| row.get(0))?;
    let to = dated(connection, &folder, &now.replace('.', ""), before)?;
    file::give_to_owner_of(path, &to);
    prune(&folder);
    Ok(to)
}

/// The folder of the copies of the shop in the file at `path`, made where it is not there: for whom the file belongs to alone.
pub(crate) fn made_folder(path: &Path) -> Result<PathBuf> {
    let folder = folder(path);
    file::make_private_folder(&folder).map_err(|source| ShopError::File {
        action: "make the folder of backups",
        path: folder.clone(),
        source,
    })?;
    file::give_to_owner_of(path, &folder);
    Ok(folder)
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
        .filter(|path| reason(path).is_some())
        .collect();
    found.sort();
    found
}

/// Why a copy was made; `None` for a file that is none of the program's own copies.
fn reason(path: &Path) -> Option<&str> {
    let (moment, reason) = path
        .file_name()?
        .to_str()?
        .strip_suffix(ENDING)?
        .split_once("-before-")?;
    let (now, others) = moment.split_at_checked(MOMENT.len())?;
    let fits = |(c, form): (char, char)| if form == '0' { c.is_ascii_digit() } else { c == form };
    let is_count = |others: &str| !others.is_empty() && others.chars().all(|c| c.is_ascii_digit());
    let is_own = now.chars().zip(MOMENT.chars()).all(fits)
        && (others.is_empty() || others.strip_prefix('-').is_some_and(is_count))
        && REASONS.contains(&reason);
    is_own.then_some(reason)
}

/// Removes the oldest copies of each reason beyond the most that are kept: many of one reason push out none of another.
fn prune(folder: &Path) {
    let all = listed(folder);
    let of = |wanted: &'static str| all.iter().filter(move |path| reason(path) == Some(wanted)).rev();
    for old in REASONS.into_iter().flat_map(|wanted| of(wanted).skip(KEPT_BACKUPS)) {
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
