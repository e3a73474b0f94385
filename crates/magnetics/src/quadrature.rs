//! Gauss-Legendre nodes, computed once for each size that is used.

use std::f64::consts::PI;

/// Nodes and weights on [0, 1] that integrate polynomials of degree `2 N - 1` exactly.
///
/// Newton's method on the Legendre polynomial from the usual cosine start; accurate to rounding for `N <= 32`.
pub(crate) fn unit_rule<const N: usize>() -> [(f64, f64); N] {
    let order = N as f64;
    std::array::from_fn(|i| {
        let mut x = (PI * (i as f64 + 0.75) / (order + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..8 {
            let (mut below, mut here) = (1.0, x);
            for n in 1..N {
                let n = n as f64;
                (below, here) = (here, ((2.0 * n + 1.0) * x * here - n * below) / (n + 1.0));
            }
            slope = order * (x * here - below) / (x * x - 1.0);
            x -= here / slope;
        }
        (0.5 * (1.0 - x), 1.0 / ((1.0 - x * x) * slope * slope))
    })
}
