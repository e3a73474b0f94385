//! Pairs of charged sheets: the end faces of magnets, between which all axial forces act.
//!
//! `flux(s)` is the flux through one face of the field of the other, carrying unit charge density, a distance `s` away.
//! The force between two faces of polarisation `J1`, `J2` is `J1 J2 flux(s) / μ0`, and the attraction of two magnets
//! of heights `h1`, `h2` across a gap `s` is the second difference
//! `flux(s) - flux(s + h1) - flux(s + h2) + flux(s + h1 + h2)` times the same.

use std::f64::consts::{FRAC_PI_2, PI};

use numerics::elliptic::cel_lanes;

/// Terms of the series in inverse even powers of the distance.
const TERMS: usize = 18;

/// The series serves from this many times its radius of convergence; its terms then fall by 9.
const SERIES_FROM: f64 = 3.0;

/// Two coaxial faces: sums of discs, or two equal rectangles one above the other.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SheetPair {
    faces: Faces,
    /// Radius of convergence of the series, m.
    reach: f64,
    /// `flux(s) = Σ series[n] (reach / s)^(2n + 2)`, m².
    series: [f64; TERMS],
}

#[derive(Clone, Copy, Debug)]
enum Faces {
    /// A disc of each radius, m.
    Discs(f64, f64),
    /// Two faces with holes: outer and inner radius of each, m; an inner radius may be zero.
    Rings([f64; 2], [f64; 2]),
    /// Two equal rectangles of these sides, m.
    Rectangles(f64, f64),
}

impl SheetPair {
    /// Two discs of radii `a` and `b`, m.
    pub(crate) fn discs(a: f64, b: f64) -> Self {
        let reach = a + b;
        let mut series = [0.0; TERMS];
        add_disc_series(&mut series, reach, a, b, 1.0);
        Self {
            faces: Faces::Discs(a, b),
            reach,
            series,
        }
    }

    /// Two faces with holes, each `[outer radius, inner radius]`, m.
    pub(crate) fn rings(first: [f64; 2], second: [f64; 2]) -> Self {
        if first[1] == 0.0 && second[1] == 0.0 {
            return Self::discs(first[0], second[0]);
        }
        let reach = first[0] + second[0];
        let mut series = [0.0; TERMS];
        for (weight, a, b) in ring_terms(first, second) {
            add_disc_series(&mut series, reach, a, b, weight);
        }
        Self {
            faces: Faces::Rings(first, second),
            reach,
            series,
        }
    }

    /// Two equal rectangles of sides `length`, `width`, m, one above the other.
    pub(crate) fn rectangles(length: f64, width: f64) -> Self {
        let reach = length.hypot(width);
        Self {
            faces: Faces::Rectangles(length, width),
            reach,
            series: rectangle_series(reach, length, width),
        }
    }

    /// Flux through one face of the field of the other, m² for unit charge density, at distance `s >= 0`.
    pub(crate) fn flux(&self, s: f64) -> f64 {
        if s >= SERIES_FROM * self.reach {
            let x = (self.reach / s) * (self.reach / s);
            return x * self.series.iter().rev().fold(0.0, |sum, c| sum * x + c);
        }
        match self.faces {
            Faces::Discs(a, b) => disc_flux(a, b, s),
            Faces::Rings(first, second) => ring_terms(first, second)
                .map(|(weight, a, b)| weight * disc_flux(a, b, s))
                .sum(),
            Faces::Rectangles(length, width) => rectangle_flux(length, width, s),
        }
    }

    /// `flux(s) - flux(s + h1) - flux(s + h2) + flux(s + h1 + h2)` for `s >= 0`, m²; keeps its digits at any distance.
    pub(crate) fn second_difference(&self, s: f64, h1: f64, h2: f64) -> f64 {
        if s < SERIES_FROM * self.reach {
            let middle = if h1 == h2 {
                2.0 * self.flux(s + h1)
            } else {
                self.flux(s + h1) + self.flux(s + h2)
            };
            return self.flux(s) - middle + self.flux(s + h1 + h2);
        }
        // For one power x = s^-2: with A = (1+h1/s)^-2, B = (1+h2/s)^-2 and C = (1+h1/s+h2/s)^-2, the difference of the
        // n-th powers 1 - Aⁿ - Bⁿ + Cⁿ = (1-Aⁿ)(1-Bⁿ) + (Cⁿ - AⁿBⁿ), built upwards in n from positive parts only.
        let (u, v) = (h1 / s, h2 / s);
        let whole = 1.0 + u + v;
        let (a, b, c) = ((1.0 + u).powi(-2), (1.0 + v).powi(-2), whole.powi(-2));
        let (lost_a, lost_b) = (a * u * (2.0 + u), b * v * (2.0 + v));
        let q = u * v / ((1.0 + u) * (1.0 + v));
        let ab = a * b;
        let excess = c * q * (2.0 - q);
        let x = (self.reach / s) * (self.reach / s);
        let (mut power, mut a_n, mut b_n, mut ab_n) = (x, a, b, ab);
        let (mut sum_a, mut sum_b, mut cross) = (lost_a, lost_b, excess);
        let mut total = 0.0;
        for coefficient in self.series {
            total += coefficient * power * (sum_a * sum_b + cross);
            power *= x;
            sum_a += a_n * lost_a;
            sum_b += b_n * lost_b;
            cross = c * cross + excess * ab_n;
            a_n *= a;
            b_n *= b;
            ab_n *= ab;
        }
        total
    }

