//! The unbounded air outside the meshed ball, exactly, by its multipoles.
//!
//! Outside a ball of radius R about the middle, `u = u_0 + sum a_n (R/rho)^(n+3) C_n(cos theta)` with Gegenbauer polynomials C_n of index 3/2; u is harmonic in five
//! dimensions, where r is the distance from a line. The field energy of the sum outside, over 2 pi, is
//! `nu_0/2 R^3 sum (n+1) h_n a_n^2` with `h_n = 2 (n+1)(n+2)/(2n+3)`, the integral of (1-x^2) C_n^2: it couples the nodes of the circle.

use materials::MU_0;

use super::space::{LINE, Space};
use crate::mesh::side;

/// Most multipoles.
const MOST: usize = 28;

/// Multipoles of the nodes on the circle.
#[derive(Clone, Debug)]
pub(crate) struct Exterior {
    /// Nodes on the circle.
    pub(crate) nodes: Vec<u32>,
    /// For every multipole the share of each node in its amplitude.
    shares: Vec<Vec<f64>>,
    /// `nu_0 R^3 (n+1) h_n`.
    stiffness: Vec<f64>,
    radius: f64,
    centre: f64,
    /// Applied flux density, T.
    applied: f64,
}

impl Exterior {
    pub(crate) fn new(space: &Space, applied: f64) -> Self {
        let mesh = &space.mesh;
        let mut sides = Vec::new();
        let mut nodes = Vec::new();
        for (t, own) in space.nodes.iter().enumerate() {
            for k in 0..3u8 {
                if mesh.on_circle(t, k) {
                    let [a, b] = side(&mesh.triangles[t], k);
                    sides.push([a, own[3 + k as usize], b]);
                    nodes.extend([a, own[3 + k as usize], b]);
                }
            }
        }
        nodes.sort_unstable();
        nodes.dedup();
        let count = MOST.min(nodes.len() / 2).max(1);
        let mut shares = vec![vec![0.0; nodes.len()]; count];
        for ids in sides {
            let angle = |id: u32| {
                let p = space.places[id as usize];
                p[0].atan2(p[1] - mesh.centre)
            };
            let (from, to) = (angle(ids[0]), angle(ids[2]));
            let slots = ids.map(|id| nodes.binary_search(&id).unwrap_or_default());
            for (t, weight) in LINE {
                // The middle node stands at the middle angle, so the trace is quadratic in the angle.
                let (sin, cos) = (from + t * (to - from)).sin_cos();
                let shape = [(1.0 - t) * (1.0 - 2.0 * t), 4.0 * t * (1.0 - t), t * (2.0 * t - 1.0)];
                let measure = weight * (to - from).abs() * sin * sin * sin;
                for (n, (c, row)) in gegenbauer(cos, count).into_iter().zip(&mut shares).enumerate() {
                    for (slot, shape) in slots.iter().zip(shape) {
                        row[*slot] += measure * c[0] * shape / norm(n);
                    }
                }
            }
        }
        let stiffness = (0..count)
            .map(|n| mesh.radius.powi(3) / MU_0 * (n as f64 + 1.0) * norm(n))
            .collect();
        Self {
            nodes,
            shares,
            stiffness,
            radius: mesh.radius,
            centre: mesh.centre,
            applied,
        }
    }

    /// Stiffness between the i-th and the j-th node of the circle.
    pub(crate) fn coupling(&self, i: usize, j: usize) -> f64 {
        self.shares
            .iter()
            .zip(&self.stiffness)
            .map(|(row, k)| k * row[i] * row[j])
            .sum()
    }

    /// What the applied field does to the i-th node: `3/2 B nu_0 R^3 h_0` times its share in the first multipole.
    pub(crate) fn load(&self, i: usize) -> f64 {
        match (self.shares.first(), self.stiffness.first()) {
            (Some(row), Some(k)) => 1.5 * self.applied * k * row[i],
            _ => 0.0,
        }
    }

    /// Amplitudes of the multipoles, the applied field left out.
    pub(crate) fn amplitudes(&self, u: &[f64]) -> Vec<f64> {
        let mut amplitudes: Vec<f64> = self
            .shares
            .iter()
            .map(|row| row.iter().zip(&self.nodes).map(|(s, &id)| s * u[id as usize]).sum())
            .collect();
        if let Some(first) = amplitudes.first_mut() {
            *first -= 0.5 * self.applied;
        }
        amplitudes
    }

    /// u and the flux density at a point outside the ball.
    pub(crate) fn at(&self, amplitudes: &[f64], [r, z]: [f64; 2]) -> (f64, [f64; 2]) {
        let w = z - self.centre;
        let rho = r.hypot(w);
        let (sin, cos) = (r / rho, w / rho);
        let ratio = self.radius / rho;
        let (mut u, mut d_rho, mut d_x) = (0.0, 0.0, 0.0);
        let mut power = ratio.powi(3);
        for ((n, a), [c, slope]) in amplitudes.iter().enumerate().zip(gegenbauer(cos, amplitudes.len())) {
            u += a * power * c;
            d_rho -= a * power * c * (n as f64 + 3.0) / rho;
            d_x += a * power * slope;
            power *= ratio;
        }
        // dx/dr = -sin cos / rho, dx/dz = sin^2 / rho.
        let du_dr = d_rho * sin - d_x * sin * cos / rho;
        let du_dz = d_rho * cos + d_x * sin * sin / rho;
        (u + 0.5 * self.applied, [-r * du_dz, 2.0 * u + self.applied + r * du_dr])
    }
}

/// Integral of (1-x^2) C_n^2 over [-1, 1].
fn norm(n: usize) -> f64 {
    let n = n as f64;
    2.0 * (n + 1.0) * (n + 2.0) / (2.0 * n + 3.0)
}

/// The first Gegenbauer polynomials of index 3/2 and their slopes, by their three-term recurrence (Abramowitz and Stegun 1964, 22.7.3).
fn gegenbauer(x: f64, count: usize) -> Vec<[f64; 2]> {
    let mut all = Vec::with_capacity(count);
    let (mut last, mut this) = ([0.0; 2], [1.0, 0.0]);
    for n in 0..count {
        all.push(this);
        let n = n as f64;
        let (p, q) = ((2.0 * n + 3.0) / (n + 1.0), (n + 2.0) / (n + 1.0));
        let next = [p * x * this[0] - q * last[0], p * (this[0] + x * this[1]) - q * last[1]];
        (last, this) = (this, next);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// C_1 = 3x, C_2 = (15 x^2 - 3)/2, C_3 = (35 x^3 - 15 x)/2.
    #[test]
    fn polynomials_and_slopes_are_the_known_ones() {
        let x = 0.3;
        let got = gegenbauer(x, 4);
        let wanted = [
            [1.0, 0.0],
            [3.0 * x, 3.0],
            [7.5 * x * x - 1.5, 15.0 * x],
            [17.5 * x * x * x - 7.5 * x, 52.5 * x * x - 7.5],
        ];
        for (got, wanted) in got.iter().flatten().zip(wanted.iter().flatten()) {
            assert!((got - wanted).abs() <= 1e-13);
        }
    }
}
