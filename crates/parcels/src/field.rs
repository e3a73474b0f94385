//! The field of dipoles, and the most of it at a distance from all surfaces of a box.

use std::f64::consts::PI;

use materials::MU_0;
use numerics::vector::{Vector, add, cross, dot, length, scale, sub};

use crate::pack::Source;

/// Directions that are looked at first.
const DIRECTIONS: usize = 800;
/// The best of them are followed to their peaks.
const FOLLOWED: usize = 6;
/// Steps of a search halve from the spacing of the directions to less than a thousandth of a radian.
const HALVINGS: u32 = 8;

/// The most that is found, and where.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Most {
    /// Flux density, T.
    pub flux_density: f64,
    /// The direction from the middle of the box.
    pub direction: Vector,
}

/// Flux density of dipoles at a point outside them, T: `μ0/4π (3 (m·r) r / r⁵ - m / r³)` of each.
pub fn flux_density(sources: &[Source], point: Vector) -> Vector {
    sources.iter().fold([0.0; 3], |sum, source| {
        let r = sub(point, source.at);
        let r2 = dot(r, r);
        let by = MU_0 / (4.0 * PI * r2 * r2.sqrt());
        let slope = 3.0 * dot(source.moment, r) / r2;
        add(sum, scale(sub(scale(r, slope), source.moment), by))
    })
}

/// The point in that direction from the middle of a box which lies `distance` from its nearest surface.
pub fn point_at(half: Vector, direction: Vector, distance: f64) -> Vector {
    let away = |t: f64| {
        let out: Vector = std::array::from_fn(|k| (t * direction[k].abs() - half[k]).max(0.0));
        length(out)
    };
    let (mut near, mut far) = (0.0, distance + length(half));
    while far - near > 1e-9 {
        let t = 0.5 * (near + far);
        if away(t) < distance { near = t } else { far = t }
    }
    scale(direction, far)
}

/// The most flux density `distance` metres from any surface of a box with those half sides about the origin, by a search
/// over directions as even as they can be spread, the best of them followed to their peaks.
///
/// At two metres from a box of less than a metre the field has no peak narrower than the spacing of the directions, 7 degrees.
pub fn most(sources: &[Source], half: Vector, distance: f64) -> Most {
    let at = |direction: Vector| Most {
        flux_density: length(flux_density(sources, point_at(half, direction, distance))),
        direction,
    };
    let mut found: Vec<Most> = directions(DIRECTIONS).map(at).collect();
    found.sort_by(|a, b| b.flux_density.total_cmp(&a.flux_density));
    found.truncate(FOLLOWED);
    let peaks = found.into_iter().map(|start| {
        let mut best = start;
        let mut step = (4.0 * PI / DIRECTIONS as f64).sqrt();
        for _ in 0..HALVINGS {
            loop {
                let [u, v] = across(best.direction);
                let around = [[step, 0.0], [-step, 0.0], [0.0, step], [0.0, -step]];
                let next = around
                    .map(|[a, b]| at(unit(add(best.direction, add(scale(u, a), scale(v, b))))))
                    .into_iter()
                    .max_by(|a, b| a.flux_density.total_cmp(&b.flux_density));
                match next {
                    Some(next) if next.flux_density > best.flux_density * (1.0 + 1e-12) => best = next,
                    _ => break,
                }
            }
            step *= 0.5;
        }
        best
    });
    peaks
        .max_by(|a, b| a.flux_density.total_cmp(&b.flux_density))
        .unwrap_or_default()
}

/// The six directions of the axes, and so many spread evenly on a spiral by the golden angle.
pub fn directions(count: usize) -> impl Iterator<Item = Vector> {
    let axes = (0..3).flat_map(|k| [1.0, -1.0].map(|sign| std::array::from_fn(|i| if i == k { sign } else { 0.0 })));
    let golden = PI * (3.0 - 5f64.sqrt());
    let spiral = (0..count).map(move |k| {
        let z = 1.0 - (2.0 * k as f64 + 1.0) / count as f64;
        let (sin, cos) = (golden * k as f64).sin_cos();
        let across = (1.0 - z * z).sqrt();
        [across * cos, across * sin, z]
    });
    axes.chain(spiral)
}

fn unit(v: Vector) -> Vector {
    scale(v, 1.0 / length(v))
}

/// Two directions square to that one and to each other.
fn across(direction: Vector) -> [Vector; 2] {
    let other = if direction[2].abs() < 0.9 {
        [0.0, 0.0, 1.0]
    } else {
        [1.0, 0.0, 0.0]
    };
    let u = unit(cross(direction, other));
    [u, cross(direction, u)]
}

#[cfg(test)]
mod tests;
