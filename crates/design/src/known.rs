//! What is known beside the wish: the steel that is turned and held on, and what things cost to make.

use std::sync::Arc;

use steel::pull_law::PullLaw;
use steel::{BhCurve, SteelTable};
use thiserror::Error;

use crate::cost::{CostError, CostModel};

/// The steel of parts and plates where nothing else is said.
pub const USUAL_STEEL: &str = "mild steel";

/// The steel and the costs that drafts are judged with.
#[derive(Clone, Debug)]
pub struct Known {
    /// Magnetisation curve of all steel.
    pub curve: Arc<BhCurve>,
    /// Its pull law.
    pub law: &'static PullLaw,
    /// Saturation polarisation of the steel, T: what the limit of steel parts is computed with.
    pub saturation: f64,
    /// What it costs to make something.
    pub costs: CostModel,
}

/// Why a draft cannot be judged.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum KnownError {
    /// There is no steel of that name, or no magnet holds on it.
    #[error("no magnet holds on {0:?}, or it is not known")]
    Steel(String),
    /// The costs do not read.
    #[error(transparent)]
    Costs(#[from] CostError),
}

/// A field at which every structural steel is saturated, A/m.
const SATURATING: f64 = 1e6;

impl Known {
    /// The steel of that name, with the costs that come with the program.
    ///
    /// # Errors
    /// [`KnownError::Steel`] where it is not known or holds no magnet.
    pub fn of_steel(name: &str) -> Result<Self, KnownError> {
        let unknown = || KnownError::Steel(name.to_owned());
        let table = SteelTable::builtin().map_err(|_| unknown())?;
        let steel = table.find(name).filter(|steel| steel.holds()).ok_or_else(unknown)?;
        let curve = table.curve(name).ok_or_else(unknown)?.curve.clone();
        Ok(Self {
            law: steel.law().ok_or_else(unknown)?,
            saturation: saturation(&curve),
            curve,
            costs: CostModel::builtin()?,
        })
    }
}

/// Polarisation of steel in a strong field, T.
fn saturation(curve: &BhCurve) -> f64 {
    let (mut low, mut high) = (1.0, 10.0);
    for _ in 0..60 {
        let b = 0.5 * (low + high);
        if curve.at(b).h < SATURATING {
            low = b;
        } else {
            high = b;
        }
    }
    low - materials::MU_0 * SATURATING
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mild steel saturates at about 2.1 T to 2.2 T (the polarisation of iron is 2.15 T, from memory).
    #[test]
    fn mild_steel_saturates_like_iron_and_stainless_is_refused() {
        let known = Known::of_steel(USUAL_STEEL).unwrap();
        assert!((2.0..2.25).contains(&known.saturation), "{}", known.saturation);
        assert!(matches!(Known::of_steel("stainless steel"), Err(KnownError::Steel(_))));
        assert!(matches!(Known::of_steel("cheese"), Err(KnownError::Steel(_))));
    }
}
