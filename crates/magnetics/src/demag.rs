//! Magnetometric demagnetising factors along the axis, for a rigid uniform magnetisation.
//!
//! Disc: `1 - K_N(D/L)` with Nagaoka's coefficient (Nagaoka 1909). Ring: the same integral over the fluxes between its charged end faces.
//! Block: Aharoni, J. Appl. Phys. 83, 3432-3434, 1998, equation (1). Sphere: 1/3.
//!
//! The factors of a block along its three sides add up to 1.

use std::sync::LazyLock;

use crate::shape::{MOST_PIECES, Shape, ShapeError};
use crate::sheet::SheetPair;
use numerics::quadrature::unit_rule;

/// Up to this ratio of the longest to the shortest side the closed form of a block keeps 10 digits.
const CLOSED_FORM_RATIO: f64 = 30.0;

/// Each panel of the graded rule is this many times longer than the one before it.
const PANEL_GROWTH: f64 = 3.0;

static SIXTEEN: LazyLock<[(f64, f64); 16]> = LazyLock::new(unit_rule);

/// Demagnetising factor of a shape along its axis, between 0 and 1; accuracy 1e-10.
///
/// # Errors
/// [`ShapeError`] for a shape that is out of range.
pub fn of_shape(shape: &Shape) -> Result<f64, ShapeError> {
    shape.validate()?;
    Ok(along_axis(shape))
}

/// [`of_shape`] of a valid one.
pub(crate) fn along_axis(shape: &Shape) -> f64 {
    match *shape {
        Shape::Disc { diameter, thickness } => turned([0.5 * diameter, 0.0], thickness),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => turned([0.5 * outer_diameter, 0.5 * inner_diameter], thickness),
        Shape::Block {
            length,
            width,
            thickness,
        } => block(length, width, thickness),
        Shape::Sphere { .. } => 1.0 / 3.0,
    }
}

/// Demagnetising factor of a straight stack of `pieces` equal pieces taken as one solid.
///
/// Spheres stay spheres: each feels the dipole fields of the others, whose mean over a sphere is the value at its centre.
///
/// # Errors
/// [`ShapeError`] if the shape or the number of pieces is out of range.
pub fn of_stack(shape: &Shape, pieces: usize) -> Result<f64, ShapeError> {
    shape.validate()?;
    if !(1..=MOST_PIECES).contains(&pieces) {
        return Err(ShapeError::Pieces {
            pieces,
            most: MOST_PIECES,
        });
    }
    let count = pieces as f64;
    Ok(match shape.with_height(shape.height() * count) {
        Some(solid) => along_axis(&solid),
        None => {
            let neighbours: f64 = (1..pieces).map(|k| (count - k as f64) / (k as f64).powi(3)).sum();
            1.0 / 3.0 - neighbours / (6.0 * count)
        }
    })
}

/// Demagnetising factor of a spheroid along the axis that it is turned about, where `ratio` is its length over its width;
/// across that axis it is `(1 - N) / 2`. NaN unless the ratio is positive and finite.
///
/// Source: Osborn, Phys. Rev. 67, 351-357, 1945 (from memory, checked by the sum of the three factors and by the ball's 1/3).
#[must_use]
pub fn spheroid(ratio: f64) -> f64 {
    if !(ratio > 0.0 && ratio.is_finite()) {
        return f64::NAN;
    }
    // (1 - q) (artanh √q - √q) / q^(3/2) with the square of the eccentricity q, negative where it is flat.
    let rest = ratio.powi(-2);
    let q = 1.0 - rest;
    if q.abs() < 0.2 {
        let series = (0..24)
            .rev()
            .fold(0.0, |sum, k| sum * q + 1.0 / (2.0 * f64::from(k) + 3.0));
        return rest * series;
    }
    let e = q.abs().sqrt();
    if q > 0.0 {
        rest * (((1.0 + e) * ratio).ln() - e) / (q * e)
    } else {
        rest * (e - e.atan()) / (-q * e)
    }
}

