//! Gauss-Legendre nodes, computed once for each size that is used.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::number::Number;
use crate::vector::{Vector, add, length, scale, sub};

/// Nodes and weights on [0, 1] that integrate polynomials of degree `2 N - 1` exactly.
///
/// Newton's method on the Legendre polynomial from the usual cosine start; accurate to rounding for `N <= 32`.
pub fn unit_rule<const N: usize>() -> [(f64, f64); N] {
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
pub fn graded<T: Number, const N: usize>(
    from: f64,
    to: f64,
    distance: &impl Fn(f64, f64) -> f64,
    f: &mut impl FnMut(f64) -> [T; N],
) -> [T; N] {
    fn panel<T: Number, const N: usize>(
        [a, b]: [f64; 2],
        left: u32,
        distance: &impl Fn(f64, f64) -> f64,
        f: &mut impl FnMut(f64) -> [T; N],
        sum: &mut [T; N],
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
                *total = *total + part * (weight * (b - a));
            }
        }
    }
    let mut sum = [T::every(0.0); N];
    if to > from {
        panel([from, to], MOST_HALVINGS, distance, f, &mut sum);
    }
    sum
}

/// Places of the Kronrod rule of 15 nodes on [0, 1] right of the middle, outermost first, and its weights; every second is a node of the Gauss rule of 7.
///
/// Kronrod 1965, as tabulated in QUADPACK (Piessens and others, 1983); checked by the monomials they integrate.
const KRONROD: [(f64, f64); 8] = [
    (0.991_455_371_120_812_6, 0.022_935_322_010_529_224),
    (0.949_107_912_342_758_5, 0.063_092_092_629_978_56),
    (0.864_864_423_359_769_1, 0.104_790_010_322_250_19),
    (0.741_531_185_599_394_4, 0.140_653_259_715_525_92),
    (0.586_087_235_467_691_1, 0.169_004_726_639_267_9),
    (0.405_845_151_377_397_2, 0.190_350_578_064_785_4),
    (0.207_784_955_007_898_47, 0.204_432_940_075_298_9),
    (0.0, 0.209_482_141_084_727_82),
];
const GAUSS: [f64; 4] = [
    0.129_484_966_168_869_7,
    0.279_705_391_489_276_64,
    0.381_830_050_505_118_9,
    0.417_959_183_673_469_4,
];

/// Halvings after which [`adaptive`] takes a panel as it is, and panels after which it takes them all.
const MOST_SPLITS: u32 = 40;
const MOST_PARTS: usize = 400;

/// `∫ f` from `from` to `to` by halving, until the rules of 7 and of 15 nodes tell that a panel is good to `aim`; jumps and logarithms anywhere are found.
///
/// # Errors
/// The first of `f`.
pub fn adaptive<E>(from: f64, to: f64, aim: f64, f: &mut impl FnMut(f64) -> Result<Vector, E>) -> Result<Vector, E> {
    let mut sum = [0.0; 3];
    let mut left = vec![(from, to, 0)];
    let mut parts = 0;
    while let Some((a, b, split)) = left.pop() {
        parts += 1;
        let (middle, half) = (0.5 * (a + b), 0.5 * (b - a));
        let (mut fine, mut coarse, mut size) = ([0.0; 3], [0.0; 3], 0.0);
        for (k, &(t, weight)) in KRONROD.iter().enumerate() {
            let mut value = f(middle - t * half)?;
            if t > 0.0 {
                value = add(value, f(middle + t * half)?);
            }
            fine = add(fine, scale(value, half * weight));
            size += half * weight * length(value);
            if k % 2 == 1 {
                coarse = add(
                    coarse,
                    scale(value, half * GAUSS.get(k / 2).copied().unwrap_or_default()),
                );
            }
        }
        // The finer rule is better than the difference tells; the estimate of QUADPACK.
        let apart = length(sub(fine, coarse));
        let error = if size > 0.0 {
            apart.min(size * (200.0 * apart / size).powf(1.5))
        } else {
            0.0
        };
        if error <= aim || split >= MOST_SPLITS || parts >= MOST_PARTS {
            sum = add(sum, fine);
        } else {
            left.push((middle, b, split + 1));
            left.push((a, middle, split + 1));
        }
    }
    Ok(sum)
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
pub fn rule_for(half: f64, distance: f64, error: f64) -> &'static [(f64, f64)] {
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
    fn adaptive_panels_find_jumps_and_logarithms() {
        let monomial = |degree: i32| adaptive::<()>(0.0, 1.0, 1e300, &mut |x| Ok([x.powi(degree), 0.0, 0.0]));
        for degree in 0..=22 {
            let got = monomial(degree).expect("finite")[0];
            assert!((got - 1.0 / f64::from(degree + 1)).abs() <= 2e-15, "{degree}: {got}");
        }
        let mut odd = |x: f64| Ok::<_, ()>([(x - 0.3).abs().ln(), if x < 0.7 { 1.0 } else { 0.0 }, x]);
        let got = adaptive(0.0, 1.0, 1e-10, &mut odd).expect("finite");
        let log = 0.3 * 0.3_f64.ln() + 0.7 * 0.7_f64.ln() - 1.0;
        assert!(length(sub(got, [log, 0.7, 0.5])) <= 1e-9, "{got:?}");
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
