//! Forces along the axis, by virtual displacement.
//!
//! Let g be 1 on a part, 0 on all others and far away, and between in the air. Moving every point by g along z changes the energy of the field by the integral of
//! Maxwell's stress over the gradient of g (J. L. Coulomb, IEEE Transactions on Magnetics 19 (1983) 2514): `F = - integral of (T_rz dg/dr + T_zz dg/dz)`.
//! Any g gives the force of the exact field; a wide one evens out the errors of a computed field, one that falls off within the first layer of elements does not, and
//! the difference tells how good the field is.
//!
//! Where the part touches another, g jumps: the displacement opens a gap of no width, in which `B_n` and `H_t` are continuous, and its stress pulls with
//! `B_n^2/(2 mu_0) - mu_0 H_t^2/2`, which is the limit for a vanishing gap.

use std::f64::consts::TAU;

use materials::MU_0;

use super::response::response;
use super::space::{LINE, RULE, Space};
use super::system::material;
use crate::drawing::{Drawing, Material};
use crate::mesh::outline::Outline;
use crate::mesh::plane::{Point, distance, minus, to_segment};
use crate::mesh::{NONE, side};

/// How far the virtual displacement reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// Through the air to the other parts.
    Wide,
    /// Through the elements that touch the part.
    Layer,
}

/// A virtual displacement of a part, with the walls at which it jumps.
#[derive(Clone, Debug)]
pub(crate) struct Displacement {
    /// Displacement of every point of the mesh.
    shift: Vec<f64>,
    /// Air elements in which it varies, with its gradient.
    varying: Vec<(u32, [f64; 2])>,
    /// Sides of elements of the part where another part touches.
    contacts: Vec<(u32, u8)>,
    /// Sides of air elements that lie on other parts and move all the same, beside the rim of a contact.
    rims: Vec<(u32, u8)>,
}

fn is_air(drawing: &Drawing, region: u16) -> bool {
    matches!(material(drawing, region), Material::Air)
}

impl Displacement {
    pub(crate) fn new(drawing: &Drawing, outline: &Outline, space: &Space, part: usize, reach: Reach) -> Self {
        let mesh = &space.mesh;
        let own = part as u16;
        const FREE: u8 = 0;
        const FIXED: u8 = 1;
        const OWN: u8 = 2;
        let mut kind = vec![FREE; mesh.points.len()];
        for (t, tri) in mesh.triangles.iter().enumerate() {
            let region = mesh.region[t];
            let this = if region == own {
                OWN
            } else if space.curved[t] || !is_air(drawing, region) {
                FIXED
            } else {
                continue;
            };
            for &id in tri {
                kind[id as usize] = kind[id as usize].max(this);
            }
        }
        let solid = |index: usize| {
            drawing
                .parts
                .get(index)
                .is_some_and(|p| !matches!(p.material, Material::Air))
        };
        let to_outline = |p: Point, profile: &[Point]| {
            let next = profile.iter().cycle().skip(1);
            profile
                .iter()
                .zip(next)
                .map(|(&a, &b)| to_segment(p, a, b))
                .fold(f64::INFINITY, f64::min)
        };
        let shift: Vec<f64> = kind
            .iter()
            .zip(&mesh.points)
            .map(|(&kind, &p)| match (kind, reach) {
                (OWN, _) => 1.0,
                (FREE, Reach::Wide) => {
                    let away = outline.profiles.get(part).map_or(0.0, |profile| to_outline(p, profile));
                    let others = outline
                        .profiles
                        .iter()
                        .enumerate()
                        .filter(|&(index, _)| index != part && solid(index))
                        .map(|(_, profile)| to_outline(p, profile))
                        .fold(mesh.radius - distance(p, [0.0, mesh.centre]), f64::min);
                    others.max(0.0) / (others.max(0.0) + away)
                }
                _ => 0.0,
            })
            .collect();
        let (mut varying, mut contacts, mut rims) = (Vec::new(), Vec::new(), Vec::new());
        for (t, tri) in mesh.triangles.iter().enumerate() {
            let region = mesh.region[t];
            let air = is_air(drawing, region);
            let g = tri.map(|id| shift[id as usize]);
            if air && (g[0] != g[1] || g[1] != g[2]) {
                varying.push((t as u32, gradient(&mesh.corners(t), g)));
            }
            for k in 0..3u8 {
                let other = mesh.neighbours[t][k as usize];
                if other == NONE {
                    continue;
                }
                let beyond = mesh.region[other as usize];
                if beyond == region {
                    continue;
                }
                if region == own && !is_air(drawing, beyond) {
                    contacts.push((t as u32, k));
                }
                let [a, b] = side(tri, k);
                let moves = shift[a as usize] != 0.0 || shift[b as usize] != 0.0;
                if air && beyond != own && moves && !is_air(drawing, beyond) {
                    rims.push((t as u32, k));
                }
            }
        }
        Self {
            shift,
            varying,
            contacts,
            rims,
        }
    }

