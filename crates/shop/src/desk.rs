//! Questions and answers so far.
//!
//! An answer is kept as the JSON text that the caller made, together with what is needed to list it. Times are given
//! by the caller, in seconds since 1970-01-01 UTC.

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::Shop;
use crate::error::Result;

/// What is kept of an answer beside its text.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// The question in words, complete: with the pieces, the revision and the version it stands for the answer.
    pub words: String,
    /// The first sentence of the answer.
    pub lead: String,
    /// Builds asked for.
    pub pieces: u32,
    /// Revision of the shelf that it was computed from.
    pub revision: u64,
    /// Version of the program that computed it.
    pub version: String,
    /// When it was asked last, s.
    pub asked_at: i64,
}

/// An answer on the desk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Kept {
    /// Short and stable; part of links.
    pub id: String,
    /// What is known of it.
    #[serde(flatten)]
    pub entry: Entry,
}

/// Lengths of ids, characters: short unless two answers share the start of their hash.
const ID_LENGTHS: [usize; 3] = [8, 16, 32];
/// Letters of ids: small letters and digits without i, l, o and u, which are misread or make words.
const ID_LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

impl Shop {
    /// Puts an answer on the desk and gives its id. The same question at the same revision and version has the same
    /// id: it is not kept twice, its time is renewed, and it comes back if it was deleted. `answer` is then left as
    /// it was kept first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn keep(&self, entry: &Entry, answer: &str) -> Result<String> {
        let mut connection = self.lock();
        let transaction = connection.transaction()?;
        let hash = identity(entry);
        for length in ID_LENGTHS {
            let id = hash.get(..length).unwrap_or(&hash);
            match find(&transaction, id)? {
                Some(other) if !same(&other.entry, entry) => {}
                Some(_) => {
                    transaction.execute(
                        "UPDATE desk SET asked_at = max(asked_at, ?2), deleted = 0 WHERE id = ?1",
                        params![id, entry.asked_at],
                    )?;
                    transaction.commit()?;
                    return Ok(id.to_owned());
                }
                None => {
                    transaction.execute(
                        "INSERT INTO desk (id, asked_at, words, lead, pieces, revision, version, answer) \
                         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
                        params![
                            id,
                            entry.asked_at,
                            entry.words,
                            entry.lead,
                            entry.pieces,
                            i64::try_from(entry.revision).unwrap_or(i64::MAX),
                            entry.version,
                            answer
                        ],
                    )?;
                    transaction.commit()?;
                    return Ok(id.to_owned());
                }
            }
        }
        // Two texts with 160 equal bits of SHA-256: as good as the same question.
        Ok(hash)
    }

    /// Puts more into the JSON text of an answer that is kept, what was in it stays, and what it says first. Nothing happens
    /// where there is none.
    ///
    /// # Errors
    /// When the database fails.
    pub fn complete_answer(&self, id: &str, lead: &str, answer: &str) -> Result<()> {
        self.lock().execute(
            "UPDATE desk SET lead = ?2, answer = ?3 WHERE id = ?1",
            params![id, lead, answer],
        )?;
        Ok(())
    }

    /// The answer of this id with its JSON text; `None` where there is none, or it was deleted.
    ///
    /// # Errors
    /// When the database fails.
    pub fn open_answer(&self, id: &str) -> Result<Option<(Kept, String)>> {
        let connection = self.lock();
        let found = connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS}, answer FROM desk WHERE id = ?1 AND deleted = 0"
            ))?
            .query_row([id], |row| Ok((kept(row)?, row.get("answer")?)))
            .optional()?;
        Ok(found)
    }

    /// The newest answers on the desk, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn list_answers(&self, limit: usize) -> Result<Vec<Kept>> {
        let connection = self.lock();
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM desk WHERE deleted = 0 ORDER BY asked_at DESC, id LIMIT ?1"
        ))?;
        let rows = statement.query_map([i64::try_from(limit).unwrap_or(i64::MAX)], kept)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Takes an answer off the desk so that it can be restored; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn delete_answer(&self, id: &str) -> Result<bool> {
        self.mark(id, true)
    }

    /// Brings a deleted answer back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn restore_answer(&self, id: &str) -> Result<bool> {
        self.mark(id, false)
    }

    fn mark(&self, id: &str, deleted: bool) -> Result<bool> {
        let changed = self.lock().execute(
            "UPDATE desk SET deleted = ?2 WHERE id = ?1 AND deleted = ?3",
            params![id, deleted, !deleted],
        )?;
        Ok(changed == 1)
    }
}

const COLUMNS: &str = "id, asked_at, words, lead, pieces, revision, version";

fn find(connection: &Connection, id: &str) -> Result<Option<Kept>> {
    let mut statement = connection.prepare_cached(&format!("SELECT {COLUMNS} FROM desk WHERE id = ?1"))?;
    Ok(statement.query_row([id], kept).optional()?)
}

