//! Sessions: readings of one lot of one magnet with one probe.

use bench::session::LotEntry;
use rusqlite::{Connection, OptionalExtension, Row, params};

use super::{check_id, from_json, json, mark, probes};
use crate::Shop;
use crate::error::{Result, ShopError};

/// The longest name of a lot, characters.
const LONGEST_LOT: usize = 60;

/// A session of readings.
#[derive(Clone, Debug, PartialEq)]
pub struct Session {
    /// Its id.
    pub id: String,
    /// Id of its probe.
    pub probe: String,
    /// Code of the item of the shelf, if it was one.
    pub code: Option<String>,
    /// Name of the lot; may be empty.
    pub lot: String,
    /// Sizes, grade and coating as they were then.
    pub magnet: LotEntry,
    /// When it was begun, s.
    pub begun_at: i64,
}

/// A session in a list.
#[derive(Clone, Debug, PartialEq)]
pub struct SessionEntry {
    /// The session.
    pub session: Session,
    /// Its readings, without those taken back.
    pub readings: u32,
    /// When the newest reading was taken, s.
    pub last_at: Option<i64>,
}

const COLUMNS: &str = "id, probe, code, lot, magnet, begun_at";

/// A session before its JSON is read.
struct Raw {
    session: (String, String, Option<String>, String, i64),
    magnet: String,
}

fn raw(row: &Row<'_>) -> rusqlite::Result<Raw> {
    Ok(Raw {
        session: (
            row.get("id")?,
            row.get("probe")?,
            row.get("code")?,
            row.get("lot")?,
            row.get("begun_at")?,
        ),
        magnet: row.get("magnet")?,
    })
}

fn read(raw: Raw) -> Result<Session> {
    let (id, probe, code, lot, begun_at) = raw.session;
    Ok(Session {
        magnet: from_json("the magnet of a session", &raw.magnet)?,
        id,
        probe,
        code,
        lot,
        begun_at,
    })
}

pub(super) fn find(connection: &Connection, id: &str) -> Result<Option<Session>> {
    one(connection, id, "AND deleted = 0")
}

/// The session of that id, one that was taken away too.
pub(super) fn find_any(connection: &Connection, id: &str) -> Result<Option<Session>> {
    one(connection, id, "")
}

fn one(connection: &Connection, id: &str, and: &str) -> Result<Option<Session>> {
    let found = connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM bench_session WHERE id = ?1 {and}"))?
        .query_row([id], raw)
        .optional()?;
    found.map(read).transpose()
}

impl Session {
    /// What makes its magnet that magnet: code, sizes, grade and coating. Values that were kept of a lot belong to both.
    ///
    /// # Errors
    /// Where its sizes cannot be written.
    pub fn magnet_key(&self) -> Result<String> {
        magnet_key(self.code.as_deref(), &self.magnet)
    }
}

/// What makes a magnet that magnet: code, sizes, grade and coating.
///
/// # Errors
/// Where its sizes cannot be written.
pub fn magnet_key(code: Option<&str>, magnet: &LotEntry) -> Result<String> {
    json(&(code, &magnet.sizes, &magnet.grade, &magnet.coating))
}

/// Refuses a name of a lot that is too long.
fn check_lot(lot: &str) -> Result<()> {
    if lot.chars().count() > LONGEST_LOT {
        return Err(ShopError::Bench(format!(
            "the name of a lot must have at most {LONGEST_LOT} characters"
        )));
    }
    Ok(())
}

impl Shop {
    /// Begins a session. One that is known by that id already is left as it is.
    ///
    /// # Errors
    /// [`ShopError::Bench`] for an id that cannot be, a probe that is not there, or a long name; when the database fails.
    pub fn begin_bench_session(&self, session: &Session) -> Result<Session> {
        check_id(&session.id)?;
        check_lot(&session.lot)?;
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        if probes::find(&transaction, &session.probe)?.is_none() {
            return Err(ShopError::Bench(format!("there is no probe {:?}", session.probe)));
        }
        transaction.execute(
            "INSERT INTO bench_session (id, probe, code, lot, magnet, begun_at) VALUES (?1, ?2, ?3, ?4, ?5, ?6) \
             ON CONFLICT (id) DO NOTHING",
            params![
                session.id,
                session.probe,
                session.code,
                session.lot.trim(),
                json(&session.magnet)?,
                session.begun_at
            ],
        )?;
        let kept = find(&transaction, &session.id)?;
        transaction.commit()?;
        kept.ok_or_else(|| ShopError::Bench(format!("the session {:?} was taken away", session.id)))
    }

    /// The session of that id; `None` where there is none, or it was taken away.
    ///
    /// # Errors
    /// When the database fails.
    pub fn session(&self, id: &str) -> Result<Option<Session>> {
        find(&*self.read()?, id)
    }

    /// The sessions, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn sessions(&self, limit: usize) -> Result<Vec<SessionEntry>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS}, \
             (SELECT count(*) FROM bench_reading r WHERE r.session = bench_session.id AND taken_back = 0) AS readings, \
             (SELECT max(taken_at) FROM bench_reading r WHERE r.session = bench_session.id AND taken_back = 0) AS last_at \
             FROM bench_session WHERE deleted = 0 ORDER BY begun_at DESC, rowid DESC LIMIT ?1"
        ))?;
        let rows = statement.query_map([i64::try_from(limit).unwrap_or(i64::MAX)], |row| {
            Ok((raw(row)?, row.get("readings")?, row.get("last_at")?))
        })?;
        rows.map(|row| {
            let (raw, readings, last_at) = row?;
            Ok(SessionEntry {
                session: read(raw)?,
                readings,
                last_at,
            })
        })
        .collect()
    }

    /// Gives a session another name of its lot and another thickness as measured; whether there was one.
    ///
    /// # Errors
    /// [`ShopError::Bench`] for a long name; when the database fails.
    pub fn amend_session(&self, id: &str, lot: &str, magnet: &LotEntry) -> Result<bool> {
        check_lot(lot)?;
        let changed = self.lock()?.execute(
            "UPDATE bench_session SET lot = ?2, magnet = ?3 WHERE id = ?1 AND deleted = 0",
            params![id, lot.trim(), json(magnet)?],
        )?;
        Ok(changed == 1)
    }

    /// Takes a session away with its readings; values that were kept of it stay. Whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn remove_session(&self, id: &str) -> Result<bool> {
        mark(&*self.lock()?, "bench_session", "deleted", id, true)
    }

    /// Brings a session back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn restore_session(&self, id: &str) -> Result<bool> {
        mark(&*self.lock()?, "bench_session", "deleted", id, false)
    }
}
