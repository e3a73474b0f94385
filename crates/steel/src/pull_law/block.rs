//! What a block holds beside the disc that stands for it.
//!
//! On thin plates it holds more, for its rim is longer. The share of that which it keeps follows from the coordinates of the law, the length over width in place of the bore, by one small network for all
//! steels. It is fitted to solves of blocks in three dimensions, `data/pull_law/block-*.csv`, by `examples/distil`; what they are to the law as a whole is the error.

use std::f64::consts::PI;
use std::sync::LazyLock;

use serde::Deserialize;

use super::net::{INPUTS, Net};
use super::{LawError, OBLONG};

/// Place of the bore among the coordinates of the law.
const BORE: usize = 1;
/// Place of the ratio of fluxes among them, and what it was divided by.
const FLUX_RATIO: usize = 6;
const FLUX_RATIO_SCALE: f64 = 2.0;

/// What blocks hold beside their discs.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    net: Net,
    /// Error on plates that are thick enough, and on foil.
    errors: [f64; 2],
}

#[derive(Deserialize)]
struct File {
    error_95_thick: f64,
    error_95_foil: f64,
    weights: Vec<f64>,
}

impl Block {
    /// The one that comes with the program.
    ///
    /// # Errors
    /// [`LawError`] only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<&'static Self, LawError> {
        static BLOCK: LazyLock<Result<Block, LawError>> = LazyLock::new(|| {
            let file: File = toml::from_str(include_str!("../../data/block.toml"))
                .map_err(|error| LawError::Unreadable(error.to_string()))?;
            Block::new(&file.weights, [file.error_95_thick, file.error_95_foil])
                .ok_or(LawError::Numbers("of blocks".into()))
        });
        BLOCK.as_ref().map_err(Clone::clone)
    }

    /// The one with these weights, and half widths of the 95 % interval of the relative error of the law with it on thick plates and on foil.
    #[must_use]
    pub fn new(weights: &[f64], errors: [f64; 2]) -> Option<Self> {
        let good = errors.iter().all(|error| *error > 0.0 && error.is_finite());
        Some(Self {
            net: Net::new(weights)?,
            errors,
        })
        .filter(|_| good)
    }

    /// Coordinates of the law with the length over width in place of the bore.
    #[must_use]
    pub fn coordinates(at: &[f64; INPUTS], long: f64) -> [f64; INPUTS] {
        let mut x = *at;
        x[BORE] = 2.0 * long.ln() / OBLONG[1].ln() - 1.0;
        x
    }

    /// What the network is a share of, at coordinates of the law: the logarithm of the pull of a block over that of its disc if the flux left the face through the plate's section below
    /// its whole rim, evenly, as [`super::base`] has it for a disc. On thick plates it is nothing: there both hold what their mirror images say.
    #[must_use]
    pub fn whole(at: &[f64; INPUTS], long: f64) -> f64 {
        let (by_area, by_rim) = ((4.0 * long / PI).sqrt(), 2.0 * long / (1.0 + long));
        let of_disc = 2.0 * FLUX_RATIO_SCALE * at[FLUX_RATIO];
        let of_block = of_disc - (by_area / by_rim).ln();
        of_disc.exp().ln_1p() - of_block.exp().ln_1p()
    }

    /// Logarithm of the pull over that of the disc, at coordinates of the law.
    #[must_use]
    pub fn more(&self, at: &[f64; INPUTS], long: f64) -> f64 {
        Self::whole(at, long) * self.net.at(&Self::coordinates(at, long))
    }

    /// Half width of the 95 % interval of the relative error of the law for a block, by how far the plate is too thin ([`super::PullLaw::crowding`]).
    #[must_use]
    pub fn error(&self, crowding: f64) -> f64 {
        let [thick, foil] = self.errors;
        thick + (foil - thick) * crowding
    }
}

#[cfg(test)]
mod tests {
    use super::super::net::WEIGHTS;
    use super::super::{OnPlate, PullLaw};
    use super::*;

    /// Solves that the fit has never seen: the law of their steel, the place, and the pull over that of the mirror image.
    fn fresh() -> Vec<(&'static PullLaw, OnPlate, f64)> {
        let text = include_str!("../../data/pull_law/block-fresh.csv");
        let row = |line: &str| {
            let (curve, rest) = line.split_once(',').unwrap();
            let numbers: Vec<f64> = rest.split(',').map(|cell| cell.parse().unwrap()).collect();
            let [long, height, gap, plate, polarisation, permeability, eta] = numbers[..] else {
                panic!("{line}")
            };
            let at = OnPlate::of_row([height, 0.0, gap, plate, polarisation, permeability]).for_block(long);
            (PullLaw::of_curve(curve).unwrap(), at.with_flux_density().unwrap(), eta)
        };
        text.lines().skip(1).map(row).collect()
    }

    #[test]
    fn the_law_is_within_three_percent_of_fresh_blocks() {
        let (mut places, mut within, mut by_disc) = (0, 0, 0);
        for (law, at, eta) in fresh() {
            places += 1;
            within += usize::from((law.factor(&at) / eta - 1.0).abs() <= 0.03);
            by_disc += usize::from((law.factor(&at.of_disc()) / eta - 1.0).abs() <= 0.03);
        }
        assert!(
            places >= 100 && within as f64 >= 0.95 * places as f64,
            "{within} of {places}"
        );
        // What it is for: the disc alone is not.
        assert!((by_disc as f64) < 0.85 * places as f64, "{by_disc} of {places}");
    }

    #[test]
    fn fresh_blocks_lie_in_the_stated_error() {
        let all = fresh();
        let inside =
            |(law, at, eta): &&(&PullLaw, OnPlate, f64)| (law.factor(at) / eta - 1.0).abs() <= law.error_at(at);
        let within = all.iter().filter(inside).count();
        assert!(within as f64 >= 0.945 * all.len() as f64, "{within} of {}", all.len());
    }

    #[test]
    fn longer_than_fitted_the_error_grows_and_the_value_stays() {
        let law = PullLaw::of_curve("team13").unwrap();
        let at = |long: f64| OnPlate {
            height: 0.3,
            bore: 0.0,
            oblong: Some(long),
            gap: 0.05,
            plate: 0.05,
            across: f64::INFINITY,
            polarisation: 1.2,
            permeability: 1.05,
            flux_density: 0.6,
        };
        let (edge, beyond) = (at(10.0), at(20.0));
        assert!(law.covers(&edge) && !law.covers(&beyond));
        assert_eq!(law.factor(&edge), law.factor(&beyond));
        assert!(law.error_at(&beyond) >= law.error_at(&edge) + 0.06);
        assert!(law.error_at(&edge) > law.error_at(&edge.of_disc()));
    }

    #[test]
    fn odd_weights_and_errors_are_refused() {
        assert!(Block::new(&[0.0; WEIGHTS], [0.01, 0.02]).is_some());
        assert!(Block::new(&[0.0; WEIGHTS - 1], [0.01, 0.02]).is_none());
        assert!(Block::new(&[0.0; WEIGHTS], [0.0, 0.02]).is_none());
        assert!(Block::new(&[0.0; WEIGHTS], [0.01, f64::NAN]).is_none());
    }
}
