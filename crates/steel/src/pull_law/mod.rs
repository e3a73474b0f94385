//! The pull law: what a magnet holds on a plate of real steel, over what its mirror image says.
//!
//! A magnet of outer diameter D on a wide plate has no length of its own, so the pull over that of the mirror image depends on six numbers only ([`OnPlate`]) and on the
//! steel's magnetisation curve. For each curve the law is a small smooth function of them, fitted to solves of [`crate::solve`] by `examples/distil` and kept in
//! `data/pull_law.toml` with the error that it showed at fresh places. The mirror image is that of a uniformly polarised magnet with the polarisation that its own demagnetising
//! field leaves it alone in air; what steel gives back of that, and what steel that is near takes of the flux, both are in the law.

mod block;
mod equivalent;
mod net;
mod round;
mod solved;

use std::f64::consts::{FRAC_PI_4, PI};
use std::sync::LazyLock;

use materials::MU_0;
use serde::Deserialize;
use thiserror::Error;

use crate::material::Steel;

pub use block::Block;
pub use equivalent::Equivalent;
pub use net::{INPUTS, NODES, Net, WEIGHTS};
pub use round::{ROUND_WEIGHTS, Round};

/// Thickness of the magnet over its outer diameter, within which the law is fitted.
pub const HEIGHT: [f64; 2] = [0.05, 3.0];
/// Inner over outer diameter, within which the law is fitted.
pub const BORE: [f64; 2] = [0.0, 0.8];
/// Gap over outer diameter, within which the law is fitted.
pub const GAP: [f64; 2] = [0.0, 1.0];
/// Thickness of the plate over the outer diameter, within which the law is fitted. Thicker plates pull like the thickest.
pub const PLATE: [f64; 2] = [0.01, 1.0];
/// Polarisation, T, within which the law is fitted.
pub const POLARISATION: [f64; 2] = [0.2, 1.5];
/// Recoil permeability, within which the law is fitted.
pub const PERMEABILITY: [f64; 2] = [1.0, 1.2];
/// Length over width of a block, within which what it holds beside its disc is fitted.
pub const OBLONG: [f64; 2] = [1.0, 10.0];
/// Error that every e-fold outside the fitted domain adds; a cautious guess.
const OUTSIDE: f64 = 0.1;
/// What keeps the logarithm of a gap finite, over the diameter.
const GAP_OFFSET: f64 = 0.01;
/// Share of the pull on a thick plate that counts as enough.
const ENOUGH: f64 = 0.95;

/// A disc or ring, polarised along its axis, on a plate, in numbers without a length; or the disc that stands for a block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnPlate {
    /// Thickness of the magnet over its outer diameter.
    pub height: f64,
    /// Inner over outer diameter; zero for a disc.
    pub bore: f64,
    /// Length over width of the block that the disc stands for; `None` for a disc or ring itself.
    pub oblong: Option<f64>,
    /// Clear distance between magnet and steel over the outer diameter.
    pub gap: f64,
    /// Thickness of the plate over the outer diameter.
    pub plate: f64,
    /// Diameter of a round plate over the outer diameter, the magnet in its middle; for a block the side of a square one over its length. Infinite for a wide one.
    pub across: f64,
    /// Effective polarisation that the mirror image is computed with, T.
    pub polarisation: f64,
    /// Recoil permeability.
    pub permeability: f64,
    /// Uniform flux density over the pole that pulls like the mirror image, T ([`pole_flux_density`]).
    pub flux_density: f64,
}

/// Uniform flux density, T, that pulls with `force` (N) on a pole of `area` (m2): by Maxwell's stress `F = B^2 A / (2 mu0)`.
#[must_use]
pub fn pole_flux_density(force: f64, area: f64) -> f64 {
    (2.0 * MU_0 * force / area).sqrt()
}

/// Diameter of the wide plates that the law was fitted with, over the outer diameter of the magnet: wider ones pull the same.
#[must_use]
pub fn plate_width(at: &OnPlate) -> f64 {
    8.0 + 6.0 * at.gap + 2.0 * at.height
}

/// The law of one steel.
#[derive(Clone, Debug, PartialEq)]
pub struct PullLaw {
    curve: String,
    saturation: f64,
    net: Net,
    error: f64,
}

/// Why a table of laws does not read.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LawError {
    /// The text is not the table it should be.
    #[error("table of pull laws does not read: {0}")]
    Unreadable(String),
    /// A number of a law is missing, superfluous or not finite.
    #[error("pull law of {0}: {WEIGHTS} finite weights, a saturation and an error above zero are needed")]
    Numbers(String),
}

