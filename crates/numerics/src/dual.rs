//! Numbers that carry their slopes along three coordinates: forward automatic differentiation.

use std::ops::{Add, Div, Mul, Neg, Sub};

use crate::number::{Number, Scalar};

/// A value and its slopes.
#[derive(Clone, Copy, Debug)]
pub struct Dual {
    /// The value.
    pub value: f64,
    /// Its slopes along the three coordinates.
    pub slopes: [f64; 3],
}

impl Dual {
    /// The coordinate of that index.
    pub fn coordinate(value: f64, index: usize) -> Self {
        let slopes = std::array::from_fn(|i| if i == index { 1.0 } else { 0.0 });
        Self { value, slopes }
    }

    /// A function of this one with that value and slope.
    fn chain(self, value: f64, slope: f64) -> Self {
        Self {
            value,
            slopes: self.slopes.map(|s| s * slope),
        }
    }

    fn with(self, other: Self, value: f64, here: f64, there: f64) -> Self {
        let slopes = std::array::from_fn(|i| here * self.slopes[i] + there * other.slopes[i]);
        Self { value, slopes }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, self.value + other.value, 1.0, 1.0)
    }
}
impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, self.value - other.value, 1.0, -1.0)
    }
}
impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.with(other, self.value * other.value, other.value, self.value)
    }
}
impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let value = self.value / other.value;
        self.with(other, value, 1.0 / other.value, -value / other.value)
    }
}
impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}
impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, other: f64) -> Self {
        self.chain(self.value + other, 1.0)
    }
}
impl Sub<f64> for Dual {
    type Output = Self;
    fn sub(self, other: f64) -> Self {
        self.chain(self.value - other, 1.0)
    }
}
impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, other: f64) -> Self {
        self.chain(self.value * other, other)
    }
}

impl Number for Dual {
    fn every(value: f64) -> Self {
        Self {
            value,
            slopes: [0.0; 3],
        }
    }
    fn first(self) -> f64 {
        self.value
    }
    fn sqrt(self) -> Self {
        let root = self.value.sqrt();
        // The root of nothing is only met where it does not change.
        self.chain(root, if root == 0.0 { 0.0 } else { 0.5 / root })
    }
    fn abs(self) -> Self {
        if self.value < 0.0 { -self } else { self }
    }
    fn ln(self) -> Self {
        self.chain(self.value.ln(), 1.0 / self.value)
    }
    fn atan2(self, x: Self) -> Self {
        let square = self.value * self.value + x.value * x.value;
        self.with(x, self.value.atan2(x.value), x.value / square, -self.value / square)
    }
    fn choose(test: Self, yes: Self, no: Self) -> Self {
        if test.value >= 0.0 { yes } else { no }
    }
    fn any_positive(test: Self) -> bool {
        test.value > 0.0
    }
}

impl Scalar for Dual {
    fn asinh(self) -> Self {
        self.chain(self.value.asinh(), 1.0 / self.value.hypot(1.0))
    }
    fn ln_1p(self) -> Self {
        self.chain(self.value.ln_1p(), 1.0 / (1.0 + self.value))
    }
}
