//! Demagnetising factors of turned profiles, and the fluxmetric (ballistic) factors of all bodies along their axis.
//!
//! Rigid uniform magnetisation. The magnetometric factor is the mean over the body, the fluxmetric one that over the section at its middle height.

use std::f64::consts::PI;

use rayon::prelude::*;

use crate::arc::{Arc, lift};
use crate::demag;
use crate::profile::Profile;
use crate::shape::{Shape, ShapeError};
use crate::sheet::SheetPair;
use crate::turned::Turned;
use numerics::quadrature::graded;

/// A section is taken this share of the body's size off its middle height, in case a flat face lies there.
const OFF_MIDDLE: f64 = 1e-9;

/// Panels at a corner are halved down to this share of the side; the field there grows as a logarithm only.
const AT_CORNER: f64 = 1e-7;

/// Both factors along the axis of a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// Mean over the body.
    pub magnetometric: f64,
    /// Mean over the section at middle height.
    pub fluxmetric: f64,
}

/// Both factors of a disc, ring, block or sphere, in closed form.
///
/// # Errors
/// [`ShapeError`] if the shape is not valid.
pub fn of_shape(shape: &Shape) -> Result<Factors, ShapeError> {
    shape.validate()?;
    // The flux that leaves a section in the middle for the two faces, over its area.
    let half = 0.5 * shape.height();
    let pair = match *shape {
        Shape::Disc { diameter, .. } => SheetPair::discs(0.5 * diameter, 0.5 * diameter),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => {
            let face = [0.5 * outer_diameter, 0.5 * inner_diameter];
            SheetPair::rings(face, face)
        }
        Shape::Block { length, width, .. } => SheetPair::rectangles(length, width),
        Shape::Sphere { .. } => {
            return Ok(Factors {
                magnetometric: 1.0 / 3.0,
                fluxmetric: 1.0 / 3.0,
            });
        }
    };
    Ok(Factors {
        magnetometric: demag::along_axis(shape),
        fluxmetric: 2.0 * pair.flux(half) / shape.pole_area(),
    })
}

