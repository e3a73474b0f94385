//! What each column of a list holds, as somebody has said it: kept for the next file with the same headings.

use quantity::{Convention, Currency, Unit};
use rusqlite::{Connection, OptionalExtension, params};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::field::Field;
use super::heading::Column;
use super::table::Table;
use super::text::{excerpt, folded, nearest};
use crate::Shop;
use crate::error::{Result, ShopError};

/// What one column holds.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ColumnChoice)]
pub struct Choice {
    /// The heading as it stands in the file. The second column of the same heading is meant by the second choice of it.
    pub heading: String,
    /// The name of a field, such as `grade` or `price from 10`; empty for a column that is not to be read.
    #[serde(default)]
    pub field: String,
    /// Unit of its sizes or masses, such as `in`; empty for what the heading and the cells say.
    #[serde(default)]
    pub unit: String,
}

/// How a list is to be read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
#[schema(as = ColumnMap)]
pub struct Map {
    /// What columns hold; those that are not named are read by their headings.
    pub columns: Vec<Choice>,
    /// Unit of sizes that state none, such as `mm`; empty for that of the shop.
    pub length_unit: String,
    /// `point` or `comma`; empty to find it out.
    pub decimal: String,
}

/// A map that does not go with a file.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{wrong}")]
pub struct MapError {
    /// What is wrong: lower case, no full stop.
    pub wrong: String,
    /// What would be right.
    pub right: String,
}

impl MapError {
    fn new(wrong: impl Into<String>, right: impl Into<String>) -> Self {
        Self {
            wrong: wrong.into(),
            right: right.into(),
        }
    }
}

impl Map {
    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Puts what it says over what the headings say.
    ///
    /// # Errors
    /// A heading that the file does not have, a name that is no field, a unit that does not go with the field, or one field
    /// for two columns.
    pub fn over(&self, table: &mut Table, columns: &mut [Column]) -> std::result::Result<(), MapError> {
        if !self.length_unit.is_empty() {
            table.length_unit = Some(unit(&self.length_unit, Field::Size)?);
        }
        table.decimal = convention(&self.decimal)?.unwrap_or(table.decimal);
        let mut taken = vec![false; columns.len()];
        for choice in &self.columns {
            let at = columns
                .iter()
                .zip(&taken)
                .position(|(column, taken)| !taken && column.heading == choice.heading.trim());
            let Some((column, taken)) = at.and_then(|at| columns.get_mut(at).zip(taken.get_mut(at))) else {
                let headings: Vec<String> = columns.iter().map(|column| excerpt(&column.heading)).collect();
                let wrong = format!("there is no column \"{}\" in this file", excerpt(&choice.heading));
                return Err(MapError::new(wrong, format!("one of: {}", headings.join(", "))));
            };
            *taken = true;
            choose(column, choice)?;
        }
        settle(columns)
    }

    /// The map that was kept with the headings of a table, where nothing else is said of its columns. What is said of the unit of
    /// lengths and of the decimal sign goes first.
    ///
    /// # Errors
    /// When the database fails.
    pub fn or_kept(self, shop: &Shop, table: &Table) -> Result<(Self, bool)> {
        if !self.columns.is_empty() {
            return Ok((self, false));
        }
        let Some(kept) = shop.kept_map(&table.headings)? else {
            return Ok((self, false));
        };
        let first = |said: String, kept: String| if said.is_empty() { kept } else { said };
        let map = Self {
            columns: kept.columns,
            length_unit: first(self.length_unit, kept.length_unit),
            decimal: first(self.decimal, kept.decimal),
        };
        Ok((map, true))
    }

    /// What is kept of the columns of a file, so that the next one with the same headings is read alike.
    pub fn of(columns: &[Column], length_unit: &str, decimal: &str) -> Self {
        let choice = |column: &Column| Choice {
            heading: column.heading.clone(),
            field: column.field.map(|field| field.to_string()).unwrap_or_default(),
            unit: column.unit.map(|unit| unit.label().to_owned()).unwrap_or_default(),
        };
        Self {
            columns: if columns.iter().any(|column| column.chosen) {
                columns.iter().map(choice).collect()
            } else {
                Vec::new()
            },
            length_unit: length_unit.to_owned(),
            decimal: decimal.to_owned(),
        }
    }
}

/// The decimal sign of this name; `None` where it is to be found out.
fn convention(name: &str) -> std::result::Result<Option<Convention>, MapError> {
    match name {
        "" | "auto" => Ok(None),
        "point" => Ok(Some(Convention::Point)),
        "comma" => Ok(Some(Convention::Comma)),
        other => Err(MapError::new(
            format!("\"{}\" is not a decimal sign", excerpt(other)),
            "point or comma, or leave it out",
        )),
    }
}

