//! A shop's data: its shelf of magnets and steel parts with prices and stock, its own grades, the desk of answers, and the
//! bench.
//!
//! A [`Shop`] is one database file. Each call either does all of its work or leaves the shop as it was. Price lists
//! come in through [`import`] and go out through [`export`]; [`demo`] makes an invented shop to try things on.

pub mod bench;
pub mod demo;
pub mod desk;
pub mod entries;
pub mod export;
pub mod import;

mod backups;
mod check;
mod copy;
mod database;
mod error;
mod exact;
mod file;
mod grades;
mod journal;
mod lessons;
mod letterhead;
mod life;
mod lots;
mod opened;
mod packed;
mod people;
mod product;
mod quotations;
mod released;
mod restore;
mod rows;
mod sent;
mod settings;
mod shelf;
mod undo;

use std::ops::{Deref, DerefMut};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use rusqlite::{Connection, MAIN_DB};

pub use backups::{KEPT_BACKUPS, backups};
pub use error::{Result, ShopError};
use file::Identity;
pub use letterhead::{Letterhead, Paper};
pub use lots::Lot;
use opened::{Fate, Opened};
pub use people::{Deed, Person, Role};
pub use product::Product;
pub use quotations::Issued;
pub use released::Released;
pub use restore::{Restored, restore};
pub use rows::Unread;
pub use sent::SentPaper;
pub use settings::{Settings, Told};
pub use shelf::Snapshot;
pub use undo::Undone;

/// One shop: a database that is open. May be shared between threads: changes take turns, reading goes on beside them.
#[derive(Debug)]
pub struct Shop {
    /// Its file; `None` for one in memory.
    path: Option<PathBuf>,
    /// `None` in memory, where there is but one connection. It is closed before the other, which writes the log into the file.
    reader: Option<Mutex<Opened>>,
    writer: Mutex<Opened>,
    /// Counts how often the file was found replaced.
    replaced: AtomicU64,
}

/// So many times is a file looked at that cannot be read: the database library may be writing it.
const LOOKS: u32 = 5;
/// Each look waits so much longer than the one before.
const BETWEEN_LOOKS: Duration = Duration::from_millis(50);

/// A connection, for one thread at a time.
#[derive(Debug)]
pub(crate) struct Guard<'a>(MutexGuard<'a, Opened>);

impl Deref for Guard<'_> {
    type Target = Connection;

    fn deref(&self) -> &Connection {
        self.0.connection()
    }
}

impl DerefMut for Guard<'_> {
    fn deref_mut(&mut self) -> &mut Connection {
        self.0.connection_mut()
    }
}

impl Shop {
    /// Opens the shop in the file at `path`, making it if there is no such file or it is empty. One that cannot be written
    /// can be read.
    ///
    /// # Errors
    /// A file that is not a database, the database of another program, one written by a newer version, or one that
    /// cannot be read. Such a file is left untouched.
    pub fn open(path: impl AsRef<Path>) -> Result<Self> {
        let path = path.as_ref();
        let writer = Self::opened(path, database::open)?;
        // Where the writer can but read, the other could do no more.
        let reader = if writer.connection().is_readonly(MAIN_DB)? {
            None
        } else {
            Some(Mutex::new(Opened::new(path, database::open_reading)?))
        };
        Ok(Self {
            path: Some(path.to_owned()),
            writer: Mutex::new(writer),
            reader,
            replaced: AtomicU64::new(0),
        })
    }

    /// Opens the shop in the file at `path` for reading: every change is refused.
    ///
    /// # Errors
    /// As [`Self::open`], and where there is no such file.
    pub fn open_for_reading(path: impl AsRef<Path>) -> Result<Self> {
        let path = path.as_ref();
        let writer = Self::opened(path, database::open_reading)?;
        Ok(Self {
            path: Some(path.to_owned()),
            writer: Mutex::new(writer),
            reader: None,
            replaced: AtomicU64::new(0),
        })
    }

    /// An empty shop that is gone when dropped.
    ///
    /// # Errors
    /// When the database library cannot start.
    pub fn in_memory() -> Result<Self> {
        Ok(Self {
            path: None,
            writer: Mutex::new(Opened::in_memory(database::in_memory()?)),
            reader: None,
            replaced: AtomicU64::new(0),
        })
    }

