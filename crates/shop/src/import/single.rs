//! One item by itself: its cells to be filled in, put on the shelf as a list of one line is, and taken off.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::apply::{ApplyError, Outcome, apply};
use super::heading::recognise;
use super::preview::Options;
use super::table::{Cell, LONGEST_CELL, Line, MOST_COLUMNS, ReadError, Table};
use crate::error::{Result, ShopError};
use crate::export;
use crate::journal::{self, Kind};
use crate::{Shop, rows, shelf};
use quantity::Convention;

/// What stands under a heading for one item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = FilledCell)]
pub struct Filled {
    /// The heading, as in an exported list.
    pub heading: String,
    /// What stands there; empty for nothing.
    pub text: String,
}

/// The cells of the item or part of this code as an exported list has them; for an empty code those of a new one. `None` where
/// there is no such code.
///
/// # Errors
/// When the database fails.
pub fn form(shop: &Shop, code: &str) -> Result<Option<Vec<Filled>>> {
    let product = match code {
        "" => None,
        code => match shop.product(code)? {
            None => return Ok(None),
            found => found,
        },
    };
    let cells = export::cells(product.as_ref(), shop.settings()?.currency);
    let filled = |(heading, text)| Filled { heading, text };
    Ok(Some(cells.into_iter().map(filled).collect()))
}

/// The cells as a list of one line.
///
/// # Errors
/// More cells than a list has columns, or one that is too long.
pub fn one_line(cells: &[Filled]) -> std::result::Result<Table, ReadError> {
    if cells.len() > MOST_COLUMNS {
        let wrong = format!("there are {} cells", cells.len());
        return Err(ReadError::new(wrong, format!("at most {MOST_COLUMNS}")));
    }
    if let Some(long) = cells.iter().find(|cell| cell.text.chars().count() > LONGEST_CELL) {
        let wrong = format!("\"{}\" has more than {LONGEST_CELL} characters", long.heading);
        return Err(ReadError::new(wrong, "a shorter text"));
    }
    let code = cells.iter().find(|cell| cell.heading == "code");
    let code = code.map(|cell| cell.text.trim()).unwrap_or_default();
    Ok(Table {
        name: format!("item {code}"),
        titles: Vec::new(),
        headings: cells.iter().map(|cell| cell.heading.clone()).collect(),
        lines: vec![Line {
            number: 1,
            cells: cells.iter().map(|cell| Cell::text(&cell.text)).collect(),
        }],
        encoding: "UTF-8".into(),
        sheet: None,
        length_unit: None,
        decimal: Convention::Auto,
    })
}

/// Puts one item on the shelf, over the one of the same code; what no cell says stays as it is.
///
/// # Errors
/// As [`apply`].
pub fn put(shop: &Shop, table: &Table, options: &Options) -> std::result::Result<Outcome, ApplyError> {
    apply(shop, table, &recognise(table), options)
}

/// Takes the item or part of this code off the shelf; what the revision is then. It can be taken back as an import can.
///
/// # Errors
/// [`ShopError::NotOnShelf`], or when the database fails.
pub fn take_off(shop: &Shop, code: &str) -> Result<u64> {
    let mut connection = shop.lock()?;
    let transaction = connection.transaction()?;
    let Some(product) = shelf::by_code(&transaction)?.remove(code) else {
        return Err(ShopError::NotOnShelf(code.to_owned()));
    };
    let revision = journal::begin(&transaction, Kind::Import, &format!("item {code}, taken off"))?;
    journal::record(&transaction, revision, code, Some(&product))?;
    rows::remove(&transaction, code)?;
    journal::trim(&transaction)?;
    transaction.commit()?;
    Ok(revision.unsigned_abs())
}
