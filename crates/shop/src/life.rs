//! Which file a shop lies in, and how far that has come: known from the file alone and from the log beside it.

use rusqlite::{Connection, ErrorCode, params};

/// The life of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Life {
    /// The same as long as nobody else writes over the file; a copy has its own.
    token: Vec<u8>,
    /// The newest revision.
    revision: i64,
    /// Token and revision of what another program had written over the file, until what was made of that is in the file.
    over: Option<(Vec<u8>, i64)>,
}

impl Life {
    /// Whether a file that says this of itself may later say `then`: the database library only goes on.
    pub(crate) fn may_precede(&self, then: &Self) -> bool {
        self.token == then.token && self.revision <= then.revision
    }

    /// Whether the same file has gone back since it said this of itself.
    pub(crate) fn is_later_than(&self, now: &Self) -> bool {
        self.token == now.token && self.revision > now.revision
    }

    /// Whether it goes on from what another program had written over the file.
    pub(crate) fn has_taken(&self, file: &Self) -> bool {
        self.over
            .as_ref()
            .is_some_and(|(token, revision)| *token == file.token && *revision == file.revision)
    }
}

/// What a file says of itself without the log beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Seen {
    /// Its life.
    Life(Life),
    /// It is no file of this version.
    Other,
    /// It cannot be read, at this moment at least.
    Nothing,
}

/// What a connection says, by the log too.
pub(crate) fn told(connection: &Connection) -> Seen {
    match read(connection) {
        Ok(life) => Seen::Life(life),
        Err(error) => match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase | ErrorCode::Unknown) => Seen::Other,
            _ => Seen::Nothing,
        },
    }
}

/// The life of the file that a connection stands on.
pub(crate) fn read(connection: &Connection) -> rusqlite::Result<Life> {
    connection.query_row(
        "SELECT token, revision, over_token, over_revision FROM life",
        [],
        |row| {
            let over: (Option<Vec<u8>>, Option<i64>) = (row.get(2)?, row.get(3)?);
            Ok(Life {
                token: row.get(0)?,
                revision: row.get(1)?,
                over: over.0.zip(over.1),
            })
        },
    )
}

/// Gives a finished copy a life of its own. One of an older version has none.
pub(crate) fn begin(copy: &Connection) -> rusqlite::Result<()> {
    match copy.execute(
        "UPDATE life SET token = randomblob(16), over_token = NULL, over_revision = NULL",
        [],
    ) {
        Err(error) if error.sqlite_error_code() == Some(ErrorCode::Unknown) => Ok(()),
        other => other.map(drop),
    }
}

/// Makes a copy that is to be written into a shop's own file go on with the life of that; `over` is what that file says of itself
/// where another program has written over it.
pub(crate) fn go_on(copy: &Connection, shop: &Connection, over: Option<&Life>) -> rusqlite::Result<()> {
    let token: Vec<u8> = shop.query_row("SELECT token FROM life", [], |row| row.get(0))?;
    copy.execute(
        "UPDATE life SET token = ?1, over_token = ?2, over_revision = ?3",
        params![token, over.map(|life| &life.token), over.map(|life| life.revision)],
    )
    .map(drop)
}

/// Writes the log into the file, after which nothing of another program is left there; where somebody reads, that comes later.
pub(crate) fn settle(shop: &Connection) -> rusqlite::Result<()> {
    let (busy, log, done): (i64, i64, i64) = shop.query_row("PRAGMA wal_checkpoint", [], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    })?;
    if busy == 0 && log == done {
        shop.execute("UPDATE life SET over_token = NULL, over_revision = NULL", [])?;
    }
    Ok(())
}
