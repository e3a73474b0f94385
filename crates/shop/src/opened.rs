//! A connection that knows the file it stands on, and leaves alone what belongs to another file of that name.
//!
//! The database library keeps the log of changes in a file beside the database, under its name. After the database was
//! replaced, that log would be taken for one of the new file and undo it; and a connection to the old file that is closed
//! would remove the log of the new one.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::config::DbConfig;

use crate::error::Result;
use crate::file::Identity;

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
}

fn log_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    name.into()
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
