//! Lots with their certificates, in words.

use quantity::{Quantity, Units};
use serde::Serialize;
use utoipa::ToSchema;

use crate::desk::Desk;
use crate::problem::Problem;

/// A lot as it is shown, with the values of its certificate in words.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct LotLine {
    /// Code of the item.
    pub code: String,
    /// Name of the lot.
    pub lot: String,
    /// Remanence.
    pub br: String,
    /// Intrinsic coercivity, where the certificate gives one.
    pub hcj: Option<String>,
    /// Remark.
    pub note: String,
    /// Whether the item is reckoned with it.
    pub in_use: bool,
    /// Whether it belongs to the magnet that has this code now, not to one that had it before.
    pub belongs: bool,
}

impl Desk {
    /// All lots, or those of one item.
    ///
    /// # Errors
    /// When the database fails.
    pub fn lots(&self, code: Option<&str>, units: &Units) -> Result<Vec<LotLine>, Problem> {
        let line = |lot: shop::Lot| LotLine {
            code: lot.code,
            lot: lot.certificate.lot,
            br: lot.certificate.br.show(units).to_string(),
            hcj: lot.certificate.hcj.map(|h| h.show(units).to_string()),
            note: lot.note,
            in_use: lot.in_use,
            belongs: lot.belongs,
        };
        Ok(self.shop.lots(code)?.into_iter().map(line).collect())
    }
}
