//! The limit that no magnet of a space and remanence can pass, however it is magnetised.
//!
//! A small part of a magnet with a moment `J dV / μ0` sends the flux `J dV · b` through a loop, where `b` is the field of that loop with one ampere, over `μ0`
//! (reciprocity). Of all directions of `J` the best is along `b`, so that the mean flux density over a spot of area `A` is at most `J / A ∫ |b| dV` over the space.
//! For a point it is the integral of the dipole kernel, `J / 4π ∫ √(1 + 3 cos²θ) / r³ dV`. At the face of the space the latter grows without end
//! (as the logarithm of how near to the point parts can be directed), the former does not.
//!
//! The pull on thick steel across a gap `g`: by Fourier series across the plane, parts at a depth `ζ` give `B_z(k) = k/2 e^{-kζ} (J_z ± i J_k)`, so that by Cauchy's inequality
//! and Parseval's theorem the pull of the mirror image is at most `4/μ0 · max_k k/8 (e^{-2kg} - e^{-2k(g+h)}) · J² V`. The derivation is in `docs/design.md`.

use std::f64::consts::{FRAC_PI_2, PI};

use materials::MU_0;
use numerics::elliptic::{ellip_e, ellip_k};
use numerics::quadrature::graded;

use crate::wish::{Area, Goal, Space, Wish};

/// Parts this many radii of the spot away see it as a point.
const FAR: f64 = 30.0;
/// Nearest to the rim of the spot that panels are cut, over its radius.
const FINEST: f64 = 1e-4;

/// The limit for a wish with parts polarised at most `polarisation` T, in the unit of its goal; `None` where there is none: at a point on the face of the space,
/// in contact with steel, and for a torque.
#[must_use]
pub fn ceiling(wish: &Wish, polarisation: f64) -> Option<f64> {
    let space = &wish.space;
    match &wish.goal {
        Goal::Reach { distance, spot, .. } => {
            one_side(space, 0.5 * spot, [*distance, distance + space.height]).map(|sum| polarisation * sum)
        }
        Goal::Gap { gap, spot, .. } => around(space, 0.5 * spot, 0.5 * gap).map(|sum| polarisation * sum),
        Goal::Even { distance, area, .. } => {
            let radius = 0.5 * area.within();
            let front = one_side(space, radius, [*distance, distance + space.height])?;
            let between = around(space, radius, *distance).unwrap_or(0.0);
            Some(polarisation * front.max(between))
        }
        Goal::Hold { gap, .. } => pull(space, *gap, polarisation),
        Goal::Turn { .. } => None,
    }
}

/// With magnets on both sides of the spot, the nearest at a distance; `None` where that leaves no room or there is no limit.
fn around(space: &Space, radius: f64, nearest: f64) -> Option<f64> {
    let farthest = 0.5 * space.height;
    if farthest <= nearest {
        return None;
    }
    Some(2.0 * one_side(space, radius, [nearest, farthest])?)
}

/// `∫ |b| dV / A` over the space between two distances below the spot; for a spot without a radius the dipole kernel.
fn one_side(space: &Space, radius: f64, [from, to]: [f64; 2]) -> Option<f64> {
    if radius <= 0.0 && from <= 0.0 {
        return None;
    }
    let breaks = match space.across {
        Area::Round(diameter) => vec![0.5 * diameter],
        Area::Box([a, b]) => {
            let mut ends = vec![0.5 * a.min(b), 0.5 * a.max(b), 0.5 * a.hypot(b)];
            ends.dedup();
            ends
        }
    };
    let least = FINEST * radius;
    let layer = |depth: f64| {
        let distance = |a: f64, b: f64| {
            let beside = (a - radius).max(radius - b).max(0.0);
            beside.hypot(depth).max(least)
        };
        let mut inner = 0.0;
        let mut sum = 0.0;
        for &outer in &breaks {
            let [part] = graded(inner, outer, &distance, &mut |r: f64| {
                [kernel(radius, r, depth) * angle_within(&space.across, r) * r]
            });
            sum += part;
            inner = outer;
        }
        [sum]
    };
    let [sum] = graded(from, to, &|a: f64, _| a.max(least), &mut |depth: f64| layer(depth));
    Some(sum)
}

/// How far round a circle of that radius about the axis lies within the space, rad.
fn angle_within(across: &Area, radius: f64) -> f64 {
    match *across {
        Area::Round(diameter) => {
            if radius <= 0.5 * diameter {
                2.0 * PI
            } else {
                0.0
            }
        }
        Area::Box([a, b]) => {
            let from = (0.5 * a / radius).min(1.0).acos();
            let to = (0.5 * b / radius).min(1.0).asin();
            4.0 * (to.min(FRAC_PI_2) - from).max(0.0)
        }
    }
}

/// Field of a round loop of that radius at `r` from its axis and `z` from its plane, for one ampere, over `μ0` and the area of the loop, 1/m³;
/// for no radius that of a dipole.
fn kernel(radius: f64, r: f64, z: f64) -> f64 {
    let away = r.hypot(z);
    if radius <= 0.0 || away > FAR * radius {
        let cosine = z / away;
        return (1.0 + 3.0 * cosine * cosine).sqrt() / (4.0 * PI * away.powi(3));
    }
    let area = PI * radius * radius;
    let outer = (radius + r).hypot(z);
    let inner2 = (radius - r).powi(2) + z * z;
    let m = 4.0 * radius * r / (outer * outer);
    let (k, e) = (ellip_k(m), ellip_e(m));
    let axial = (k + (radius * radius - r * r - z * z) / inner2 * e) / (2.0 * PI * outer);
    let radial = if r < 1e-4 * outer {
        // The two parts cancel near the axis; their first term.
        0.75 * radius * radius * r * z / outer.powi(5)
    } else {
        z / r * ((radius * radius + r * r + z * z) / inner2 * e - k) / (2.0 * PI * outer)
    };
    axial.hypot(radial) / area
}

/// The limit of the pull on thick steel, N.
fn pull(space: &Space, gap: f64, polarisation: f64) -> Option<f64> {
    if gap <= 0.0 {
        return None;
    }
    let area = match space.across {
        Area::Round(diameter) => 0.25 * PI * diameter * diameter,
        Area::Box([a, b]) => a * b,
    };
    let share = |k: f64| k / 8.0 * ((-2.0 * k * gap).exp() - (-2.0 * k * (gap + space.height)).exp());
    // One maximum: by thirds, between none and where the first factor alone is far past its own, 1 / (2 g).
    let (mut low, mut high) = (0.0, 10.0 / gap);
    for _ in 0..200 {
        let (a, b) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
        if share(a) < share(b) {
            low = a;
        } else {
            high = b;
        }
    }
    Some(4.0 / MU_0 * share(0.5 * (low + high)) * polarisation * polarisation * area * space.height)
}

#[cfg(test)]
mod tests;
