//! A shop's data: its shelf of magnets and steel parts with prices and stock, its own grades, and the desk of answers.
//!
//! A [`Shop`] is one database file. Each call either does all of its work or leaves the shop as it was. Price lists
//! come in through [`import`] and go out through [`export`]; [`demo`] makes an invented shop to try things on.

pub mod demo;
pub mod desk;
pub mod export;
pub mod import;

mod database;
mod error;
mod exact;
mod grades;
mod journal;
mod lots;
mod product;
mod rows;
mod settings;
mod shelf;

use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use rusqlite::Connection;

pub use error::{Result, ShopError};
pub use lots::Lot;
pub use product::Product;
pub use settings::Settings;
pub use shelf::Snapshot;

/// One shop: a database that is open. May be shared between threads; calls take turns.
#[derive(Debug)]
pub struct Shop {
    connection: Mutex<Connection>,
}

impl Shop {
    /// Opens the shop in the file at `path`, making it if there is no such file or it is empty.
    ///
    /// # Errors
    /// A file that is not a database, the database of another program, one written by a newer version, or one that
    /// cannot be read. Such a file is left untouched.
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        database::open(path.as_ref()).map(Self::from_connection)
    }

    /// An empty shop that is gone when dropped.
    ///
    /// # Errors
    /// When the database library cannot start.
    pub fn in_memory() -> Result<Self> {
        database::in_memory().map(Self::from_connection)
    }

    /// Writes a complete copy of the shop to the file `to`, while others may go on using it.
    ///
    /// The copy appears under its name only when it is complete. An existing file is replaced only if `overwrite`.
    ///
    /// # Errors
    /// When `to` exists and `overwrite` is false, when `to` is the open database itself, or it cannot be written.
    pub fn backup(&self, to: impl AsRef<Path>, overwrite: bool) -> Result<()> {
        database::backup(&self.lock(), to.as_ref(), overwrite)
    }

    fn from_connection(connection: Connection) -> Self {
        Self {
            connection: Mutex::new(connection),
        }
    }

    /// A thread that panicked with the lock held has rolled its transaction back, so the database is whole.
    fn lock(&self) -> MutexGuard<'_, Connection> {
        self.connection.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
