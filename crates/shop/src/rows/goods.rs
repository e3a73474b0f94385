//! Goods as rows of the database.

use advice::Goods;
use advice::view::goods::sizes;
use quantity::Units;
use rusqlite::{Connection, params};

use super::Unread;
use crate::error::{Result, ShopError};

/// The goods that `condition` (the rest of an SQL query after the table's name) picks; those that cannot be read go to `unread`.
pub(crate) fn each(
    connection: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
    unread: &mut Vec<Unread>,
) -> Result<Vec<Goods>> {
    let mut goods = connection.prepare_cached(&format!("SELECT code, body FROM goods {condition}"))?;
    let mut rows = goods.query(values)?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        match serde_json::from_str::<Goods>(row.get_ref("body")?.as_str().map_err(rusqlite::Error::from)?) {
            Ok(goods) => found.push(goods),
            Err(error) => unread.push(Unread {
                code: row.get("code")?,
                why: error.to_string(),
            }),
        }
    }
    Ok(found)
}

/// Writes goods over those with the same code, or as new ones.
pub(super) fn write(connection: &Connection, goods: &Goods) -> Result<()> {
    let body = serde_json::to_string(goods).map_err(|error| ShopError::Damaged(error.to_string()))?;
    connection
        .prepare_cached("INSERT OR REPLACE INTO goods (code, body, words) VALUES (?1, ?2, ?3)")?
        .execute(params![goods.code, body, search_words(goods)])?;
    Ok(())
}

/// What a search looks through, in lower case.
fn search_words(goods: &Goods) -> String {
    let size = |units| super::bare_size(&sizes(&goods.sizes, units));
    let parts = [
        goods.code.as_str(),
        goods.name.as_str(),
        goods.goods.name(),
        &size(&Units::metric()),
        &size(&Units::inch()),
        &goods.grade,
        &goods.coating,
        goods.note.as_deref().unwrap_or_default(),
    ];
    parts.join(" ").to_lowercase()
}
