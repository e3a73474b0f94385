//! Field of a disc or ring magnetised across its axis, for a polarisation of 1 T.
//!
//! The charge on the curved side, `cos φ`, summed over height in closed form and over the angle by complete elliptic integrals.
//! Equal to Caciagli, Baars, Philipse and Kuipers, J. Magn. Magn. Mater. 456, 423-432, 2018 (from memory), but arranged for
//! Bulirsch's integral so that nothing cancels at the wall; near the axis and far from it the angle is summed by the
//! trapezoidal rule, which for a periodic integrand converges geometrically.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::cylinder::{self, Side};
use numerics::elliptic::cel_lanes;
use numerics::number::Number;

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
    let (radial, tangential) = across(radius, half, rho, z, side);
    Some([radial, tangential, axial])
}

/// The radial and tangential parts of [`field`] off the curved side, where one form serves.
pub(crate) fn smooth<T: Number>(radius: f64, half: f64, rho: T, z: T) -> (T, T) {
    across(radius, half, rho, z, Side::Outer)
}

fn across<T: Number>(radius: f64, half: f64, rho: T, z: T, side: Side) -> (T, T) {
    let at = rho.first();
    if at < BY_TRAPEZIUM * radius || at * BY_TRAPEZIUM > radius {
        return by_trapezium(radius, half, rho, z);
    }
    let (top, bottom) = (
        one_end(radius, rho, z - half, side),
        one_end(radius, rho, z + half, side),
    );
    (bottom.0 - top.0, bottom.1 - top.1)
}

/// The part of one end, a height `w` below the point.
fn one_end<T: Number>(radius: f64, rho: T, w: T, side: Side) -> (T, T) {
    let (sum, apart) = (rho + radius, rho - radius);
    let reach = (sum * sum + w * w).sqrt();
    let kc = (apart * apart + w * w).sqrt() / reach;
    let gamma = apart / sum;
    let p = gamma * gamma;
    let beta = w / reach;
    let one = T::every(1.0);
    let (across, third) = if p.first() == 0.0 {
        if w.first() == 0.0 {
            // On the rim, which the axial part has refused.
            return (T::every(0.0), T::every(0.0));
        }
        let limit = match side {
            Side::Outer => FRAC_PI_2,
            Side::Inner => -FRAC_PI_2,
        };
        (T::every(limit) / kc, T::every(0.0))
    } else {
        let [across, third] = cel_lanes([kc; 2], [p; 2], [-one, one], [one, one]);
        (gamma * across, p * third)
    };
    let [plain, tangent] = cel_lanes([kc; 2], [one; 2], [-one, p], [one; 2]);
    let share = rho * (4.0 * radius) / (sum * sum);
    let radial = beta * (plain + across) * (radius / (2.0 * PI)) / rho;
    let tangential = beta * (tangent - third) * (4.0 * radius * radius / PI) / (sum * sum * share * share);
    (radial, tangential)
}

/// The sum over the angle by equal steps.
fn by_trapezium<T: Number>(radius: f64, half: f64, rho: T, z: T) -> (T, T) {
    let (top, bottom) = (z - half, z + half);
    let (mut radial, mut tangential) = (T::every(0.0), T::every(0.0));
    for step in 0..HALF_TURN {
        let (sin, cos) = (PI * (step as f64 + 0.5) / HALF_TURN as f64).sin_cos();
        let along = rho - radius * cos;
        let s2 = along * along + radius * radius * sin * sin;
        let (r_top, r_bottom) = ((s2 + top * top).sqrt(), (s2 + bottom * bottom).sqrt());
        let ends = if (top * bottom).first() > 0.0 {
            // bottom / r_bottom - top / r_top without the difference of near equals.
            z * (4.0 * half) / (r_top * r_bottom * (bottom * r_top + top * r_bottom))
        } else {
            (bottom / r_bottom - top / r_top) / s2
        };
        radial = radial + along * ends * cos;
        tangential = tangential + ends * (radius * sin * sin);
    }
    let weight = 0.5 * radius / HALF_TURN as f64;
    (radial * weight, tangential * weight)
}
