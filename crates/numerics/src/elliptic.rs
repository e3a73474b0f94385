//! Complete elliptic integrals through Bulirsch's general integral.
//!
//! The complementary modulus `kc` is the argument throughout, never `1 - k^2`,
//! so that no digits are lost near `k = 1`.

use std::f64::consts::FRAC_PI_2;

use crate::number::Number;

/// The loop ends when the two means agree to this share; convergence is quadratic,
/// so the result is then good to its square.
const MEANS_AGREE: f64 = 1e-8;

/// The means converge in at most 7 steps for `kc >= 1e-15`; the bound only serves odd input.
const MOST_STEPS: usize = 64;

/// General complete elliptic integral
/// `cel(kc, p, a, b) = ∫₀^{π/2} (a cos²t + b sin²t) / ((cos²t + p sin²t) √(cos²t + kc² sin²t)) dt`.
///
/// All arguments are dimensionless. For `p < 0` the result is the Cauchy principal value.
/// At `kc = 0` or `p = 0` the integral diverges in general and the result is NaN, as it is for non-finite input.
///
/// Accuracy: a few units in the last place of the larger of the two parts that belong to `a` and to `b`.
/// Source: Bulirsch, Numerische Mathematik 13, 305-315, 1969.
#[must_use]
pub fn cel(kc: f64, p: f64, a: f64, b: f64) -> f64 {
    if kc == 0.0 || p == 0.0 || !(kc + p + a + b).is_finite() {
        return f64::NAN;
    }
    if p > 0.0 {
        return cel_lanes([kc], [p], [a], [b])[0];
    }
    // Bulirsch's change of parameter from p < 0 to an equivalent positive one.
    let kc2 = kc * kc;
    let q = (1.0 - kc2) * (b - a * p);
    let g = 1.0 - p;
    let f = kc2 - p;
    let root = (f / g).sqrt();
    let a = (a - b) / g;
    let b = -q / (g * g * root) + a * root;
    iterate([kc], [root], [a], [b])[0]
}

/// [`cel`] on `N` independent sets of arguments in one loop, for `kc != 0` and `p > 0` in every lane.
///
/// Source and accuracy as [`cel`]. The lanes share the loop, so the divisions and square roots of one overlap with those of the others.
#[inline]
pub fn cel_lanes<T: Number, const N: usize>(kc: [T; N], p: [T; N], a: [T; N], b: [T; N]) -> [T; N] {
    let root: [T; N] = std::array::from_fn(|i| p[i].sqrt());
    let b = std::array::from_fn(|i| b[i] / root[i]);
    iterate(kc, root, a, b)
}

/// The descending Landen iteration of Bulirsch 1969 on prepared arguments.
#[inline]
fn iterate<T: Number, const N: usize>(kc: [T; N], mut p: [T; N], mut a: [T; N], mut b: [T; N]) -> [T; N] {
    let mut k: [T; N] = std::array::from_fn(|i| kc[i].abs());
    let mut mean = [T::every(1.0); N];
    let mut product = k;
    for _ in 0..MOST_STEPS {
        let mut apart = false;
        for i in 0..N {
            let f = a[i];
            a[i] = a[i] + b[i] / p[i];
            let g = product[i] / p[i];
            b[i] = (b[i] + f * g) * 2.0;
            p[i] = p[i] + g;
            let before = mean[i];
            mean[i] = mean[i] + k[i];
            apart |= T::any_positive((before - k[i]).abs() - before * MEANS_AGREE);
        }
        if !apart {
            break;
        }
        for i in 0..N {
            k[i] = product[i].sqrt() * 2.0;
            product[i] = k[i] * mean[i];
        }
    }
    std::array::from_fn(|i| finished((a[i], b[i]), mean[i], p[i]))
}

/// `cel(kc, 1, 1, -1)` and `cel(kc, γ², 1, γ)` for two moduli at once, as the two ends of a cylinder need them.
///
/// The means belong to the modulus alone, so both integrals share them; with `p = 1` the parameter stays equal to the mean.
#[inline(always)]
pub fn cel_ends<T: Number>(kc: [T; 2], gamma: T) -> [(T, T); 2] {
    let one = T::every(1.0);
    let (mut k, mut product, mut mean) = (kc, kc, [one; 2]);
    let (mut first, mut second) = ([(one, -one); 2], [(one, T::choose(gamma, one, -one)); 2]);
    let mut p = [gamma.abs(); 2];
    for _ in 0..MOST_STEPS {
        let mut apart = false;
        for i in 0..2 {
            let (a, b) = first[i];
            first[i] = (a + b / mean[i], (b + a * k[i]) * 2.0);
            let (a, b) = second[i];
            let inverse = one / p[i];
            let g = product[i] * inverse;
            second[i] = (a + b * inverse, (b + a * g) * 2.0);
            p[i] = p[i] + g;
            let before = mean[i];
            mean[i] = before + k[i];
            apart |= T::any_positive((before - k[i]).abs() - before * MEANS_AGREE);
        }
        if !apart {
            break;
        }
        for i in 0..2 {
            k[i] = product[i].sqrt() * 2.0;
            product[i] = k[i] * mean[i];
        }
    }
    [
        (finished(first[0], mean[0], mean[0]), finished(second[0], mean[0], p[0])),
        (finished(first[1], mean[1], mean[1]), finished(second[1], mean[1], p[1])),
    ]
}

