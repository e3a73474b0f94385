//! The families of arrangements by name.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A family of arrangements.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// A disc.
    Disc,
    /// A ring.
    Ring,
    /// A block.
    Block,
    /// Discs of falling diameter, one on the other.
    Stepped,
    /// A cylinder that narrows to a cone, cut off.
    Taper,
    /// A disc with a pole tip of steel.
    PoleTip,
    /// Two blocks side by side, like poles towards each other, below the spot.
    Opposed,
    /// A block upright between two that lie and point to it.
    Focused,
    /// Five equal blocks, each turned a quarter on from the one before.
    HalbachRow,
    /// Blocks side by side, every other one turned over.
    AlternatingRow,
    /// A disc with a back-plate of steel.
    BackPlate,
    /// A disc in a cup of steel.
    Cup,
    /// Two discs that face each other across a gap.
    FacingDiscs,
    /// Two rings that face each other.
    FacingRings,
    /// Two blocks that face each other.
    FacingBlocks,
    /// Two cones, cut off, that face each other with their narrow ends.
    FacingTapers,
    /// Two discs that face each other, joined behind by a closed yoke of steel.
    Yoke,
    /// Two rotors that carry arcs on their faces.
    Coupling,
}

/// All families, in the order in which they are looked at.
pub const ALL: [Family; 18] = [
    Family::Disc,
    Family::Ring,
    Family::Block,
    Family::Stepped,
    Family::Taper,
    Family::PoleTip,
    Family::Opposed,
    Family::Focused,
    Family::HalbachRow,
    Family::AlternatingRow,
    Family::BackPlate,
    Family::Cup,
    Family::FacingDiscs,
    Family::FacingRings,
    Family::FacingBlocks,
    Family::FacingTapers,
    Family::Yoke,
    Family::Coupling,
];

impl Family {
    /// Whether its drafts carry steel and are solved by finite elements.
    #[must_use]
    pub fn has_steel(self) -> bool {
        matches!(self, Self::PoleTip | Self::BackPlate | Self::Cup | Self::Yoke)
    }

    /// Whether two magnets stand on both sides of what they work on.
    #[must_use]
    pub fn is_around(self) -> bool {
        matches!(
            self,
            Self::FacingDiscs | Self::FacingRings | Self::FacingBlocks | Self::FacingTapers | Self::Yoke
        )
    }
}