/// Both factors of a turned profile, by one quadrature each over its charges' field; 1e-8.
///
/// `None` if the field cannot be summed, which a valid profile does not do.
#[must_use]
pub fn of_profile(profile: &Profile) -> Option<Factors> {
    let body = Turned::new(profile.clone());
    let middle = body.middle();
    // H has no sources inside, so its mean along z is the mean of (z - middle) H over the surface, seen from within.
    let sides: Vec<[[f64; 2]; 2]> = profile.sides().filter(|[a, b]| a[0] > 0.0 || b[0] > 0.0).collect();
    let over_side = |&[a, b]: &[[f64; 2]; 2]| {
        let run = [b[0] - a[0], b[1] - a[1]];
        let [sum] = graded(0.0, 1.0, &to_ends, &mut |t| {
            let (r, z) = (a[0] + t * run[0], a[1] + t * run[1]);
            // A point that has no field, on a rim, makes the sum NaN.
            let (radial, axial) = body.field(r, z).unwrap_or((f64::NAN, f64::NAN));
            // Outwards times length: (run_z, -run_r); the charge -run_r makes the jump.
            [2.0 * PI * r * (z - middle) * (radial * run[1] - axial * run[0] + run[0])]
        });
        sum
    };
    let moment: f64 = sides.par_iter().map(over_side).sum();
    let height = middle + OFF_MIDDLE * body.reach();
    let mut cuts: Vec<f64> = profile
        .sides()
        .filter(|[a, b]| (a[1] > height) != (b[1] > height))
        .map(|[a, b]| a[0] + (height - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        .collect();
    cuts.sort_by(f64::total_cmp);
    let (mut flux, mut area) = (0.0, 0.0);
    for span in cuts.chunks_exact(2) {
        let &[from, to] = span else { continue };
        let [sum] = graded(0.0, 1.0, &to_ends, &mut |t| {
            let r = from + t * (to - from);
            let (_, axial) = body.field(r, height).unwrap_or((f64::NAN, f64::NAN));
            [2.0 * PI * r * (to - from) * axial]
        });
        flux += sum;
        area += PI * (to - from) * (to + from);
    }
    let factors = Factors {
        magnetometric: -moment / profile.volume(),
        fluxmetric: -flux / area,
    };
    (factors.magnetometric.is_finite() && factors.fluxmetric.is_finite()).then_some(factors)
}

/// Both factors of an arc along its own `z`: of its flat faces, whichever way it is magnetised; 1e-9.
///
/// The magnetometric one is the energy of the two charged faces, the fluxmetric one the flux that they send through the section between them.
/// Summed over the angle between two places, over the radius of one, and in closed form over that of the other.
///
/// # Errors
/// [`ShapeError`] if the arc is not valid.
pub fn of_arc(arc: &Arc) -> Result<Factors, ShapeError> {
    arc.validate()?;
    let [inner, outer] = arc.radii();
    let area = 0.5 * arc.angle * (outer - inner) * (outer + inner);
    let [contact, _] = faces(arc, 0.0);
    let [apart, _] = faces(arc, arc.thickness);
    let [_, flux] = faces(arc, 0.5 * arc.thickness);
    Ok(Factors {
        magnetometric: (contact - apart) / (2.0 * PI * area * arc.thickness),
        fluxmetric: flux / (2.0 * PI * area),
    })
}

/// Two equal faces of an arc at a distance `s`: `∬ 1 / D` and `∬ s / D³` over both.
fn faces(arc: &Arc, s: f64) -> [f64; 2] {
    let [inner, outer] = arc.radii();
    let least = AT_CORNER * AT_CORNER;
    let between = |from: f64, to: f64| {
        // A whole turn away the places meet again.
        let near = from.min(2.0 * PI - to).max(0.0);
        near.hypot(s / outer).clamp(least, 0.5)
    };
    let mut at_angle = |angle: f64| {
        let (sin, cos) = angle.sin_cos();
        let chord = 2.0 * inner * (0.5 * angle).sin();
        let to_ends = |from: f64, to: f64| {
            let near = (from - inner).min(outer - to).max(0.0);
            near.hypot(chord).hypot(s).max(least * outer)
        };
        let sums = graded(inner, outer, &to_ends, &mut |r: f64| {
            let (foot, q2) = (r * cos, (r * sin).powi(2) + s * s);
            let (low, high) = (inner - foot, outer - foot);
            let (d_low, d_high) = ((low * low + q2).sqrt(), (high * high + q2).sqrt());
            let energy = (high - low) * (high + low) / (d_high + d_low) + foot * lift(low, high, q2.sqrt());
            let flux = 1.0 / d_low - 1.0 / d_high + foot / q2 * (high / d_high - low / d_low);
            [r * energy, r * s * flux]
        });
        sums.map(|sum| sum * 2.0 * (arc.angle - angle))
    };
    graded(0.0, arc.angle, &between, &mut at_angle)
}

/// Distance of a stretch of 0 to 1 from its ends, but no less than what is worth a panel.
fn to_ends(from: f64, to: f64) -> f64 {
    from.min(1.0 - to).max(AT_CORNER)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(radius: f64, hole: f64, height: f64) -> Profile {
        let h = 0.5 * height;
        Profile::new(&[[hole, -h], [radius, -h], [radius, h], [hole, h]]).expect("valid")
    }

    #[test]
    fn discs_and_rings_by_both_ways() {
        for (diameter, hole, thickness) in [
            (0.01, 0.0, 0.005),
            (0.01, 0.0, 0.05),
            (0.02, 0.01, 0.005),
            (0.02, 0.0, 0.001),
        ] {
            let shape = if hole == 0.0 {
                Shape::Disc { diameter, thickness }
            } else {
                Shape::Ring {
                    outer_diameter: diameter,
                    inner_diameter: hole,
                    thickness,
                }
            };
            let expected = of_shape(&shape).expect("valid");
            let got = of_profile(&outline(0.5 * diameter, 0.5 * hole, thickness)).expect("valid");
            assert!(
                (got.magnetometric - expected.magnetometric).abs() <= 1e-9,
                "{got:?} {expected:?}"
            );
            assert!(
                (got.fluxmetric - expected.fluxmetric).abs() <= 1e-8,
                "{got:?} {expected:?}"
            );
        }
    }

    /// Joseph, J. Appl. Phys. 37, 4639, 1966, and Chen, Brug and Goldfarb 1991, columns for no susceptibility: computed.
    #[test]
    fn fluxmetric_factors_of_discs() {
        for (ratio, expected) in [
            (0.1, 0.78451921),
            (0.5, 0.42208823),
            (1.0, 0.23221078),
            (5.0, 0.01889115),
            (50.0, 0.00019988),
        ] {
            let shape = Shape::Disc {
                diameter: 0.01,
                thickness: 0.01 * ratio,
            };
            let got = of_shape(&shape).expect("valid").fluxmetric;
            assert!((got - expected).abs() <= 1e-8, "{ratio}: {got}");
        }
    }

    /// A closed arc is a ring; a sharp one far from its axis is a block bent a little.
    #[test]
    fn arcs_by_their_faces() {
        for (outer_diameter, inner_diameter, thickness) in
            [(0.02, 0.01, 0.005), (0.04, 0.03, 0.01), (0.02, 0.002, 0.02)]
        {
            let ring = Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            };
            let arc = Arc {
                outer_diameter,
                inner_diameter,
                angle: 2.0 * PI,
                thickness,
            };
            let (got, expected) = (of_arc(&arc).expect("valid"), of_shape(&ring).expect("valid"));
            assert!(
                (got.magnetometric - expected.magnetometric).abs() <= 1e-9,
                "{got:?} {expected:?}"
            );
            assert!(
                (got.fluxmetric - expected.fluxmetric).abs() <= 1e-9,
                "{got:?} {expected:?}"
            );
        }
        let bent = Arc {
            outer_diameter: 4.01,
            inner_diameter: 3.99,
            angle: 0.01,
            thickness: 0.005,
        };
        let block = Shape::Block {
            length: 0.02,
            width: 0.01,
            thickness: 0.005,
        };
        let (got, expected) = (of_arc(&bent).expect("valid"), of_shape(&block).expect("valid"));
        assert!(
            (got.magnetometric - expected.magnetometric).abs() <= 1e-5,
            "{got:?} {expected:?}"
        );
        assert!(
            (got.fluxmetric - expected.fluxmetric).abs() <= 1e-5,
            "{got:?} {expected:?}"
        );
    }

    /// A ball as a profile of many short sides comes near 1/3.
    #[test]
    fn a_ball_of_facets() {
        let corners: Vec<[f64; 2]> = (0..=24)
            .map(|k| {
                let (sin, cos) = (PI * f64::from(k) / 24.0).sin_cos();
                [0.005 * sin.max(0.0), -0.005 * cos]
            })
            .collect();
        let got = of_profile(&Profile::new(&corners).expect("valid")).expect("valid");
        assert!((got.magnetometric - 1.0 / 3.0).abs() <= 3e-3, "{got:?}");
    }
}