fn turned([outer, inner]: [f64; 2], height: f64) -> f64 {
    let face = [outer, inner];
    let area = std::f64::consts::PI * (outer - inner) * (outer + inner);
    2.0 * SheetPair::integral(face, face, height) / (area * height)
}

/// Demagnetising factor of a block along its thickness.
fn block(length: f64, width: f64, thickness: f64) -> f64 {
    let longest = length.max(width).max(thickness);
    let shortest = length.min(width).min(thickness);
    if longest <= CLOSED_FORM_RATIO * shortest {
        return aharoni(length / longest, width / longest, thickness / longest);
    }
    // 2/V ∫₀^h flux(s) ds over panels that grow away from s = 0, where the flux has a logarithm in its slope.
    let pair = SheetPair::rectangles(length, width);
    let mut total = 0.0;
    let mut from = 0.0;
    let mut to = (length.min(width) * 1e-9).min(thickness);
    loop {
        let span = to - from;
        total += SIXTEEN
            .iter()
            .map(|&(t, weight)| span * weight * pair.flux(from + t * span))
            .sum::<f64>();
        if to >= thickness {
            return 2.0 * total / (length * width * thickness);
        }
        (from, to) = (to, (to * PANEL_GROWTH).min(thickness));
    }
}

/// Aharoni 1998, equation (1), with half sides `a`, `b`, `c` and the factor along `c`.
fn aharoni(a: f64, b: f64, c: f64) -> f64 {
    let (a2, b2, c2) = (a * a, b * b, c * c);
    let abc = a * b * c;
    let r = (a2 + b2 + c2).sqrt();
    let (rab, rbc, rac) = ((a2 + b2).sqrt(), (b2 + c2).sqrt(), (a2 + c2).sqrt());
    // ln((r - t) / (r + t)) where r² - t² = rest².
    let log = |r: f64, t: f64, rest2: f64| (rest2 / ((r + t) * (r + t))).ln();
    let sum = (b2 - c2) / (2.0 * b * c) * log(r, a, b2 + c2) + (a2 - c2) / (2.0 * a * c) * log(r, b, a2 + c2)
        - b / (2.0 * c) * log(rab, a, b2)
        - a / (2.0 * c) * log(rab, b, a2)
        + c / (2.0 * a) * log(rbc, b, c2)
        + c / (2.0 * b) * log(rac, a, c2)
        + 2.0 * (a * b / (c * r)).atan()
        + (a * a2 + b * b2 - 2.0 * c * c2) / (3.0 * abc)
        + (a2 + b2 - 2.0 * c2) / (3.0 * abc) * r
        + c / (a * b) * (rac + rbc)
        - (rab.powi(3) + rbc.powi(3) + rac.powi(3)) / (3.0 * abc);
    sum / std::f64::consts::PI
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn factor(length: f64, width: f64, thickness: f64) -> f64 {
        along_axis(&Shape::Block {
            length,
            width,
            thickness,
        })
    }

    proptest! {
        /// The trace rule, over ratios up to a million and across the change of method.
        #[test]
        fn factors_of_a_block_sum_to_one(a in -3.0..3.0_f64, b in -3.0..3.0_f64) {
            let (l, w, t) = (1e-3 * 10_f64.powf(a), 1e-3 * 10_f64.powf(b), 1e-3);
            let sum = factor(l, w, t) + factor(w, t, l) + factor(t, l, w);
            prop_assert!((sum - 1.0).abs() <= 1e-10, "{l} {w} {t}: {sum}");
        }

        #[test]
        fn a_ring_without_a_hole_is_a_disc(ratio in -2.0..2.0_f64) {
            let (diameter, thickness) = (0.01, 0.01 * 10_f64.powf(ratio));
            let disc = along_axis(&Shape::Disc { diameter, thickness });
            let ring = along_axis(&Shape::Ring { outer_diameter: diameter, inner_diameter: 1e-6, thickness });
            prop_assert!((disc - ring).abs() <= 1e-6);
        }

        /// A thin-walled ring far wider than its wall is a strip bent round: its factor is that of an endless strip.
        #[test]
        fn a_thin_wide_ring_is_a_strip(ratio in 0.3..3.0_f64) {
            let wall = 0.001;
            let height = ratio * wall;
            let ring = Shape::Ring { outer_diameter: 1.0 + wall, inner_diameter: 1.0 - wall, thickness: height };
            let strip = Shape::Block { length: 5.0, width: wall, thickness: height };
            prop_assert!((along_axis(&ring) - along_axis(&strip)).abs() <= 1e-3);
        }
    }

    #[test]
    fn ring_factor_against_quadrature_of_the_flux() {
        let face = [0.010, 0.005];
        let pair = SheetPair::rings(face, face);
        let height = 0.005;
        // Graded panels, as for the block.
        let mut sum = 0.0;
        let (mut from, mut to) = (0.0, 1e-12);
        while from < height {
            let span: f64 = to - from;
            sum += SIXTEEN
                .iter()
                .map(|&(t, weight)| span * weight * pair.flux(from + t * span))
                .sum::<f64>();
            (from, to) = (to, (to * PANEL_GROWTH).min(height));
        }
        let expected = 2.0 * sum / (std::f64::consts::PI * 75e-6 * height);
        assert!(
            (turned(face, height) - expected).abs() <= 1e-12,
            "{} {expected}",
            turned(face, height)
        );
    }

    /// The series meets the closed forms, and a slender or flat one its limits.
    #[test]
    fn spheroids() {
        for ratio in [0.8_f64.powf(-0.5), 1.2_f64.powf(-0.5)] {
            let (near, far) = (spheroid(ratio * (1.0 - 1e-12)), spheroid(ratio * (1.0 + 1e-12)));
            assert!((near - far).abs() <= 2e-12, "{ratio}: {near} {far}");
        }
        assert!((spheroid(1.0) - 1.0 / 3.0).abs() <= 1e-16);
        assert!((spheroid(1e9) - ((2e9_f64).ln() - 1.0) * 1e-18).abs() <= 1e-30);
        assert!((spheroid(1e-9) - 1.0).abs() <= 2e-9);
        assert!(
            [0.0, -1.0, f64::NAN, f64::INFINITY]
                .iter()
                .all(|&r| spheroid(r).is_nan())
        );
    }

    #[test]
    fn stacks() {
        let disc = Shape::Disc {
            diameter: 0.01,
            thickness: 0.002,
        };
        let solid = Shape::Disc {
            diameter: 0.01,
            thickness: 0.01,
        };
        let of_stack = |shape, pieces| of_stack(shape, pieces).expect("a valid stack");
        assert!((of_stack(&disc, 5) - along_axis(&solid)).abs() <= 1e-14);
        // Two touching balls: each feels half of 2/3 (1/2)^3 J from the other.
        let ball = Shape::Sphere { diameter: 0.01 };
        assert!((of_stack(&ball, 2) - (1.0 / 3.0 - 1.0 / 12.0)).abs() <= 1e-15);
        assert_eq!(of_stack(&ball, 1), 1.0 / 3.0);
    }

    #[test]
    fn shapes_and_stacks_out_of_range_give_no_factor() {
        let flat = Shape::Block {
            length: 0.01,
            width: 0.01,
            thickness: f64::NAN,
        };
        assert!(matches!(of_shape(&flat), Err(ShapeError::Size { .. })));
        assert!(matches!(of_stack(&flat, 1), Err(ShapeError::Size { .. })));
        let ball = Shape::Sphere { diameter: 0.01 };
        for pieces in [0, usize::MAX] {
            assert!(matches!(of_stack(&ball, pieces), Err(ShapeError::Pieces { .. })));
        }
    }
}