fn kept(row: &Row<'_>) -> rusqlite::Result<Kept> {
    Ok(Kept {
        id: row.get("id")?,
        entry: Entry {
            words: row.get("words")?,
            lead: row.get("lead")?,
            pieces: row.get("pieces")?,
            revision: row.get::<_, i64>("revision")?.unsigned_abs(),
            version: row.get("version")?,
            asked_at: row.get("asked_at")?,
        },
    })
}

/// Whether two entries stand for the same answer.
fn same(a: &Entry, b: &Entry) -> bool {
    (&a.words, a.pieces, a.revision, &a.version) == (&b.words, b.pieces, b.revision, &b.version)
}

/// The hash of what an answer follows from, 5 bits a letter.
fn identity(entry: &Entry) -> String {
    let text = format!(
        "{}\0{}\0{}\0{}",
        entry.words, entry.pieces, entry.revision, entry.version
    );
    let letter = |bits: u8| char::from(ID_LETTERS[usize::from(bits & 31)]);
    Sha256::digest(text.as_bytes())
        .iter()
        .map(|byte| letter(*byte))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entry(words: &str, asked_at: i64) -> Entry {
        Entry {
            words: words.into(),
            lead: "One disc.".into(),
            pieces: 200,
            revision: 3,
            version: "0.1.0".into(),
            asked_at,
        }
    }

    #[test]
    fn asking_again_renews_the_time_and_keeps_one() {
        let shop = Shop::in_memory().unwrap();
        let first = shop.keep(&entry("hold 2 kg", 100), "{\"a\":1}").unwrap();
        let other = shop.keep(&entry("hold 3 kg", 200), "{}").unwrap();
        let again = shop.keep(&entry("hold 2 kg", 300), "{\"a\":2}").unwrap();
        assert_eq!(first, again);
        assert_eq!(first.len(), 8);
        let list = shop.list_answers(10).unwrap();
        assert_eq!(
            list.iter().map(|kept| kept.id.as_str()).collect::<Vec<_>>(),
            [first.as_str(), other.as_str()]
        );
        assert_eq!(list[0].entry.asked_at, 300);
        assert_eq!(shop.open_answer(&first).unwrap().unwrap().1, "{\"a\":1}");
        assert_eq!(shop.list_answers(1).unwrap().len(), 1);
    }

    #[test]
    fn another_revision_or_version_is_another_answer() {
        let shop = Shop::in_memory().unwrap();
        let first = shop.keep(&entry("hold 2 kg", 1), "{}").unwrap();
        let later = shop
            .keep(
                &Entry {
                    revision: 4,
                    ..entry("hold 2 kg", 1)
                },
                "{}",
            )
            .unwrap();
        let newer = shop
            .keep(
                &Entry {
                    version: "0.2.0".into(),
                    ..entry("hold 2 kg", 1)
                },
                "{}",
            )
            .unwrap();
        assert!(first != later && first != newer && later != newer);
    }

    #[test]
    fn an_answer_can_be_completed() {
        let shop = Shop::in_memory().unwrap();
        let id = shop.keep(&entry("hold 2 kg", 1), "{\"a\":1}").unwrap();
        shop.complete_answer(&id, "a lead", "{\"a\":1,\"b\":2}").unwrap();
        assert_eq!(shop.open_answer(&id).unwrap().unwrap().1, "{\"a\":1,\"b\":2}");
        shop.complete_answer("nothing", "", "{}").unwrap();
        assert_eq!(shop.list_answers(10).unwrap().len(), 1);
    }

    #[test]
    fn deleted_answers_can_be_restored() {
        let shop = Shop::in_memory().unwrap();
        let id = shop.keep(&entry("hold 2 kg", 1), "{}").unwrap();
        assert!(shop.delete_answer(&id).unwrap());
        assert!(!shop.delete_answer(&id).unwrap());
        assert_eq!(shop.open_answer(&id).unwrap(), None);
        assert!(shop.list_answers(10).unwrap().is_empty());
        assert!(shop.restore_answer(&id).unwrap());
        assert!(shop.open_answer(&id).unwrap().is_some());
        assert!(!shop.restore_answer("nothing").unwrap());
    }

    #[test]
    fn two_questions_with_one_short_id_are_kept_apart() {
        let shop = Shop::in_memory().unwrap();
        let wanted = identity(&entry("hold 2 kg", 1));
        shop.lock()
            .execute(
                "INSERT INTO desk (id, asked_at, words, lead, pieces, revision, version, answer) \
                 VALUES (?1, 1, 'another', '', 1, 1, '', '{}')",
                [&wanted[..8]],
            )
            .unwrap();
        assert_eq!(shop.keep(&entry("hold 2 kg", 1), "{}").unwrap(), wanted[..16]);
    }
}
