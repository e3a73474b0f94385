//! Force against distance, and the work to pull bodies apart.

use crate::load::{Load, LoadError, load_until};
use crate::placed::Placed;
use numerics::quadrature::unit_rule;
use numerics::stop::Stop;
use numerics::vector::{Vector, dot, length, scale};

/// Ends of the panels in `t`, where the distance is `size t / (1 - t)`: close together near contact, where the force has a logarithm in its slope.
const PANELS: [f64; 6] = [0.0, 0.003, 0.03, 0.2, 0.6, 1.0];

/// Why a work or a curve cannot be given.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum WorkError {
    /// A load along the way.
    #[error(transparent)]
    Load(#[from] LoadError),
    /// The direction is not a direction.
    #[error("direction must be finite and not zero, got {direction:?}")]
    Direction {
        /// What was given.
        direction: [f64; 3],
    },
    /// A distance is not a number.
    #[error("distances must be finite, got {distance} m")]
    Distance {
        /// What was given, m.
        distance: f64,
    },
}

/// The load on a body from others when it is moved by each of these distances, m, along `direction` from where it is.
///
/// # Errors
/// [`WorkError`] for a direction or distance that is none, for bodies that overlap on the way, and once the flag is set.
pub fn load_curve(
    on: &Placed,
    from: &[Placed],
    direction: [f64; 3],
    distances: &[f64],
    stop: &Stop,
) -> Result<Vec<Load>, WorkError> {
    let unit = unit(direction)?;
    distances
        .iter()
        .map(|&distance| {
            if distance.is_finite() {
                Ok(load_until(&on.shifted(scale(unit, distance)), from, stop)?)
            } else {
                Err(WorkError::Distance { distance })
            }
        })
        .collect()
}

/// Work to pull a body from where it is to far away along `direction`, J; positive where the others hold it.
///
/// Quadrature over the loads on the way; 1e-6 relative from contact, 1e-8 from a gap of a tenth of its size.
///
/// # Errors
/// As [`load_curve`].
pub fn work_to_separate(on: &Placed, from: &[Placed], direction: [f64; 3], stop: &Stop) -> Result<f64, WorkError> {
    let unit = unit(direction)?;
    let size = on.bounding_ball().1;
    let rule: [(f64, f64); 12] = unit_rule();
    let mut work = 0.0;
    for ends in PANELS.windows(2) {
        let &[low, high] = ends else { continue };
        for (node, weight) in rule {
            let t = low + node * (high - low);
            let distance = size * t / (1.0 - t);
            let force = load_until(&on.shifted(scale(unit, distance)), from, stop)?.force;
            work -= dot(force, unit) * weight * (high - low) * size / ((1.0 - t) * (1.0 - t));
        }
    }
    Ok(work)
}

fn unit(direction: Vector) -> Result<Vector, WorkError> {
    let size = length(direction);
    if size > 0.0 && size.is_finite() {
        Ok(scale(direction, 1.0 / size))
    } else {
        Err(WorkError::Direction { direction })
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::shape::Shape;
    use crate::sheet::SheetPair;
    use crate::solid::{Polarisation, Solid};
    use materials::MU_0;

    fn placed(shape: Shape, z: f64) -> Placed {
        Placed::new(
            Solid::Plain(shape),
            Polarisation::Along([0.0, 0.0, 1.0]),
            [0.0, 0.0, z],
            [0.0; 3],
        )
        .expect("valid")
    }

    /// Two dipoles in line: `μ0 m² / (2 π d³)`.
    #[test]
    fn spheres_come_apart() {
        let ball = Shape::Sphere { diameter: 0.01 };
        let (upper, lower) = (placed(ball, 0.012), placed(ball, 0.0));
        let m = length(upper.moment());
        let expected = MU_0 * m * m / (2.0 * PI * 0.012_f64.powi(3));
        let got = work_to_separate(&upper, &[lower], [0.0, 0.0, 2.0], &Stop::new()).expect("apart");
        assert!((got / expected - 1.0).abs() <= 1e-8, "{got} {expected}");
    }

    /// Discs at contact and across a gap: the force integrated in closed form.
    #[test]
    fn discs_come_apart() {
        let disc = Shape::Disc {
            diameter: 0.01,
            thickness: 0.005,
        };
        for (gap, tolerance) in [(0.0, 1e-6), (0.001, 1e-8)] {
            // ∫ of the second difference of the flux from the gap outwards.
            let h = 0.005;
            let face = [0.005, 0.0];
            let upto = |s: f64| {
                if s == 0.0 {
                    0.0
                } else {
                    SheetPair::integral(face, face, s)
                }
            };
            let expected = (-upto(gap) + 2.0 * upto(gap + h) - upto(gap + 2.0 * h)) / MU_0;
            let (upper, lower) = (placed(disc, h + gap), placed(disc, 0.0));
            let got = work_to_separate(&upper, &[lower], [0.0, 0.0, 1.0], &Stop::new()).expect("apart");
            assert!((got / expected - 1.0).abs() <= tolerance, "{gap}: {got} {expected}");
        }
    }

    #[test]
    fn curves_fall_and_odd_ways_are_refused() {
        let ball = Shape::Sphere { diameter: 0.01 };
        let (upper, lower) = (placed(ball, 0.012), placed(ball, 0.0));
        let curve = load_curve(
            &upper,
            std::slice::from_ref(&lower),
            [0.0, 0.0, 1.0],
            &[0.0, 0.001, 0.01],
            &Stop::new(),
        )
        .expect("apart");
        assert!(
            curve
                .windows(2)
                .all(|pair| pair[0].force[2] < pair[1].force[2] && pair[1].force[2] < 0.0)
        );
        for direction in [[0.0; 3], [f64::NAN, 0.0, 1.0]] {
            assert!(work_to_separate(&upper, std::slice::from_ref(&lower), direction, &Stop::new()).is_err());
        }
        assert!(load_curve(&upper, &[lower], [0.0, 0.0, 1.0], &[f64::NAN], &Stop::new()).is_err());
    }
}
