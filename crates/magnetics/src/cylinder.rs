//! Field of a disc or ring magnetised along its axis, for a polarisation of 1 T.

use std::f64::consts::{FRAC_PI_2, PI};

use numerics::elliptic::{cel_ends, cel_lanes};
use numerics::number::{Number, two};

/// Which limit is taken on the curved side, where B along the axis jumps.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Side {
    /// The limit from radii larger than the cylinder's.
    Outer,
    /// The limit from radii smaller than the cylinder's.
    Inner,
}

/// A point closer to the rim than this share of the radius counts as on the rim.
const ON_RIM: f64 = 1e-13;

/// B (radial, axial) in tesla of a solid cylinder of radius `radius` and height `2 half` magnetised at 1 T,
/// at radius `rho >= 0` and height `z` above its centre; `None` on a rim, where the field diverges.
///
/// True B, inside as well as outside. Source: Derby and Olbert, Am. J. Phys. 78, 229-235, 2010 (from memory, checked by two other models).
/// Loses digits as the cube of the distance; [`crate::far`] takes over at a distance.
#[inline]
pub(crate) fn flux_density(radius: f64, half: f64, rho: f64, z: f64, side: Side) -> Option<(f64, f64)> {
    let (top, bottom) = (z - half, z + half);
    let outside = radius - rho;
    let tolerance = ON_RIM * radius;
    if outside.abs() <= tolerance && (top.abs() <= tolerance || bottom.abs() <= tolerance) {
        return None;
    }
    let sum = radius + rho;
    let reach = |w: f64| (w * w + sum * sum).sqrt();
    let near = |w: f64| (w * w + outside * outside).sqrt();
    let (reach_bottom, reach_top) = (reach(bottom), reach(top));
    let (k_bottom, k_top) = (near(bottom) / reach_bottom, near(top) / reach_top);
    let gamma = outside / sum;
    if gamma == 0.0 {
        let [c_bottom, c_top, first_bottom, first_top] = cel_lanes(
            [k_bottom, k_top, k_bottom, k_top],
            [1.0; 4],
            [1.0; 4],
            [-1.0, -1.0, 1.0, 1.0],
        );
        let radial = radius / PI * (c_bottom / reach_bottom - c_top / reach_top);
        let jump = match side {
            Side::Outer => -FRAC_PI_2,
            Side::Inner => FRAC_PI_2,
        } * (bottom.signum() - top.signum());
        let axial = 0.5 / PI * (bottom / reach_bottom * first_bottom - top / reach_top * first_top + jump);
        return Some((radial, axial));
    }
    Some(smooth(radius, half, rho, z))
}

/// [`flux_density`] off the curved side, where one form serves; the radius `rho` must not be that of the cylinder.
#[inline(always)]
pub(crate) fn smooth<T: Number>(radius: f64, half: f64, rho: T, z: T) -> (T, T) {
    let (bottom, top) = (z + half, z - half);
    let (sum, outside) = (rho + radius, -rho + radius);
    let (sum2, outside2) = (sum * sum, outside * outside);
    let reach = two([bottom, top], |w| (w * w + sum2).sqrt());
    let modulus = |w: T, reach: T| (w * w + outside2).sqrt() / reach;
    let [(c_bottom, d_bottom), (c_top, d_top)] =
        cel_ends([modulus(bottom, reach[0]), modulus(top, reach[1])], outside / sum);
    let radial = (c_bottom / reach[0] - c_top / reach[1]) * (radius / PI);
    let axial = (bottom / reach[0] * d_bottom - top / reach[1] * d_top) * (radius / PI) / sum;
    (radial, axial)
}

/// B along the axis of a solid cylinder magnetised at 1 T, a distance `z` above its centre on the axis; exact at any distance.
pub(crate) fn on_axis(radius: f64, half: f64, z: f64) -> f64 {
    // (y / √(R²+y²) - x / √(R²+x²)) / 2 with y = z + half, x = z - half, written without the difference of near equals.
    let (x, y) = (z.abs() - half, z.abs() + half);
    let (root_x, root_y) = (x.hypot(radius), y.hypot(radius));
    if x <= 0.0 {
        return 0.5 * (y / root_y - x / root_x);
    }
    let difference = radius * radius * 2.0 * half * (x + y);
    0.5 * difference / (root_x * root_y * (y * root_x + x * root_y))
}
