//! Probes of the shop.

use bench::Probe;
use rusqlite::{Connection, OptionalExtension, Row, params};

use super::{check_id, from_json, json, mark, moves_predictions};
use crate::Shop;
use crate::error::{Result, ShopError};

/// A probe of the shop, as it was entered.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptProbe {
    /// Its id.
    pub id: String,
    /// The probe.
    pub probe: Probe,
    /// Whether it is the one that the shop usually reads with.
    pub usual: bool,
}

const COLUMNS: &str = "id, probe, usual";

/// A row before its JSON is read.
type Raw = (String, String, bool);

fn raw(row: &Row<'_>) -> rusqlite::Result<Raw> {
    Ok((row.get("id")?, row.get("probe")?, row.get("usual")?))
}

fn read((id, text, usual): Raw) -> Result<KeptProbe> {
    let probe = from_json("a probe", &text)?;
    Ok(KeptProbe { id, probe, usual })
}

/// The probe of that id, one that was taken away among them.
pub(super) fn find(connection: &Connection, id: &str) -> Result<Option<KeptProbe>> {
    let found = connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM probe WHERE id = ?1"))?
        .query_row([id], raw)
        .optional()?;
    found.map(read).transpose()
}

impl Shop {
    /// The probes, in the order in which they were entered.
    ///
    /// # Errors
    /// When the database fails.
    pub fn probes(&self) -> Result<Vec<KeptProbe>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM probe WHERE deleted = 0 ORDER BY made_at, id"
        ))?;
        let rows = statement.query_map([], raw)?;
        rows.map(|row| read(row?)).collect()
    }

    /// The probe of that id; one that was taken away too, since its sessions stay.
    ///
    /// # Errors
    /// When the database fails.
    pub fn probe(&self, id: &str) -> Result<Option<KeptProbe>> {
        find(&*self.read()?, id)
    }

    /// The probe that the shop usually reads with, if it has named one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn usual_probe(&self) -> Result<Option<KeptProbe>> {
        usual(&*self.read()?)
    }

    /// Keeps a probe: a new one, or other values of one that is known. The first is the usual one.
    ///
    /// # Errors
    /// [`ShopError::Bench`] for values that no probe has and a name that another probe has; when the database fails.
    pub fn put_probe(&self, id: &str, probe: &Probe, at: i64) -> Result<KeptProbe> {
        check_id(id)?;
        probe.validate().map_err(|e| ShopError::Bench(e.to_string()))?;
        if probe.name.trim().is_empty() {
            return Err(ShopError::Bench("a probe needs a name".into()));
        }
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let others: Vec<(String, String)> = transaction
            .prepare("SELECT id, probe FROM probe WHERE id <> ?1 AND deleted = 0")?
            .query_map([id], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        for (_, text) in &others {
            if from_json::<Probe>("a probe", text)?.name.trim() == probe.name.trim() {
                return Err(ShopError::Bench(format!(
                    "there is a probe {:?} already; give this one another name",
                    probe.name.trim()
                )));
            }
        }
        let before = usual(&transaction)?;
        transaction.execute(
            "INSERT INTO probe (id, probe, usual, made_at) VALUES (?1, ?2, ?3, ?4) \
             ON CONFLICT (id) DO UPDATE SET probe = excluded.probe, deleted = 0",
            params![id, json(probe)?, others.is_empty() && !has_usual(&transaction)?, at],
        )?;
        let kept = find(&transaction, id)?;
        note_usual(&transaction, before.as_ref())?;
        transaction.commit()?;
        kept.ok_or_else(|| ShopError::Damaged("a probe that was not kept".into()))
    }

    /// Names the probe that the shop usually reads with, or none.
    ///
    /// # Errors
    /// [`ShopError::Bench`] where there is no such probe; when the database fails.
    pub fn set_usual_probe(&self, id: Option<&str>) -> Result<()> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let before = usual(&transaction)?;
        transaction.execute("UPDATE probe SET usual = 0 WHERE usual = 1", [])?;
        if let Some(id) = id {
            let named = transaction.execute("UPDATE probe SET usual = 1 WHERE id = ?1 AND deleted = 0", [id])?;
            if named == 0 {
                return Err(ShopError::Bench(format!("there is no probe {id:?}")));
            }
        }
        note_usual(&transaction, before.as_ref())?;
        transaction.commit()?;
        Ok(())
    }

    /// Takes a probe away; its sessions stay. Whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn remove_probe(&self, id: &str) -> Result<bool> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let before = usual(&transaction)?;
        let removed = mark(&transaction, "probe", "deleted", id, true)?;
        transaction.execute("UPDATE probe SET usual = 0 WHERE id = ?1", [id])?;
        note_usual(&transaction, before.as_ref())?;
        transaction.commit()?;
        Ok(removed)
    }

    /// Brings a probe back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn restore_probe(&self, id: &str) -> Result<bool> {
        mark(&*self.lock()?, "probe", "deleted", id, false)
    }
}

/// The probe that the shop usually reads with.
fn usual(connection: &Connection) -> Result<Option<KeptProbe>> {
    let found = connection
        .prepare_cached(&format!("SELECT {COLUMNS} FROM probe WHERE usual = 1 AND deleted = 0"))?
        .query_row([], raw)
        .optional()?;
    found.map(read).transpose()
}

/// Notes where the usual probe is another than before, or known otherwise.
fn note_usual(connection: &Connection, before: Option<&KeptProbe>) -> Result<()> {
    let now = usual(connection)?;
    if now.as_ref() == before {
        return Ok(());
    }
    moves_predictions(connection, now.as_ref().map_or("", |probe| probe.probe.name.as_str()))
}

fn has_usual(connection: &Connection) -> Result<bool> {
    Ok(
        connection.query_row("SELECT EXISTS (SELECT 1 FROM probe WHERE usual = 1)", [], |row| {
            row.get(0)
        })?,
    )
}
