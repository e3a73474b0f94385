//! The shop's own grades beside the built-in ones.

use materials::grade::{GradeError, GradeRow, GradeTable};
use rusqlite::{Connection, OptionalExtension, params};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::journal::{self, Kind};

impl Shop {
    /// The built-in grades with the shop's own; one of the shop's takes the place of a built-in one of the same name.
    ///
    /// # Errors
    /// When the database fails or holds a grade that does not fit.
    pub fn grades(&self) -> Result<GradeTable> {
        table(&*self.read()?)
    }

    /// The shop's own grades.
    ///
    /// # Errors
    /// When the database fails or holds a grade that does not read.
    pub fn own_grades(&self) -> Result<Vec<GradeRow>> {
        own(&*self.read()?)
    }

    /// Replaces the shop's own grades by those of a TOML text in the form of the built-in table, and says what the
    /// new revision is. An empty text leaves the built-in ones only.
    ///
    /// # Errors
    /// When the text does not read, a value is out of range, a name is taken, or an item on the shelf would lose its
    /// grade; nothing is changed then.
    pub fn set_own_grades(&self, toml: &str) -> Result<u64> {
        let rows = GradeTable::from_toml(toml).map_err(wrong)?.rows().to_vec();
        let whole = GradeTable::builtin()
            .and_then(|builtin| builtin.with_rows(rows.clone()))
            .map_err(wrong)?;
        let mut connection = self.lock()?;
        self.backup_before(&connection, "grades")?;
        let transaction = connection.transaction()?;
        let revision = journal::begin(&transaction, Kind::Grades, "the shop's own grades")?;
        note(&transaction, revision)?;
        write(&transaction, &rows, &whole)?;
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
}

/// Writes the shop's own grades, unless an item would lose its grade in the whole table.
fn write(connection: &Connection, rows: &[GradeRow], whole: &GradeTable) -> Result<()> {
    if let Some(lost) = used(connection)?.iter().find(|name| whole.get(name).is_none()) {
        return Err(ShopError::Grades(format!(
            "items on the shelf have the grade \"{lost}\", which would be unknown"
        )));
    }
    connection.execute("DELETE FROM grade", [])?;
    for row in rows {
        let text = text(row)?;
        connection.execute("INSERT INTO grade (name, row) VALUES (?1, ?2)", params![row.name, text])?;
    }
    Ok(())
}

fn text<T: serde::Serialize + ?Sized>(value: &T) -> Result<String> {
    serde_json::to_string(value).map_err(|error| ShopError::Grades(error.to_string()))
}

/// The grades that items on the shelf have.
fn used(connection: &Connection) -> Result<Vec<String>> {
    let mut statement = connection.prepare("SELECT DISTINCT grade FROM item ORDER BY grade")?;
    let rows = statement.query_map([], |row| row.get(0))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

/// Notes the shop's own grades as they are, so that they can be brought back after `revision`.
fn note(connection: &Connection, revision: i64) -> Result<()> {
    connection.execute(
        "INSERT INTO grade_journal (revision, before) VALUES (?1, ?2)",
        params![revision, text(&own(connection)?)?],
    )?;
    Ok(())
}

/// Brings back the shop's own grades as they were before `change`, and notes under `now` those until then; whether that had
/// changed them.
pub(crate) fn bring_back(connection: &Connection, change: i64, now: i64) -> Result<bool> {
    let noted: Option<String> = connection
        .query_row(
            "SELECT before FROM grade_journal WHERE revision = ?1",
            [change],
            |row| row.get(0),
        )
        .optional()?;
    let Some(noted) = noted else { return Ok(false) };
    let ununderstood =
        |error: String| ShopError::Ununderstood(format!("the shop's own grades as they were do not fit: {error}"));
    let rows: Vec<GradeRow> = serde_json::from_str(&noted).map_err(|error| ununderstood(error.to_string()))?;
    let whole = GradeTable::builtin()
        .and_then(|builtin| builtin.with_rows(rows.clone()))
        .map_err(|error| ununderstood(error.to_string()))?;
    note(connection, now)?;
    write(connection, &rows, &whole).map_err(|error| match error {
        ShopError::Grades(why) => ununderstood(why),
        other => other,
    })?;
    Ok(true)
}

/// The built-in grades with the shop's own.
pub(crate) fn table(connection: &Connection) -> Result<GradeTable> {
    let rows = own(connection)?;
    GradeTable::builtin()
        .and_then(|builtin| builtin.with_rows(rows))
        .map_err(wrong)
}

fn own(connection: &Connection) -> Result<Vec<GradeRow>> {
    let mut statement = connection.prepare_cached("SELECT row FROM grade ORDER BY name")?;
    let mut rows = statement.query([])?;
    let mut grades = Vec::new();
    while let Some(row) = rows.next()? {
        let text: String = row.get(0)?;
        let grade = serde_json::from_str(&text)
            .map_err(|error| ShopError::Damaged(format!("a grade that does not read: {error}")))?;
        grades.push(grade);
    }
    Ok(grades)
}

fn wrong(error: GradeError) -> ShopError {
    ShopError::Grades(error.to_string())
}
