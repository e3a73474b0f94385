//! Items and parts as rows of the database.

pub(crate) mod goods;
pub(crate) mod parts;

use advice::question::ShapeKind;
use advice::rules::kind_of;
use advice::view::text::sizes;
use advice::{Item, Magnetised, PriceBreak};
use magnetics::Shape;
use quantity::{Length, Mass, Money, Units};
use rusqlite::{Connection, Row, params};

use crate::error::{Result, ShopError};
use crate::product::Product;

/// A line of the shelf that cannot be read, as after another program has written it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Its code.
    pub code: String,
    /// Why not.
    pub why: String,
}

/// The columns of an item, for `SELECT`.
const COLUMNS: &str = "code, name, shape, diameter, inner_diameter, length, width, thickness, magnetised, grade, \
                       coating, tolerance, mass, stock, link, note";

/// The items that `condition` (the rest of an SQL query after the table's name) picks, each with its prices; those that cannot
/// be read go to `unread`.
pub(crate) fn each(
    connection: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
    unread: &mut Vec<Unread>,
) -> Result<Vec<Item>> {
    let mut items = connection.prepare_cached(&format!("SELECT {COLUMNS} FROM item {condition}"))?;
    let mut rows = items.query(values)?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        match read(row) {
            Ok(mut item) => {
                item.prices = read_prices(connection, "price", &item.code)?;
                found.push(item);
            }
            Err(error) => unread.push(Unread {
                code: row.get("code")?,
                why: error.to_string(),
            }),
        }
    }
    Ok(found)
}

/// The tables of the shelf, one for each kind of product.
const TABLES: [&str; 3] = ["item", "part", "goods"];

/// Writes a line of the shelf over the one with the same code, or as a new one.
pub(crate) fn write(connection: &Connection, product: &Product) -> Result<()> {
    // Over one of its own kind it is written in place: other tables hold on to a magnet's row.
    let own = match product {
        Product::Magnet(_) => "item",
        Product::Part(_) => "part",
        Product::Goods(_) => "goods",
    };
    for table in TABLES.into_iter().filter(|table| *table != own) {
        take_off(connection, table, product.code())?;
    }
    match product {
        Product::Magnet(item) => write_item(connection, item),
        Product::Part(part) => parts::write(connection, part),
        Product::Goods(found) => goods::write(connection, found),
    }
}

fn write_item(connection: &Connection, item: &Item) -> Result<()> {
    let sizes = Sizes::of(&item.shape);
    connection
        .prepare_cached(
            "INSERT INTO item (code, name, shape, diameter, inner_diameter, length, width, thickness, magnetised, \
             grade, coating, tolerance, mass, stock, link, note, words) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, ?17) \
             ON CONFLICT (code) DO UPDATE SET name = excluded.name, shape = excluded.shape, \
             diameter = excluded.diameter, inner_diameter = excluded.inner_diameter, length = excluded.length, \
             width = excluded.width, thickness = excluded.thickness, magnetised = excluded.magnetised, \
             grade = excluded.grade, coating = excluded.coating, tolerance = excluded.tolerance, \
             mass = excluded.mass, stock = excluded.stock, link = excluded.link, note = excluded.note, \
             words = excluded.words",
        )?
        .execute(params![
            item.code,
            item.name,
            kind_of(&item.shape).name(),
            sizes.diameter,
            sizes.inner_diameter,
            sizes.length,
            sizes.width,
            sizes.thickness,
            side_name(item.magnetised),
            item.grade,
            item.coating,
            item.tolerance.0,
            item.mass.map(|mass| mass.0),
            item.stock.map(count),
            item.link,
            item.note,
            search_words(item),
        ])?;
    write_prices(connection, "price", &item.code, &item.prices)
}

/// Takes the line of this code off the shelf, if it is there.
pub(crate) fn remove(connection: &Connection, code: &str) -> Result<()> {
    TABLES
        .into_iter()
        .try_for_each(|table| take_off(connection, table, code))
}

fn take_off(connection: &Connection, table: &str, code: &str) -> Result<()> {
    connection
        .prepare_cached(&format!("DELETE FROM {table} WHERE code = ?1"))?
        .execute([code])?;
    Ok(())
}

/// A number of pieces as the database holds it.
fn count(pieces: u64) -> i64 {
    i64::try_from(pieces).unwrap_or(i64::MAX)
}

fn read_prices(connection: &Connection, table: &str, code: &str) -> Result<Vec<PriceBreak>> {
    let breaks = connection
        .prepare_cached(&format!(
            "SELECT from_pieces, each FROM {table} WHERE code = ?1 ORDER BY from_pieces"
        ))?
        .query_map([code], |row| {
            Ok(PriceBreak {
                from: row.get::<_, i64>(0)?.unsigned_abs(),
                each: Money::from_parts(row.get(1)?),
            })
        })?
        .collect::<Result<_, _>>()?;
    Ok(breaks)
}

