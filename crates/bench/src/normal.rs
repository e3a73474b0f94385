//! The normal distribution.

use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Coverage of a band.
pub const COVERAGE: f64 = 0.95;
/// Coverage factor of a 95 % interval of a normal distribution (JCGM 100:2008, Table G.1).
pub const FACTOR: f64 = 1.959_963_984_540_054;

/// Distribution function.
pub fn below(z: f64) -> f64 {
    0.5 * libm::erfc(-z * FRAC_1_SQRT_2)
}

/// Density.
pub fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// The integral of [`below`] from minus infinity to `z`.
pub fn integral(z: f64) -> f64 {
    z * below(z) + density(z)
}

/// The inverse of [`below`] for 0 < `p` < 1, by Newton's method; to 1e-10 between 1e-12 and 1 - 1e-12.
pub fn quantile(p: f64) -> f64 {
    let tail = p.min(1.0 - p);
    // Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 26.2.22, off by at most 0.003.
    let t = (-2.0 * tail.ln()).sqrt();
    let mut z = (2.30753 + 0.27061 * t) / (1.0 + t * (0.99229 + 0.04481 * t)) - t;
    for _ in 0..3 {
        z -= (below(z) - tail) / density(z);
    }
    if p < 0.5 { z } else { -z }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Abramowitz and Stegun, Table 26.5: 0.975 at 1.95996 39845, 0.999 at 3.09023 23062.
    #[test]
    fn quantiles_agree_with_the_table() {
        for (p, z) in [
            (0.975, 1.959_963_984_5),
            (0.025, -1.959_963_984_5),
            (0.999, 3.090_232_306_2),
            (0.5, 0.0),
        ] {
            assert!((quantile(p) - z).abs() <= 1e-9, "{p}: {}", quantile(p));
            assert!((below(z) - p).abs() <= 1e-11);
        }
    }

    #[test]
    fn the_integral_has_the_distribution_as_its_slope() {
        for z in [-3.0, -0.4, 0.0, 1.3, 5.0] {
            let slope = (integral(z + 1e-5) - integral(z - 1e-5)) / 2e-5;
            assert!((slope - below(z)).abs() <= 1e-9);
        }
    }
}
