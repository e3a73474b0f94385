//! Which triangle holds a point.

use super::space::Space;
use super::system::material;
use crate::drawing::{Drawing, Material};
use crate::mesh::NONE;
use crate::mesh::plane::{Point, distance, double_area};

/// The triangle of a space that holds a point, air before others; `None` outside the meshed ball.
pub(crate) fn locate(drawing: &Drawing, space: &Space, p: Point) -> Option<(usize, [f64; 3])> {
    const ON: f64 = 1e-9;
    let mesh = &space.mesh;
    let within = distance(p, [0.0, mesh.centre]) < mesh.radius;
    if !within {
        return None;
    }
    let is_air = |t: usize| matches!(material(drawing, mesh.region[t]), Material::Air);
    let mut t = 0;
    for _ in 0..mesh.triangles.len() {
        let l = barycentric(&mesh.corners(t), p);
        let least = (0..3).min_by(|&j, &k| l[j].total_cmp(&l[k])).unwrap_or_default();
        let next = mesh.neighbours[t][least];
        // Between chord and circle the triangle at the chord serves.
        if l[least] < -ON && next != NONE {
            t = next as usize;
            continue;
        }
        if !is_air(t) {
            // On a wall the air beside it answers.
            let beside = (0..3).filter(|&k| l[k] <= ON).map(|k| mesh.neighbours[t][k]);
            if let Some(other) = beside.filter(|&n| n != NONE).map(|n| n as usize).find(|&n| is_air(n)) {
                return Some((other, barycentric(&mesh.corners(other), p)));
            }
        }
        return Some((t, l));
    }
    None
}

/// Barycentric coordinates of a point.
pub(crate) fn barycentric(corners: &[Point; 3], p: Point) -> [f64; 3] {
    let [a, b, c] = *corners;
    let whole = double_area(a, b, c);
    let (l1, l2) = (double_area(a, p, c) / whole, double_area(a, b, p) / whole);
    [1.0 - l1 - l2, l1, l2]
}