fn write_prices(connection: &Connection, table: &str, code: &str, prices: &[PriceBreak]) -> Result<()> {
    connection
        .prepare_cached(&format!("DELETE FROM {table} WHERE code = ?1"))?
        .execute([code])?;
    let mut price = connection.prepare_cached(&format!(
        "INSERT INTO {table} (code, from_pieces, each) VALUES (?1, ?2, ?3)"
    ))?;
    for step in prices {
        price.execute(params![code, count(step.from), step.each.parts()])?;
    }
    Ok(())
}

/// The sizes of a shape as columns, m.
#[derive(Default)]
struct Sizes {
    diameter: Option<f64>,
    inner_diameter: Option<f64>,
    length: Option<f64>,
    width: Option<f64>,
    thickness: Option<f64>,
}

impl Sizes {
    fn of(shape: &Shape) -> Self {
        match *shape {
            Shape::Disc { diameter, thickness } => Self {
                diameter: Some(diameter),
                thickness: Some(thickness),
                ..Self::default()
            },
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => Self {
                diameter: Some(outer_diameter),
                inner_diameter: Some(inner_diameter),
                thickness: Some(thickness),
                ..Self::default()
            },
            Shape::Block {
                length,
                width,
                thickness,
            } => Self {
                length: Some(length),
                width: Some(width),
                thickness: Some(thickness),
                ..Self::default()
            },
            Shape::Sphere { diameter } => Self {
                diameter: Some(diameter),
                ..Self::default()
            },
        }
    }

    fn shape(&self, name: &str) -> Option<Shape> {
        Some(match ShapeKind::named(name)? {
            ShapeKind::Disc => Shape::Disc {
                diameter: self.diameter?,
                thickness: self.thickness?,
            },
            ShapeKind::Ring => Shape::Ring {
                outer_diameter: self.diameter?,
                inner_diameter: self.inner_diameter?,
                thickness: self.thickness?,
            },
            ShapeKind::Block => Shape::Block {
                length: self.length?,
                width: self.width?,
                thickness: self.thickness?,
            },
            ShapeKind::Sphere => Shape::Sphere {
                diameter: self.diameter?,
            },
        })
    }
}

/// A size as a search looks for it: `15x5 mm`.
fn bare_size(size: &str) -> String {
    size.replace('\u{a0}', " ").replace(" × ", "x").replace(" / ", "/")
}

/// What a search looks through, in lower case.
fn search_words(item: &Item) -> String {
    let size = |units| bare_size(&sizes(item, units));
    let parts = [
        item.code.as_str(),
        item.name.as_str(),
        kind_of(&item.shape).name(),
        &size(&Units::metric()),
        &size(&Units::inch()),
        &item.grade,
        &item.coating,
        item.note.as_deref().unwrap_or_default(),
    ];
    parts.join(" ").to_lowercase()
}

/// The name of a side in the database and in price lists.
pub(crate) fn side_name(side: Magnetised) -> &'static str {
    match side {
        Magnetised::Thickness => "thickness",
        Magnetised::Width => "width",
        Magnetised::Length => "length",
    }
}

fn read(row: &Row<'_>) -> Result<Item> {
    let code: String = row.get("code")?;
    let sizes = Sizes {
        diameter: row.get("diameter")?,
        inner_diameter: row.get("inner_diameter")?,
        length: row.get("length")?,
        width: row.get("width")?,
        thickness: row.get("thickness")?,
    };
    let shape = sizes
        .shape(row.get_ref("shape")?.as_str().map_err(rusqlite::Error::from)?)
        .ok_or_else(|| ShopError::Damaged(format!("item \"{code}\" without the sizes of its shape")))?;
    let magnetised = match row.get_ref("magnetised")?.as_str().map_err(rusqlite::Error::from)? {
        "width" => Magnetised::Width,
        "length" => Magnetised::Length,
        _ => Magnetised::Thickness,
    };
    Ok(Item {
        code,
        name: row.get("name")?,
        shape,
        magnetised,
        grade: row.get("grade")?,
        coating: row.get("coating")?,
        tolerance: Length(row.get("tolerance")?),
        mass: row.get::<_, Option<f64>>("mass")?.map(Mass),
        stock: row.get::<_, Option<i64>>("stock")?.map(i64::unsigned_abs),
        prices: Vec::new(),
        link: row.get("link")?,
        note: row.get("note")?,
    })
}