    /// Its file; `None` for a shop in memory.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The folder of the dated copies that are made of it; `None` for a shop in memory.
    pub fn backup_folder(&self) -> Option<PathBuf> {
        self.path().map(backups::folder)
    }

    /// The version of the form that its data have.
    pub fn schema(&self) -> usize {
        database::schema()
    }

    /// How often its file was found replaced by another since it was opened: what was read before may be of another shop.
    pub fn replaced(&self) -> u64 {
        self.replaced.load(Ordering::Relaxed)
    }

    /// Whether it can be changed.
    ///
    /// # Errors
    /// When the file is gone.
    pub fn is_writable(&self) -> Result<bool> {
        Ok(!self.lock()?.is_readonly(MAIN_DB)?)
    }

    /// 256 random bits as letters and digits, for what nobody may guess. The database library is seeded by the system.
    ///
    /// # Errors
    /// When the database fails.
    pub fn token(&self) -> Result<String> {
        let token = self
            .read()?
            .query_row("SELECT lower(hex(randomblob(32)))", [], |row| row.get(0))?;
        Ok(token)
    }

    /// Writes a complete copy of the shop to the file `to`, while others may go on using it.
    ///
    /// The copy appears under its name only when it is complete. An existing file is replaced only if `overwrite`.
    ///
    /// # Errors
    /// When `to` exists and `overwrite` is false, when `to` is the open database itself, or it cannot be written.
    pub fn backup(&self, to: impl AsRef<Path>, overwrite: bool) -> Result<()> {
        copy::whole(&*self.read()?, to.as_ref(), overwrite)
    }

    /// A dated copy of the shop before a change, unless there is nothing in it yet or it is in memory.
    pub(crate) fn backup_before(&self, connection: &Connection, change: &str) -> Result<()> {
        let Some(path) = &self.path else { return Ok(()) };
        if journal::revision(connection)? > 0 {
            backups::automatic(connection, path, change)?;
        }
        Ok(())
    }

    /// Whether all of it can be read now, from the file and not from what is held of it.
    ///
    /// # Errors
    /// When its file is gone or damaged, or is none of a shop any more.
    pub fn look(&self) -> Result<()> {
        let connection = self.read()?;
        // What is held of the file does not say that it can be read.
        if !(0..LOOKS).any(|look| {
            std::thread::sleep(BETWEEN_LOOKS * look);
            connection.0.is_legible()
        }) {
            return Err(ShopError::Damaged("what cannot be read".into()));
        }
        connection.execute_batch("PRAGMA shrink_memory")?;
        check::legible(&connection)
    }

    /// The connection for changes. A thread that panicked with it has rolled its transaction back, so the database is whole.
    pub(crate) fn lock(&self) -> Result<Guard<'_>> {
        self.current(&self.writer, database::open)
    }

    /// The connection for reading, which goes on while another thread changes the shop.
    pub(crate) fn read(&self) -> Result<Guard<'_>> {
        match &self.reader {
            Some(reader) => self.current(reader, database::open_reading),
            None => self.lock(),
        }
    }

    /// A connection, opened again where its file was replaced by another.
    fn current<'a>(
        &self,
        held: &'a Mutex<Opened>,
        open: impl FnOnce(&Path) -> Result<Connection>,
    ) -> Result<Guard<'a>> {
        let mut held = held.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(path) = &self.path {
            if Identity::of(path).is_none() {
                return Err(ShopError::Gone(path.clone()));
            }
            match held.fate() {
                Fate::Same => {}
                Fate::Replaced => {
                    held.forget_log();
                    *held = Opened::new(path, open)?;
                    self.replaced.fetch_add(1, Ordering::Relaxed);
                }
                Fate::WrittenOver => {
                    if database::has_log(path) {
                        restore::take_over(path)?;
                    } else {
                        // It is all there is: no log says anything else.
                        *held = Opened::new(path, open)?;
                    }
                    self.replaced.fetch_add(1, Ordering::Relaxed);
                }
            }
        }
        Ok(Guard(held))
    }

    /// Opens a connection; where another program has written over the file, that is taken first.
    fn opened(path: &Path, open: fn(&Path) -> Result<Connection>) -> Result<Opened> {
        let mut opened = Opened::new(path, open)?;
        // Where nothing can be written, the shop is read as it lies.
        if opened.fate() == Fate::WrittenOver && restore::take_over(path).is_ok() {
            opened = Opened::new(path, open)?;
        }
        Ok(opened)
    }
}
