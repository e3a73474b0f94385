//! What the closed forms compute with: a plain number, or several side by side for the vector units of a processor.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, LN_2, PI, SQRT_2};
use std::ops::{Add, Div, Mul, Neg, Sub};
use std::sync::LazyLock;

use pulp::Arch;

/// What the processor can do, found out once.
pub static ARCH: LazyLock<Arch> = LazyLock::new(Arch::new);

/// A number, or several that take the same steps.
pub trait Number:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// The same number everywhere.
    fn every(value: f64) -> Self;
    /// The value of the first, to choose between methods that serve in different places.
    fn first(self) -> f64;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Magnitude.
    fn abs(self) -> Self;
    /// Natural logarithm of a positive, normal number.
    fn ln(self) -> Self;
    /// Angle of the point (`x`, `self`), from -π to π.
    fn atan2(self, x: Self) -> Self;
    /// `yes` where `test` is 0 or more, `no` elsewhere.
    fn choose(test: Self, yes: Self, no: Self) -> Self;
    /// Whether `test` is above 0 anywhere.
    fn any_positive(test: Self) -> bool;
}

/// A number that stands alone, with what the vector units have no use for.
pub trait Scalar: Number {
    /// Inverse hyperbolic sine.
    fn asinh(self) -> Self;
    /// Logarithm of 1 and this.
    fn ln_1p(self) -> Self;
}

impl Scalar for f64 {
    fn asinh(self) -> Self {
        self.asinh()
    }
    fn ln_1p(self) -> Self {
        self.ln_1p()
    }
}

impl Number for f64 {
    #[inline(always)]
    fn every(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn first(self) -> f64 {
        self
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        self.sqrt()
    }
    #[inline(always)]
    fn abs(self) -> Self {
        self.abs()
    }
    #[inline(always)]
    fn ln(self) -> Self {
        self.ln()
    }
    #[inline(always)]
    fn atan2(self, x: Self) -> Self {
        self.atan2(x)
    }
    #[inline(always)]
    fn choose(test: Self, yes: Self, no: Self) -> Self {
        if test >= 0.0 { yes } else { no }
    }
    #[inline(always)]
    fn any_positive(test: Self) -> bool {
        test > 0.0
    }
}

/// `f` of both, always in place: [`array::map`] is not, where the processor's vector units are chosen as the program runs.
#[inline(always)]
pub fn two<A: Copy, B>([first, second]: [A; 2], f: impl Fn(A) -> B) -> [B; 2] {
    [f(first), f(second)]
}

/// Numbers side by side.
pub const WIDTH: usize = 8;

/// [`WIDTH`] numbers side by side.
#[derive(Clone, Copy, Debug)]
pub struct Lanes(
    /// The numbers.
    pub [f64; WIDTH],
);

/// A plain loop, which compilers turn into vector instructions where they leave [`std::array::from_fn`] as it is.
#[inline(always)]
fn each(lane: impl Fn(usize) -> f64) -> [f64; WIDTH] {
    let mut out = [0.0; WIDTH];
    for (i, value) in out.iter_mut().enumerate() {
        *value = lane(i);
    }
    out
}

macro_rules! by_lane {
    ($op:ident, $method:ident, $sign:tt) => {
        impl $op for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                Self(each(|i| self.0[i] $sign other.0[i]))
            }
        }
        impl $op<f64> for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                Self(each(|i| self.0[i] $sign other))
            }
        }
    };
}
by_lane!(Add, add, +);
by_lane!(Sub, sub, -);
by_lane!(Mul, mul, *);
by_lane!(Div, div, /);

impl Neg for Lanes {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self(each(|i| -self.0[i]))
    }
}

/// `(atan(t) / t - 1) / t²` as a polynomial in `t²` up to `tan(π / 8)`, from the highest power; Chebyshev fit, error 3e-17.
const ATAN: [f64; 11] = [
    -0.019175404711104935,
    0.03923044778479309,
    -0.050854078345894844,
    0.05858140904866328,
    -0.06664510525508936,
    0.07692183125376892,
    -0.0909090457530649,
    0.11111111015187018,
    -0.14285714284665682,
    0.19999999999995516,
    -0.3333333333333333,
];

