//! What a build is exposed to, and what that takes from it.

use magnetics::inside::Facing;
use materials::grade::REFERENCE_CELSIUS;

use crate::question::{Conditions, Need, Question};

/// Share of its flux that a build may lose for good: what ends the range of working temperatures in GB/T 13560-2017, 3.4.
pub const LOSS_ALLOWED: f64 = 0.05;

/// What a build is exposed to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposure {
    /// The warmest, °C.
    pub warmest: f64,
    /// The coldest, °C.
    pub coldest: f64,
    /// What it faces while it is so.
    pub facing: Facing,
}

/// What a use does to a build for good.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear {
    /// What is left, of what its remanence would give without a knee.
    pub kept: f64,
    /// Share of the flux of the fresh build that heat, cold and what it faces take for good.
    pub loss: f64,
    /// Where most of that is taken, °C.
    pub celsius: f64,
}

impl Wear {
    /// Nothing is lost.
    pub(crate) const NONE: Self = Self {
        kept: 1.0,
        loss: 0.0,
        celsius: REFERENCE_CELSIUS,
    };

    /// Whether the use takes more than a build may lose.
    #[must_use]
    pub fn is_too_much(&self) -> bool {
        self.loss > LOSS_ALLOWED
    }
}

impl Exposure {
    /// What a question exposes its builds to. A magnet on steel, or near one that attracts, is reckoned alone, as it is before it
    /// is put there; only one that is pushed away is worse off where it is used.
    #[must_use]
    pub fn of(question: &Question) -> Self {
        let facing = match question.need {
            Need::PushApart { gap, .. } => Facing::Opposing { gap: gap.si() },
            _ => Facing::Nothing,
        };
        Self::alone(&question.conditions).facing(facing)
    }

    /// What conditions expose a build to that is alone.
    #[must_use]
    pub fn alone(conditions: &Conditions) -> Self {
        let coldest = conditions.coldest.map(|t| t.celsius());
        let warmest = conditions
            .warmest
            .map_or(REFERENCE_CELSIUS.max(coldest.unwrap_or(REFERENCE_CELSIUS)), |t| {
                t.celsius()
            });
        Self {
            warmest,
            coldest: coldest.unwrap_or(REFERENCE_CELSIUS.min(warmest)),
            facing: Facing::Nothing,
        }
    }

    /// The same with something that is faced.
    #[must_use]
    pub fn facing(self, facing: Facing) -> Self {
        Self { facing, ..self }
    }

    /// The temperatures that are visited, beginning with room temperature.
    pub(crate) fn visits(&self) -> [f64; 3] {
        [REFERENCE_CELSIUS, self.warmest, self.coldest]
    }
}
