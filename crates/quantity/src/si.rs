//! The quantities themselves: newtypes over `f64` in SI.

use std::ops::{Add, Mul, Neg, Sub};

use crate::kind::{ICE_POINT, Kind, STANDARD_GRAVITY};
use crate::show::{self, Shown};
use crate::units::Units;

/// A number of one [`Kind`], in SI.
pub trait Quantity: Copy {
    /// What it is a quantity of.
    const KIND: Kind;

    /// The quantity of the given SI value: metres, teslas, amperes per metre, newtons, kilograms,
    /// kelvins. The value is taken as it is.
    fn from_si(si: f64) -> Self;

    /// The SI value.
    fn si(self) -> f64;

    /// The quantity as text in the reader's units.
    ///
    /// Lengths are printed as sizes: trimmed decimals, to 0.0001 mm or 0.001 in and never fewer
    /// than three significant digits, and in inches as a fraction when within 0.0001 in of one in
    /// 64ths. Temperatures are printed to 0.1 degree. All else is printed to three significant
    /// digits. Zeros at the end are trimmed.
    fn show(self, units: &Units) -> Shown {
        show::usual(Self::KIND, self.si(), units)
    }

    /// The quantity as text with so many significant digits (1 to 15), zeros at the end trimmed:
    /// for a length or temperature that was computed rather than given.
    fn show_to(self, significant: usize, units: &Units) -> Shown {
        show::significant(Self::KIND, self.si(), significant, units)
    }

    /// The quantity as whoever gave it would say it: in the reader's unit where up to four digits say it exactly, in the
    /// customary unit where it is a round number otherwise (1 lb, 1/8 in), and with as many digits as it takes where it
    /// is round in none.
    fn show_given(self, units: &Units) -> Shown {
        show::given(Self::KIND, self.si(), units)
    }

    /// As [`Self::show_to`], rounded up: for what must not be shown smaller than it is.
    fn show_up_to(self, significant: usize, units: &Units) -> Shown {
        show::significant_up(Self::KIND, self.si(), significant, units)
    }

    /// The interval from `low` to `high` as text: `30 to 39 N`.
    ///
    /// Both ends are rounded outwards, to a step between 0.5 and 5 % of the width, so that the
    /// printed interval covers the true one to a millionth of a step. The ends may come in either
    /// order. Equal ends (to 1e-9) are printed as one value; a width that is not from 1e-9 to 1e15
    /// of the printed unit gets three significant digits.
    fn show_range(low: Self, high: Self, units: &Units) -> Shown {
        show::range(Self::KIND, low.si(), high.si(), units)
    }
}

/// Declares a newtype over `f64` and its [`Quantity`].
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub f64);

        impl $name {
            /// The SI value.
            pub const fn si(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $name {
            const KIND: Kind = Kind::$name;

            fn from_si(si: f64) -> Self {
                Self(si)
            }

            fn si(self) -> f64 {
                self.0
            }
        }
    };
}

/// Gives a newtype sums, differences and multiples of its own kind.
macro_rules! linear {
    ($($name:ident)*) => {$(
        impl Default for $name {
            /// Nothing of it.
            fn default() -> Self {
                Self(0.0)
            }
        }

        impl Add for $name {
            type Output = Self;

            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;

            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;

            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;

            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
    )*};
}

quantity! {
    /// A length in metres.
    Length
}
quantity! {
    /// A magnetic flux density B in teslas.
    FluxDensity
}
quantity! {
    /// A magnetic field strength H in amperes per metre.
    FieldStrength
}
quantity! {
    /// A force in newtons.
    Force
}
quantity! {
    /// A mass in kilograms.
    Mass
}
quantity! {
    /// A temperature in kelvins. It has no sums: two temperatures add up to nothing.
    Temperature
}
linear! { Length FluxDensity FieldStrength Force Mass }

impl Length {
    /// The length of so many millimetres.
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm / 1e3)
    }

    /// In millimetres.
    pub const fn mm(self) -> f64 {
        self.0 * 1e3
    }
}

impl FluxDensity {
    /// The flux density of so many milliteslas.
    pub const fn from_mt(mt: f64) -> Self {
        Self(mt / 1e3)
    }

    /// In milliteslas.
    pub const fn mt(self) -> f64 {
        self.0 * 1e3
    }
}

impl Mass {
    /// The weight of the mass under [`STANDARD_GRAVITY`].
    pub const fn weight(self) -> Force {
        Force(self.0 * STANDARD_GRAVITY)
    }
}

impl Temperature {
    /// The temperature of so many degrees Celsius.
    pub const fn from_celsius(celsius: f64) -> Self {
        Self(celsius + ICE_POINT)
    }

    /// In degrees Celsius.
    pub const fn celsius(self) -> f64 {
        self.0 - ICE_POINT
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arithmetic_stays_in_kind() {
        let gap = Length(0.003) + Length(0.001);
        assert_eq!(gap, Length(0.004));
        assert_eq!(gap - Length(0.004), Length(0.0));
        assert_eq!(-gap * 2.0, Length(-0.008));
    }

    #[test]
    fn named_units_convert_both_ways() {
        assert_eq!(Length::from_mm(2.3), Length(0.0023));
        assert_eq!(Length(0.0127).mm(), 12.7);
        assert_eq!(FluxDensity::from_mt(350.0), FluxDensity(0.35));
        assert_eq!(FluxDensity(0.35).mt(), 350.0);
        assert_eq!(Temperature::from_celsius(80.0), Temperature(353.15));
        assert!((Temperature(353.15).celsius() - 80.0).abs() <= 1e-12);
        assert_eq!(Mass(2.0).weight(), Force(19.6133));
    }
}
