//! Lots that were inspected, for how strictly the next one is.

use bench::sampling::Severity;
use rusqlite::types::Type;
use rusqlite::{Row, params};

use super::sessions;
use crate::Shop;
use crate::error::{Result, ShopError};

/// A lot that was inspected, and what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Inspected {
    /// The session in which it was read.
    pub session: String,
    /// Pieces delivered.
    pub lot_size: u32,
    /// Inspection level.
    pub level: String,
    /// Acceptance quality limit, per cent nonconforming.
    pub aql: f64,
    /// How strictly it was inspected.
    pub severity: Severity,
    /// Bad pieces in the sample.
    pub bad: u32,
    /// When that was noted, s.
    pub noted_at: i64,
}

fn severity_name(severity: Severity) -> &'static str {
    match severity {
        Severity::Normal => "normal",
        Severity::Tightened => "tightened",
        Severity::Reduced => "reduced",
    }
}

fn read(row: &Row<'_>) -> rusqlite::Result<Inspected> {
    let name: String = row.get("severity")?;
    let severity = [Severity::Normal, Severity::Tightened, Severity::Reduced]
        .into_iter()
        .find(|&s| severity_name(s) == name)
        .ok_or_else(|| rusqlite::Error::FromSqlConversionFailure(0, Type::Text, "severity of an inspection".into()))?;
    Ok(Inspected {
        session: row.get("session")?,
        lot_size: row.get("lot_size")?,
        level: row.get("level")?,
        aql: row.get("aql")?,
        severity,
        bad: row.get("bad")?,
        noted_at: row.get("noted_at")?,
    })
}

impl Shop {
    /// Notes what was found of a lot, in place of what was noted of it before.
    ///
    /// # Errors
    /// [`ShopError::Bench`] for a session that is not there; when the database fails.
    pub fn note_inspection(&self, lot: &Inspected) -> Result<()> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        if sessions::find(&transaction, &lot.session)?.is_none() {
            return Err(ShopError::Bench(format!("there is no session {:?}", lot.session)));
        }
        transaction.execute(
            "INSERT INTO bench_inspection (session, lot_size, level, aql, severity, bad, noted_at) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (session) DO UPDATE SET lot_size = excluded.lot_size, \
             level = excluded.level, aql = excluded.aql, severity = excluded.severity, bad = excluded.bad, \
             noted_at = CASE removed WHEN 1 THEN excluded.noted_at ELSE noted_at END, removed = 0",
            params![
                lot.session,
                lot.lot_size,
                lot.level,
                lot.aql,
                severity_name(lot.severity),
                lot.bad,
                lot.noted_at
            ],
        )?;
        transaction.commit()?;
        Ok(())
    }

    /// The lots that were inspected, with their sessions, in the order in which they were noted. A session that was taken
    /// away still counts.
    ///
    /// # Errors
    /// When the database fails.
    pub fn inspections(&self) -> Result<Vec<(super::Session, Inspected)>> {
        let connection = self.read()?;
        let lots: Vec<Inspected> = connection
            .prepare_cached(
                "SELECT session, lot_size, level, aql, severity, bad, noted_at FROM bench_inspection \
                 WHERE removed = 0 ORDER BY noted_at, rowid",
            )?
            .query_map([], read)?
            .collect::<Result<_, _>>()?;
        let mut out = Vec::with_capacity(lots.len());
        for lot in lots {
            if let Some(session) = sessions::find_any(&connection, &lot.session)? {
                out.push((session, lot));
            }
        }
        Ok(out)
    }

    /// Takes back what was noted of a lot; whether there was anything.
    ///
    /// # Errors
    /// When the database fails.
    pub fn remove_inspection(&self, session: &str) -> Result<bool> {
        let changed = self.lock()?.execute(
            "UPDATE bench_inspection SET removed = 1 WHERE session = ?1 AND removed = 0",
            [session],
        )?;
        Ok(changed == 1)
    }
}
