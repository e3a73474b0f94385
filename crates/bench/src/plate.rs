//! Plates that a pull tester pulls from.

use std::sync::LazyLock;

use magnetics::Shape;
use quantity::Length;
use serde::{Deserialize, Serialize};
use steel::SteelTable;
use steel::pull_law::{Equivalent, OnPlate, PullLaw};

use crate::error::SetupError;

/// How far paint is from the thickness that was named, as a part of it; common practice, no source.
pub const PAINT_TOLERANCE: f64 = 0.25;
/// The steel of a plate that does not say.
const MILD_STEEL: &str = "mild steel";
/// Flux density at a pole over remanence, for the weight of errors only.
const POLE_FLUX: f64 = 0.6;

static STEELS: LazyLock<Option<SteelTable>> = LazyLock::new(|| SteelTable::builtin().ok());

/// A flat plate; what is not said is thick, wide, bare and of mild steel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Thickness; thick where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thickness: Option<Length>,
    /// Its diameter, or the smaller of its sides; wide where absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub across: Option<Length>,
    /// Its steel, by a name of the table of steels.
    #[serde(default = "mild_steel")]
    pub steel: String,
    /// Thickness of its paint.
    #[serde(default)]
    pub paint: Length,
}

fn mild_steel() -> String {
    MILD_STEEL.into()
}

impl Default for Plate {
    fn default() -> Self {
        Self {
            thickness: None,
            across: None,
            steel: mild_steel(),
            paint: Length(0.0),
        }
    }
}

impl Plate {
    /// Whether it says nothing that an ordinary thick plate does not.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }

    /// Checks that its values are finite and in range, and that its steel holds magnets.
    ///
    /// # Errors
    /// [`SetupError::Range`] or [`SetupError::Steel`].
    pub fn validate(&self) -> Result<(), SetupError> {
        let check = |what, length: Option<Length>, low, high| {
            length.map_or(Ok(()), |length| SetupError::check(what, length.si(), low, high))
        };
        check("thickness of the plate", self.thickness, 0.05e-3, 1.0)?;
        check("size of the plate", self.across, 1e-3, 10.0)?;
        check("paint of the plate", Some(self.paint), 0.0, 0.05)?;
        self.law().map(|_| ())
    }

    /// The pull law of its steel.
    fn law(&self) -> Result<&'static PullLaw, SetupError> {
        let steel = STEELS.as_ref().and_then(|steels| steels.find(&self.steel));
        steel.and_then(steel::Steel::law).ok_or_else(|| SetupError::Steel {
            name: self.steel.clone(),
        })
    }

    /// Ready for pulls of a magnet of that shape.
    ///
    /// # Errors
    /// [`SetupError::Steel`], and [`SetupError::Range`] where the magnet stands over it.
    pub(crate) fn under(&self, shape: &Shape) -> Result<Under, SetupError> {
        if let Some(across) = self.across {
            SetupError::check("size of the plate", across.si(), shape.widest(), f64::INFINITY)?;
        }
        Ok(Under {
            law: self.law()?,
            sizes: [self.thickness, self.across].map(|length| length.map(|l| l.si())),
        })
    }
}

/// A plate under a magnet.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Under {
    law: &'static PullLaw,
    /// Thickness and size across, m.
    sizes: [Option<f64>; 2],
}

impl Under {
    fn place(
        &self,
        shape: &Shape,
        gap: f64,
        polarisation: f64,
        permeability: f64,
        mirror: f64,
    ) -> (Equivalent, OnPlate) {
        let equivalent = Equivalent::of(shape);
        let [thickness, across] = self.sizes;
        let wide = equivalent.on_plate(gap, thickness, polarisation, permeability, mirror);
        let place = equivalent.on_small(wide, across);
        (equivalent, place)
    }

    /// Pull, N, of one that is `mirror` on an ideal plate: a bare magnet of that shape and effective polarisation (T), so many
    /// metres from the steel.
    pub(crate) fn pull(&self, shape: &Shape, gap: f64, polarisation: f64, permeability: f64, mirror: f64) -> f64 {
        let (_, place) = self.place(shape, gap, polarisation, permeability, mirror);
        mirror * self.law.factor(&place)
    }

    /// Half width of the 95 % interval of the law's error there, as a part of the pull.
    pub(crate) fn error(&self, shape: &Shape, gap: f64, remanence: f64, permeability: f64) -> f64 {
        let (equivalent, place) = self.place(shape, gap, remanence, permeability, 0.0);
        let flux_density = POLE_FLUX * remanence;
        equivalent.error(self.law, &OnPlate { flux_density, ..place })
    }
}

#[cfg(test)]
mod tests;
