//! Two equal magnets side by side on one plate, in figures and words.

use quantity::{Force, Length, Quantity, Units};
use serde::Serialize;
use steel::beside::{BesideError, side_by_side};
use steel::setups::Piece;
use utoipa::ToSchema;

use crate::problem::{Kind, Problem};

/// Field of a request that asks for it.
pub const FIELD: &str = "/beside_mm";

/// The pull of two equal magnets side by side on one plate: an estimate, see `docs/steel.md`.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct SideBySide {
    /// Pull of both, poles alternating.
    pub alternating: Between,
    /// Pull of both, poles alike.
    pub alike: Between,
    /// In words.
    pub text: String,
}

/// A pull with the interval that it surely lies in, in the unit shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Between {
    /// Middle of the interval.
    pub value: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The unit.
    pub unit: String,
    /// The interval in words.
    pub text: String,
}

impl Between {
    fn of(pull: steel::beside::Between, units: &Units) -> Self {
        let scale = units.scale(Force::KIND, pull.value);
        Self {
            value: scale.apply(pull.value),
            low: scale.apply(pull.low),
            high: scale.apply(pull.high),
            unit: scale.label.into(),
            text: Force::show_range(Force(pull.low), Force(pull.high), units).to_string(),
        }
    }
}

/// The pull of two such magnets, `distance` metres between their rims.
///
/// # Errors
/// A distance that cannot be, and what keeps the single magnet from being solved.
pub fn estimate(magnet: &Piece, plate: &Piece, gap: f64, distance: f64, units: &Units) -> Result<SideBySide, Problem> {
    let found = side_by_side(magnet, plate, gap, distance).map_err(|error| {
        let problem = Problem::new(Kind::Asked, "not estimated", error.to_string()).hint(error.hint());
        match error {
            BesideError::Distance(_) => problem.field(FIELD),
            _ => problem,
        }
    })?;
    let (alternating, alike) = (Between::of(found.alternating, units), Between::of(found.alike, units));
    let place = if distance > 0.0 {
        format!("{} apart", Length(distance).show(units))
    } else {
        "touching".into()
    };
    let text = format!(
        "Two of them side by side, {place}, pull {} with poles alternating and {} with poles alike, where two far apart pull {}: an estimate, wide where the plate is thin",
        alternating.text,
        alike.text,
        Force(found.singles).show(units)
    );
    Ok(SideBySide {
        alternating,
        alike,
        text,
    })
}
