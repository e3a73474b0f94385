//! The bench: probes, sessions of readings, and values that were kept of them.
//!
//! Ids are made by whoever adds something, so that a call that is made again, after a line that broke, adds nothing. What is
//! taken away can be brought back. Times are given by the caller, in seconds since 1970-01-01 UTC.

mod inspections;
mod probes;
mod readings;
mod results;
mod sessions;

#[cfg(test)]
mod tests;

pub use inspections::Inspected;
pub use probes::KeptProbe;
pub use readings::{Standing, Taken, line_id};
pub use results::{Kept, KeptParameter, Subject};
pub use sessions::{Session, SessionEntry, magnet_key};

use rusqlite::{Connection, params};

use crate::error::{Result, ShopError};
use crate::journal::{self, Kind};

/// The longest id.
const LONGEST_ID: usize = 64;

/// Refuses an id that is empty, long, or has other signs than letters, digits, `-` and `_`.
fn check_id(id: &str) -> Result<()> {
    let plain = |b: u8| b.is_ascii_alphanumeric() || b == b'-' || b == b'_';
    if !id.is_empty() && id.len() <= LONGEST_ID && id.bytes().all(plain) {
        Ok(())
    } else {
        Err(ShopError::Bench(format!(
            "an id must have 1 to {LONGEST_ID} letters, digits, - or _, got {:?}",
            id.chars().take(LONGEST_ID).collect::<String>()
        )))
    }
}

/// What is written as JSON into a cell.
fn json<T: serde::Serialize>(value: &T) -> Result<String> {
    serde_json::to_string(value).map_err(|error| ShopError::Bench(error.to_string()))
}

/// What a cell of JSON says.
fn from_json<T: serde::de::DeserializeOwned>(what: &str, text: &str) -> Result<T> {
    serde_json::from_str(text).map_err(|error| ShopError::Damaged(format!("{what} that does not read: {error}")))
}

/// Notes a change of what predictions know of lots and of the usual probe: what is asked again may be answered otherwise.
fn moves_predictions(connection: &Connection, what: &str) -> Result<()> {
    journal::begin(connection, Kind::Bench, what)?;
    Ok(())
}

/// Marks a row as taken away or brought back; whether there was one that was not so.
fn mark(connection: &Connection, table: &str, column: &str, id: &str, away: bool) -> Result<bool> {
    let changed = connection.execute(
        &format!("UPDATE {table} SET {column} = ?2 WHERE id = ?1 AND {column} = ?3"),
        params![id, away, !away],
    )?;
    Ok(changed == 1)
}
