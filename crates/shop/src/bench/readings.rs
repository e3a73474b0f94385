//! Readings, each saved by itself.

use bench::{Pole, Reading, Value};
use quantity::{FluxDensity, Force, Length, Temperature};
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension, Row, params};
use sha2::{Digest, Sha256};

use super::{check_id, mark, sessions};
use crate::Shop;
use crate::error::{Result, ShopError};

/// Whether a reading counts in fits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Standing {
    /// Unless the others contradict it.
    #[default]
    Judged,
    /// In any case.
    Counted,
    /// In no case.
    LeftOut,
}

impl Standing {
    /// Its name in the database and the interface.
    pub fn name(self) -> &'static str {
        match self {
            Self::Judged => "judged",
            Self::Counted => "counted",
            Self::LeftOut => "left_out",
        }
    }

    /// The one of that name.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Judged, Self::Counted, Self::LeftOut]
            .into_iter()
            .find(|s| s.name() == name)
    }
}

/// A reading that was taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// Its id, made by whoever took it.
    pub id: String,
    /// When, s.
    pub taken_at: i64,
    /// The reading; its lot is number 0.
    pub reading: Reading,
    /// The unit that it was given in.
    pub unit: String,
    /// Whether it counts.
    pub standing: Standing,
}

const COLUMNS: &str =
    "id, taken_at, kind, value, unit, pieces, spacer, along, across, pole, temperature, note, standing, plate";

/// The longest note, characters.
const LONGEST_NOTE: usize = 500;
/// Most readings of a session.
const MOST_READINGS: i64 = 5000;

fn kind_name(value: Value) -> &'static str {
    match value {
        Value::FluxDensity(_) => "flux_density",
        Value::Pull(_) => "pull",
        Value::Moment(_) => "moment",
    }
}

/// A cell that this program did not write.
fn odd(column: &str) -> rusqlite::Error {
    let what = format!("{column} of a reading");
    rusqlite::Error::FromSqlConversionFailure(0, Type::Text, what.into())
}

fn read(row: &Row<'_>) -> rusqlite::Result<Taken> {
    let (kind, value): (String, f64) = (row.get("kind")?, row.get("value")?);
    let value = match kind.as_str() {
        "flux_density" => Value::FluxDensity(FluxDensity(value)),
        "pull" => Value::Pull(Force(value)),
        "moment" => Value::Moment(value),
        _ => return Err(odd("kind")),
    };
    let pole: Option<String> = row.get("pole")?;
    let plate: Option<String> = row.get("plate")?;
    let standing: String = row.get("standing")?;
    Ok(Taken {
        id: row.get("id")?,
        taken_at: row.get("taken_at")?,
        unit: row.get("unit")?,
        standing: Standing::named(&standing).ok_or_else(|| odd("standing"))?,
        reading: Reading {
            lot: 0,
            pieces: row.get("pieces")?,
            spacer: Length(row.get("spacer")?),
            along: Length(row.get("along")?),
            across: Length(row.get("across")?),
            pole: match pole.as_deref() {
                None => None,
                Some("north") => Some(Pole::North),
                Some("south") => Some(Pole::South),
                Some(_) => return Err(odd("pole")),
            },
            temperature: Temperature(row.get("temperature")?),
            value,
            note: row.get("note")?,
            plate: match plate {
                None => None,
                Some(text) => Some(serde_json::from_str(&text).map_err(|_| odd("plate"))?),
            },
        },
    })
}

/// A reading wherever it is, with its session and whether it was taken back.
fn find(connection: &Connection, id: &str) -> Result<Option<(Taken, String, bool)>> {
    Ok(connection
        .prepare_cached(&format!(
            "SELECT {COLUMNS}, session, taken_back FROM bench_reading WHERE id = ?1"
        ))?
        .query_row([id], |row| {
            Ok((read(row)?, row.get("session")?, row.get("taken_back")?))
        })
        .optional()?)
}