#[derive(Deserialize)]
struct File {
    law: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    curve: String,
    saturation_t: f64,
    error_95: f64,
    weights: Vec<f64>,
}

impl PullLaw {
    /// The laws that come with the program.
    ///
    /// # Errors
    /// [`LawError`] only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<&'static [Self], LawError> {
        static LAWS: LazyLock<Result<Vec<PullLaw>, LawError>> =
            LazyLock::new(|| PullLaw::parse(include_str!("../../data/pull_law.toml")));
        match &*LAWS {
            Ok(laws) => Ok(laws),
            Err(error) => Err(error.clone()),
        }
    }

    /// Reads a table of laws.
    ///
    /// # Errors
    /// [`LawError`] naming the law that is not complete.
    pub fn parse(text: &str) -> Result<Vec<Self>, LawError> {
        let file: File = toml::from_str(text).map_err(|error| LawError::Unreadable(error.to_string()))?;
        let read = |row: Row| {
            Self::new(&row.curve, row.saturation_t, &row.weights, row.error_95).ok_or(LawError::Numbers(row.curve))
        };
        file.law.into_iter().map(read).collect()
    }

    /// The law of the curve of that name, with the polarisation (T) at which it saturates, the weights of its network and its error.
    #[must_use]
    pub fn new(curve: &str, saturation: f64, weights: &[f64], error: f64) -> Option<Self> {
        if !(saturation > 0.0 && saturation.is_finite() && error > 0.0 && error.is_finite()) {
            return None;
        }
        Some(Self {
            curve: curve.to_owned(),
            saturation,
            net: Net::new(weights)?,
            error,
        })
    }

    /// The law of a magnetisation curve, by its name.
    #[must_use]
    pub fn of_curve(name: &str) -> Option<&'static Self> {
        Self::builtin()
            .ok()?
            .iter()
            .find(|law| law.curve.eq_ignore_ascii_case(name))
    }

    /// Name of the magnetisation curve.
    #[must_use]
    pub fn curve(&self) -> &str {
        &self.curve
    }

    /// Half width of the 95 % interval of its relative error, at fresh places inside the fitted domain.
    #[must_use]
    pub fn error(&self) -> f64 {
        self.error
    }

    /// Pull over that of the mirror image. Outside the fitted domain that of the nearest place in it.
    #[must_use]
    pub fn factor(&self, at: &OnPlate) -> f64 {
        let (inside, _) = at.inside();
        let x = coordinates(&inside, self.saturation);
        let wide = self.net.at(&x) + base(&inside, self.saturation);
        match inside.oblong {
            None => wide.exp() * Round::builtin().map_or(1.0, |round| round.share(&x, at.across)),
            Some(long) => {
                let block = Block::builtin().map_or(0.0, |block| block.more(&x, long));
                let share = |square: &Round| square.share(&Block::coordinates(&x, long), at.across);
                (wide + block).exp() * Round::of_blocks().map_or(1.0, share)
            }
        }
    }

    /// Half width of the 95 % interval of the relative error there: outside the fitted domain it grows with the distance. Plates thicker than the thickest are no error. On a small plate it has that of
    /// [`Round`] besides. A block has that of [`Block`] in place of the law's own.
    #[must_use]
    pub fn error_at(&self, at: &OnPlate) -> f64 {
        let (own, small) = match at.oblong {
            Some(_) => (
                Block::builtin().map_or(self.error, |block| block.error(self.crowding(at))),
                Round::of_blocks(),
            ),
            None => (self.error, Round::builtin()),
        };
        own.hypot(small.map_or(1.0, |small| small.error(at.across))) + OUTSIDE * at.inside().1
    }

    /// How far the plate's section at the rim of the pole is too thin for the flux of the mirror image, roughly: 0 for a thick plate, 1 for a foil.
    #[must_use]
    pub fn crowding(&self, at: &OnPlate) -> f64 {
        -base(&at.inside().0, self.saturation).exp_m1()
    }

    /// Whether the place lies in the fitted domain, so that [`Self::error_at`] is a measured one.
    #[must_use]
    pub fn covers(&self, at: &OnPlate) -> bool {
        at.inside().1 == 0.0 && at.across >= 1.0
    }

    /// Thickness over the outer diameter that gives 95 % of the pull of a thick plate.
    #[must_use]
    pub fn enough(&self, at: &OnPlate) -> f64 {
        const STEPS: u32 = 24;
        let factor = |plate: f64| self.factor(&OnPlate { plate, ..*at });
        let [thinnest, thickest] = PLATE;
        let wanted = ENOUGH * factor(thickest);
        let ratio = (thickest / thinnest).powf(1.0 / f64::from(STEPS));
        let step = |k: u32| thinnest * ratio.powi(k as i32);
        let Some(k) = (0..=STEPS).find(|&k| factor(step(k)) >= wanted) else {
            return thickest;
        };
        let (mut low, mut high) = (step(k.saturating_sub(1)), step(k));
        for _ in 0..20 {
            let middle = (low * high).sqrt();
            if factor(middle) >= wanted {
                high = middle;
            } else {
                low = middle;
            }
        }
        high
    }
}

