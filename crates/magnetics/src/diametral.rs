//! Field of a disc or ring magnetised across its axis, for a polarisation of 1 T.
//!
//! The charge on the curved side, `cos φ`, summed over height in closed form and over the angle by complete elliptic integrals.
//! Equal to Caciagli, Baars, Philipse and Kuipers, J. Magn. Magn. Mater. 456, 423-432, 2018 (from memory), but arranged for
//! Bulirsch's integral so that nothing cancels at the wall; near the axis and far from it the angle is summed by the
//! trapezoidal rule, which for a periodic integrand converges geometrically.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::cylinder::{self, Side};
use crate::elliptic::cel_lanes;

/// Closer to the axis than this share of the radius, or farther than its inverse, the trapezoidal rule serves.
const BY_TRAPEZIUM: f64 = 0.25;

/// Points of the trapezoidal rule on half a turn; its error falls as `BY_TRAPEZIUM` to twice this power.
const HALF_TURN: usize = 16;

/// `μ0 H` (radial, tangential, axial) in tesla of a solid cylinder magnetised at 1 T along `x`,
/// as factors of `cos φ`, `sin φ` and `cos φ`; `None` on a rim, where the field diverges.
///
/// Without the polarisation inside: `B` is this plus the polarisation there.
pub(crate) fn field(radius: f64, half: f64, rho: f64, z: f64, side: Side) -> Option<[f64; 3]> {
    // By reciprocity the axial part is the radial field of the same body magnetised along its axis.
    let (axial, _) = cylinder::flux_density(radius, half, rho, z, side)?;
    let (radial, tangential) = if rho < BY_TRAPEZIUM * radius || rho * BY_TRAPEZIUM > radius {
        by_trapezium(radius, half, rho, z)
    } else {
        let (top, bottom) = (
            one_end(radius, rho, z - half, side),
            one_end(radius, rho, z + half, side),
        );
        (bottom.0 - top.0, bottom.1 - top.1)
    };
    Some([radial, tangential, axial])
}

/// The part of one end, a height `w` below the point.
fn one_end(radius: f64, rho: f64, w: f64, side: Side) -> (f64, f64) {
    if w == 0.0 {
        return (0.0, 0.0);
    }
    let (sum, apart) = (rho + radius, rho - radius);
    let reach = (sum * sum + w * w).sqrt();
    let kc = (apart * apart + w * w).sqrt() / reach;
    let gamma = apart / sum;
    let p = gamma * gamma;
    let beta = w / reach;
    let (across, third) = if p == 0.0 {
        let limit = match side {
            Side::Outer => FRAC_PI_2 / kc,
            Side::Inner => -FRAC_PI_2 / kc,
        };
        (limit, 0.0)
    } else {
        let [across, third] = cel_lanes([kc; 2], [p; 2], [-1.0, 1.0], [1.0, 1.0]);
        (gamma * across, p * third)
    };
    let [plain, tangent] = cel_lanes([kc; 2], [1.0; 2], [-1.0, p], [1.0; 2]);
    let share = 4.0 * rho * radius / (sum * sum);
    let radial = radius / (2.0 * PI * rho) * beta * (plain + across);
    let tangential = 4.0 * radius * radius / (PI * sum * sum) * beta * (tangent - third) / (share * share);
    (radial, tangential)
}

/// The sum over the angle by equal steps.
fn by_trapezium(radius: f64, half: f64, rho: f64, z: f64) -> (f64, f64) {
    let (top, bottom) = (z - half, z + half);
    let (mut radial, mut tangential) = (0.0, 0.0);
    for step in 0..HALF_TURN {
        let (sin, cos) = (PI * (step as f64 + 0.5) / HALF_TURN as f64).sin_cos();
        let along = rho - radius * cos;
        let s2 = along * along + radius * radius * sin * sin;
        let (r_top, r_bottom) = ((s2 + top * top).sqrt(), (s2 + bottom * bottom).sqrt());
        let ends = if top * bottom > 0.0 {
            // bottom / r_bottom - top / r_top without the difference of near equals.
            4.0 * half * z / (r_top * r_bottom * (bottom * r_top + top * r_bottom))
        } else {
            (bottom / r_bottom - top / r_top) / s2
        };
        radial += cos * along * ends;
        tangential += radius * sin * sin * ends;
    }
    let weight = 0.5 * radius / HALF_TURN as f64;
    (weight * radial, weight * tangential)
}
