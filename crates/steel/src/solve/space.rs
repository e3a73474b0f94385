//! Quadratic elements on a mesh: nodes, shapes, quadrature.
//!
//! The unknown is u = psi / r^2, where 2 pi psi is the flux through the circle of radius r, so that `B_r = -r du/dz` and `B_z = 2 u + r du/dr`: finite and smooth
//! on the axis without a condition there.

use crate::mesh::plane::{Point, middle};
use crate::mesh::size::onto_circle;
use crate::mesh::{Mesh, NONE, side};

/// Barycentric coordinates and weights of a rule of degree 5 on the triangle (Radon 1948); the weights sum to 1.
pub(crate) const RULE: [([f64; 3], f64); 7] = {
    const A: f64 = 0.101_286_507_323_456_34;
    const B: f64 = 0.470_142_064_105_115_1;
    const WA: f64 = 0.125_939_180_544_827_15;
    const WB: f64 = 0.132_394_152_788_506_2;
    const T: f64 = 1.0 / 3.0;
    [
        ([T, T, T], 0.225),
        ([1.0 - 2.0 * A, A, A], WA),
        ([A, 1.0 - 2.0 * A, A], WA),
        ([A, A, 1.0 - 2.0 * A], WA),
        ([1.0 - 2.0 * B, B, B], WB),
        ([B, 1.0 - 2.0 * B, B], WB),
        ([B, B, 1.0 - 2.0 * B], WB),
    ]
};

/// Points on [0, 1] and weights of Gauss's rule with three points.
pub(crate) const LINE: [(f64, f64); 3] = [
    (0.112_701_665_379_258_31, 5.0 / 18.0),
    (0.5, 4.0 / 9.0),
    (0.887_298_334_620_741_7, 5.0 / 18.0),
];

/// Barycentric coordinates of the six nodes.
pub(crate) const NODES: [[f64; 3]; 6] = [
    [1.0, 0.0, 0.0],
    [0.0, 1.0, 0.0],
    [0.0, 0.0, 1.0],
    [0.0, 0.5, 0.5],
    [0.5, 0.0, 0.5],
    [0.5, 0.5, 0.0],
];

/// The six shapes: corners, then the middles opposite to them.
pub(crate) fn shapes(l: [f64; 3]) -> [f64; 6] {
    let [a, b, c] = l;
    [
        a * (2.0 * a - 1.0),
        b * (2.0 * b - 1.0),
        c * (2.0 * c - 1.0),
        4.0 * b * c,
        4.0 * c * a,
        4.0 * a * b,
    ]
}

/// Derivatives of the shapes by the second and third barycentric coordinate, the first following from both.
fn slopes(l: [f64; 3]) -> [[f64; 2]; 6] {
    let [a, b, c] = l;
    let (pa, pb, pc) = (4.0 * a - 1.0, 4.0 * b - 1.0, 4.0 * c - 1.0);
    [
        [-pa, -pa],
        [pb, 0.0],
        [0.0, pc],
        [4.0 * c, 4.0 * b],
        [-4.0 * c, 4.0 * (a - c)],
        [4.0 * (a - b), -4.0 * b],
    ]
}

/// A mesh with its quadratic nodes.
#[derive(Clone, Debug)]
pub(crate) struct Space {
    pub(crate) mesh: Mesh,
    /// Nodes of every triangle in the order of [`NODES`].
    pub(crate) nodes: Vec<[u32; 6]>,
    /// Places of the nodes.
    pub(crate) places: Vec<Point>,
    /// Triangles with a side on the circle, which is curved.
    pub(crate) curved: Vec<bool>,
}

/// An element at one point: what the six nodes give there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct At {
    /// Radius, m.
    pub(crate) r: f64,
    /// Area element over the barycentric measure, m2: a weight of [`RULE`] times this is an area.
    pub(crate) area: f64,
    /// `B_r` and `B_z` for a unit value of each node.
    pub(crate) b: [[f64; 2]; 6],
}

impl At {
    /// Flux density for these values at the nodes.
    pub(crate) fn flux(&self, u: &[f64; 6]) -> [f64; 2] {
        let mut b = [0.0; 2];
        for (row, value) in self.b.iter().zip(u) {
            b[0] += row[0] * value;
            b[1] += row[1] * value;
        }
        b
    }
}

