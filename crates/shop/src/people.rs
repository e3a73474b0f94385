//! People who may sign in, their sessions, and the list of who changed what.
//!
//! Passwords come here hashed, tokens as the hash of what was handed out; times are given by the caller, in seconds since
//! 1970-01-01 UTC.

use std::str::FromStr;

use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::Shop;
use crate::error::{Result, ShopError};

/// What somebody may do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// Ask and look.
    Reader,
    /// All of the day's work.
    Adviser,
    /// Everything: the shelf, the settings, the people.
    Owner,
}

impl Role {
    /// Its name, as it is kept and typed.
    pub fn name(self) -> &'static str {
        match self {
            Self::Reader => "reader",
            Self::Adviser => "adviser",
            Self::Owner => "owner",
        }
    }
}

impl FromStr for Role {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        [Self::Reader, Self::Adviser, Self::Owner]
            .into_iter()
            .find(|role| role.name() == text)
            .ok_or_else(|| "a role is owner, adviser or reader".into())
    }
}

/// Somebody who may sign in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Person {
    /// Name.
    pub name: String,
    /// Role.
    pub role: Role,
}

/// One line of who changed what.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Deed {
    /// When, s.
    pub at: i64,
    /// Who.
    pub person: String,
    /// What.
    pub what: String,
}

/// The longest name of a person, characters.
const LONGEST_NAME: usize = 60;
/// So many lines of who changed what are kept.
const KEPT_DEEDS: i64 = 100_000;

