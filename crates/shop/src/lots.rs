//! Certificates of lots: what an item is reckoned with instead of its grade.
//!
//! A certificate belongs to the magnet that it was entered for. Where the code goes to another shape, size, direction or
//! grade, the item is reckoned with its grade, until the old magnet comes back or a certificate of the new one is entered.

use std::collections::HashMap;

use advice::known::Certificate;
use quantity::{FieldStrength, FluxDensity};
use rusqlite::{Connection, OptionalExtension, Row, params};

use crate::Shop;
use crate::error::{Result, ShopError};
use crate::grades;
use crate::journal::{self, Kind};

/// A lot of an item with its certificate.
#[derive(Clone, Debug, PartialEq)]
pub struct Lot {
    /// Code of the item.
    pub code: String,
    /// What the certificate says.
    pub certificate: Certificate,
    /// Remark.
    pub note: String,
    /// Whether the item is reckoned with it.
    pub in_use: bool,
    /// Whether it belongs to the magnet that has this code on the shelf now.
    pub belongs: bool,
}

/// What is read of a lot; `in_use` only where it belongs to the magnet of that code.
const LOTS: &str = "SELECT lot.code, lot, br, hcj, lot.note, in_use AND magnet.code IS NOT NULL AS in_use, \
     magnet.code IS NOT NULL AS belongs FROM lot \
     LEFT JOIN magnet ON magnet.code = lot.code AND magnet.identity = lot.magnet";

