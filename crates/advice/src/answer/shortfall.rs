//! How far a shelf falls short of a need, and what would do.

use serde::{Deserialize, Serialize};
use uncertainty::Band;

use super::build::Build;
use super::miss::NearMiss;
use crate::item::Item;

/// How far the shelf falls short and what would do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shortfall {
    /// The best that the shelf reaches within all constraints, with its part of the need.
    pub best: Option<Best>,
    /// What would do, most practical first.
    pub would_do: Vec<WouldDo>,
    /// What physics allows at all, in the unit of the need.
    pub ceiling: Option<Ceiling>,
}

/// What every answer counted before thin steel was told apart.
fn lost_before() -> f64 {
    0.25
}

/// The strongest build within all constraints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Best {
    /// The item.
    pub item: Item,
    /// The build.
    pub build: Build,
    /// Its value with its band.
    pub band: Band,
    /// Low end over need.
    pub reaches: f64,
}

/// Something that would meet the need.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "way", rename_all = "snake_case")]
pub enum WouldDo {
    /// Relax one constraint: an item that then does.
    Relax {
        /// The near miss.
        miss: Box<NearMiss>,
    },
    /// Share the load among more of the best builds.
    Share {
        /// How many.
        builds: u32,
        /// Of this item.
        item: Box<Item>,
        /// Each put together so.
        build: Box<Build>,
        /// Part of its pull that each may lose where they touch.
        #[serde(default = "lost_before")]
        lost: f64,
    },
    /// A second magnet on the other side in place of the steel, or one on each side of the spot.
    BothSides {
        /// Value at the middle.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// Steel behind the magnet: no more than this, and never surely enough before a plate is named.
    BackSteel {
        /// Value at the middle with ideal steel.
        value: f64,
    },
    /// Thicker steel to hold on, m.
    ThickerSteel {
        /// Thickness that carries the flux.
        thickness: f64,
        /// Value at the middle on it.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// The same size in a stronger grade.
    OtherGrade {
        /// Its name.
        grade: String,
        /// Value at the middle.
        value: f64,
        /// Whether that is surely enough.
        enough: bool,
    },
    /// A disc made to size.
    Custom {
        /// Diameter, m.
        diameter: f64,
        /// Thickness, m.
        thickness: f64,
        /// Grade.
        grade: String,
        /// Low end of its band.
        low: f64,
        /// Whether it is wider or taller than the question allows.
        breaks_limits: bool,
    },
}

/// A limit that no magnet passes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ceiling {
    /// The limit in the unit of the need.
    pub value: f64,
    /// For this grade, the strongest in the table.
    pub grade: String,
    /// Which law sets it.
    pub law: CeilingLaw,
}

/// What sets a ceiling.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CeilingLaw {
    /// Half the remanence at a free flat face.
    HalfRemanence,
    /// An endless rod with a flat face of the largest width allowed.
    EndlessRod,
    /// Remanence over the whole face: B² A / (2 mu0).
    FullFace,
}