/// `(2 atanh(s) / s - 2) / s²` as a polynomial in `s²` up to `s = (√2 - 1) / (√2 + 1)`, from the highest power; Chebyshev fit, error 3e-16.
const LN: [f64; 7] = [
    0.14617807153417325,
    0.15331611722055008,
    0.1818289243253687,
    0.22222211089379496,
    0.28571428626253836,
    0.3999999999989889,
    0.666666666666667,
];

/// Above this share the angle is taken from an eighth of a turn.
const EIGHTH: f64 = SQRT_2 - 1.0;

#[inline(always)]
fn polynomial<const N: usize>(coefficients: [f64; N], x: Lanes) -> Lanes {
    let mut sum = Lanes([0.0; WIDTH]);
    for c in coefficients {
        sum = sum * x + c;
    }
    sum
}

impl Number for Lanes {
    #[inline(always)]
    fn every(value: f64) -> Self {
        Self([value; WIDTH])
    }
    #[inline(always)]
    fn first(self) -> f64 {
        self.0[0]
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        Self(each(|i| self.0[i].sqrt()))
    }
    #[inline(always)]
    fn abs(self) -> Self {
        Self(each(|i| self.0[i].abs()))
    }
    #[inline(always)]
    fn ln(self) -> Self {
        // Mantissa from 1 to 2 and power of two, the latter through the digits of 2^52 plus itself.
        const MANTISSA: u64 = (1 << 52) - 1;
        const MAGIC: f64 = 4_503_599_627_370_496.0;
        let mantissa = Self(each(|i| {
            f64::from_bits((self.0[i].to_bits() & MANTISSA) | 1.0_f64.to_bits())
        }));
        let power = Self(each(|i| {
            f64::from_bits((self.0[i].to_bits() >> 52) | MAGIC.to_bits()) - (MAGIC + 1023.0)
        }));
        let large = mantissa - SQRT_2;
        let m = Self::choose(large, mantissa * 0.5, mantissa);
        let power = Self::choose(large, power + 1.0, power);
        let s = (m - 1.0) / (m + 1.0);
        let s2 = s * s;
        power * LN_2 + s * (polynomial(LN, s2) * s2 + 2.0)
    }
    #[inline(always)]
    fn atan2(self, x: Self) -> Self {
        let (y_size, x_size) = (self.abs(), x.abs());
        let flat = x_size - y_size;
        let low = Self::choose(flat, y_size, x_size);
        // Both zero gives the angle zero.
        let high = Self::choose(flat, x_size, y_size) + f64::MIN_POSITIVE;
        let beyond = low - high * EIGHTH;
        let over = Self::choose(beyond, low - high, low);
        let under = Self::choose(beyond, low + high, high);
        let t = over / under;
        let t2 = t * t;
        let small = t + t * t2 * polynomial(ATAN, t2);
        let first = Self::choose(beyond, small + FRAC_PI_4, small);
        let second = Self::choose(flat, first, -first + FRAC_PI_2);
        let half = Self::choose(x, second, -second + PI);
        Self(each(|i| half.0[i].copysign(self.0[i])))
    }
    #[inline(always)]
    fn choose(test: Self, yes: Self, no: Self) -> Self {
        Self(each(|i| if test.0[i] >= 0.0 { yes.0[i] } else { no.0[i] }))
    }
    #[inline(always)]
    fn any_positive(test: Self) -> bool {
        let mut any = false;
        for value in test.0 {
            any |= value > 0.0;
        }
        any
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn logarithms_and_angles_are_those_of_the_library(y in -1e3..1e3_f64, x in -1e3..1e3_f64, power in -40.0..40.0_f64) {
            let value = 10_f64.powf(power);
            let ln = Lanes::every(value).ln().0[0];
            prop_assert!((ln - value.ln()).abs() <= 4e-16 * value.ln().abs().max(1.0), "{value} {ln}");
            let angle = Lanes::every(y).atan2(Lanes::every(x)).0[0];
            prop_assert!((angle - y.atan2(x)).abs() <= 9e-16, "{y} {x} {angle}");
        }
    }

    #[test]
    fn angles_on_the_axes() {
        for (y, x) in [
            (0.0, 1.0),
            (0.0, -1.0),
            (1.0, 0.0),
            (-1.0, 0.0),
            (0.0, 0.0),
            (1.0, 1.0),
            (-1e-300, 1.0),
        ] {
            let angle = Lanes::every(y).atan2(Lanes::every(x)).0[0];
            assert!((angle - f64::atan2(y, x)).abs() <= 4e-16, "{y} {x} {angle}");
        }
    }
}
