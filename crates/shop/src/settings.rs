//! What a shop is called and how it writes its list.

use std::collections::BTreeSet;

use quantity::{Currency, Kind, Length, Unit, Units};
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::journal;
use crate::letterhead::Letterhead;
use crate::released::Released;

/// The settings of a shop.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Settings {
    /// Name of the shop, for print.
    pub name: String,
    /// Currency of every price.
    pub currency: Currency,
    /// Unit of sizes in a price list that states none: a spelling such as `mm`.
    pub list_unit: String,
    /// Units that the shop shows.
    pub units: Units,
    /// Plus or minus on each size of an item whose list states none. 0.1 mm: common practice, no source.
    pub tolerance: Length,
    /// Whether the data are invented, to try things on.
    pub demo: bool,
    /// Head and terms of what leaves the shop.
    pub letterhead: Letterhead,
    /// What the public side tells of the shop besides what would do.
    pub public_tells: BTreeSet<Told>,
    /// The lessons that strangers may open, by their names.
    pub public_lessons: Released,
    /// The sheets of items that strangers may open, by the codes of the items.
    pub public_sheets: Released,
    /// So many days are enquiries and answers kept, marked ones always; `None` for always.
    pub keep_days: Option<u32>,
}

/// What the public side may tell of the shop.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Told {
    /// Names of grades; where they are not told, the material is.
    Grades,
    /// Prices by quantity.
    Prices,
    /// Pieces on hand.
    Stock,
    /// The notes of the price list.
    Notes,
}

impl Told {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Grades, Self::Prices, Self::Stock, Self::Notes];

    /// Its name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Grades => "grades",
            Self::Prices => "prices",
            Self::Stock => "stock",
            Self::Notes => "notes",
        }
    }
}

/// The most days that what is kept may be kept: a hundred years.
const MOST_DAYS: u32 = 36_525;

impl Default for Settings {
    fn default() -> Self {
        Self {
            name: "My shop".into(),
            currency: Currency::EUR,
            list_unit: Unit::MILLIMETRE.label().into(),
            units: Units::metric(),
            tolerance: Length::from_mm(0.1),
            demo: false,
            letterhead: Letterhead::default(),
            public_tells: BTreeSet::from([Told::Grades]),
            public_lessons: Released::Nothing,
            public_sheets: Released::Nothing,
            keep_days: None,
        }
    }
}

impl Settings {
    /// Whether every setting fits.
    ///
    /// # Errors
    /// A name that is empty, a unit that is not one of length, a tolerance that is not between 0 and 10 mm, lessons or sheets that
    /// are released while names of grades are not told, or a letterhead that does not fit.
    pub fn check(&self) -> Result<()> {
        let wrong = |what, got: &str, right: &str| {
            Err(ShopError::Setting {
                what,
                got: got.to_owned(),
                right: right.to_owned(),
            })
        };
        if self.name.trim().is_empty() {
            return wrong("the name of the shop", &self.name, "some words");
        }
        if self.named_list_unit().is_none() {
            return wrong(
                "the unit of price lists",
                &self.list_unit,
                "a unit of length such as mm or in",
            );
        }
        if !(0.0..=0.01).contains(&self.tolerance.0) {
            return wrong("the tolerance", &format!("{} m", self.tolerance.0), "from 0 to 10 mm");
        }
        if let Some(days) = self.keep_days.filter(|days| !(1..=MOST_DAYS).contains(days)) {
            return wrong("the days that answers are kept", &days.to_string(), "from 1 to 36525");
        }
        for (what, released) in [
            ("the lessons of the public side", &self.public_lessons),
            ("the sheets of the public side", &self.public_sheets),
        ] {
            if !released.fits() {
                return wrong(what, &released.to_string(), "all, nothing, or from 1 to 10000 names");
            }
            if released.is_some() && !self.public_tells.contains(&Told::Grades) {
                return wrong(
                    what,
                    &released.to_string(),
                    "nothing, as long as the public side does not tell names of grades: they stand on them",
                );
            }
        }
        self.letterhead.check()
    }

