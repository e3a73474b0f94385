//! Whether a shop's file is whole and all in it can be read.

use rusqlite::Connection;

use crate::Shop;
use crate::error::Result;
use crate::{grades, settings, shelf};

/// So many faults are told.
const MOST_FAULTS: usize = 100;

/// Everything that is wrong with a database, in words; nothing where it is whole.
pub(crate) fn faults(connection: &Connection) -> Result<Vec<String>> {
    let mut faults = Vec::new();
    let mut whole = connection.prepare(&format!("PRAGMA integrity_check({MOST_FAULTS})"))?;
    let mut rows = whole.query([])?;
    while let Some(row) = rows.next()? {
        let said: String = row.get(0)?;
        if said != "ok" {
            faults.push(format!("the file is damaged: {said}"));
        }
    }
    if !faults.is_empty() {
        return Ok(faults);
    }
    let mut references = connection.prepare("PRAGMA foreign_key_check")?;
    let mut rows = references.query([])?;
    while let Some(row) = rows.next()? {
        let table: String = row.get(0)?;
        faults.push(format!("a row of {table} belongs to nothing"));
    }
    if let Err(error) = settings::read(connection) {
        faults.push(error.to_string());
    }
    if let Err(error) = grades::table(connection) {
        faults.push(error.to_string());
    }
    let unread = shelf::unread(connection)?;
    faults.extend(
        unread
            .into_iter()
            .map(|line| format!("\"{}\": {}", line.code, line.why)),
    );
    faults.truncate(MOST_FAULTS);
    Ok(faults)
}

/// The items whose grade is not known, in words.
fn of_unknown_grade(connection: &Connection) -> Result<Vec<String>> {
    let table = grades::table(connection)?;
    let items = shelf::all(connection)?.into_iter();
    let unknown = items.filter(|item| table.get(&item.grade).is_none());
    Ok(unknown
        .map(|item| format!("\"{}\": its grade \"{}\" is not known", item.code, item.grade))
        .take(MOST_FAULTS)
        .collect())
}

/// Reads a row of each table, and the whole shelf.
///
/// # Errors
/// When one cannot be read.
pub(crate) fn legible(connection: &Connection) -> Result<()> {
    let mut tables = connection.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")?;
    let names: Vec<String> = tables.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    for name in names {
        let quoted = name.replace('"', "\"\"");
        connection
            .prepare(&format!("SELECT * FROM \"{quoted}\" LIMIT 1"))?
            .query([])?
            .next()?;
    }
    settings::read(connection)?;
    grades::table(connection)?;
    shelf::unread(connection).map(drop)
}

impl Shop {
    /// Everything that is wrong with the shop's file, in words; nothing where it is whole.
    ///
    /// # Errors
    /// When the database cannot be asked.
    pub fn check(&self) -> Result<Vec<String>> {
        let connection = self.read()?;
        let mut faults = faults(&connection)?;
        if faults.is_empty() {
            faults = of_unknown_grade(&connection)?;
        }
        drop(connection);
        faults.extend(self.exposed());
        Ok(faults)
    }

    /// What to do where others of the machine can read the shop's file; `None` where they cannot.
    pub fn exposed(&self) -> Option<String> {
        let path = self.path().filter(|path| crate::file::is_shared(path))?;
        Some(format!(
            "{} can be read by others of this machine: `chmod 600` keeps it to its owner",
            path.display()
        ))
    }
}