impl Steel {
    /// Its pull law, where it holds a magnet.
    #[must_use]
    pub fn law(&self) -> Option<&'static PullLaw> {
        self.curve.as_deref().and_then(PullLaw::of_curve)
    }
}

impl OnPlate {
    /// The same magnet on a thick plate.
    #[must_use]
    pub fn on_thick(self) -> Self {
        Self {
            plate: PLATE[1],
            ..self
        }
    }

    /// The same magnet on a wide plate.
    #[must_use]
    pub fn on_wide(self) -> Self {
        Self {
            across: f64::INFINITY,
            ..self
        }
    }

    /// A disc or ring on a wide plate by the numbers of a row of `data/pull_law`: height, bore, gap, thickness of the plate, polarisation and permeability. Its flux density is still to be
    /// found, by [`Self::with_flux_density`].
    #[must_use]
    pub fn of_row([height, bore, gap, plate, polarisation, permeability]: [f64; 6]) -> Self {
        Self {
            height,
            bore,
            oblong: None,
            gap,
            plate,
            across: f64::INFINITY,
            polarisation,
            permeability,
            flux_density: 0.0,
        }
    }

    /// The disc that stands for a block so many times as long as wide.
    #[must_use]
    pub fn for_block(self, long: f64) -> Self {
        Self {
            oblong: Some(long),
            ..self
        }
    }

    /// The disc or ring itself, where it stands for a block: on a round plate as wide as the block's square one.
    #[must_use]
    pub fn of_disc(self) -> Self {
        Self {
            oblong: None,
            across: self.across * self.reach(),
            ..self
        }
    }

    /// The nearest place in the fitted domain, and how far it is, in e-folds.
    fn inside(&self) -> (Self, f64) {
        let mut far = 0.0;
        let mut held = |x: f64, [low, high]: [f64; 2]| {
            let inside = x.clamp(low, high);
            if x > 0.0 && x != inside {
                far += (x / inside).ln().abs();
            }
            inside
        };
        let inside = Self {
            height: held(self.height, HEIGHT),
            bore: held(self.bore, BORE),
            oblong: self.oblong.map(|long| held(long, OBLONG)),
            gap: held(self.gap, GAP),
            plate: held(self.plate.min(PLATE[1]), PLATE),
            across: self.across,
            polarisation: held(self.polarisation, POLARISATION),
            permeability: held(self.permeability, PERMEABILITY),
            flux_density: self.flux_density,
        };
        (inside, far)
    }
}

/// How far the plate's section at the rim of the pole is from carrying the flux of the mirror image: flux over what the section carries when saturated, ln.
fn flux_ratio(at: &OnPlate, saturation: f64) -> f64 {
    let area = FRAC_PI_4 * (1.0 - at.bore * at.bore);
    let ratio = at.flux_density * area / (PI * at.plate * saturation);
    ratio.max(1e-9).ln()
}

/// The law before its network: below the knee all is pulled, above it the square of the part of the flux that the plate carries. Its logarithm.
#[must_use]
pub fn base(at: &OnPlate, saturation: f64) -> f64 {
    -(2.0 * flux_ratio(at, saturation)).exp().ln_1p()
}

/// The coordinates in which the law is smooth, each of the order of 1.
#[must_use]
pub fn coordinates(at: &OnPlate, saturation: f64) -> [f64; INPUTS] {
    [
        (at.height.ln() + 0.95) / 2.05,
        (at.bore - 0.4) / 0.4,
        ((at.gap + GAP_OFFSET).ln() + 2.3) / 2.3,
        (at.plate.ln() + 2.3) / 2.3,
        (at.polarisation - 0.85) / 0.65,
        (at.permeability - 1.1) / 0.1,
        flux_ratio(at, saturation) / 2.0,
    ]
}

#[cfg(test)]
mod tests;
