//! Field of a rectangular block magnetised along z, for a polarisation of 1 T.

use std::f64::consts::PI;

use crate::far;
use numerics::number::{Number, two};

/// A point closer to an edge than this share of the largest half side counts as on the edge.
pub(crate) const ON_EDGE: f64 = 1e-13;

/// An angle below this is one of a full turn, where it cannot be none.
const NO_ANGLE: f64 = 1e-6;

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
    Some(smooth(half, folded))
}

/// [`flux_density`] off the edges, where one form serves, at points folded into the first octant.
#[inline(always)]
pub(crate) fn smooth<T: Number>(half: [f64; 3], [x, y, z]: [T; 3]) -> [T; 3] {
    let u = [x - half[0], x + half[0]];
    let v = [y - half[1], y + half[1]];
    // Index 0 is the top face, index 1 the bottom one; a folded point is above the bottom one.
    let w = [z - half[2], z + half[2]];
    let (u2, v2, w2) = (two(u, |c| c * c), two(v, |c| c * c), two(w, |c| c * c));
    // By face and by the ends of x: the distances to the corners at the near and the far end of y; and the other way about.
    let along_y = [distances(u2, v2, w2[0]), distances(u2, v2, w2[1])];
    let along_x = two(along_y, |[[a, b], [c, d]]| [[a, c], [b, d]]);
    let log_x = logarithm(v, along_y, two(w2, |w2| two(u2, |u2| u2 + w2)));
    let log_y = logarithm(u, along_x, two(w2, |w2| two(v2, |v2| v2 + w2)));
    let top = solid_angle(half, u, v, w[0].abs(), along_y[0]);
    let bottom = solid_angle(half, u, v, w[1].abs(), along_y[1]);
    let none = T::every(0.0);
    let inside = T::choose(u[0], none, T::choose(v[0], none, T::choose(w[0], none, T::every(1.0))));
    let angle = T::choose(w[0], top, -top) - bottom;
    [log_x * (0.25 / PI), log_y * (0.25 / PI), angle * (0.25 / PI) + inside]
}

/// Distances to the corners of a face, from the squares of the coordinates.
#[inline(always)]
fn distances<T: Number>(u2: [T; 2], v2: [T; 2], w2: T) -> [[T; 2]; 2] {
    let to = |a: T, b: T| (a + b + w2).sqrt();
    [
        [to(u2[0], v2[0]), to(u2[0], v2[1])],
        [to(u2[1], v2[0]), to(u2[1], v2[1])],
    ]
}

/// The logarithm of the corner terms `r + t` for the two ends `t` of one side, by face and by the ends of the other side.
///
/// `across` is `r² - t²`; where the near end is negative, `r + t` is `across / (r - t)`, which does not cancel.
#[inline(always)]
fn logarithm<T: Number>(t: [T; 2], r: [[[T; 2]; 2]; 2], across: [[T; 2]; 2]) -> T {
    let near = two(r, |face| two(face, |[near, _]| near + t[0].abs()));
    let far = two(r, |face| two(face, |[_, far]| far + t[1]));
    // Terms of the far end of the top face and of the near end of the bottom one against the others.
    let odd = |terms: [[T; 2]; 2]| terms[0][1] * terms[1][0];
    let even = |terms: [[T; 2]; 2]| terms[0][0] * terms[1][1];
    let above = even(far) * T::choose(t[0], odd(near), odd(across) * even(near));
    let below = odd(far) * T::choose(t[0], even(near), even(across) * odd(near));
    (above / below).ln()
}

/// Solid angle under which a face is seen from a height `depth >= 0` above its plane, where `r` are the distances to its corners.
///
/// The arc tangents of the four corners as the angle of one product of complex numbers.
#[inline(always)]
fn solid_angle<T: Number>(half: [f64; 3], u: [T; 2], v: [T; 2], depth: T, r: [[T; 2]; 2]) -> T {
    let corner = |i: usize, j: usize| (depth * r[i][j], u[i] * v[j]);
    // First times the conjugate of the second.
    let against = |a: (T, T), b: (T, T)| (a.0 * b.0 + a.1 * b.1, a.1 * b.0 - a.0 * b.1);
    let (p, q) = (against(corner(0, 0), corner(0, 1)), against(corner(1, 1), corner(1, 0)));
    let angle = (p.0 * q.1 + p.1 * q.0).atan2(p.0 * q.0 - p.1 * q.1);
    // Above the face and nearer than its shorter half side it is well above 0, and may be beyond half a turn.
    let turned = T::choose(angle - NO_ANGLE, angle, angle + 2.0 * PI);
    let close = T::choose(depth - half[0].min(half[1]), angle, turned);
    T::choose(u[0], angle, T::choose(v[0], angle, close))
}

/// Whether a folded point lies on one of the four edges of the top face, or where their field terms diverge.
fn on_edge(half: [f64; 3], [x, y, z]: [f64; 3]) -> bool {
    let tolerance = ON_EDGE * half[0].max(half[1]).max(half[2]);
    let at = |a: f64, b: f64| (a - b).abs() <= tolerance;
    let within = |a: f64, b: f64| a <= b + tolerance;
    at(z, half[2]) && ((at(x, half[0]) && within(y, half[1])) || (at(y, half[1]) && within(x, half[0])))
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