    /// Force on the part along z, N.
    pub(crate) fn force(&self, drawing: &Drawing, space: &Space, u: &[f64]) -> f64 {
        let mut sum = 0.0;
        for &(t, [gr, gz]) in &self.varying {
            let t = t as usize;
            let values = space.values(t, u);
            for (l, weight) in RULE {
                let at = space.at(t, l);
                let b = at.flux(&values);
                sum -= weight * at.area * at.r / MU_0 * (b[0] * b[1] * gr + 0.5 * (b[1] * b[1] - b[0] * b[0]) * gz);
            }
        }
        for &(t, k) in &self.rims {
            along(space, t as usize, k, |at, side, _| {
                let [a, b] = side.ends;
                let g = (1.0 - side.t) * self.shift[a as usize] + side.t * self.shift[b as usize];
                let b = at.flux(&space.values(t as usize, u));
                // The normal of the side leaves the air, so it enters the other part.
                let [nr, nz] = side.normal;
                sum += side.measure * at.r * g / MU_0 * (b[0] * b[1] * nr + 0.5 * (b[1] * b[1] - b[0] * b[0]) * nz);
            });
        }
        for &(t, k) in &self.contacts {
            along(space, t as usize, k, |at, side, other| {
                let [nr, nz] = side.normal;
                let b = at.flux(&space.values(t as usize, u));
                let normal = b[0] * nr + b[1] * nz;
                let own = tangential(drawing, space, t as usize, b, side.normal);
                let beyond = other.map_or(own, |(t, at)| {
                    tangential(drawing, space, t, at.flux(&space.values(t, u)), side.normal)
                });
                // The side that is easier to magnetise knows H better.
                let h = (own.0 * own.1 + beyond.0 * beyond.1) / (own.1 + beyond.1);
                sum += side.measure * at.r * (0.5 * (normal * normal / MU_0 - MU_0 * h * h) * nz + normal * h * nr);
            });
        }
        TAU * sum
    }

    /// Derivative of the force by the values of all nodes; at contacts that of `B_n` only.
    pub(crate) fn derivative(&self, space: &Space, u: &[f64]) -> Vec<f64> {
        let mut all = vec![0.0; space.len()];
        for &(t, [gr, gz]) in &self.varying {
            let t = t as usize;
            let values = space.values(t, u);
            for (l, weight) in RULE {
                let at = space.at(t, l);
                let b = at.flux(&values);
                let measure = -TAU * weight * at.area * at.r / MU_0;
                for (id, d) in space.nodes[t].iter().zip(at.b) {
                    all[*id as usize] +=
                        measure * ((d[0] * b[1] + b[0] * d[1]) * gr + (b[1] * d[1] - b[0] * d[0]) * gz);
                }
            }
        }
        for &(t, k) in &self.contacts {
            along(space, t as usize, k, |at, side, _| {
                let [nr, nz] = side.normal;
                let b = at.flux(&space.values(t as usize, u));
                let normal = b[0] * nr + b[1] * nz;
                for (id, d) in space.nodes[t as usize].iter().zip(at.b) {
                    all[*id as usize] += TAU * side.measure * at.r * normal / MU_0 * (d[0] * nr + d[1] * nz) * nz;
                }
            });
        }
        all
    }
}

/// Tangential field strength along (-n_z, n_r) and the permeability that weighs it.
fn tangential(drawing: &Drawing, space: &Space, t: usize, b: [f64; 2], [nr, nz]: [f64; 2]) -> (f64, f64) {
    let answer = response(material(drawing, space.mesh.region[t]), b);
    let [rr, _, zz] = answer.slope;
    (answer.h[1] * nr - answer.h[0] * nz, 2.0 / (rr + zz))
}

/// A point of a side.
struct OnSide {
    ends: [u32; 2],
    /// Share of the way from the first end to the second.
    t: f64,
    /// Length that the point stands for, m.
    measure: f64,
    /// Unit normal out of the element.
    normal: [f64; 2],
}

/// Visits the points of a rule on a straight side, with the element at the point and the element beyond.
fn along(
    space: &Space,
    t: usize,
    k: u8,
    mut visit: impl FnMut(super::space::At, OnSide, Option<(usize, super::space::At)>),
) {
    let mesh = &space.mesh;
    let ends = side(&mesh.triangles[t], k);
    let [a, b] = ends.map(|id| mesh.points[id as usize]);
    let length = distance(a, b);
    let d = minus(b, a);
    let other = mesh.neighbours[t][k as usize];
    for (s, weight) in LINE {
        let at = space.at(t, on_side(k, s));
        let beyond = (other != NONE)
            .then(|| mesh.neighbours[other as usize].iter().position(|&n| n == t as u32))
            .flatten()
            .map(|l| (other as usize, space.at(other as usize, on_side(l as u8, 1.0 - s))));
        let point = OnSide {
            ends,
            t: s,
            measure: weight * length,
            normal: [d[1] / length, -d[0] / length],
        };
        visit(at, point, beyond);
    }
}

/// Barycentric coordinates of a point on side `k`.
fn on_side(k: u8, s: f64) -> [f64; 3] {
    match k {
        0 => [0.0, 1.0 - s, s],
        1 => [s, 0.0, 1.0 - s],
        _ => [1.0 - s, s, 0.0],
    }
}

/// Gradient of a function linear between the corners.
fn gradient(corners: &[Point; 3], g: [f64; 3]) -> [f64; 2] {
    let (d, e) = (minus(corners[1], corners[0]), minus(corners[2], corners[0]));
    let det = d[0] * e[1] - d[1] * e[0];
    let (p, q) = (g[1] - g[0], g[2] - g[0]);
    [(p * e[1] - q * d[1]) / det, (q * d[0] - p * e[0]) / det]
}
