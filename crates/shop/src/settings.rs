//! What a shop is called and how it writes its list.

use quantity::{Currency, Kind, Length, Unit, Units};
use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};

use crate::Shop;
use crate::error::{Result, ShopError};

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
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            name: "My shop".into(),
            currency: Currency::EUR,
            list_unit: Unit::MILLIMETRE.label().into(),
            units: Units::metric(),
            tolerance: Length::from_mm(0.1),
            demo: false,
        }
    }
}

impl Settings {
    /// Whether every setting fits.
    ///
    /// # Errors
    /// A name that is empty, a unit that is not one of length, or a tolerance that is not between 0 and 10 mm.
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
        Ok(())
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
        read(&self.lock())
    }

    /// Keeps the settings of the shop.
    ///
    /// # Errors
    /// As [`Settings::check`], and when the database fails.
    pub fn set_settings(&self, settings: &Settings) -> Result<()> {
        settings.check()?;
        let text = serde_json::to_string(settings).map_err(|error| ShopError::Damaged(error.to_string()))?;
        self.lock().execute(
            "INSERT INTO setting (key, value) VALUES (?1, ?2) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
            params![KEY, text],
        )?;
        Ok(())
    }
}

const KEY: &str = "shop";

pub(crate) fn read(connection: &Connection) -> Result<Settings> {
    let mut statement = connection.prepare_cached("SELECT value FROM setting WHERE key = ?1")?;
    let mut rows = statement.query([KEY])?;
    let Some(row) = rows.next()? else {
        return Ok(Settings::default());
    };
    let text: String = row.get(0)?;
    let settings: Settings = serde_json::from_str(&text)
        .map_err(|error| ShopError::Damaged(format!("settings that do not read: {error}")))?;
    settings.check()?;
    Ok(settings)
}