    /// `∫₀^h flux(s) ds`, m³, for discs and rings; twice this over the volume is the demagnetising factor of the body between two such faces.
    pub(crate) fn integral(first: [f64; 2], second: [f64; 2], h: f64) -> f64 {
        ring_terms(first, second)
            .map(|(weight, a, b)| weight * disc_integral(a, b, h))
            .sum()
    }
}

/// Flux of B through a coaxial circle of that radius at height `z` above the middle of a ring `[outer, inner]` of height `2 half`
/// magnetised at 1 T, m² T.
pub(crate) fn flux_of_ring(face: [f64; 2], half: f64, radius: f64, z: f64) -> f64 {
    let through = |s: f64| {
        let circle = [radius, 0.0];
        if s >= SERIES_FROM * (face[0] + radius) {
            SheetPair::rings(face, circle).flux(s)
        } else {
            ring_terms(face, circle)
                .map(|(weight, a, b)| weight * disc_flux(a, b, s))
                .sum()
        }
    };
    let height = z.abs();
    if height >= half {
        through(height - half) - through(height + half)
    } else {
        let covered = PI * (radius.min(face[0]).powi(2) - radius.min(face[1]).powi(2));
        covered - through(half - height) - through(half + height)
    }
}

/// A face with a hole is a disc less a disc: weights and radii of the pairs, leaving out discs of no size.
fn ring_terms(first: [f64; 2], second: [f64; 2]) -> impl Iterator<Item = (f64, f64, f64)> {
    // Equal faces have two equal cross terms; ranking asks for them most of all.
    let (here, there) = if first == second { (-2.0, 0.0) } else { (-1.0, -1.0) };
    [
        (1.0, first[0], second[0]),
        (here, first[0], second[1]),
        (there, first[1], second[0]),
        (1.0, first[1], second[1]),
    ]
    .into_iter()
    .filter(|&(weight, a, b)| weight != 0.0 && a > 0.0 && b > 0.0)
}

/// Flux between coaxial discs of radii `a`, `b`: `π a b ∫₀^∞ J1(k a) J1(k b) e^{-k s} dk / k`.
///
/// Equal to the terms of Robertson, Cazzolato and Zander, IEEE Trans. Magn. 47, 2045-2049, 2011 (from memory), with the third-kind integral
/// carried over to its other characteristic (DLMF 19.7(iii), from memory), which removes the difference of two large terms when faces touch.
#[inline]
fn disc_flux(a: f64, b: f64, s: f64) -> f64 {
    let least = a.min(b);
    if s == 0.0 {
        return 0.5 * PI * least * least;
    }
    let (sum, apart) = (a + b, a - b);
    let reach2 = sum * sum + s * s;
    let reach = reach2.sqrt();
    let kc = ((apart * apart + s * s) / reach2).sqrt();
    let blocked = if apart == 0.0 {
        first_less_second(kc, 4.0 * a * b / reach2)
    } else {
        let gamma2 = (apart / sum) * (apart / sum);
        let [first, third] = cel_lanes([kc; 2], [1.0, gamma2], [0.0; 2], [1.0; 2]);
        first - gamma2 * third
    };
    0.5 * PI * least * least - 2.0 * a * b * s / reach * blocked
}

/// `(K - E) / m` for the complementary modulus `kc` and `m = 1 - kc²`, which is not small: by the arithmetic-geometric mean
/// (DLMF 19.8.5, 19.8.6, from memory), quicker than the general integral.
#[inline]
fn first_less_second(kc: f64, m: f64) -> f64 {
    let (mut a, mut b) = (1.0, kc);
    let (mut sum, mut weight) = (0.5 * m, 1.0);
    loop {
        let c = 0.5 * (a - b);
        sum += weight * c * c;
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
        // The next term is the fourth power of this one.
        if c <= 1e-5 * a || c.is_nan() {
            return FRAC_PI_2 * sum / (0.5 * (a + b) * m);
        }
        weight *= 2.0;
    }
}

