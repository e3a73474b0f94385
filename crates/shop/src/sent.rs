//! Papers that were sent as a link: each is kept as it stood, and never changes.

use rusqlite::{OptionalExtension, params};
use sha2::{Digest, Sha256};

use crate::Shop;
use crate::desk::{in_letters, new_id};
use crate::error::Result;
use crate::packed::{pack, unpack};

/// A paper that was sent as a link.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SentPaper {
    /// What it is called.
    pub title: String,
    /// When it was made, seconds since 1970-01-01 UTC.
    pub made_at: i64,
    /// Revision of the shelf that its figures are of.
    pub revision: u64,
    /// What it was made of, the caller's JSON.
    pub request: String,
    /// Its words, a line for each paragraph and each row of a table.
    pub words: String,
}

impl Shop {
    /// Keeps a paper and gives its id, which nobody can guess; `page` is told the id and gives the page as it will be shown. One
    /// that was made of the same and says the same is there already, and stays as it is.
    ///
    /// # Errors
    /// When the database fails.
    pub fn keep_sent(&self, sent: &SentPaper, page: impl FnOnce(&str) -> String) -> Result<String> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let identity = in_letters(&Sha256::digest(format!("{}\0{}", sent.request, sent.words).as_bytes()));
        let known: Option<String> = transaction
            .query_row("SELECT id FROM sent_paper WHERE identity = ?1", [&identity], |row| {
                row.get(0)
            })
            .optional()?;
        let id = match known {
            Some(id) => id,
            None => {
                let id = new_id(&transaction)?;
                transaction.execute(
                    "INSERT INTO sent_paper (id, identity, title, made_at, revision, request, words, page) \
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                    params![
                        id,
                        identity,
                        sent.title,
                        sent.made_at,
                        i64::try_from(sent.revision).unwrap_or(i64::MAX),
                        sent.request,
                        pack(&sent.words),
                        pack(&page(&id)),
                    ],
                )?;
                id
            }
        };
        transaction.commit()?;
        Ok(id)
    }

    /// What is known of the paper of that id; `None` where there is none.
    ///
    /// # Errors
    /// When the database fails.
    pub fn sent_paper(&self, id: &str) -> Result<Option<SentPaper>> {
        let found = self
            .read()?
            .prepare_cached("SELECT title, made_at, revision, request, words FROM sent_paper WHERE id = ?1")?
            .query_row([id], |row| {
                let revision: i64 = row.get(2)?;
                let sent = SentPaper {
                    title: row.get(0)?,
                    made_at: row.get(1)?,
                    revision: revision.unsigned_abs(),
                    request: row.get(3)?,
                    words: String::new(),
                };
                Ok((sent, row.get::<_, Vec<u8>>(4)?))
            })
            .optional()?;
        let Some((sent, words)) = found else { return Ok(None) };
        let words = unpack(&words)?;
        Ok(Some(SentPaper { words, ..sent }))
    }

    /// The page of the paper of that id, as it was kept; `None` where there is none.
    ///
    /// # Errors
    /// When the database fails.
    pub fn sent_page(&self, id: &str) -> Result<Option<String>> {
        let found: Option<Vec<u8>> = self
            .read()?
            .prepare_cached("SELECT page FROM sent_paper WHERE id = ?1")?
            .query_row([id], |row| row.get(0))
            .optional()?;
        found.map(|packed| unpack(&packed)).transpose()
    }
}

#[cfg(test)]
mod tests;
