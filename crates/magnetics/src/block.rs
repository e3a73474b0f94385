//! Field of a rectangular block magnetised along z, for a polarisation of 1 T.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::far;

/// A point closer to an edge than this share of the largest half side counts as on the edge.
const ON_EDGE: f64 = 1e-13;

/// B in tesla of a block with half sides `half` magnetised along z at 1 T, at `p` from its centre, near or far;
/// `None` on an edge that bounds a pole face, where the field diverges.
pub(crate) fn field(half: [f64; 3], p: [f64; 3]) -> Option<[f64; 3]> {
    // The field is even in z and turns about in x and y, so one octant serves all.
    let square = |v: [f64; 3]| v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
    let folded = p.map(f64::abs);
    let [bx, by, bz] = if square(p) > far::BLOCK_REACH * far::BLOCK_REACH * square(half) {
        far::block(half, folded)
    } else {
        flux_density(half, folded)?
    };
    let side = |c: f64| {
        if c == 0.0 || p[2] == 0.0 {
            0.0
        } else {
            c.signum() * p[2].signum()
        }
    };
    Some([bx * side(p[0]), by * side(p[1]), bz])
}

/// B in tesla of a block with half sides `half` magnetised along z at 1 T, at a point `folded` into the first octant
/// about its centre; `None` on an edge that bounds a pole face, where the field diverges.
///
/// True B, inside as well as outside; on a side face the limit from outside.
/// Source: corner sums as in Furlani, *Permanent Magnet and Electromechanical Devices*, 2001, chapter 4 (from memory, checked by
/// two other models), with the logarithms and arc tangents of several corners joined so that no argument cancels.
fn flux_density(half: [f64; 3], folded: [f64; 3]) -> Option<[f64; 3]> {
    if on_edge(half, folded) {
        return None;
    }
    let [x, y, z] = folded;
    let u = [x - half[0], x + half[0]];
    let v = [y - half[1], y + half[1]];
    // Index 0 is the top face, index 1 the bottom one.
    let w = [z - half[2], z + half[2]];
    // Products of the arguments of the logarithms, and the sum of the angles.
    let (mut ratio_x, mut ratio_y, mut angle) = (1.0, 1.0, 0.0);
    for (face, w) in w.into_iter().enumerate() {
        let r = u.map(|u| v.map(|v| (u * u + v * v + w * w).sqrt()));
        let by_x = [0, 1].map(|i| ratio(v, r[i], u[i] * u[i] + w * w));
        let by_y = [0, 1].map(|j| ratio(u, [r[0][j], r[1][j]], v[j] * v[j] + w * w));
        let turned = pair_angle([u[0] * v[0], u[0] * v[1]], [w * r[0][0], w * r[0][1]])
            - pair_angle([u[1] * v[0], u[1] * v[1]], [w * r[1][0], w * r[1][1]]);
        if face == 0 {
            ratio_x *= by_x[1] / by_x[0];
            ratio_y *= by_y[1] / by_y[0];
            angle += turned;
        } else {
            ratio_x *= by_x[0] / by_x[1];
            ratio_y *= by_y[0] / by_y[1];
            angle -= turned;
        }
    }
    let inside = x < half[0] && y < half[1] && z < half[2];
    let axial = angle / (4.0 * PI) + if inside { 1.0 } else { 0.0 };
    Some([ratio_x.ln() / (4.0 * PI), ratio_y.ln() / (4.0 * PI), axial])
}

/// Whether a folded point lies on one of the four edges of the top face, or where their field terms diverge.
fn on_edge(half: [f64; 3], [x, y, z]: [f64; 3]) -> bool {
    let tolerance = ON_EDGE * half[0].max(half[1]).max(half[2]);
    let at = |a: f64, b: f64| (a - b).abs() <= tolerance;
    let within = |a: f64, b: f64| a <= b + tolerance;
    at(z, half[2]) && ((at(x, half[0]) && within(y, half[1])) || (at(y, half[1]) && within(x, half[0])))
}

/// `(r0 + t0) / (r1 + t1)` where `across = r0² - t0² = r1² - t1²` and `t0 < t1`, without cancellation.
fn ratio(t: [f64; 2], r: [f64; 2], across: f64) -> f64 {
    if t[0] >= 0.0 {
        (r[0] + t[0]) / (r[1] + t[1])
    } else if t[1] <= 0.0 {
        (r[1] - t[1]) / (r[0] - t[0])
    } else {
        across / ((r[0] - t[0]) * (r[1] + t[1]))
    }
}

/// `atan(area0 / depth0) - atan(area1 / depth1)` for depths of one sign; on the plane of the face the limit from above it.
///
/// Both angles lie within a quarter turn, so one arc tangent of the product of the complex numbers gives their difference.
fn pair_angle(area: [f64; 2], depth: [f64; 2]) -> f64 {
    if depth[0] == 0.0 || depth[1] == 0.0 {
        let quarter = |area: f64| if area == 0.0 { 0.0 } else { FRAC_PI_2.copysign(area) };
        return quarter(area[0]) - quarter(area[1]);
    }
    (area[0] * depth[1] - area[1] * depth[0]).atan2(depth[0] * depth[1] + area[0] * area[1])
}

/// B along the axis of a block magnetised at 1 T, a distance `z` above its centre on the axis; exact at any distance.
pub(crate) fn on_axis(half: [f64; 3], z: f64) -> f64 {
    // atan(c / A) - atan(c / B) as one arc tangent, with B - A written without cancellation;
    // c = L W / 2, A = x √(4x² + q), B = y √(4y² + q), q = L² + W².
    let q = 4.0 * (half[0] * half[0] + half[1] * half[1]);
    let c = 2.0 * half[0] * half[1];
    let (x, y) = (z.abs() - half[2], z.abs() + half[2]);
    let a = x * (4.0 * x * x + q).sqrt();
    let b = y * (4.0 * y * y + q).sqrt();
    let rise = if x <= 0.0 {
        b - a
    } else {
        2.0 * half[2] * (x + y) * (4.0 * (x * x + y * y) + q) / (a + b)
    };
    (c * rise).atan2(a * b + c * c) / PI
}