    /// The unit of lengths in a list that states none.
    pub(crate) fn length_unit(&self) -> Unit {
        self.named_list_unit().unwrap_or(Unit::MILLIMETRE)
    }

    fn named_list_unit(&self) -> Option<Unit> {
        Unit::named(&self.list_unit).filter(|unit| unit.kind() == Kind::Length)
    }
}

impl Shop {
    /// The settings of the shop; defaults where none were made.
    ///
    /// # Errors
    /// When the database fails or holds settings that do not fit.
    pub fn settings(&self) -> Result<Settings> {
        read(&*self.read()?)
    }

    /// Changes the settings of the shop, and says what the new revision is; the one before where they are so already. A dated
    /// copy of the shop is made first.
    ///
    /// # Errors
    /// As [`Settings::check`], and when the database fails.
    pub fn set_settings(&self, settings: &Settings) -> Result<u64> {
        settings.check()?;
        let text = serde_json::to_string(settings).map_err(|error| ShopError::Damaged(error.to_string()))?;
        let mut connection = self.lock()?;
        if kept(&connection)?.as_ref() == Some(&text) {
            return journal::revision(&connection);
        }
        self.backup_before(&connection, "settings")?;
        let transaction = connection.transaction()?;
        let revision = journal::begin(&transaction, journal::Kind::Settings, "settings")?;
        note(&transaction, revision)?;
        write(&transaction, Some(&text))?;
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
}

const KEY: &str = "shop";

/// The text of the settings; `None` where none were made.
fn kept(connection: &Connection) -> Result<Option<String>> {
    let mut statement = connection.prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
    Ok(statement.query_row([KEY], |row| row.get(0)).optional()?)
}

fn write(connection: &Connection, text: Option<&str>) -> Result<()> {
    match text {
        Some(text) => connection.execute(
            "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            params![KEY, text],
        )?,
        None => connection.execute("DELETE FROM setting WHERE key = ?1", [KEY])?,
    };
    Ok(())
}

/// Makes settings without a note of those before; the caller holds the transaction.
pub(crate) fn make(connection: &Connection, settings: &Settings) -> Result<()> {
    settings.check()?;
    let text = serde_json::to_string(settings).map_err(|error| ShopError::Damaged(error.to_string()))?;
    write(connection, Some(&text))
}

/// Notes the settings as they are, so that they can be brought back after `revision`.
fn note(connection: &Connection, revision: i64) -> Result<()> {
    connection.execute(
        "INSERT INTO setting_journal (revision, before) VALUES (?1, ?2)",
        params![revision, kept(connection)?],
    )?;
    Ok(())
}

/// What was noted before a revision changed them; `None` where it did not.
pub(crate) fn noted(connection: &Connection, revision: i64) -> Result<Option<Option<String>>> {
    let noted = connection
        .query_row(
            "SELECT before FROM setting_journal WHERE revision = ?1",
            [revision],
            |row| row.get(0),
        )
        .optional()?;
    Ok(noted)
}

/// Brings settings back that were noted, and notes under `now` those until then.
pub(crate) fn bring_back(connection: &Connection, now: i64, before: Option<&str>) -> Result<()> {
    if let Some(text) = before {
        let wrong = |error: String| ShopError::Ununderstood(format!("the settings as they were do not fit: {error}"));
        let settings: Settings = serde_json::from_str(text).map_err(|error| wrong(error.to_string()))?;
        settings.check().map_err(|error| wrong(error.to_string()))?;
    }
    note(connection, now)?;
    write(connection, before)
}

pub(crate) fn read(connection: &Connection) -> Result<Settings> {
    let Some(text) = kept(connection)? else {
        return Ok(Settings::default());
    };
    let settings: Settings = serde_json::from_str(&text)
        .map_err(|error| ShopError::Damaged(format!("settings that do not read: {error}")))?;
    settings.check()?;
    Ok(settings)
}
