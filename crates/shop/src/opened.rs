//! A connection that knows the file it stands on, and leaves alone what belongs to another file of that name.
//!
//! The database library keeps the log of changes in a file beside the database, under its name. After the database was
//! replaced, that log would be taken for one of the new file and undo it; and a connection to the old file that is closed
//! would remove the log of the new one.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags};

use crate::database::{self, READING};
use crate::error::Result;
use crate::file::{Identity, Touch, log_of};
use crate::life::{self, Life, Seen};

/// A connection with the file and the log that it was opened on.
#[derive(Debug)]
pub(crate) struct Opened {
    connection: Connection,
    /// `None` in memory.
    place: Option<Place>,
}

#[derive(Debug)]
struct Place {
    path: PathBuf,
    file: Option<Identity>,
    log: Option<Identity>,
    /// When the file was written last, as far as it was looked into.
    touch: Option<Touch>,
    /// What the file said of itself then.
    life: Option<Life>,
}

/// What has become of the file under a connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fate {
    /// It is the same.
    Same,
    /// Another stands under its name.
    Replaced,
    /// It was written over in place by something else than the database library.
    WrittenOver,
}

/// What the file at `path` says of itself, whatever the log beside it says.
pub(crate) fn in_file(path: &Path) -> Seen {
    // By the database library: a file that this program opened and closed itself would lose the locks it has on it.
    let opened = Connection::open_with_flags(database::unchanging(path), READING | OpenFlags::SQLITE_OPEN_URI);
    let Ok(connection) = opened else { return Seen::Nothing };
    match life::read(&connection) {
        Ok(life) => Seen::Life(life),
        Err(_) => match database::check_owner(&connection, path).and_then(|()| database::steps(&connection)) {
            Ok(steps) if (1..database::schema()).contains(&steps) => Seen::Other,
            _ => Seen::Nothing,
        },
    }
}

impl Opened {
    /// A connection to the file at `path`.
    pub(crate) fn new(path: &Path, open: impl FnOnce(&Path) -> Result<Connection>) -> Result<Self> {
        let connection = open(path)?;
        // The log is there from the first look on.
        connection.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()))?;
        let place = Place {
            path: path.to_owned(),
            file: Identity::of(path),
            log: Identity::of(&log_of(path)),
            touch: None,
            life: None,
        };
        Ok(Self {
            connection,
            place: Some(place),
        })
    }

    /// A connection to a database without a file.
    pub(crate) fn in_memory(connection: Connection) -> Self {
        Self {
            connection,
            place: None,
        }
    }

    pub(crate) fn connection(&self) -> &Connection {
        &self.connection
    }

    pub(crate) fn connection_mut(&mut self) -> &mut Connection {
        &mut self.connection
    }

    /// What has become of the file. It is looked into only where it was written since the last look.
    pub(crate) fn fate(&mut self) -> Fate {
        if self.is_of_another_file() {
            return Fate::Replaced;
        }
        let Some(place) = &mut self.place else {
            return Fate::Same;
        };
        let touch = Touch::of(&place.path);
        if touch == place.touch {
            return Fate::Same;
        }
        // Read without a log, it tells nothing of what others write since: it is opened again.
        if place.log.is_none() {
            let before = std::mem::replace(&mut place.touch, touch);
            return if before.is_none() { Fate::Same } else { Fate::Replaced };
        }
        // In this order: what is told goes on meanwhile, and what lies in the file never goes beyond it.
        match (in_file(&place.path), life::told(&self.connection)) {
            (Seen::Life(own), Seen::Life(told)) => {
                let goes_back = place.life.as_ref().is_some_and(|before| before.is_later_than(&own));
                if !told.has_taken(&own) && (goes_back || !own.may_precede(&told)) {
                    return Fate::WrittenOver;
                }
                // What was read while it was being written is read again.
                let _ = self.connection.execute_batch("PRAGMA shrink_memory");
                (place.touch, place.life) = (touch, Some(own));
                Fate::Same
            }
            (Seen::Life(_), Seen::Other) => Fate::WrittenOver,
            (Seen::Other, _) if place.life.is_some() => Fate::WrittenOver,
            // Somebody may be writing at this moment: it is looked into again the next time.
            _ => Fate::Same,
        }
    }

    /// Whether the file can be looked into.
    pub(crate) fn is_legible(&self) -> bool {
        self.place
            .as_ref()
            .is_none_or(|place| in_file(&place.path) != Seen::Nothing)
    }

    /// Whether the file under its name is not the one that it stands on.
    pub(crate) fn is_of_another_file(&self) -> bool {
        self.place
            .as_ref()
            .is_some_and(|place| Identity::of(&place.path) != place.file)
    }

    /// Removes the log of a file that was replaced, before the new file is opened.
    pub(crate) fn forget_log(&self) {
        let Some(place) = &self.place else { return };
        let log = log_of(&place.path);
        if place.log.is_some() && Identity::of(&log) == place.log {
            let mut index = place.path.as_os_str().to_owned();
            index.push("-shm");
            // What cannot be removed is found out when the new file is opened.
            let _ = fs::remove_file(log);
            let _ = fs::remove_file(index);
        }
    }
}

impl Drop for Opened {
    fn drop(&mut self) {
        if self.is_of_another_file() {
            // The library would remove the log beside the name, which may be the new file's by now.
            let _ = self
                .connection
                .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true);
        }
    }
}