/// What is kept of a token: whoever reads the database cannot use it.
fn hashed(token: &str) -> String {
    Sha256::digest(token.as_bytes())
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

fn role(text: &str) -> Result<Role> {
    text.parse()
        .map_err(|error| ShopError::Damaged(format!("a role that does not read: {error}")))
}

fn person(connection: &Connection, query: &str, values: impl rusqlite::Params) -> Result<Option<Person>> {
    let found: Option<(String, String)> = connection
        .query_row(query, values, |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()?;
    found
        .map(|(name, text)| {
            Ok(Person {
                name,
                role: role(&text)?,
            })
        })
        .transpose()
}

impl Shop {
    /// Everybody who may sign in.
    ///
    /// # Errors
    /// When the database fails.
    pub fn people(&self) -> Result<Vec<Person>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached("SELECT name, role FROM person ORDER BY name")?;
        let rows: Vec<(String, String)> = statement
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        rows.into_iter()
            .map(|(name, text)| {
                Ok(Person {
                    name,
                    role: role(&text)?,
                })
            })
            .collect()
    }

    /// Keeps an invitation for somebody under a token, until then.
    ///
    /// # Errors
    /// A name that is empty, long or not printable, or a database that fails.
    pub fn invite(&self, name: &str, role: Role, token: &str, expires_at: i64) -> Result<()> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
            return Err(ShopError::Setting {
                what: "the name of a person",
                got: name.to_owned(),
                right: format!("1 to {LONGEST_NAME} letters"),
            });
        }
        self.lock()?.execute(
            "INSERT INTO invitation (token, name, role, expires_at) VALUES (?1, ?2, ?3, ?4)",
            params![hashed(token), name, role.name(), expires_at],
        )?;
        Ok(())
    }

    /// Whom a token invites, if it does at that time.
    ///
    /// # Errors
    /// When the database fails.
    pub fn invited(&self, token: &str, now: i64) -> Result<Option<Person>> {
        person(
            &*self.read()?,
            "SELECT name, role FROM invitation WHERE token = ?1 AND expires_at > ?2",
            params![hashed(token), now],
        )
    }

    /// Takes an invitation: from now on the person may sign in with that secret. It serves once, and ends the sessions that
    /// a person of that name had.
    ///
    /// # Errors
    /// When the database fails.
    pub fn join(&self, token: &str, secret: &str, now: i64) -> Result<Option<Person>> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let invited = person(
            &transaction,
            "DELETE FROM invitation WHERE token = ?1 AND expires_at > ?2 RETURNING name, role",
            params![hashed(token), now],
        )?;
        let Some(joined) = invited else { return Ok(None) };
        transaction.execute("DELETE FROM session WHERE person = ?1", [&joined.name])?;
        transaction.execute(
            "INSERT INTO person (name, role, secret, made_at) VALUES (?1, ?2, ?3, ?4) \
             ON CONFLICT (name) DO UPDATE SET role = excluded.role, secret = excluded.secret",
            params![joined.name, joined.role.name(), secret, now],
        )?;
        transaction.commit()?;
        Ok(Some(joined))
    }

    /// The secret of a person, as it was hashed.
    ///
    /// # Errors
    /// When the database fails.
    pub fn secret_of(&self, name: &str) -> Result<Option<String>> {
        let found = self
            .read()?
            .query_row("SELECT secret FROM person WHERE name = ?1", [name], |row| row.get(0))
            .optional()?;
        Ok(found)
    }

    /// Begins a session of a person under a token, until then; those that have ended are forgotten.
    ///
    /// # Errors
    /// When the database fails, or there is no such person.
    pub fn begin_session(&self, token: &str, name: &str, now: i64, expires_at: i64) -> Result<()> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        transaction.execute("DELETE FROM session WHERE expires_at <= ?1", [now])?;
        transaction.execute(
            "INSERT INTO session (token, person, expires_at) VALUES (?1, ?2, ?3)",
            params![hashed(token), name, expires_at],
        )?;
        transaction.commit()?;
        Ok(())
    }

    /// Whose session a token is of, at that time.
    ///
    /// # Errors
    /// When the database fails.
    pub fn signed_in(&self, token: &str, now: i64) -> Result<Option<Person>> {
        person(
            &*self.read()?,
            "SELECT name, role FROM person JOIN session ON session.person = person.name \
             WHERE token = ?1 AND expires_at > ?2",
            params![hashed(token), now],
        )
    }

    /// Ends a session.
    ///
    /// # Errors
    /// When the database fails.
    pub fn end_session(&self, token: &str) -> Result<()> {
        self.lock()?
            .execute("DELETE FROM session WHERE token = ?1", [hashed(token)])?;
        Ok(())
    }

    /// Takes the right to sign in from somebody, and ends their sessions; whether there was such a person.
    ///
    /// # Errors
    /// When the database fails, or the last owner would leave.
    pub fn remove_person(&self, name: &str) -> Result<bool> {
        let mut connection = self.lock()?;
        let transaction = connection.transaction()?;
        let removed = transaction.execute("DELETE FROM person WHERE name = ?1", [name])?;
        let count = |condition: &str| -> Result<i64> {
            let query = format!("SELECT count(*) FROM person {condition}");
            Ok(transaction.query_row(&query, [], |row| row.get(0))?)
        };
        if removed > 0 && count("")? > 0 && count("WHERE role = 'owner'")? == 0 {
            return Err(ShopError::Setting {
                what: "the people of the shop",
                got: "no owner".into(),
                right: "one owner at least: invite another first".into(),
            });
        }
        transaction.execute("DELETE FROM invitation WHERE name = ?1", [name])?;
        transaction.commit()?;
        Ok(removed > 0)
    }

    /// Notes who did what.
    ///
    /// # Errors
    /// When the database fails.
    pub fn note_deed(&self, deed: &Deed) -> Result<()> {
        let connection = self.lock()?;
        connection.execute(
            "INSERT INTO audit (at, person, what) VALUES (?1, ?2, ?3)",
            params![deed.at, deed.person, deed.what],
        )?;
        connection.execute(
            "DELETE FROM audit WHERE id <= (SELECT max(id) FROM audit) - ?1",
            [KEPT_DEEDS],
        )?;
        Ok(())
    }

    /// Who did what, newest first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn deeds(&self, limit: usize) -> Result<Vec<Deed>> {
        let connection = self.read()?;
        let mut statement =
            connection.prepare_cached("SELECT at, person, what FROM audit ORDER BY id DESC LIMIT ?1")?;
        let rows = statement.query_map([i64::try_from(limit).unwrap_or(i64::MAX)], |row| {
            Ok(Deed {
                at: row.get(0)?,
                person: row.get(1)?,
                what: row.get(2)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_invitation_serves_once_and_until_its_end() {
        let shop = Shop::in_memory().unwrap();
        shop.invite("Ada", Role::Owner, "token", 100).unwrap();
        shop.invite("Bob", Role::Reader, "other", 100).unwrap();
        assert_eq!(shop.invited("token", 100).unwrap(), None);
        assert_eq!(shop.invited("tokem", 50).unwrap(), None);
        assert_eq!(shop.invited("token", 50).unwrap().unwrap().role, Role::Owner);
        assert_eq!(shop.join("token", "s", 50).unwrap().unwrap().name, "Ada");
        assert_eq!(shop.join("token", "t", 50).unwrap(), None);
        assert_eq!(shop.join("other", "t", 100).unwrap(), None);
        assert_eq!(shop.secret_of("Ada").unwrap().as_deref(), Some("s"));
        for name in ["", " ", "a\nb", &"x".repeat(61)] {
            assert!(shop.invite(name, Role::Owner, "more", 100).is_err(), "{name:?}");
        }
    }

    #[test]
    fn a_session_lasts_until_its_end_or_that_of_its_person() {
        let shop = Shop::in_memory().unwrap();
        for (name, role) in [("Ada", Role::Owner), ("Bob", Role::Adviser)] {
            shop.invite(name, role, name, 100).unwrap();
            shop.join(name, "s", 1).unwrap();
        }
        shop.begin_session("a", "Ada", 1, 50).unwrap();
        shop.begin_session("b", "Bob", 1, 500).unwrap();
        assert_eq!(shop.signed_in("a", 49).unwrap().unwrap().name, "Ada");
        assert_eq!(shop.signed_in("a", 50).unwrap(), None);
        assert_eq!(shop.signed_in("b", 49).unwrap().unwrap().role, Role::Adviser);
        assert!(shop.begin_session("c", "Eve", 1, 50).is_err());
        assert!(shop.remove_person("Ada").is_err(), "the last owner stays");
        assert!(shop.remove_person("Bob").unwrap() && !shop.remove_person("Bob").unwrap());
        assert_eq!(shop.signed_in("b", 49).unwrap(), None);
        shop.begin_session("d", "Ada", 1, 500).unwrap();
        shop.end_session("d").unwrap();
        assert_eq!(shop.signed_in("d", 49).unwrap(), None);
    }

    #[test]
    fn deeds_are_told_newest_first() {
        let shop = Shop::in_memory().unwrap();
        for at in 1..=3 {
            let deed = Deed {
                at,
                person: "Ada".into(),
                what: "import".into(),
            };
            shop.note_deed(&deed).unwrap();
        }
        let deeds = shop.deeds(2).unwrap();
        assert_eq!(deeds.iter().map(|deed| deed.at).collect::<Vec<_>>(), [3, 2]);
    }
}
