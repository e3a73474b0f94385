//! Gauss-Legendre nodes, computed once for each size that is used.

use std::f64::consts::PI;
use std::sync::LazyLock;

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

/// A panel of [`graded`] at least this many of its lengths away from what is near is well served by half the nodes.
const HALF_SERVES: f64 = 4.0;

static SIX: LazyLock<[(f64, f64); 6]> = LazyLock::new(unit_rule);
static TWELVE: LazyLock<[(f64, f64); 12]> = LazyLock::new(unit_rule);

/// Halvings after which a panel is taken as it is: its share is then below rounding.
const MOST_HALVINGS: u32 = 48;

/// `∫ f` from `from` to `to`, where `f` is analytic except near places at `distance(a, b)` from the stretch `a..b`, in the same measure as its length.
///
/// Panels no longer than their distance, 12 Gauss nodes each, 6 where it is far: Bernstein's ellipse gives 1e-15 of the largest part.
pub(crate) fn graded<const N: usize>(
    from: f64,
    to: f64,
    distance: &impl Fn(f64, f64) -> f64,
    f: &mut impl FnMut(f64) -> [f64; N],
) -> [f64; N] {
    fn panel<const N: usize>(
        [a, b]: [f64; 2],
        left: u32,
        distance: &impl Fn(f64, f64) -> f64,
        f: &mut impl FnMut(f64) -> [f64; N],
        sum: &mut [f64; N],
    ) {
        let near = distance(a, b);
        if left > 0 && b - a > near {
            let middle = 0.5 * (a + b);
            panel([a, middle], left - 1, distance, f, sum);
            panel([middle, b], left - 1, distance, f, sum);
            return;
        }
        let rule: &[(f64, f64)] = if near > HALF_SERVES * (b - a) { &*SIX } else { &*TWELVE };
        for &(t, weight) in rule {
            let value = f(a + t * (b - a));
            for (total, part) in sum.iter_mut().zip(value) {
                *total += weight * (b - a) * part;
            }
        }
    }
    let mut sum = [0.0; N];
    if to > from {
        panel([from, to], MOST_HALVINGS, distance, f, &mut sum);
    }
    sum
}

/// The rules of 1 to 8 nodes, in this order.
static RULES: LazyLock<[Vec<(f64, f64)>; 8]> = LazyLock::new(|| {
    [
        unit_rule::<1>().to_vec(),
        unit_rule::<2>().to_vec(),
        unit_rule::<3>().to_vec(),
        unit_rule::<4>().to_vec(),
        unit_rule::<5>().to_vec(),
        unit_rule::<6>().to_vec(),
        unit_rule::<7>().to_vec(),
        unit_rule::<8>().to_vec(),
    ]
});

/// The smallest rule, of at most 8 nodes, that integrates over a length of `2 half` a kernel whose nearest singularity is
/// `distance` from its middle, with a relative error of `error`: Bernstein's ellipse gives `(distance / half)^-2N` and better.
pub(crate) fn rule_for(half: f64, distance: f64, error: f64) -> &'static [(f64, f64)] {
    let ratio = distance / half;
    let ellipse = ratio + (ratio * ratio + 1.0).sqrt();
    let nodes = (-0.5 * error.ln() / ellipse.ln()).ceil();
    // A cast from f64 saturates, and NaN becomes zero.
    let index = (nodes as usize).clamp(1, RULES.len()) - 1;
    RULES.get(index).map_or(&[], Vec::as_slice)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn monomials<const N: usize>() {
        for degree in 0..2 * N {
            let got: f64 = unit_rule::<N>().iter().map(|&(x, w)| w * x.powi(degree as i32)).sum();
            assert!(
                (got - 1.0 / (degree as f64 + 1.0)).abs() <= 1e-15,
                "{N} nodes, degree {degree}: {got}"
            );
        }
    }

    #[test]
    fn monomials_up_to_twice_the_nodes_are_exact() {
        monomials::<1>();
        monomials::<2>();
        monomials::<5>();
        monomials::<7>();
        monomials::<16>();
    }

    #[test]
    fn rules_grow_as_the_singularity_nears() {
        assert_eq!(rule_for(1.0, 1e9, 1e-10).len(), 1);
        assert!(rule_for(1.0, 10.0, 1e-10).len() < rule_for(1.0, 3.0, 1e-10).len());
        assert_eq!(rule_for(1.0, 0.1, 1e-10).len(), 8);
        // An integral with a pole at that distance comes out as promised: ∫ dx / (d² + x²) over [-1, 1].
        for d in [3.0_f64, 5.0, 20.0] {
            let got: f64 = rule_for(1.0, d, 1e-10)
                .iter()
                .map(|&(t, w)| 2.0 * w / (d * d + (2.0 * t - 1.0).powi(2)))
                .sum();
            let expected = 2.0 / d * (1.0 / d).atan();
            assert!((got / expected - 1.0).abs() <= 1e-9, "{d}: {got} {expected}");
        }
    }
}
