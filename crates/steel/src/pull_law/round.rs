//! What a small plate leaves of the pull on a wide one: a round one of that of a disc or ring, a square one of that of a block.
//!
//! The share is `1 / (1 + (c / x)^p)` of the plate's diameter over the magnet's, `x`, or of a square plate's side over a block's length: it rises with `x` whatever the place, and is 1 for wide plates. Where it is half, `c`, and how steep it is, `p`, follow from
//! the coordinates of the law by two small networks, fitted to solves on plates from the magnet's own size upwards, of all steels together; for blocks there are two others, fitted to solves in three dimensions. On foil plates that are little larger than the magnet a solve gives
//! more than on a wide one, which is not credited. A plate that is smaller than the magnet is not covered: from there the share falls with the fourth power of `x`, roughly.

use std::sync::LazyLock;

use serde::Deserialize;

use super::LawError;
use super::net::{INPUTS, Net, WEIGHTS};

/// Weights of both networks.
pub const ROUND_WEIGHTS: usize = 2 * WEIGHTS;
/// Power of the share below the magnet's own size.
const BELOW: f64 = 4.0;
/// Error of the share below the magnet's own size, where solves were a factor of about two around it, and its growth with every e-fold.
const ERROR_BELOW: [f64; 2] = [0.5, 1.0];

/// The share that small round plates leave.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    half: Net,
    steepness: Net,
    error: f64,
    /// Power of the plate's size with which the error falls.
    falls: i32,
}

#[derive(Deserialize)]
struct File {
    error_falls_with: i32,
    error_95_at_size: f64,
    weights: Vec<f64>,
}