impl Space {
    /// Numbers the nodes: points of the mesh, then middles of sides.
    pub(crate) fn new(mesh: Mesh) -> Self {
        let count = mesh.triangles.len();
        let mut nodes = vec![[NONE; 6]; count];
        let mut places = mesh.points.clone();
        let mut curved = vec![false; count];
        for t in 0..count {
            let tri = mesh.triangles[t];
            nodes[t][..3].copy_from_slice(&tri);
            for k in 0..3u8 {
                let slot = 3 + k as usize;
                if nodes[t][slot] != NONE {
                    continue;
                }
                let [a, b] = side(&tri, k).map(|id| mesh.points[id as usize]);
                let mut place = middle(a, b);
                if mesh.on_circle(t, k) {
                    place = onto_circle(place, mesh.centre, mesh.radius);
                    curved[t] = true;
                }
                let id = places.len() as u32;
                places.push(place);
                nodes[t][slot] = id;
                let other = mesh.neighbours[t][k as usize];
                if other != NONE
                    && let Some(l) = mesh.neighbours[other as usize].iter().position(|&n| n == t as u32)
                {
                    nodes[other as usize][3 + l] = id;
                }
            }
        }
        Self {
            mesh,
            nodes,
            places,
            curved,
        }
    }

    /// Number of unknowns.
    pub(crate) fn len(&self) -> usize {
        self.places.len()
    }

    /// Values of an element's nodes.
    pub(crate) fn values(&self, t: usize, u: &[f64]) -> [f64; 6] {
        self.nodes[t].map(|id| u[id as usize])
    }

    /// The element at a barycentric point.
    pub(crate) fn at(&self, t: usize, l: [f64; 3]) -> At {
        let n = shapes(l);
        let slope = slopes(l);
        let [p0, p1, p2] = self.mesh.corners(t);
        let (mut j, mut place) = (
            [[p1[0] - p0[0], p1[1] - p0[1]], [p2[0] - p0[0], p2[1] - p0[1]]],
            [0, 1].map(|i| l[0] * p0[i] + l[1] * p1[i] + l[2] * p2[i]),
        );
        if self.curved[t] {
            j = [[0.0; 2]; 2];
            place = [0.0; 2];
            for ((id, n), s) in self.nodes[t].iter().zip(n).zip(slope) {
                let p = self.places[*id as usize];
                for i in 0..2 {
                    place[i] += n * p[i];
                    j[0][i] += s[0] * p[i];
                    j[1][i] += s[1] * p[i];
                }
            }
        }
        let det = j[0][0] * j[1][1] - j[0][1] * j[1][0];
        let inverse = [[j[1][1] / det, -j[0][1] / det], [-j[1][0] / det, j[0][0] / det]];
        let r = place[0];
        let mut b = [[0.0; 2]; 6];
        for ((b, s), n) in b.iter_mut().zip(slope).zip(n) {
            let dr = inverse[0][0] * s[0] + inverse[0][1] * s[1];
            let dz = inverse[1][0] * s[0] + inverse[1][1] * s[1];
            *b = [-r * dz, 2.0 * n + r * dr];
        }
        At { r, area: 0.5 * det, b }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factorial(n: u32) -> f64 {
        (1..=n).map(f64::from).product()
    }

    /// Integral of a^i b^j c^k over a triangle of area 1: 2 i! j! k! / (i + j + k + 2)!.
    #[test]
    fn rule_is_exact_to_degree_five() {
        for i in 0..=5u32 {
            for j in 0..=5 - i {
                let k = 5 - i - j;
                let got: f64 = RULE
                    .iter()
                    .map(|([a, b, c], w)| w * a.powi(i as i32) * b.powi(j as i32) * c.powi(k as i32))
                    .sum();
                let wanted = 2.0 * factorial(i) * factorial(j) * factorial(k) / factorial(7);
                assert!((got - wanted).abs() <= 1e-16, "{i} {j} {k}: {got} {wanted}");
            }
        }
    }

    #[test]
    fn shapes_are_one_at_their_own_node_and_slopes_are_their_derivatives() {
        for (i, l) in NODES.iter().enumerate() {
            for (j, n) in shapes(*l).into_iter().enumerate() {
                assert!((n - f64::from(u8::from(i == j))).abs() <= 1e-15);
            }
        }
        let (l, h) = ([0.2, 0.5, 0.3], 1e-6);
        for (k, shift) in [[-h, h, 0.0], [-h, 0.0, h]].into_iter().enumerate() {
            let moved = |s: f64| shapes([l[0] + s * shift[0], l[1] + s * shift[1], l[2] + s * shift[2]]);
            for ((up, down), slope) in moved(1.0).into_iter().zip(moved(-1.0)).zip(slopes(l)) {
                assert!(((up - down) / (2.0 * h) - slope[k]).abs() <= 1e-9);
            }
        }
    }
}