/// `∫₀^h` of [`disc_flux`] over the distance, in closed form.
///
/// The antiderivative was found as a combination of `E`, `K` and `Π` and confirmed against quadrature to 50 digits; for equal radii it is Nagaoka's.
fn disc_integral(a: f64, b: f64, h: f64) -> f64 {
    let least = a.min(b);
    let (sum, apart2) = (a + b, (a - b) * (a - b));
    let squares = a * a + b * b;
    let reach2 = sum * sum + h * h;
    let reach = reach2.sqrt();
    let kc2 = (apart2 + h * h) / reach2;
    let kc = kc2.sqrt();
    let m = 4.0 * a * b / reach2;
    let at_zero = disc_blocked_at_contact(a, b);
    let [k, e, k_less_e] = cel_lanes([kc; 3], [1.0; 3], [1.0, 1.0, 0.0], [1.0, kc2, m]);
    let third = if apart2 == 0.0 {
        0.0
    } else {
        // D² (Π - K), with n = 1 - γ².
        let gamma2 = apart2 / (sum * sum);
        apart2 * (1.0 - gamma2) * cel_lanes([kc], [gamma2], [0.0], [1.0])[0]
    };
    let at_h = reach / 3.0 * (2.0 * squares * e - 2.0 * apart2 * k + h * h * k_less_e) - h * h / reach * third;
    0.5 * (PI * least * least * h - (at_h - at_zero))
}

/// The antiderivative inside [`disc_integral`] at `h = 0`.
fn disc_blocked_at_contact(a: f64, b: f64) -> f64 {
    let (sum, apart) = (a + b, (a - b).abs());
    if apart == 0.0 {
        return 2.0 / 3.0 * sum * (a * a + b * b);
    }
    let kc = apart / sum;
    let [k, e] = cel_lanes([kc; 2], [1.0; 2], [1.0; 2], [1.0, kc * kc]);
    2.0 / 3.0 * sum * ((a * a + b * b) * e - apart * apart * k)
}

/// Add the series of a pair of discs, scaled to `reach`, times `weight`.
///
/// The product of Bessel functions integrates to Gegenbauer polynomials `C_n^{3/2}`, homogeneous in the squared radii.
fn add_disc_series(series: &mut [f64; TERMS], reach: f64, a: f64, b: f64, weight: f64) {
    let (alpha, beta) = ((0.5 * a / reach).powi(2), (0.5 * b / reach).powi(2));
    let (x, apart2) = (alpha + beta, (alpha - beta) * (alpha - beta));
    let (mut below, mut here) = (0.0, 1.0);
    let mut factor = weight * PI * a * b * (a * b) / (4.0 * reach * reach);
    for (n, term) in series.iter_mut().enumerate() {
        let n = n as f64;
        *term += factor * here;
        factor *= -(2.0 * n + 3.0) * (2.0 * n + 2.0) / ((n + 2.0) * (n + 3.0));
        (below, here) = (
            here,
            ((2.0 * n + 3.0) * x * here - (n + 2.0) * apart2 * below) / (n + 1.0),
        );
    }
}

/// Flux between two equal rectangles of sides `l`, `w`, one `s` above the other.
///
/// The sixteen corner terms of Akoun and Yonnet, IEEE Trans. Magn. 20, 1962-1964, 1984, fall together into four,
/// and their logarithms into two.
#[inline]
fn rectangle_flux(l: f64, w: f64, s: f64) -> f64 {
    if s == 0.0 {
        return 0.5 * l * w;
    }
    let (l2, w2, s2) = (l * l, w * w, s * s);
    let (from_l, from_w, corner) = ((l2 + s2).sqrt(), (w2 + s2).sqrt(), (l2 + w2 + s2).sqrt());
    let along_l = l * s * (s * (l + corner) / (from_w * (l + from_l))).ln();
    let along_w = w * s * (s * (w + corner) / (from_l * (w + from_w))).ln();
    let turned = l * w * (l * w / (corner * s)).atan();
    // s (from_l + from_w - corner - s), with the difference written as a product.
    let rims = s * 2.0 * l2 * w2 / ((from_l + from_w + corner + s) * (from_l * from_w + corner * s));
    (along_l + along_w + turned + rims) / PI
}