impl Round {
    /// The one of discs and rings that comes with the program.
    ///
    /// # Errors
    /// [`LawError`] only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<&'static Self, LawError> {
        static ROUND: LazyLock<Result<Round, LawError>> =
            LazyLock::new(|| Round::parse(include_str!("../../data/round.toml"), "of small plates"));
        ROUND.as_ref().map_err(Clone::clone)
    }

    /// The one of blocks on square plates that comes with the program, at coordinates of [`super::Block`].
    ///
    /// # Errors
    /// As [`Self::builtin`].
    pub fn of_blocks() -> Result<&'static Self, LawError> {
        static SQUARE: LazyLock<Result<Round, LawError>> =
            LazyLock::new(|| Round::parse(include_str!("../../data/square.toml"), "of small square plates"));
        SQUARE.as_ref().map_err(Clone::clone)
    }

    fn parse(text: &str, what: &str) -> Result<Self, LawError> {
        let file: File = toml::from_str(text).map_err(|error| LawError::Unreadable(error.to_string()))?;
        Self::new(&file.weights, file.error_95_at_size, file.error_falls_with)
            .ok_or_else(|| LawError::Numbers(what.into()))
    }

    /// The share with these weights, those of where it is half first, and the half width of the 95 % interval of its error on a plate of the magnet's own size, which falls with that power of the diameter of the
    /// plate over the magnet's.
    #[must_use]
    pub fn new(weights: &[f64], error: f64, falls: i32) -> Option<Self> {
        if weights.len() != ROUND_WEIGHTS || !(error > 0.0 && error.is_finite() && falls > 0) {
            return None;
        }
        let (half, steepness) = weights.split_at(WEIGHTS);
        Some(Self {
            half: Net::new(half)?,
            steepness: Net::new(steepness)?,
            error,
            falls,
        })
    }

    /// The share at coordinates of the law on a plate of that diameter over the magnet's.
    #[must_use]
    pub fn share(&self, at: &[f64; INPUTS], across: f64) -> f64 {
        if across == f64::INFINITY {
            return 1.0;
        }
        let below = across.clamp(0.0, 1.0).powf(BELOW);
        let power = self.steepness.at(at).exp();
        below / (1.0 + (power * (self.half.at(at) - across.max(1.0).ln())).exp())
    }

    /// Half width of the 95 % interval of the relative error of the share on a plate of that diameter over the magnet's: it falls as the plate grows.
    #[must_use]
    pub fn error(&self, across: f64) -> f64 {
        if across < 1.0 {
            let [at_size, growth] = ERROR_BELOW;
            self.error + at_size - growth * across.max(1e-3).ln()
        } else {
            self.error / across.powi(self.falls)
        }
    }

    /// Logarithm of the share, with its derivatives by every weight put into `gradient`, for a fit; plates are at least as large as the magnet.
    #[must_use]
    pub fn differentiated(&self, at: &[f64; INPUTS], across: f64, gradient: &mut [f64; ROUND_WEIGHTS]) -> f64 {
        let (mut of_half, mut of_steepness) = ([0.0; WEIGHTS], [0.0; WEIGHTS]);
        let half = self.half.differentiated(at, &mut of_half);
        let power = self.steepness.differentiated(at, &mut of_steepness).exp();
        let exponent = power * (half - across.ln());
        // Derivative of -ln(1 + e^x).
        let slope = -1.0 / (1.0 + (-exponent).exp());
        let (first, second) = gradient.split_at_mut(WEIGHTS);
        for (to, d) in first.iter_mut().zip(of_half) {
            *to = slope * power * d;
        }
        for (to, d) in second.iter_mut().zip(of_steepness) {
            *to = slope * exponent * d;
        }
        -exponent.exp().ln_1p()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::SteelTable;
    use crate::pull_law::{OnPlate, PullLaw, coordinates};
    use crate::solve::Options;

    fn disc(height: f64, gap: f64, plate: f64) -> OnPlate {
        let at = OnPlate {
            height,
            bore: 0.0,
            oblong: None,
            gap,
            plate,
            across: f64::INFINITY,
            polarisation: 1.2,
            permeability: 1.05,
            flux_density: 0.0,
        };
        at.with_flux_density().unwrap()
    }

    /// Solves that the fit has never seen, kept beside the others, of plates from the magnet's own size upwards.
    #[test]
    fn fresh_solves_on_small_plates_lie_within_the_stated_error() {
        let fresh = [
            (
                "team13",
                2.0,
                include_str!("../../data/pull_law/round-fresh-team13.csv"),
            ),
            (
                "free-cutting",
                1.8,
                include_str!("../../data/pull_law/round-fresh-free-cutting.csv"),
            ),
            (
                "ferritic",
                1.4,
                include_str!("../../data/pull_law/round-fresh-ferritic.csv"),
            ),
            (
                "cast-iron",
                1.3,
                include_str!("../../data/pull_law/round-fresh-cast-iron.csv"),
            ),
        ];
        let round = Round::builtin().unwrap();
        let (mut places, mut within) = (0, 0);
        for (_, saturation, text) in fresh {
            for line in text.lines().skip(1) {
                let numbers: Vec<f64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
                let [height, bore, gap, plate, polarisation, permeability, across, share] = numbers[..] else {
                    panic!("{line}")
                };
                let at = OnPlate {
                    height,
                    bore,
                    oblong: None,
                    gap,
                    plate,
                    across,
                    polarisation,
                    permeability,
                    flux_density: 0.0,
                };
                let x = coordinates(&at.with_flux_density().unwrap(), saturation);
                places += 1;
                let error = (round.share(&x, across) / share - 1.0).abs();
                within += usize::from(error <= round.error(across));
            }
        }
        assert!(
            places >= 450 && within as f64 >= 0.945 * places as f64,
            "{within} of {places}"
        );
    }

    /// Solves of blocks in three dimensions that the fit has never seen, from the block's own length upwards and on plates smaller than the block.
    #[test]
    fn fresh_blocks_on_small_square_plates_lie_within_the_stated_error() {
        let text = include_str!("../../data/pull_law/square-fresh.csv");
        // On plates wider than one and a half times the block, on smaller ones, and on plates smaller than the block.
        let mut counts = [[0; 2]; 3];
        for line in text.lines().skip(1) {
            let (curve, rest) = line.split_once(',').unwrap();
            let numbers: Vec<f64> = rest.split(',').map(|cell| cell.parse().unwrap()).collect();
            let [long, height, gap, plate, polarisation, permeability, across, eta] = numbers[..] else {
                panic!("{line}")
            };
            let wide = OnPlate::of_row([height, 0.0, gap, plate, polarisation, permeability]).for_block(long);
            let at = OnPlate {
                across,
                ..wide.with_flux_density().unwrap()
            };
            let law = PullLaw::of_curve(curve).unwrap();
            let [places, within] = &mut counts[usize::from(across < 1.5) + usize::from(across < 1.0)];
            *places += 1;
            *within += usize::from((law.factor(&at) - eta).abs() <= law.error_at(&at) * eta.abs().max(law.factor(&at)));
        }
        for ([places, within], least) in counts.into_iter().zip([80, 55, 60]) {
            assert!(places >= least && within as f64 >= 0.945 * places as f64, "{counts:?}");
        }
    }

    /// The kept solves are those of the solver as it is.
    #[test]
    fn a_small_plate_holds_what_the_solver_says() {
        let curve = &SteelTable::builtin().unwrap().curve("team13").unwrap().curve.clone();
        let law = PullLaw::of_curve("team13").unwrap();
        for (height, gap, plate, across) in [(0.25, 0.05, 0.1, 1.5), (0.5, 0.02, 0.2, 1.2), (0.5, 0.3, 0.1, 2.0)] {
            let at = OnPlate {
                across,
                ..disc(height, gap, plate)
            };
            let solved = at.solved(&Arc::clone(curve), &Options::default()).unwrap();
            let got = law.factor(&at);
            assert!(
                (got / solved - 1.0).abs() <= law.error_at(&at),
                "{at:?}: {got} {solved}"
            );
            assert!(got < law.factor(&at.on_wide()), "{at:?}");
        }
    }

    #[test]
    fn the_share_rises_with_the_plate_to_all_of_a_wide_one() {
        let law = PullLaw::of_curve("team13").unwrap();
        for (height, gap, plate) in [(0.25, 0.0, 0.1), (1.0, 0.3, 0.05), (0.1, 0.05, 0.3), (3.0, 1.0, 0.02)] {
            let wide = disc(height, gap, plate);
            let on = |across: f64| OnPlate { across, ..wide };
            let shares: Vec<f64> = (1..200)
                .map(|k| law.factor(&on(0.1 * f64::from(k))) / law.factor(&wide))
                .collect();
            assert!(shares.windows(2).all(|w| w[1] >= w[0]), "{height} {gap} {plate}");
            assert!(shares[0] <= 1e-3 && shares[198] > 0.99, "{} {}", shares[0], shares[198]);
            let errors: Vec<f64> = [0.5, 1.0, 2.0, 20.0, f64::INFINITY]
                .map(|x| law.error_at(&on(x)))
                .into();
            assert!(errors.windows(2).all(|w| w[1] < w[0]), "{errors:?}");
            assert_eq!(errors[4], law.error());
            assert!(law.covers(&on(1.0)) && !law.covers(&on(0.9)));
        }
    }

    #[test]
    fn derivatives_are_those_of_the_share_and_odd_weights_are_refused() {
        let mut weights: Vec<f64> = (0..ROUND_WEIGHTS).map(|k| 0.3 * (k as f64 * 1.7).sin()).collect();
        let x = [0.3, -0.7, 0.1, 0.9, -0.2, 0.5, -0.4];
        let mut gradient = [0.0; ROUND_WEIGHTS];
        let across = 1.7;
        let value = |weights: &[f64]| Round::new(weights, 1.0, 1).unwrap().share(&x, across).ln();
        let told = Round::new(&weights, 1.0, 1)
            .unwrap()
            .differentiated(&x, across, &mut gradient);
        assert!((told - value(&weights)).abs() <= 1e-12);
        for k in (0..ROUND_WEIGHTS).step_by(17) {
            let (step, middle) = (1e-5, weights[k]);
            weights[k] = middle + step;
            let up = value(&weights);
            weights[k] = middle - step;
            let numeric = (up - value(&weights)) / (2.0 * step);
            weights[k] = middle;
            assert!((numeric - gradient[k]).abs() <= 1e-8, "{k}: {numeric} {}", gradient[k]);
        }
        assert!(Round::new(&weights[1..], 1.0, 1).is_none() && Round::new(&weights, 0.0, 1).is_none());
        assert!(Round::new(&weights, 1.0, 0).is_none());
    }
}
