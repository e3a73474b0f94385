//! Opening, migrating and backing up the database file.

use std::cmp::Ordering;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, ErrorCode, MAIN_DB, OpenFlags, TransactionBehavior};
use rusqlite_migration::{M, MigrationDefinitionError, Migrations};

use crate::error::{Result, ShopError};
use crate::{backups, file};

/// First bytes of every database file that is not empty; SQLite file format, section 1.2.
const MAGIC: &[u8; 16] = b"SQLite format 3\0";
/// As in migrations/1.sql.
const APPLICATION_ID: i64 = 0x4C44_5753;
const BUSY_TIMEOUT: Duration = Duration::from_secs(5);

const STEPS: &[M<'static>] = &[
    M::up(include_str!("../migrations/1.sql")),
    M::up(include_str!("../migrations/2.sql")),
    M::up(include_str!("../migrations/3.sql")),
    M::up(include_str!("../migrations/4.sql")),
    M::up(include_str!("../migrations/5.sql")),
    M::up(include_str!("../migrations/6.sql")),
    M::up(include_str!("../migrations/7.sql")),
    M::up(include_str!("../migrations/8.sql")),
    M::up(include_str!("../migrations/9.sql")),
    M::up(include_str!("../migrations/10.sql")),
    M::up(include_str!("../migrations/11.sql")),
    M::up(include_str!("../migrations/12.sql")),
    M::up(include_str!("../migrations/13.sql")),
    M::up(include_str!("../migrations/14.sql")),
    M::up(include_str!("../migrations/15.sql")),
    M::up(include_str!("../migrations/16.sql")),
    M::up(include_str!("../migrations/17.sql")),
];
const MIGRATIONS: Migrations<'static> = Migrations::from_slice(STEPS);

/// The database at `path`, made if there is no such file, migrated to the newest schema. One that cannot be written is
/// opened for reading.
pub(crate) fn open(path: &Path) -> Result<Connection> {
    // Where it cannot be made, the database library says so better.
    let _ = file::make_private(path);
    let connection = Connection::open(path).map_err(ShopError::from);
    let mut connection = connection
        .and_then(|connection| or_without_log(path, connection))
        .map_err(|error| better(error, path))?;
    if connection.is_readonly(MAIN_DB)? {
        return readable(connection, path);
    }
    backup_before_steps(&connection, path)?;
    prepare(&mut connection, path)?;
    connection.set_transaction_behavior(TransactionBehavior::Immediate);
    Ok(connection)
}

pub(crate) const READING: OpenFlags = OpenFlags::SQLITE_OPEN_READ_ONLY.union(OpenFlags::SQLITE_OPEN_NO_MUTEX);

/// The database at `path` for reading only.
pub(crate) fn open_reading(path: &Path) -> Result<Connection> {
    let connection = Connection::open_with_flags(path, READING).map_err(ShopError::from);
    let connection = connection
        .and_then(|connection| or_without_log(path, connection))
        .map_err(|error| better(error, path))?;
    readable(connection, path)
}

/// What the file itself tells of an error of opening it. A file that was opened is not looked into: the system would take all locks of
/// this process from it with that look, those of other connections as well, and another program might then remove their log.
fn better(error: ShopError, path: &Path) -> ShopError {
    check_magic(path).err().unwrap_or(error)
}

/// A connection to a shop; one for reading where no log can be made beside it, as on a full disk or in a folder of others.
fn or_without_log(path: &Path, connection: Connection) -> Result<Connection> {
    connection.busy_timeout(BUSY_TIMEOUT)?;
    match check_owner(&connection, path) {
        // Nobody writes there, so it may be read without a log, unless one holds what is not in the file yet.
        Err(ShopError::Database(error)) if is_unwritable(&error) && !has_log(path) => {
            let connection = Connection::open_with_flags(unchanging(path), READING | OpenFlags::SQLITE_OPEN_URI)?;
            check_owner(&connection, path)?;
            Ok(connection)
        }
        other => other.map(|()| connection),
    }
}

/// Whether a log beside the file holds anything.
pub(crate) fn has_log(path: &Path) -> bool {
    std::fs::metadata(file::log_of(path)).is_ok_and(|log| log.len() > 0)
}

/// A connection for reading, if this version understands what it would read.
fn readable(connection: Connection, path: &Path) -> Result<Connection> {
    match steps(&connection)?.cmp(&STEPS.len()) {
        Ordering::Equal => Ok(connection),
        Ordering::Greater => Err(ShopError::TooNew(path.to_owned())),
        Ordering::Less => Err(ShopError::TooOld(path.to_owned())),
    }
}

fn is_unwritable(error: &rusqlite::Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::CannotOpen | ErrorCode::ReadOnly | ErrorCode::SystemIoFailure | ErrorCode::DiskFull)
    )
}

/// The URI of a file that is read without a look at the log beside it.
pub(crate) fn unchanging(path: &Path) -> String {
    let text = path.to_string_lossy();
    let escaped = text.replace('%', "%25").replace('?', "%3f").replace('#', "%23");
    format!("file:{escaped}?immutable=1")
}

/// How many migrations a database has had.
pub(crate) fn steps(connection: &Connection) -> Result<usize> {
    let steps: i64 = connection.query_row("PRAGMA user_version", [], |row| row.get(0))?;
    Ok(usize::try_from(steps).unwrap_or(usize::MAX))
}

/// The newest number of migrations, which is the version of the schema.
pub(crate) fn schema() -> usize {
    STEPS.len()
}