/// The series of two equal rectangles: moments of the distance between a point of one and a point of the other.
fn rectangle_series(reach: f64, l: f64, w: f64) -> [f64; TERMS] {
    // Mean of the 2i-th power of the difference of two uniform coordinates, over i!.
    let moments = |side: f64| {
        let square = (side / reach).powi(2);
        let mut power = 1.0;
        let moments: [f64; TERMS] = std::array::from_fn(|i| {
            let i = i as f64;
            power /= i + 1.0;
            let moment = power / (2.0 * i + 1.0);
            power *= square;
            moment
        });
        moments
    };
    let (along_l, along_w) = (moments(l), moments(w));
    // (1 + t)^(-3/2) = Σ (-1)^k (3/2)_k t^k / k!, where k! cancels against the binomial coefficients of the moments.
    let area = l * w;
    let mut factor = area * area / (4.0 * PI * reach * reach);
    std::array::from_fn(|k| {
        let mean: f64 = along_l[..=k]
            .iter()
            .zip(along_w[..=k].iter().rev())
            .map(|(l, w)| l * w)
            .sum();
        let coefficient = factor * mean;
        factor *= -(1.5 + k as f64);
        coefficient
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn pairs() -> impl Strategy<Value = SheetPair> {
        let size = || 0.5..5.0_f64;
        prop_oneof![
            size().prop_map(|a| SheetPair::discs(a, a)),
            (size(), size()).prop_map(|(a, b)| SheetPair::discs(a, b)),
            (size(), size(), 0.1..0.9, 0.1..0.9)
                .prop_map(|(a, b, p, q): (f64, f64, f64, f64)| SheetPair::rings([a, p * a], [b, q * b])),
            (size(), 0.1..0.9).prop_map(|(a, p): (f64, f64)| SheetPair::rings([a, p * a], [a, p * a])),
            (size(), size()).prop_map(|(l, w)| SheetPair::rectangles(l, w)),
        ]
    }

    /// Area of overlap of two faces that touch; the flux is half of it.
    fn overlap(pair: &SheetPair) -> f64 {
        match pair.faces {
            Faces::Discs(a, b) => PI * a.min(b).powi(2),
            Faces::Rings(p, q) => PI * (p[0].min(q[0]).powi(2) - p[1].max(q[1]).powi(2)).max(0.0),
            Faces::Rectangles(l, w) => l * w,
        }
    }

    proptest! {
        #[test]
        fn half_the_flux_enters_a_face_that_touches(pair in pairs()) {
            prop_assert!((pair.flux(0.0) - 0.5 * overlap(&pair)).abs() <= 1e-12 * pair.reach.powi(2));
            prop_assert!((pair.flux(1e-9) - pair.flux(0.0)).abs() <= 1e-7 * pair.reach);
        }

        #[test]
        fn closed_form_and_series_meet(pair in pairs()) {
            let s = SERIES_FROM * pair.reach;
            let (near, far) = (pair.flux(s * (1.0 - 1e-13)), pair.flux(s));
            prop_assert!((near - far).abs() <= 1e-14 * pair.reach.powi(2), "{near} {far}");
        }

        /// The series of the second difference against differences of the closed form, at distances where both are good.
        #[test]
        fn second_differences_agree(pair in pairs(), h1 in 0.5..2.0_f64, h2 in 0.5..2.0_f64) {
            let s = SERIES_FROM * pair.reach;
            let (h1, h2) = (h1 * pair.reach, h2 * pair.reach);
            let plain = pair.flux(s) - pair.flux(s + h1) - pair.flux(s + h2) + pair.flux(s + h1 + h2);
            prop_assert!((pair.second_difference(s, h1, h2) - plain).abs() <= 1e-16 * pair.reach.powi(2));
        }

        /// Thin and far: the second difference tends to the curvature times the heights, which plain differences would lose.
        #[test]
        fn thin_and_far_keeps_its_digits(pair in pairs(), distance in 1.0..4.0_f64) {
            let s = 10_f64.powf(distance) * pair.reach;
            let h = 1e-7 * s;
            let curvature = pair.second_difference(s, h, h) / (h * h);
            let x = (pair.reach / s).powi(2);
            let expected: f64 = pair
                .series
                .iter()
                .enumerate()
                .map(|(n, c)| c * x.powi(n as i32 + 1) * (2.0 * n as f64 + 2.0) * (2.0 * n as f64 + 3.0) / (s * s))
                .sum();
            prop_assert!((curvature / expected - 1.0).abs() <= 1e-5, "{curvature} {expected}");
        }

        /// `∫ flux` has the flux as its slope.
        #[test]
        fn integral_has_the_flux_as_its_slope(a in 0.5..5.0_f64, b in 0.5..5.0_f64, h in 0.2..10.0_f64) {
            let step = 1e-2 * h;
            let at = |k: f64| disc_integral(a, b, h + k * step);
            let slope = (at(-2.0) - 8.0 * at(-1.0) + 8.0 * at(1.0) - at(2.0)) / (12.0 * step);
            prop_assert!((slope - disc_flux(a, b, h)).abs() <= 1e-6 * (a * b), "{slope} {}", disc_flux(a, b, h));
        }
    }
}