impl Shop {
    /// All lots, by item; those of one item where its code is given.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lots(&self, code: Option<&str>) -> Result<Vec<Lot>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(&format!(
            "{LOTS} WHERE ?1 IS NULL OR lot.code = ?1 ORDER BY lot.code, lot"
        ))?;
        let rows = statement.query_map([code], read)?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// The certificates that items on the shelf are reckoned with, as code, grade and certificate.
    ///
    /// # Errors
    /// When the database fails.
    pub fn certificates_in_use(&self) -> Result<Vec<(String, String, Certificate)>> {
        let connection = self.read()?;
        let mut statement = connection.prepare_cached(
            "SELECT lot.code, lot, br, hcj, item.grade AS grade FROM lot \
             JOIN magnet ON magnet.code = lot.code AND magnet.identity = lot.magnet \
             JOIN item ON item.code = lot.code WHERE in_use = 1 ORDER BY lot.code",
        )?;
        let rows = statement.query_map([], |row| Ok((row.get("code")?, row.get("grade")?, certificate(row)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Reckons an item with the certificate of a lot, which is kept; says what the new revision is.
    ///
    /// A lot that is known already takes other values only where `replace` says so.
    ///
    /// # Errors
    /// [`ShopError::Lot`] for an item that is not on the shelf, values that no magnet has, or other values for a known lot.
    pub fn use_lot(&self, code: &str, certificate: &Certificate, note: &str, replace: bool) -> Result<u64> {
        let name = certificate.lot.trim();
        if name.is_empty() {
            return Err(ShopError::Lot("a lot needs a name".into()));
        }
        let mut connection = self.lock()?;
        self.backup_before(&connection, "lot")?;
        let transaction = connection.transaction()?;
        let item: Option<(String, String)> = transaction
            .query_row(
                "SELECT grade, identity FROM item JOIN magnet ON magnet.code = item.code WHERE item.code = ?1",
                [code],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()?;
        let (grade, magnet) = item.ok_or_else(|| ShopError::Lot(format!("the shelf has no item \"{code}\"")))?;
        let table = grades::table(&transaction)?;
        let row = table
            .get(&grade)
            .ok_or_else(|| ShopError::Lot(format!("the grade \"{grade}\" of item \"{code}\" is not known")))?;
        certificate
            .row(row)
            .map_err(|error| ShopError::Lot(format!("the certificate does not fit: {error}")))?;
        let known = transaction
            .query_row(
                &format!("{LOTS} WHERE lot.code = ?1 AND lot = ?2"),
                params![code, name],
                read,
            )
            .optional()?;
        let (br, hcj) = (certificate.br.0, certificate.hcj.map(|h| h.0));
        let other = known.and_then(|lot| {
            let values = lot.certificate.br.0 != br || lot.certificate.hcj.map(|h| h.0) != hcj;
            let magnet = (!lot.belongs).then_some("of another magnet");
            magnet.or(values.then_some("with other values"))
        });
        if let Some(other) = other.filter(|_| !replace) {
            return Err(ShopError::Lot(format!(
                "lot \"{name}\" of item \"{code}\" is known {other}; ask to replace it"
            )));
        }
        let revision = begin(&transaction, code, name)?;
        transaction.execute("UPDATE lot SET in_use = 0 WHERE code = ?1", [code])?;
        transaction.execute(
            "INSERT INTO lot (code, lot, br, hcj, note, magnet, in_use) VALUES (?1, ?2, ?3, ?4, ?5, ?6, 1) \
             ON CONFLICT (code, lot) DO UPDATE SET br = excluded.br, hcj = excluded.hcj, note = excluded.note, \
             magnet = excluded.magnet, in_use = 1",
            params![code, name, br, hcj, note, magnet],
        )?;
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }

    /// Reckons an item with a lot that is known, or with its grade again where none is named; says what the new revision is.
    ///
    /// # Errors
    /// [`ShopError::Lot`] for a lot that is not known, or where the item is reckoned with its grade already.
    pub fn switch_lot(&self, code: &str, lot: Option<&str>) -> Result<u64> {
        let mut connection = self.lock()?;
        self.backup_before(&connection, "lot")?;
        let transaction = connection.transaction()?;
        let revision = begin(&transaction, code, lot.unwrap_or_default())?;
        let before = transaction.execute("UPDATE lot SET in_use = 0 WHERE code = ?1 AND in_use = 1", [code])?;
        match lot {
            Some(lot) => {
                let taken = transaction.execute(
                    "UPDATE lot SET in_use = 1 WHERE code = ?1 AND lot = ?2 \
                     AND magnet = (SELECT identity FROM magnet WHERE magnet.code = ?1)",
                    params![code, lot],
                )?;
                if taken == 0 {
                    return Err(ShopError::Lot(format!(
                        "item \"{code}\" as it is now has no lot \"{lot}\"; give its remanence"
                    )));
                }
            }
            None if before == 0 => {
                return Err(ShopError::Lot(format!(
                    "item \"{code}\" is reckoned with its grade already"
                )));
            }
            None => {}
        }
        transaction.commit()?;
        Ok(revision.unsigned_abs())
    }
}

/// Begins a revision that changes the lots of an item.
fn begin(connection: &Connection, code: &str, lot: &str) -> Result<i64> {
    let revision = journal::begin(connection, Kind::Lots, format!("{code} {lot}").trim())?;
    note(connection, revision, code)?;
    Ok(revision)
}

/// Notes the lots of an item as they are, so that they can be brought back after `revision`.
fn note(connection: &Connection, revision: i64, code: &str) -> Result<()> {
    connection.execute(
        "INSERT INTO lot_journal (revision, code) VALUES (?1, ?2)",
        params![revision, code],
    )?;
    connection.execute(
        "INSERT INTO lot_before (revision, lot, br, hcj, note, magnet, in_use) \
         SELECT ?1, lot, br, hcj, note, magnet, in_use FROM lot WHERE code = ?2",
        params![revision, code],
    )?;
    Ok(())
}

/// Brings back the lots of an item as they were before `change`, and notes under `now` those until then; whether that had
/// changed any.
pub(crate) fn bring_back(connection: &Connection, change: i64, now: i64) -> Result<bool> {
    let code: Option<String> = connection
        .query_row("SELECT code FROM lot_journal WHERE revision = ?1", [change], |row| {
            row.get(0)
        })
        .optional()?;
    let Some(code) = code else { return Ok(false) };
    note(connection, now, &code)?;
    connection.execute("DELETE FROM lot WHERE code = ?1", [&code])?;
    connection.execute(
        "INSERT INTO lot (code, lot, br, hcj, note, magnet, in_use) \
         SELECT ?1, lot, br, hcj, note, magnet, in_use FROM lot_before WHERE revision = ?2",
        params![code, change],
    )?;
    Ok(true)
}

fn read(row: &Row<'_>) -> rusqlite::Result<Lot> {
    Ok(Lot {
        code: row.get("code")?,
        certificate: certificate(row)?,
        note: row.get("note")?,
        in_use: row.get("in_use")?,
        belongs: row.get("belongs")?,
    })
}

fn certificate(row: &Row<'_>) -> rusqlite::Result<Certificate> {
    Ok(Certificate {
        lot: row.get("lot")?,
        br: FluxDensity(row.get("br")?),
        hcj: row.get::<_, Option<f64>>("hcj")?.map(FieldStrength),
    })
}

/// The lots in use by the code of their item.
pub(crate) fn in_use(connection: &Connection) -> Result<HashMap<String, String>> {
    let mut statement = connection.prepare_cached(&format!("{LOTS} WHERE in_use = 1 AND magnet.code IS NOT NULL"))?;
    let rows = statement.query_map([], |row| Ok((row.get("code")?, row.get("lot")?)))?;
    Ok(rows.collect::<Result<_, _>>()?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;

    fn certificate(lot: &str, br: f64, hcj: Option<f64>) -> Certificate {
        Certificate {
            lot: lot.into(),
            br: FluxDensity(br),
            hcj: hcj.map(FieldStrength),
        }
    }

    #[test]
    fn a_lot_is_taken_kept_dropped_and_taken_again() {
        let shop = demo::in_memory().unwrap();
        let item = shop.items().unwrap().into_iter().find(|i| i.grade == "N42").unwrap();
        let code = item.code.as_str();
        let start = shop.revision().unwrap();
        let first = shop
            .use_lot(code, &certificate("A1", 1.31, Some(1.02e6)), "", false)
            .unwrap();
        assert!(first > start);
        shop.use_lot(code, &certificate("A2", 1.29, None), "second", false)
            .unwrap();
        let in_use = shop.certificates_in_use().unwrap();
        assert_eq!(
            in_use,
            [(code.to_string(), "N42".to_string(), certificate("A2", 1.29, None))]
        );
        assert_eq!(shop.lots(Some(code)).unwrap().len(), 2);
        let back = shop.switch_lot(code, None).unwrap();
        assert!(back > first && shop.certificates_in_use().unwrap().is_empty());
        assert!(shop.switch_lot(code, None).is_err());
        shop.switch_lot(code, Some("A1")).unwrap();
        assert_eq!(
            shop.certificates_in_use().unwrap()[0].2,
            certificate("A1", 1.31, Some(1.02e6))
        );
    }

    #[test]
    fn what_does_not_fit_changes_nothing() {
        let shop = demo::in_memory().unwrap();
        let item = shop.items().unwrap().into_iter().find(|i| i.grade == "N42").unwrap();
        let code = item.code.as_str();
        shop.use_lot(code, &certificate("A1", 1.31, None), "", false).unwrap();
        let before = (shop.revision().unwrap(), shop.lots(None).unwrap());
        for (code, wrong) in [
            ("99-99", certificate("A", 1.3, None)),
            (code, certificate(" ", 1.3, None)),
            (code, certificate("B", f64::NAN, None)),
            (code, certificate("B", -1.0, None)),
            (code, certificate("B", 1.3, Some(0.0))),
            (code, certificate("A1", 1.25, None)),
        ] {
            assert!(
                matches!(shop.use_lot(code, &wrong, "", false), Err(ShopError::Lot(_))),
                "{wrong:?}"
            );
        }
        assert!(shop.switch_lot(code, Some("Z")).is_err());
        assert_eq!((shop.revision().unwrap(), shop.lots(None).unwrap()), before);
        shop.use_lot(code, &certificate("A1", 1.25, None), "", true).unwrap();
        assert_eq!(shop.lots(None).unwrap()[0].certificate.br.0, 1.25);
    }
}
