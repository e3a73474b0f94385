//! Quotations that were made: each issue is kept as it left.

use rusqlite::{OptionalExtension, TransactionBehavior, params};
use serde::Serialize;
use utoipa::ToSchema;

use crate::Shop;
use crate::error::Result;

/// An issue of a quotation, for a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Issued {
    /// Its number, such as `Q-2026-0007`.
    pub number: String,
    /// Which issue of it, from 1.
    pub issue: u32,
    /// For whom.
    pub customer: String,
    /// When it was made, seconds since 1970-01-01 UTC.
    pub made_at: i64,
}

impl Shop {
    /// Keeps a new quotation of that year, or a new issue of the one of that number: `make` is told number and issue and gives its
    /// JSON text. `None` where there is no quotation of that number.
    ///
    /// # Errors
    /// When the database fails.
    pub fn issue_quotation<E: From<crate::ShopError>>(
        &self,
        year: i16,
        number: Option<&str>,
        customer: &str,
        made_at: i64,
        make: impl FnOnce(&str, u32) -> std::result::Result<String, E>,
    ) -> std::result::Result<Option<(String, u32)>, E> {
        let failed = |error: rusqlite::Error| E::from(crate::ShopError::from(error));
        let mut connection = self.lock()?;
        let transaction = connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(failed)?;
        let (number, issue) = match number {
            Some(number) => {
                let last: Option<u32> = transaction
                    .query_row("SELECT max(issue) FROM quotation WHERE number = ?1", [number], |row| {
                        row.get(0)
                    })
                    .map_err(failed)?;
                let Some(last) = last else { return Ok(None) };
                (number.to_owned(), last + 1)
            }
            None => {
                let start = format!("Q-{year}-");
                // Numbers of a year rise without gaps: what was made is never deleted.
                let last: Option<u32> = transaction
                    .query_row(
                        "SELECT max(CAST(substr(number, length(?1) + 1) AS INTEGER)) FROM quotation \
                         WHERE substr(number, 1, length(?1)) = ?1",
                        [&start],
                        |row| row.get(0),
                    )
                    .map_err(failed)?;
                (format!("{start}{:04}", last.unwrap_or(0) + 1), 1)
            }
        };
        let body = make(&number, issue)?;
        transaction
            .execute(
                "INSERT INTO quotation (number, issue, customer, made_at, body) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![number, issue, customer, made_at, body],
            )
            .map_err(failed)?;
        transaction.commit().map_err(failed)?;
        Ok(Some((number, issue)))
    }

    /// The JSON text of an issue of a quotation, or of its last.
    ///
    /// # Errors
    /// When the database fails.
    pub fn quotation(&self, number: &str, issue: Option<u32>) -> Result<Option<String>> {
        let connection = self.read()?;
        let found = connection
            .prepare_cached(
                "SELECT body FROM quotation WHERE number = ?1 AND (?2 IS NULL OR issue = ?2) ORDER BY issue DESC LIMIT 1",
            )?
            .query_row(params![number, issue], |row| row.get(0))
            .optional()?;
        Ok(found)
    }

    /// The issues of quotations, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn quotations(&self, limit: usize) -> Result<Vec<Issued>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(
            "SELECT number, issue, customer, made_at FROM quotation ORDER BY made_at DESC, number DESC, issue DESC LIMIT ?1",
        )?;
        let rows = statement.query_map([i64::try_from(limit).unwrap_or(i64::MAX)], |row| {
            Ok(Issued {
                number: row.get(0)?,
                issue: row.get(1)?,
                customer: row.get(2)?,
                made_at: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<std::result::Result<_, _>>()?)
    }
}

#[cfg(test)]
mod tests;
