//! The shop's own grades beside the built-in ones.

use materials::grade::{GradeError, GradeRow, GradeTable};
use rusqlite::{Connection, params};

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
        let transaction = connection.transaction()?;
        let used: Vec<String> = transaction
            .prepare("SELECT DISTINCT grade FROM item ORDER BY grade")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        if let Some(lost) = used.iter().find(|name| whole.get(name).is_none()) {
            return Err(ShopError::Grades(format!(
                "items on the shelf have the grade \"{lost}\", which would be unknown"
            )));
        }
        transaction.execute("DELETE FROM grade", [])?;
        for row in &rows {
            let text = serde_json::to_string(row).map_err(|error| ShopError::Grades(error.to_string()))?;
            transaction.execute("INSERT INTO grade (name, row) VALUES (?1, ?2)", params![row.name, text])?;
        }
        let revision = journal::begin(&transaction, Kind::Grades, "")?;
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
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
