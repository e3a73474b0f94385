//! The expected reading with its band and causes, before the probe touches, and what would have to be off where a reading
//! lies outside.

use serde::Serialize;
use uncertainty::{Band, Cause, Distribution, outline, propagate};

use crate::error::SetupError;
use crate::setup::{Setup, place};

/// The expected reading in SI (T, N, A m²) with its 95 % band and causes.
///
/// # Errors
/// [`SetupError::NotFinite`] where plating and dead layer may leave no magnet.
pub fn expected(setup: &Setup<'_>) -> Result<Band, SetupError> {
    propagate(&setup.inputs(), |at| {
        at.try_into().map_or(f64::NAN, |at| setup.value(at))
    })
    .map_err(|_| SetupError::NotFinite)
}

/// As [`expected`], rough in the few places where that draws: for long tables.
///
/// # Errors
/// As [`expected`].
pub fn expected_roughly(setup: &Setup<'_>) -> Result<Band, SetupError> {
    outline(&setup.inputs(), |at| {
        at.try_into().map_or(f64::NAN, |at| setup.value(at))
    })
    .map_err(|_| SetupError::NotFinite)
}

/// An input that alone would bring the expected reading to the one that was read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Needed {
    /// Its cause.
    pub cause: Cause,
    /// Its place ([`place`]).
    pub place: usize,
    /// Its usual value, in SI.
    pub usual: f64,
    /// The value that it would have to have, in SI.
    pub value: f64,
    /// How many of its standard uncertainties these lie apart.
    pub standards: f64,
}

/// How many standard uncertainties an input is moved at most.
const FARTHEST: f64 = 12.0;
/// Steps of the search, and the most of the false position after it.
const STEPS: u32 = 12;
const FALSE_POSITIONS: u32 = 30;
/// Part of the reading to which the needed value brings it.
const CLOSE: f64 = 1e-9;

/// Which inputs would bring the expected reading to `value` (SI) by themselves, the likeliest first.
///
/// Each is moved up to twelve standard uncertainties from its middle while the rest stay there; those that cannot do it are
/// left out.
#[must_use]
pub fn needed(setup: &Setup<'_>, value: f64) -> Vec<Needed> {
    let inputs = setup.inputs();
    let middle = setup.middle();
    let usual = setup.value(&middle);
    let mut found: Vec<Needed> = Vec::new();
    for (k, input) in inputs.iter().enumerate().filter(|(_, input)| input.is_spread()) {
        let standards = match input.distribution {
            Distribution::Normal { standard, .. } => [standard; 2],
            // One side of a rectangular distribution about its median.
            Distribution::Limits { low, mid, high } => {
                let whole = (high - low) / 12f64.sqrt();
                [mid - low, high - mid].map(|side| if side > 0.0 { side / 3f64.sqrt() } else { whole })
            }
        };
        let off = |z: f64| {
            let mut at = middle;
            at[k] += z * standards[usize::from(z > 0.0)];
            setup.value(&at) - value
        };
        let first = usual - value;
        let crossing = |way: f64| {
            let step = way * FARTHEST / f64::from(STEPS);
            let (mut near, mut off_near) = (0.0, first);
            let mut far = None;
            for z in (1..=STEPS).map(|n| f64::from(n) * step) {
                let here = off(z);
                if !here.is_finite() {
                    break;
                }
                if here * first <= 0.0 {
                    far = Some((z, here));
                    break;
                }
                (near, off_near) = (z, here);
            }
            let (mut far, mut off_far) = far?;
            // False position with halved weight of an end that stays (the Illinois method).
            for _ in 0..FALSE_POSITIONS {
                let z = (near * off_far - far * off_near) / (off_far - off_near);
                let here = off(z);
                if !here.is_finite() || here.abs() <= CLOSE * value.abs() {
                    return here.is_finite().then_some(z);
                }
                if here * off_far < 0.0 {
                    (near, off_near) = (far, off_far);
                } else {
                    off_near *= 0.5;
                }
                (far, off_far) = (z, here);
            }
            Some(far)
        };
        let nearest = [crossing(-1.0), crossing(1.0)]
            .into_iter()
            .flatten()
            .min_by(|a, b| a.abs().total_cmp(&b.abs()));
        if let Some(z) = nearest {
            // A thickness, plating or gap below nothing is no reason.
            let here = middle[k] + z * standards[usize::from(z > 0.0)];
            let never_below = [
                place::PLATING,
                place::DEAD_LAYER,
                place::JOINT,
                place::SEAT,
                place::PAINT,
                place::DEPTH,
                place::OFF_CENTRE,
            ];
            if here < 0.0 && never_below.contains(&k) && setup.reading.across.si() == 0.0 {
                continue;
            }
            found.push(Needed {
                cause: input.cause,
                place: k,
                usual: middle[k],
                value: here,
                standards: z.abs(),
            });
        }
    }
    found.sort_by(|a, b| a.standards.total_cmp(&b.standards));
    found
}