/// A shop of an older version is copied before it is changed to the form of this one.
fn backup_before_steps(connection: &Connection, path: &Path) -> Result<()> {
    let steps = steps(connection)?;
    if (1..STEPS.len()).contains(&steps) {
        backups::automatic(connection, path, "upgrade")?;
    }
    Ok(())
}

/// A database that lives as long as its connection.
pub(crate) fn in_memory() -> Result<Connection> {
    let mut connection = Connection::open_in_memory()?;
    prepare(&mut connection, Path::new("the database in memory"))?;
    connection.set_transaction_behavior(TransactionBehavior::Immediate);
    Ok(connection)
}

/// Refuses a file that is neither absent, nor empty, nor a database, without a database library touching it.
pub(crate) fn check_magic(path: &Path) -> Result<()> {
    let file_error = |source| ShopError::File {
        action: "read",
        path: path.to_owned(),
        source,
    };
    let file = match File::open(path) {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(file_error(error)),
    };
    let mut head = Vec::with_capacity(MAGIC.len());
    file.take(MAGIC.len() as u64)
        .read_to_end(&mut head)
        .map_err(file_error)?;
    if head.is_empty() || head == MAGIC {
        Ok(())
    } else {
        Err(ShopError::NotADatabase(path.to_owned()))
    }
}

/// Refuses the database of another program before anything is written to it.
pub(crate) fn check_owner(connection: &Connection, path: &Path) -> Result<()> {
    let id: i64 = connection
        .query_row("PRAGMA application_id", [], |row| row.get(0))
        .map_err(|error| match error.sqlite_error_code() {
            Some(rusqlite::ErrorCode::NotADatabase) => ShopError::NotADatabase(path.to_owned()),
            _ => error.into(),
        })?;
    let tables: i64 = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if id == APPLICATION_ID || (id == 0 && tables == 0) {
        Ok(())
    } else {
        Err(ShopError::NotAShop(path.to_owned()))
    }
}

/// Sets a connection up and brings its database to the newest schema.
pub(crate) fn prepare(connection: &mut Connection, path: &Path) -> Result<()> {
    let before = steps(connection)?;
    if before > STEPS.len() {
        return Err(ShopError::TooNew(path.to_owned()));
    }
    connection.busy_timeout(BUSY_TIMEOUT)?;
    connection.pragma_update(None, "journal_mode", "WAL")?;
    // What is acknowledged is on the disk.
    connection.pragma_update(None, "synchronous", "FULL")?;
    // What is deleted is overwritten.
    connection.pragma_update(None, "secure_delete", "ON")?;
    // A step may make a table anew to which others refer.
    connection.pragma_update(None, "foreign_keys", "OFF")?;
    MIGRATIONS.to_latest(connection).map_err(|error| match error {
        rusqlite_migration::Error::RusqliteError { err, .. } => ShopError::Database(err),
        rusqlite_migration::Error::MigrationDefinition(MigrationDefinitionError::DatabaseTooFarAhead) => {
            ShopError::TooNew(path.to_owned())
        }
        other => ShopError::Damaged(format!("a schema that does not migrate: {other}")),
    })?;
    connection.pragma_update(None, "foreign_keys", "ON")?;
    if before < STEPS.len() {
        // The file says of itself what it is from now on; where somebody reads, it will later.
        let _ = connection.query_row("PRAGMA wal_checkpoint", [], |_| Ok(()));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_migrations_are_valid() {
        assert_eq!(MIGRATIONS.validate(), Ok(()));
    }

    /// A shop of the first schema keeps its history and can still take an import back.
    #[test]
    fn a_shop_of_before_is_brought_up_to_date() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("shop.db");
        let mut old = Connection::open(&path).unwrap();
        Migrations::from_slice(&STEPS[..1]).to_latest(&mut old).unwrap();
        old.execute_batch(
            "INSERT INTO revision (kind, label) VALUES ('import', 'a.csv'), ('undo', 'a.csv');
             UPDATE revision SET undone = 2 WHERE number = 1;
             INSERT INTO journal (revision, code, before) VALUES (1, 'x', NULL);",
        )
        .unwrap();
        drop(old);
        let connection = open(&path).unwrap();
        let history: String = connection
            .query_row(
                "SELECT group_concat(kind || coalesce(undone, '-'), ' ') FROM (SELECT * FROM revision ORDER BY number)",
                [],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(history, "import2 undo-");
        let broken: i64 = connection
            .query_row("SELECT count(*) FROM pragma_foreign_key_check", [], |row| row.get(0))
            .unwrap();
        assert_eq!(broken, 0);
        connection
            .execute("INSERT INTO revision (kind, label) VALUES ('lots', '')", [])
            .unwrap();
        assert!(
            connection
                .execute("INSERT INTO journal (revision, code) VALUES (99, 'y')", [])
                .is_err()
        );
    }

    #[test]
    fn a_connection_is_set_up_for_several_readers_and_sound_references() {
        let folder = tempfile::tempdir().unwrap();
        let connection = open(&folder.path().join("shop.db")).unwrap();
        let text = |pragma: &str| -> String {
            connection
                .query_row(
                    &format!("SELECT CAST({pragma} AS TEXT) FROM pragma_{pragma}"),
                    [],
                    |row| row.get(0),
                )
                .unwrap()
        };
        assert_eq!(text("journal_mode"), "wal");
        assert_eq!(text("foreign_keys"), "1");
        assert_eq!(text("synchronous"), "2");
        assert_eq!(text("secure_delete"), "1");
        assert_eq!(text("application_id"), APPLICATION_ID.to_string());
    }
}
