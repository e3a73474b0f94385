//! What is asked of a parcel, and whether it can be.

use advice::QuestionError;
use advice::enquiry::NamedMagnet;
use advice::question::Amount;
use quantity::{Length, Quantity};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The most kinds of magnets in a parcel.
const MOST_LINES: usize = 20;
/// The most pieces in a parcel.
pub const MOST_PIECES: u32 = 100_000;
/// The longest side of a parcel, m.
const LARGEST_SIDE: f64 = 3.0;
/// The thickest filler and lining, m.
const THICKEST_FILLER: f64 = 1.0;
const THICKEST_LINING: f64 = 10e-3;
/// Filler between content and wall where none is said, m; common practice, no source.
pub const USUAL_FILLER: f64 = 20e-3;

/// A parcel as it is to be packed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ParcelRequest {
    /// What is in it.
    pub lines: Vec<PackedLine>,
    /// How the stacks lie.
    #[serde(default)]
    pub arrangement: Arrangement,
    /// Pieces in a stack; as it fits best where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub per_stack: Option<u32>,
    /// Outer length, width and height of the box; as large as it must be where absent.
    #[serde(default, rename = "box", skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Vec<Amount>>)]
    pub sides: Option<[Length; 3]>,
    /// The least that lies between content and wall on all sides; 20 mm where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub filler: Option<Length>,
    /// Thickness of a closed lining of mild steel inside the walls; none where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Amount>)]
    pub lining: Option<Length>,
}

/// So many pieces of one magnet.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PackedLine {
    /// The magnet, by its code or by what is known of it.
    pub magnet: NamedMagnet,
    /// How many pieces.
    pub count: u32,
}

/// How the stacks of a parcel lie beside each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Arrangement {
    /// All north poles to one side.
    #[default]
    OneWay,
    /// Every second stack turned over, as the fields of a chessboard.
    Alternating,
    /// Two and two with opposite poles side by side, all couples alike.
    Paired,
    /// Four and four laid head to tail in a closed ring.
    Rings,
}

impl Arrangement {
    /// All of them, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::OneWay, Self::Alternating, Self::Paired, Self::Rings];
    /// How many stacks it takes at least, and in multiples of which they come.
    pub fn of(self) -> u32 {
        match self {
            Self::OneWay => 1,
            Self::Alternating | Self::Paired => 2,
            Self::Rings => 4,
        }
    }
}

impl ParcelRequest {
    /// Filler on every side, m.
    pub fn filler(&self) -> f64 {
        self.filler.map_or(USUAL_FILLER, Quantity::si)
    }

    /// Steel lining, m; 0 for none.
    pub fn lining(&self) -> f64 {
        self.lining.map_or(0.0, Quantity::si)
    }

    /// All pieces.
    pub fn pieces(&self) -> u64 {
        self.lines.iter().map(|line| u64::from(line.count)).sum()
    }

    /// Whether its numbers can be packed at all; whether they fit in the box is told when it is packed.
    ///
    /// # Errors
    /// The first thing that is out of range, with its place and what would be right.
    pub fn check(&self) -> Result<(), QuestionError> {
        if self.lines.is_empty() || self.lines.len() > MOST_LINES {
            let message = format!(
                "a parcel holds 1 to {MOST_LINES} kinds of magnets, got {}",
                self.lines.len()
            );
            return wrong("/lines", message, "name the magnets and how many of each");
        }
        for (at, line) in self.lines.iter().enumerate() {
            let least = self.arrangement.of();
            if line.count < least {
                let message = format!("{} pieces cannot lie so: it takes {least} at least", line.count);
                return wrong(
                    &format!("/lines/{at}/count"),
                    message,
                    "give how many pieces, or pack them all one way",
                );
            }
        }
        if self.pieces() > u64::from(MOST_PIECES) {
            let message = format!("a parcel holds at most {MOST_PIECES} pieces, got {}", self.pieces());
            return wrong("/lines", message, "split it into smaller parcels");
        }
        if self.per_stack.is_some_and(|n| n == 0 || n > MOST_PIECES) {
            return wrong(
                "/per_stack",
                "a stack has one piece at least".into(),
                "give how many pieces a stack has",
            );
        }
        let within = |si: f64, least: f64, most: f64| si.is_finite() && si >= least && si <= most;
        for (at, side) in self.sides.iter().flatten().enumerate() {
            if !within(side.si(), 1e-3, LARGEST_SIDE) {
                let message = format!("a side of a box is from 1 mm to {LARGEST_SIDE} m");
                return wrong(
                    &format!("/box/{at}"),
                    message,
                    "give length, width and height, such as 300 mm",
                );
            }
        }
        if !within(self.filler(), 0.0, THICKEST_FILLER) {
            let message = format!("filler is from 0 to {THICKEST_FILLER} m thick");
            return wrong("/filler", message, "such as 20 mm");
        }
        if !within(self.lining(), 0.0, THICKEST_LINING) {
            let message = format!("a lining is from 0 to {} mm thick", THICKEST_LINING * 1e3);
            return wrong("/lining", message, "such as 1 mm");
        }
        Ok(())
    }
}

/// An error with its place.
pub(crate) fn wrong<T>(field: &str, message: String, hint: &str) -> Result<T, QuestionError> {
    Err(QuestionError {
        field: field.into(),
        message,
        hint: hint.into(),
    })
}

#[cfg(test)]
mod tests;
