//! Values of a probe or a lot that were found in a session and are used from then on.

use rusqlite::types::Type;
use rusqlite::{Row, params};

use super::{check_id, mark, moves_predictions, sessions};
use crate::Shop;
use crate::error::{Result, ShopError};

/// What can be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeptParameter {
    /// Depth of a probe's element, m.
    Depth,
    /// Gain of a probe.
    Gain,
    /// What a probe misses at 1 T.
    FallOff,
    /// Effective remanence of a lot over the usual one of its grade.
    Scale,
    /// What each piece of a lot is thicker than listed, m.
    Thickness,
}

impl KeptParameter {
    const ALL: [Self; 5] = [Self::Depth, Self::Gain, Self::FallOff, Self::Scale, Self::Thickness];

    /// Its name in the database and the interface.
    pub fn name(self) -> &'static str {
        match self {
            Self::Depth => "depth",
            Self::Gain => "gain",
            Self::FallOff => "fall_off",
            Self::Scale => "scale",
            Self::Thickness => "thickness",
        }
    }

    /// The one of that name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|p| p.name() == name)
    }

    /// Whether it is of a probe, not of a lot.
    pub fn of_probe(self) -> bool {
        matches!(self, Self::Depth | Self::Gain | Self::FallOff)
    }
}

/// What a value is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The probe of that id.
    Probe(String),
    /// A lot of a magnet, by [`super::Session::magnet_key`] and the name of the lot.
    Lot {
        /// The magnet.
        magnet: String,
        /// The lot.
        lot: String,
    },
}

impl Subject {
    /// The code of the item of the shelf whose lot it is, if it was one.
    pub fn code(&self) -> Option<String> {
        let Self::Lot { magnet, .. } = self else { return None };
        let parts: Vec<serde_json::Value> = serde_json::from_str(magnet).ok()?;
        parts.first()?.as_str().map(str::to_owned)
    }
}

/// A value that was kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Its id, made by whoever keeps it.
    pub id: String,
    /// The session that it was found in.
    pub session: String,
    /// What it is of.
    pub subject: Subject,
    /// What it is.
    pub parameter: KeptParameter,
    /// Its value, in SI.
    pub value: f64,
    /// Its standard uncertainty.
    pub standard: f64,
    /// Readings that it rests on.
    pub readings: u32,
    /// When it was kept, s.
    pub kept_at: i64,
}

const COLUMNS: &str = "id, session, probe, magnet, lot, parameter, value, standard, readings, kept_at";

fn read(row: &Row<'_>) -> rusqlite::Result<Kept> {
    let odd = || rusqlite::Error::FromSqlConversionFailure(0, Type::Text, "a kept value".into());
    let parameter: String = row.get("parameter")?;
    let subject = match (row.get("probe")?, row.get("magnet")?, row.get("lot")?) {
        (Some(probe), None, None) => Subject::Probe(probe),
        (None, Some(magnet), Some(lot)) => Subject::Lot { magnet, lot },
        _ => return Err(odd()),
    };
    Ok(Kept {
        id: row.get("id")?,
        session: row.get("session")?,
        subject,
        parameter: KeptParameter::named(&parameter).ok_or_else(odd)?,
        value: row.get("value")?,
        standard: row.get("standard")?,
        readings: row.get("readings")?,
        kept_at: row.get("kept_at")?,
    })
}

impl Shop {
    /// Keeps a value. One of the same probe or lot that was kept before is used no longer, unless this one is removed.
    ///
    /// # Errors
    /// [`ShopError::Bench`] for a session that is not there, a value that is not finite, or an uncertainty that is not above 0;
    /// when the database fails.
    pub fn keep_result(&self, kept: &Kept) -> Result<()> {
        check_id(&kept.id)?;
        if !(kept.value.is_finite() && kept.standard.is_finite() && kept.standard > 0.0) {
            return Err(ShopError::Bench(
                "the readings do not tell this value; take further ones before it is kept".into(),
            ));
        }
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        if sessions::find(&transaction, &kept.session)?.is_none() {
            return Err(ShopError::Bench(format!("there is no session {:?}", kept.session)));
        }
        let (probe, magnet, lot) = match &kept.subject {
            Subject::Probe(probe) => (Some(probe), None, None),
            Subject::Lot { magnet, lot } => (None, Some(magnet), Some(lot)),
        };
        let added = transaction.execute(
            &format!(
                "INSERT INTO bench_result ({COLUMNS}) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) \
                 ON CONFLICT (id) DO NOTHING"
            ),
            params![
                kept.id,
                kept.session,
                probe,
                magnet,
                lot,
                kept.parameter.name(),
                kept.value,
                kept.standard,
                kept.readings,
                kept.kept_at
            ],
        )?;
        if added == 1 {
            moves_predictions(&transaction, kept.parameter.name())?;
        }
        transaction.commit()?;
        Ok(())
    }

    /// All values that were kept and not removed, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn results(&self) -> Result<Vec<Kept>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM bench_result WHERE removed = 0 ORDER BY kept_at DESC, rowid DESC"
        ))?;
        let rows = statement.query_map([], read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Removes a value that was kept; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn remove_result(&self, id: &str) -> Result<bool> {
        self.mark_result(id, true)
    }

    /// Brings a removed value back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn restore_result(&self, id: &str) -> Result<bool> {
        self.mark_result(id, false)
    }

    fn mark_result(&self, id: &str, removed: bool) -> Result<bool> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let changed = mark(&transaction, "bench_result", "removed", id, removed)?;
        if changed {
            moves_predictions(&transaction, id)?;
        }
        transaction.commit()?;
        Ok(changed)
    }
}
