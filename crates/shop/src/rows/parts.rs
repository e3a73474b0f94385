//! Parts as rows of the database.

use advice::Part;
use advice::part::{Form, PartKind};
use advice::view::part::sizes;
use quantity::{Length, Mass, Units};
use rusqlite::{Connection, Row, params};

use super::{Unread, bare_size, count, read_prices, write_prices};
use crate::error::{Result, ShopError};

/// The columns of a part, for `SELECT`.
const COLUMNS: &str = "code, name, kind, diameter, inner_diameter, height, cavity_depth, floor_hole, end_diameter, \
                       steel, tolerance, mass, stock, link, note";

/// The parts that `condition` (the rest of an SQL query after the table's name) picks, each with its prices; those that cannot
/// be read go to `unread`.
pub(crate) fn each(
    connection: &Connection,
    condition: &str,
    values: impl rusqlite::Params,
    unread: &mut Vec<Unread>,
) -> Result<Vec<Part>> {
    let mut parts = connection.prepare_cached(&format!("SELECT {COLUMNS} FROM part {condition}"))?;
    let mut rows = parts.query(values)?;
    let mut found = Vec::new();
    while let Some(row) = rows.next()? {
        match read(row) {
            Ok(mut part) => {
                part.prices = read_prices(connection, "part_price", &part.code)?;
                found.push(part);
            }
            Err(error) => unread.push(Unread {
                code: row.get("code")?,
                why: error.to_string(),
            }),
        }
    }
    Ok(found)
}

/// Writes a part over the one with the same code, or as a new one.
pub(super) fn write(connection: &Connection, part: &Part) -> Result<()> {
    let sizes = Sizes::of(&part.form);
    connection
        .prepare_cached(
            "INSERT OR REPLACE INTO part (code, name, kind, diameter, inner_diameter, height, cavity_depth, \
             floor_hole, end_diameter, steel, tolerance, mass, stock, link, note, words) \
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16)",
        )?
        .execute(params![
            part.code,
            part.name,
            part.form.kind().name(),
            sizes.diameter,
            sizes.inner_diameter,
            sizes.height,
            sizes.cavity_depth,
            sizes.floor_hole,
            sizes.end_diameter,
            part.steel,
            part.tolerance.0,
            part.mass.map(|mass| mass.0),
            part.stock.map(count),
            part.link,
            part.note,
            search_words(part),
        ])?;
    write_prices(connection, "part_price", &part.code, &part.prices)
}

/// The sizes of a form as columns, m.
#[derive(Default)]
struct Sizes {
    diameter: f64,
    inner_diameter: Option<f64>,
    height: f64,
    cavity_depth: Option<f64>,
    floor_hole: Option<f64>,
    end_diameter: Option<f64>,
}

impl Sizes {
    fn of(form: &Form) -> Self {
        let own = Self {
            diameter: form.widest(),
            height: form.height(),
            ..Self::default()
        };
        match *form {
            Form::Disc { .. } | Form::Dome { .. } => own,
            Form::Washer { inner_diameter, .. } => Self {
                inner_diameter: Some(inner_diameter),
                ..own
            },
            Form::Cup {
                inner_diameter,
                depth,
                hole,
                ..
            } => Self {
                inner_diameter: Some(inner_diameter),
                cavity_depth: Some(depth),
                floor_hole: Some(hole),
                ..own
            },
            Form::Cone { end, .. } => Self {
                end_diameter: Some(end),
                ..own
            },
        }
    }

    fn form(&self, kind: &str) -> Option<Form> {
        let (diameter, height) = (self.diameter, self.height);
        Some(match PartKind::named(kind)? {
            PartKind::Disc => Form::Disc {
                diameter,
                thickness: height,
            },
            PartKind::Washer => Form::Washer {
                outer_diameter: diameter,
                inner_diameter: self.inner_diameter?,
                thickness: height,
            },
            PartKind::Cup => Form::Cup {
                outer_diameter: diameter,
                inner_diameter: self.inner_diameter?,
                height,
                depth: self.cavity_depth?,
                hole: self.floor_hole?,
            },
            PartKind::Cone => Form::Cone {
                base: diameter,
                end: self.end_diameter?,
                height,
            },
            PartKind::Dome => Form::Dome { base: diameter, height },
        })
    }
}

/// What a search looks through, in lower case.
fn search_words(part: &Part) -> String {
    let size = |units| bare_size(&sizes(&part.form, units));
    let parts = [
        part.code.as_str(),
        part.name.as_str(),
        part.form.kind().name(),
        &size(&Units::metric()),
        &size(&Units::inch()),
        &part.steel,
        part.note.as_deref().unwrap_or_default(),
    ];
    parts.join(" ").to_lowercase()
}

fn read(row: &Row<'_>) -> Result<Part> {
    let code: String = row.get("code")?;
    let sizes = Sizes {
        diameter: row.get("diameter")?,
        inner_diameter: row.get("inner_diameter")?,
        height: row.get("height")?,
        cavity_depth: row.get("cavity_depth")?,
        floor_hole: row.get("floor_hole")?,
        end_diameter: row.get("end_diameter")?,
    };
    let form = sizes
        .form(row.get_ref("kind")?.as_str().map_err(rusqlite::Error::from)?)
        .ok_or_else(|| ShopError::Damaged(format!("part \"{code}\" without the sizes of its kind")))?;
    Ok(Part {
        code,
        name: row.get("name")?,
        form,
        steel: row.get("steel")?,
        tolerance: Length(row.get("tolerance")?),
        mass: row.get::<_, Option<f64>>("mass")?.map(Mass),
        stock: row.get::<_, Option<i64>>("stock")?.map(i64::unsigned_abs),
        prices: Vec::new(),
        link: row.get("link")?,
        note: row.get("note")?,
    })
}
