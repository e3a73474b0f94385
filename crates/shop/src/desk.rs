//! Questions and answers so far.
//!
//! An answer is kept as the JSON text that the caller made, packed, together with what is needed to list it. Times are
//! given by the caller, in seconds since 1970-01-01 UTC.

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::Shop;
use crate::error::Result;
use crate::packed::{pack, unpack};

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
    /// Not to be guessed, and stable: part of links.
    pub id: String,
    /// What is known of it.
    #[serde(flatten)]
    pub entry: Entry,
}

/// Letters of ids: small letters and digits without i, l, o and u, which are misread or make words.
const ID_LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";

impl Shop {
    /// Puts an answer on the desk and gives its id, which nobody can guess. The same question at the same revision and version
    /// is not kept twice: it has the id that it had, its time is renewed, and it comes back if it was deleted. `answer` is then
    /// left as it was kept first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn keep(&self, entry: &Entry, answer: &str) -> Result<String> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let identity = identity(entry);
        let known: Option<String> = transaction
            .query_row(
                "UPDATE desk SET asked_at = max(asked_at, ?2), deleted = 0 WHERE identity = ?1 RETURNING id",
                params![identity, entry.asked_at],
                |row| row.get(0),
            )
            .optional()?;
        let id = match known {
            Some(id) => id,
            None => {
                let id = new_id(&transaction)?;
                transaction.execute(
                    "INSERT INTO desk (id, identity, asked_at, words, lead, pieces, revision, version, answer, packed) \
                     VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, '', ?9)",
                    params![
                        id,
                        identity,
                        entry.asked_at,
                        entry.words,
                        entry.lead,
                        entry.pieces,
                        i64::try_from(entry.revision).unwrap_or(i64::MAX),
                        entry.version,
                        pack(answer)
                    ],
                )?;
                id
            }
        };
        transaction.commit()?;
        Ok(id)
    }

    /// Puts more into the JSON text of an answer that is kept, what was in it stays, and what it says first. Nothing happens
    /// where there is none.
    ///
    /// # Errors
    /// When the database fails.
    pub fn complete_answer(&self, id: &str, lead: &str, answer: &str) -> Result<()> {
        self.lock()?.execute(
            "UPDATE desk SET lead = ?2, answer = '', packed = ?3 WHERE id = ?1",
            params![id, lead, pack(answer)],
        )?;
        Ok(())
    }

    /// The answer of this id with its JSON text; `None` where there is none, or it was deleted.
    ///
    /// # Errors
    /// When the database fails.
    pub fn open_answer(&self, id: &str) -> Result<Option<(Kept, String)>> {
        let connection = self.read()?;
        let found: Option<(Kept, String, Option<Vec<u8>>)> = connection
            .prepare_cached(&format!(
                "SELECT {COLUMNS}, answer, packed FROM desk WHERE id = ?1 AND deleted = 0"
            ))?
            .query_row([id], |row| Ok((kept(row)?, row.get("answer")?, row.get("packed")?)))
            .optional()?;
        drop(connection);
        let Some((kept, text, packed)) = found else {
            return Ok(None);
        };
        let text = packed.map_or(Ok(text), |packed| unpack(&packed))?;
        Ok(Some((kept, text)))
    }

    /// The newest answers on the desk, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn list_answers(&self, limit: usize) -> Result<Vec<Kept>> {
        let connection = self.read()?;
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
        let changed = self.lock()?.execute(
            "UPDATE desk SET deleted = ?2 WHERE id = ?1 AND deleted = ?3",
            params![id, deleted, !deleted],
        )?;
        Ok(changed == 1)
    }
}

const COLUMNS: &str = "id, asked_at, words, lead, pieces, revision, version";

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

/// The hash of what an answer follows from, 5 bits a letter.
fn identity(entry: &Entry) -> String {
    let text = format!(
        "{}\0{}\0{}\0{}",
        entry.words, entry.pieces, entry.revision, entry.version
    );
    in_letters(&Sha256::digest(text.as_bytes()))
}

/// An id that nobody can guess.
pub(crate) fn new_id(connection: &Connection) -> Result<String> {
    let bytes: Vec<u8> = connection.query_row("SELECT randomblob(26)", [], |row| row.get(0))?;
    Ok(in_letters(&bytes))
}

/// 5 bits of each byte as a letter: 26 random ones have 130 random bits.
pub(crate) fn in_letters(bytes: &[u8]) -> String {
    let letter = |bits: &u8| char::from(ID_LETTERS[usize::from(bits & 31)]);
    bytes.iter().map(letter).collect()
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
        assert!(first.len() == 26 && first != other, "{first}");
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
    fn an_answer_that_was_kept_before_answers_were_packed_opens() {
        let shop = Shop::in_memory().unwrap();
        let id = shop.keep(&entry("hold 2 kg", 1), "{}").unwrap();
        shop.lock()
            .unwrap()
            .execute("UPDATE desk SET answer = '{\"a\":1}', packed = NULL", [])
            .unwrap();
        assert_eq!(shop.open_answer(&id).unwrap().unwrap().1, "{\"a\":1}");
        shop.complete_answer(&id, "a lead", "{\"a\":2}").unwrap();
        assert_eq!(shop.open_answer(&id).unwrap().unwrap().1, "{\"a\":2}");
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
    fn an_id_does_not_follow_from_the_question() {
        let ids = [0; 2].map(|_| Shop::in_memory().unwrap().keep(&entry("hold 2 kg", 1), "{}").unwrap());
        assert_ne!(ids[0], ids[1]);
    }
}