/// Adds one reading to a session; whether it is new. One of the same id and content is there already; it stays taken back
/// where it was.
fn add(connection: &Connection, session: &str, taken: &Taken) -> Result<bool> {
    check_id(&taken.id)?;
    let reading = &taken.reading;
    reading
        .validate()
        .map_err(|error| ShopError::Bench(error.to_string()))?;
    if reading.note.chars().count() > LONGEST_NOTE {
        return Err(ShopError::Bench(format!(
            "a note must have at most {LONGEST_NOTE} characters"
        )));
    }
    if let Some((known, of, _)) = find(connection, &taken.id)? {
        return if of == session && known.reading == taken.reading {
            Ok(false)
        } else {
            Err(ShopError::Bench(format!(
                "the id {:?} is that of another reading; make a new one for each reading",
                taken.id
            )))
        };
    }
    let number: i64 = connection
        .prepare_cached("SELECT coalesce(max(number), 0) + 1 FROM bench_reading WHERE session = ?1")?
        .query_row([session], |row| row.get(0))?;
    if number > MOST_READINGS {
        return Err(ShopError::Bench(format!(
            "a session takes at most {MOST_READINGS} readings; begin another"
        )));
    }
    connection
        .prepare_cached(&format!(
            "INSERT INTO bench_reading ({COLUMNS}, session, number) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)"
        ))?
        .execute(params![
            taken.id,
            taken.taken_at,
            kind_name(reading.value),
            reading.value.si(),
            taken.unit,
            reading.pieces,
            reading.spacer.si(),
            reading.along.si(),
            reading.across.si(),
            reading.pole.map(|pole| match pole {
                Pole::North => "north",
                Pole::South => "south",
            }),
            reading.temperature.si(),
            reading.note,
            taken.standing.name(),
            reading.plate.as_ref().map(super::json).transpose()?,
            session,
            number
        ])?;
    Ok(true)
}

/// An id for a line of a file, the same each time: a file that is read in again adds nothing.
pub fn line_id(session: &str, file: &[u8], line: u32) -> String {
    let mut hash = Sha256::new();
    hash.update(session.as_bytes());
    hash.update([0]);
    hash.update(file);
    let digest = hash.finalize();
    let letters: String = digest.iter().take(12).map(|byte| format!("{byte:02x}")).collect();
    format!("f{letters}-{line}")
}

impl Shop {
    /// Adds readings to a session, all of them or none; how many of them are new. They are on the disk when this returns, so
    /// that a machine that stops loses none. One that is known by its id already is not added again, and one that was taken
    /// back since does not come back.
    ///
    /// # Errors
    /// [`ShopError::Bench`] where there is no such session, for a value that no reading has, and for an id that stands for
    /// another reading; when the database fails.
    pub fn add_readings(&self, session: &str, taken: &[Taken]) -> Result<usize> {
        let mut connection = self.lock()?;
        connection.pragma_update(None, "synchronous", "FULL")?;
        let added = (|| {
            let transaction = connection.transaction()?;
            if sessions::find(&transaction, session)?.is_none() {
                return Err(ShopError::Bench(format!("there is no session {session:?}")));
            }
            let mut added = 0;
            for one in taken {
                added += usize::from(add(&transaction, session, one)?);
            }
            transaction.commit()?;
            Ok(added)
        })();
        connection.pragma_update(None, "synchronous", "NORMAL")?;
        added
    }

    /// The readings of a session in the order in which they came, without those taken back.
    ///
    /// # Errors
    /// When the database fails.
    pub fn readings(&self, session: &str) -> Result<Vec<Taken>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "SELECT {COLUMNS} FROM bench_reading WHERE session = ?1 AND taken_back = 0 ORDER BY number"
        ))?;
        let rows = statement.query_map([session], read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Says whether a reading counts; whether there is one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn set_standing(&self, id: &str, standing: Standing) -> Result<bool> {
        let changed = self.lock()?.execute(
            "UPDATE bench_reading SET standing = ?2 WHERE id = ?1",
            params![id, standing.name()],
        )?;
        Ok(changed == 1)
    }

    /// Takes a reading back; whether there was one that was not.
    ///
    /// # Errors
    /// When the database fails.
    pub fn take_back(&self, id: &str) -> Result<bool> {
        mark(&*self.lock()?, "bench_reading", "taken_back", id, true)
    }

    /// Brings a reading back that was taken back; whether there was one.
    ///
    /// # Errors
    /// When the database fails.
    pub fn restore_reading(&self, id: &str) -> Result<bool> {
        mark(&*self.lock()?, "bench_reading", "taken_back", id, false)
    }

    /// Whether a reading of that id was ever taken.
    ///
    /// # Errors
    /// When the database fails.
    pub fn has_reading(&self, id: &str) -> Result<bool> {
        Ok(find(&*self.read()?, id)?.is_some())
    }
}
