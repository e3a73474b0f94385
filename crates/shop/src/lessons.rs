//! The texts of lessons that the shop has written itself. Whether they are lessons is for others to say.

use rusqlite::{OptionalExtension, params};

use crate::Shop;
use crate::error::Result;

impl Shop {
    /// The shop's own lessons, by name: name and text.
    ///
    /// # Errors
    /// When the database fails.
    pub fn own_lessons(&self) -> Result<Vec<(String, String)>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached("SELECT name, text FROM lesson ORDER BY name")?;
        let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(rows.collect::<std::result::Result<_, _>>()?)
    }

    /// Keeps a lesson, at a time in seconds since 1970, in the place of one of the same name.
    ///
    /// # Errors
    /// When the database fails.
    pub fn keep_lesson(&self, name: &str, text: &str, at: i64) -> Result<()> {
        self.lock()?.execute(
            "INSERT INTO lesson (name, text, kept_at) VALUES (?1, ?2, ?3)
             ON CONFLICT (name) DO UPDATE SET text = excluded.text, kept_at = excluded.kept_at",
            params![name, text, at],
        )?;
        Ok(())
    }

    /// Takes a lesson of the shop's own away and gives its text; `None` where there is none of that name.
    ///
    /// # Errors
    /// When the database fails.
    pub fn remove_lesson(&self, name: &str) -> Result<Option<String>> {
        let connection = self.lock()?;
        let text = connection.query_row("DELETE FROM lesson WHERE name = ?1 RETURNING text", [name], |row| {
            row.get(0)
        });
        Ok(text.optional()?)
    }
}

#[cfg(test)]
mod tests;