fn choose(column: &mut Column, choice: &Choice) -> std::result::Result<(), MapError> {
    let field = match choice.field.trim() {
        "" | "nothing" => None,
        name => Some(Field::named(name).ok_or_else(|| unknown(name))?),
    };
    let unit = match (choice.unit.trim(), field) {
        ("", _) | (_, None) => None,
        (name, Some(field)) => Some(unit(name, field)?),
    };
    // What is said as it was read already was not chosen.
    if field != column.field || (unit.is_some() && unit != column.unit) {
        column.chosen = true;
        column.remark = None;
        column.field = field;
        column.unit = unit
            .or(column.unit)
            .filter(|unit| field.is_some_and(|field| field.takes(*unit)));
        if !matches!(field, Some(Field::Price { .. })) {
            column.currency = None;
        } else if column.currency.is_none() {
            column.currency = stated_currency(&column.heading);
        }
    }
    Ok(())
}

/// A currency that a heading states beside other words.
fn stated_currency(heading: &str) -> Option<Currency> {
    super::heading::columns(&[format!("price {heading}")]).first()?.currency
}

fn unknown(name: &str) -> MapError {
    let near = nearest(name, Field::names());
    let all = || Field::names().collect::<Vec<_>>().join(", ");
    let right = if near.is_empty() {
        format!("one of: {}, price from 10, price of 100 from 1; or nothing", all())
    } else {
        format!("perhaps {}", near.join(" or "))
    };
    MapError::new(format!("\"{}\" is not what a column can hold", excerpt(name)), right)
}

fn unit(name: &str, field: Field) -> std::result::Result<Unit, MapError> {
    let found = Unit::named(name).filter(|unit| field.takes(*unit));
    found.ok_or_else(|| {
        let wrong = format!("\"{}\" is not a unit of the {field}", excerpt(name));
        MapError::new(
            wrong,
            "mm, cm, m or in for sizes; g or kg for masses; N, kg or lb for pulls; or nothing",
        )
    })
}

/// A field is read from one column: from the one that was chosen, where another has it by its heading.
fn settle(columns: &mut [Column]) -> std::result::Result<(), MapError> {
    let chosen: Vec<(Field, String)> = columns
        .iter()
        .filter(|column| column.chosen)
        .filter_map(|column| Some((column.field?, column.heading.clone())))
        .collect();
    for (at, (field, heading)) in chosen.iter().enumerate() {
        if let Some((_, other)) = chosen.iter().take(at).find(|(other, _)| other.is_same_as(*field)) {
            let wrong = format!(
                "\"{}\" and \"{}\" are both the {field}",
                excerpt(other),
                excerpt(heading)
            );
            return Err(MapError::new(
                wrong,
                "one column for each; the other one holds nothing that is read",
            ));
        }
    }
    for column in columns.iter_mut().filter(|column| !column.chosen) {
        let by_choice = |(field, _): &&(Field, String)| column.field.is_some_and(|own| own.is_same_as(*field));
        if let Some((field, heading)) = chosen.iter().find(by_choice) {
            column.remark = Some(format!("not read, because \"{}\" is the {field}", excerpt(heading)));
            column.field = None;
        }
    }
    Ok(())
}

/// By what headings are known again: what the eye passes over does not matter.
fn key(headings: &[String]) -> String {
    let folded: Vec<String> = headings.iter().map(|heading| folded(heading)).collect();
    folded.join("\u{1f}")
}

/// Keeps a map with the headings that it is for; one that says nothing is forgotten.
pub(crate) fn keep(connection: &Connection, headings: &[String], map: &Map) -> Result<()> {
    if map.is_empty() {
        connection.execute("DELETE FROM list_map WHERE headings = ?1", [key(headings)])?;
        return Ok(());
    }
    let text = serde_json::to_string(map).map_err(|error| ShopError::Damaged(error.to_string()))?;
    connection.execute(
        "INSERT OR REPLACE INTO list_map (headings, map) VALUES (?1, ?2)",
        params![key(headings), text],
    )?;
    Ok(())
}

impl Shop {
    /// The map that was kept with these headings.
    ///
    /// # Errors
    /// When the database fails. A map that this version does not understand is none.
    pub fn kept_map(&self, headings: &[String]) -> Result<Option<Map>> {
        let text: Option<String> = self
            .read()?
            .query_row("SELECT map FROM list_map WHERE headings = ?1", [key(headings)], |row| {
                row.get(0)
            })
            .optional()?;
        Ok(text.and_then(|text| serde_json::from_str(&text).ok()))
    }
}

#[cfg(test)]
mod tests;
