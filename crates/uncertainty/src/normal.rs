//! The normal distribution.

use std::f64::consts::{FRAC_1_SQRT_2, PI};
use std::sync::LazyLock;

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

/// Steps of the table behind [`both`] to a standard uncertainty, and how many standard uncertainties it holds.
const STEPS: f64 = 16.0;
const FAR: f64 = 8.0;

/// [`below`] and [`density`] at even steps.
static TABLE: LazyLock<Vec<[f64; 2]>> = LazyLock::new(|| {
    (0..=(2.0 * FAR * STEPS) as u32)
        .map(|k| f64::from(k) / STEPS - FAR)
        .map(|z| [below(z), density(z)])
        .collect()
});

/// [`below`] and [`density`], to 1e-6, by cubic interpolation.
pub fn both(z: f64) -> [f64; 2] {
    let at = (z + FAR) * STEPS;
    let k = at as usize;
    let Some(&[[p0, d0], [p1, d1]]) = (at >= 0.0).then(|| TABLE.get(k..k + 2)).flatten() else {
        return [if z > 0.0 { 1.0 } else { 0.0 }, 0.0];
    };
    let t = at - k as f64;
    let (z0, h) = (z - t / STEPS, 1.0 / STEPS);
    // Hermite's form: values and slopes at both ends.
    let between = |a: f64, slope_a: f64, b: f64, slope_b: f64| {
        let s = 1.0 - t;
        s * s * ((1.0 + 2.0 * t) * a + t * h * slope_a) + t * t * ((1.0 + 2.0 * s) * b - s * h * slope_b)
    };
    [between(p0, d0, p1, d1), between(d0, -z0 * d0, d1, -(z0 + h) * d1)]
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
    fn the_table_agrees_with_the_functions() {
        for k in -1000..=1000 {
            let z = f64::from(k) * 0.0091;
            let [p, d] = both(z);
            assert!(
                (p - below(z)).abs() <= 1e-7 && (d - density(z)).abs() <= 1e-6,
                "{z}: {p} {d}"
            );
        }
        assert_eq!(both(f64::NAN), [0.0, 0.0]);
    }
}
