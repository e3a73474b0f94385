//! What stands on a shop's letters, sheets and quotations.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::error::{Result, ShopError};

/// The most lines below the name.
const MOST_LINES: usize = 8;
/// The most characters of a line.
const MOST_LINE: usize = 200;
/// The most characters of the terms.
const MOST_TERMS: usize = 4000;
/// The longest validity, days.
const MOST_DAYS: u32 = 3650;

/// Head and terms of what leaves the shop.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Letterhead {
    /// How the shop is reached, a line each: street, mail, telephone.
    pub lines: Vec<String>,
    /// Where the shop's page is reached from outside, such as `https://shop.example`; empty where nowhere.
    pub address: String,
    /// Terms below a quotation: payment, carriage, taxes.
    pub terms: String,
    /// For how many days a quotation is valid.
    pub valid_days: u32,
    /// The paper that pages are made for.
    pub paper: Paper,
}

/// A size of paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum Paper {
    /// 210 × 297 mm, ISO 216.
    #[default]
    A4,
    /// 8.5 × 11 in, ANSI/ASME Y14.1.
    Letter,
}

impl Default for Letterhead {
    fn default() -> Self {
        Self {
            lines: Vec::new(),
            address: String::new(),
            terms: String::new(),
            valid_days: 30,
            paper: Paper::A4,
        }
    }
}

impl Letterhead {
    /// Whether it fits.
    ///
    /// # Errors
    /// Too many or too long lines, an address that is not one of the web, terms or a validity too long.
    pub fn check(&self) -> Result<()> {
        let wrong = |what, got: String, right: String| Err(ShopError::Setting { what, got, right });
        if self.lines.len() > MOST_LINES || self.lines.iter().any(|l| l.chars().count() > MOST_LINE) {
            let right = format!("at most {MOST_LINES} lines of at most {MOST_LINE} characters");
            return wrong(
                "the lines of the letterhead",
                format!("{} lines", self.lines.len()),
                right,
            );
        }
        let web = ["http://", "https://"]
            .iter()
            .any(|start| self.address.starts_with(start));
        let odd =
            self.address.len() > MOST_LINE || self.address.contains(|c: char| c.is_whitespace() || c.is_control());
        if !self.address.is_empty() && (!web || odd) {
            let right = "an address such as https://shop.example, or nothing".into();
            return wrong("the public address", self.address.clone(), right);
        }
        if self.terms.chars().count() > MOST_TERMS {
            let got = format!("{} characters", self.terms.chars().count());
            return wrong("the terms", got, format!("at most {MOST_TERMS} characters"));
        }
        if self.valid_days == 0 || self.valid_days > MOST_DAYS {
            let right = format!("from 1 to {MOST_DAYS} days");
            return wrong("the validity", format!("{} days", self.valid_days), right);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
