//! Fields far from a magnet, where the closed forms would lose their digits.

use std::f64::consts::PI;
use std::sync::LazyLock;

use numerics::number::Number;
use numerics::quadrature::unit_rule;

/// Multipoles of odd order 1, 3, ... up to this one are kept for turned bodies.
pub(crate) const HIGHEST_ORDER: usize = 17;

/// Turned bodies go over to multipoles at this many bounding radii: the terms then fall by 64 from one to the next.
pub(crate) const TURNED_REACH: f64 = 8.0;

/// Blocks go over to point dipoles at this many bounding radii.
pub(crate) const BLOCK_REACH: f64 = 6.0;

static FIVE: LazyLock<[(f64, f64); 5]> = LazyLock::new(unit_rule);
static SEVEN: LazyLock<[(f64, f64); 7]> = LazyLock::new(unit_rule);

/// B (radial, axial) in tesla of a ring with squared radii `inner2`, `outer2` and height `2 half`
/// magnetised at 1 T, at radius `rho` and height `z` from its centre, by the multipoles of its charged end faces.
///
/// For distances above [`TURNED_REACH`] bounding radii; the moments are polynomials, integrated exactly.
pub(crate) fn turned(inner2: f64, outer2: f64, half: f64, rho: f64, z: f64) -> (f64, f64) {
    let r = rho.hypot(z);
    let (cos, sin) = (z / r, rho / r);
    let height = half / r;
    let (from, span) = (inner2 / (r * r), (outer2 - inner2) / (r * r));
    let mut moments = [0.0; HIGHEST_ORDER + 1];
    for &(node, weight) in FIVE.iter() {
        let square = from + node * span + height * height;
        let (mut below, mut here) = (1.0, height);
        for (order, moment) in moments.iter_mut().enumerate().skip(1) {
            *moment += weight * here;
            let l = order as f64;
            (below, here) = (here, ((2.0 * l + 1.0) * height * here - l * square * below) / (l + 1.0));
        }
    }
    for even in moments.iter_mut().step_by(2) {
        *even = 0.0;
    }
    // Two faces of area π span each, potential / (4π); the moments of even order vanish.
    let scale = 0.5 * span;
    let (radial, axial) = from_moments(&moments, cos, sin);
    (scale * radial, scale * axial)
}

/// Field (radial, axial) of axial moments at unit distance, where `moments[l]` is that of order `l`, already over `r^(l + 2)`.
pub(crate) fn from_moments<T: Number>(moments: &[T], cos: T, sin: T) -> (T, T) {
    // Legendre polynomials and their slopes at cos, upwards in the order.
    let (none, one) = (T::every(0.0), T::every(1.0));
    let (mut p_below, mut p_here) = (one, cos);
    let (mut slope_below, mut slope_here) = (none, one);
    let (mut along, mut across) = (none, none);
    for (order, &moment) in moments.iter().enumerate().skip(1) {
        let l = order as f64;
        along = along + moment * p_here * (l + 1.0);
        across = across + moment * sin * slope_here;
        let slope_next = slope_below + p_here * (2.0 * l + 1.0);
        let p_next = (cos * p_here * (2.0 * l + 1.0) - p_below * l) * (1.0 / (l + 1.0));
        (p_below, p_here) = (p_here, p_next);
        (slope_below, slope_here) = (slope_here, slope_next);
    }
    (along * sin + across * cos, along * cos - across * sin)
}

/// B in tesla of a block with half sides `half` magnetised along z at 1 T, at `point` from its centre,
/// as a grid of point dipoles; for distances above [`BLOCK_REACH`] bounding radii.
pub(crate) fn block(half: [f64; 3], point: [f64; 3]) -> [f64; 3] {
    let volume = 8.0 * half[0] * half[1] * half[2];
    let mut sum = [0.0; 3];
    for &(tx, wx) in SEVEN.iter() {
        let x = point[0] - half[0] * (2.0 * tx - 1.0);
        for &(ty, wy) in SEVEN.iter() {
            let y = point[1] - half[1] * (2.0 * ty - 1.0);
            for &(tz, wz) in SEVEN.iter() {
                let z = point[2] - half[2] * (2.0 * tz - 1.0);
                let dipole = dipole([x, y, z]);
                for (total, part) in sum.iter_mut().zip(dipole) {
                    *total += wx * wy * wz * part;
                }
            }
        }
    }
    sum.map(|part| part * volume)
}

/// B in tesla of a point dipole along z whose polarisation times volume is 1 T m³.
pub(crate) fn dipole([x, y, z]: [f64; 3]) -> [f64; 3] {
    let r2 = x * x + y * y + z * z;
    let r = r2.sqrt();
    let scale = 1.0 / (4.0 * PI * r2 * r);
    let slope = 3.0 * z / r2;
    [scale * slope * x, scale * slope * y, scale * (slope * z - 1.0)]
}

/// Flux of B, Wb, of a ball of radius `own` magnetised at 1 T along `z` through a circle about that axis, `z` above its centre.
///
/// A ball is a dipole as near as its surface; within it the flux density is the same everywhere.
pub(crate) fn flux_of_ball(own: f64, radius: f64, z: f64) -> f64 {
    let r = radius.hypot(z).max(own);
    2.0 * PI / 3.0 * (own / r).powi(3) * radius * radius
}

/// B in tesla of a point dipole whose polarisation times volume is `moment`, T m³, at `p` from it.
pub(crate) fn any_dipole(moment: [f64; 3], p: [f64; 3]) -> [f64; 3] {
    let r2 = p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
    let scale = 1.0 / (4.0 * PI * r2 * r2.sqrt());
    let slope = 3.0 * (moment[0] * p[0] + moment[1] * p[1] + moment[2] * p[2]) / r2;
    [0, 1, 2].map(|i| scale * (slope * p[i] - moment[i]))
}