/// The integral once the means agree.
#[inline(always)]
fn finished<T: Number>((a, b): (T, T), mean: T, p: T) -> T {
    (b + a * mean) * FRAC_PI_2 / (mean * (mean + p))
}

/// Complete elliptic integral of the first kind, `K(m) = ∫₀^{π/2} dt / √(1 - m sin²t)`.
///
/// `m` is the parameter (`m = k²`), `m < 1`; at and above 1 the result is NaN.
#[must_use]
pub fn ellip_k(m: f64) -> f64 {
    cel((1.0 - m).sqrt(), 1.0, 1.0, 1.0)
}

/// Complete elliptic integral of the second kind, `E(m) = ∫₀^{π/2} √(1 - m sin²t) dt`.
///
/// `m` is the parameter (`m = k²`), `m <= 1`; above 1 the result is NaN.
#[must_use]
pub fn ellip_e(m: f64) -> f64 {
    if m == 1.0 {
        return 1.0;
    }
    cel((1.0 - m).sqrt(), 1.0, 1.0, 1.0 - m)
}

/// Complete elliptic integral of the third kind,
/// `Π(n, m) = ∫₀^{π/2} dt / ((1 - n sin²t) √(1 - m sin²t))`.
///
/// `n` is the characteristic in the sign convention of DLMF 19.2.7, `m < 1` the parameter.
/// For `n > 1` the result is the Cauchy principal value; at `n = 1` and for `m >= 1` it is NaN.
#[must_use]
pub fn ellip_pi(n: f64, m: f64) -> f64 {
    cel((1.0 - m).sqrt(), 1.0 - n, 1.0, 1.0)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// A few units in the last place of values of order 1 to 10.
    const ROUNDING: f64 = 2e-14;

    #[test]
    fn diverging_and_odd_arguments_give_nan() {
        for [kc, p, a, b] in [
            [0.0, 1.0, 1.0, 1.0],
            [0.5, 0.0, 1.0, 1.0],
            [f64::NAN, 1.0, 1.0, 1.0],
            [0.5, f64::INFINITY, 1.0, 1.0],
        ] {
            assert!(cel(kc, p, a, b).is_nan());
        }
        assert!(ellip_k(1.0).is_nan() && ellip_k(1.5).is_nan() && ellip_e(1.5).is_nan() && ellip_pi(1.0, 0.5).is_nan());
        assert_eq!(ellip_e(1.0), 1.0);
    }

    #[test]
    fn principal_value_of_the_third_kind() {
        // DLMF 19.7(iii) at the full angle, from memory: Π(n) + Π(m/n) = K for n > 1.
        for (n, m) in [(2.0, 0.5), (1.25, 0.9), (7.0, 0.1)] {
            let sum = ellip_pi(n, m) + ellip_pi(m / n, m);
            assert!((sum - ellip_k(m)).abs() <= ROUNDING * ellip_k(m), "{n} {m}");
        }
    }

    #[test]
    fn first_kind_near_its_divergence() {
        // K -> ln(4 / kc), with error of order kc² ln kc.
        for kc in [1e-8_f64, 1e-12, 1e-100] {
            let expected = (4.0 / kc).ln();
            assert!((cel(kc, 1.0, 1.0, 1.0) - expected).abs() <= 1e-14 * expected, "{kc}");
        }
    }

    proptest! {
        #[test]
        fn legendre_relation(m in 1e-6..0.999_999_f64) {
            let (k, e) = (ellip_k(m), ellip_e(m));
            let (k1, e1) = (ellip_k(1.0 - m), ellip_e(1.0 - m));
            let left = e * k1 + e1 * k - k * k1;
            prop_assert!((left - FRAC_PI_2).abs() <= ROUNDING * k * k1);
        }

        #[test]
        fn linear_in_its_numerator(kc in 1e-3..1.0_f64, p in 1e-3..10.0_f64, a in -2.0..2.0_f64, b in -2.0..2.0_f64) {
            let parts = a * cel(kc, p, 1.0, 0.0) + b * cel(kc, p, 0.0, 1.0);
            let size = a.abs() * cel(kc, p, 1.0, 0.0) + b.abs() * cel(kc, p, 0.0, 1.0);
            prop_assert!((cel(kc, p, a, b) - parts).abs() <= ROUNDING * size);
        }
    }
}
