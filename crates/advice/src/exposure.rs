//! What a build is exposed to, and what that takes from it.

use magnetics::inside::Facing;
use materials::grade::REFERENCE_CELSIUS;

use crate::question::{Conditions, Need, Question};

/// Share of its flux that a build may lose permanently: what ends the range of working temperatures in GB/T 13560-2017, 3.4.
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

/// What is kept against the coercivity in terms of the field that demagnetises: coercivity over remanence and demagnetising
/// factor, as a part of the usual one.
///
/// Curves of one form that are stretched alike keep alike, so that one number stands for coercivity, remanence, warmth and size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KeptBy {
    from: f64,
    to: f64,
    kept: [f64; KeptBy::NODES],
}

impl KeptBy {
    /// Where it is known, evenly from end to end.
    pub const NODES: usize = 5;
    /// A loss below this counts as none.
    const LEAST: f64 = 1e-4;

    /// The same whatever the coercivity.
    #[must_use]
    pub const fn all(kept: f64) -> Self {
        Self {
            from: 1.0,
            to: 1.0,
            kept: [kept; Self::NODES],
        }
    }

    /// What is kept at each of the nodes from end to end; the first error where there is one.
    ///
    /// # Errors
    /// That of `kept`.
    pub fn over<E>(from: f64, to: f64, mut kept: impl FnMut(f64) -> Result<f64, E>) -> Result<Self, E> {
        let mut found = Self {
            from,
            to,
            kept: [1.0; Self::NODES],
        };
        for k in 0..Self::NODES {
            let part = k as f64 / (Self::NODES - 1) as f64;
            found.kept[k] = kept(from + part * (to - from))?;
        }
        Ok(found)
    }

    /// What is kept there, by straight lines in the logarithm of what is lost; no less and no more than at the ends.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        if self.to <= self.from {
            return self.kept[0];
        }
        let place = ((x - self.from) / (self.to - self.from)).clamp(0.0, 1.0) * (Self::NODES - 1) as f64;
        let below = (place as usize).min(Self::NODES - 2);
        let lost = |k: usize| (1.0 - self.kept[k]).max(Self::LEAST).ln();
        let part = place - below as f64;
        let lost = (lost(below) * (1.0 - part) + lost(below + 1) * part).exp();
        1.0 - (lost - Self::LEAST).max(0.0)
    }

    /// What a piece of the usual coercivity keeps.
    #[must_use]
    pub fn usual(&self) -> f64 {
        self.at(1.0)
    }

    /// Whether any of it is lost.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.kept == [1.0; Self::NODES]
    }
}

/// What a use does to a build permanently.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wear {
    /// What is left, of what its remanence would give without a knee, of a piece of the least coercivity.
    pub kept: f64,
    /// The same against the coercivity.
    pub kept_by: KeptBy,
    /// Share of the flux of the pieces as they are delivered, each magnetised alone, that stacking, heat, cold and what they
    /// face take permanently, of a piece of the least coercivity.
    pub loss: f64,
    /// Where most of that is taken, °C.
    pub celsius: f64,
}

impl Wear {
    /// Nothing is lost.
    pub(crate) const NONE: Self = Self {
        kept: 1.0,
        kept_by: KeptBy::all(1.0),
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
