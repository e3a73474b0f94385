//! Quantities as text: how many digits, which sign, which space.

use std::fmt;

use crate::kind::Kind;
use crate::unit::Unit;
use crate::units::Units;

/// A number and its unit, ready to print.
///
/// `Display` joins them with a no-break space. The minus sign is U+2212, and from five digits on the
/// thousands are parted by narrow no-break spaces (U+202F). [`parse`](crate::parse()) reads it all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    /// The number, or the two ends of an interval with "to" between.
    pub number: String,
    /// The label of the unit.
    pub unit: &'static str,
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.pad(&format!("{}\u{a0}{}", self.number, self.unit))
    }
}

/// Significant digits of a derived value, and the fewest of a small size.
const SIGNIFICANT: usize = 3;

pub(crate) fn usual(kind: Kind, si: f64, units: &Units) -> Shown {
    let unit = units.unit(kind, si);
    let value = unit.from_si(si);
    let number = match kind {
        Kind::Length if unit == Unit::INCH => inch_fraction(value).unwrap_or_else(|| size(value, 3)),
        Kind::Length => size(value, 4),
        Kind::Temperature => trimmed(fixed(value, 1)),
        _ => rounded(value, SIGNIFICANT),
    };
    Shown {
        number,
        unit: unit.label(),
    }
}

pub(crate) fn significant(kind: Kind, si: f64, digits: usize, units: &Units) -> Shown {
    let unit = units.unit(kind, si);
    Shown {
        number: rounded(unit.from_si(si), digits.clamp(1, 15)),
        unit: unit.label(),
    }
}

pub(crate) fn range(kind: Kind, a: f64, b: f64, units: &Units) -> Shown {
    let unit = units.unit(kind, a.abs().max(b.abs()));
    let (a, b) = (unit.from_si(a), unit.from_si(b));
    let (low, high) = (a.min(b), a.max(b));
    let width = high - low;
    let largest = low.abs().max(high.abs());
    // A width that is rounding noise is no interval; NaN and infinity have no digits to choose.
    if !(width > 1e-9 * largest && (1e-9..1e15).contains(&width)) || a.is_nan() || b.is_nan() {
        let (low, high) = (rounded(a, SIGNIFICANT), rounded(b, SIGNIFICANT));
        let number = if low == high { low } else { format!("{low} to {high}") };
        return Shown {
            number,
            unit: unit.label(),
        };
    }
    let power = (width / 5.0).log10().floor() as i32;
    // Ends that already lie on the grid, but for rounding noise, stay where they are.
    const ON_GRID: f64 = 1e-6;
    let grid = |value: f64| value * 10f64.powi(-power);
    let back = |steps: f64| {
        if power < 0 {
            steps / 10f64.powi(-power)
        } else {
            steps * 10f64.powi(power)
        }
    };
    let low = back((grid(low) + ON_GRID).floor());
    let high = back((grid(high) - ON_GRID).ceil());
    let decimals = usize::try_from(-power).unwrap_or(0);
    let number = format!("{} to {}", fixed(low, decimals), fixed(high, decimals));
    Shown {
        number,
        unit: unit.label(),
    }
}

/// The value as inches and a reduced fraction in 64ths, when one is within 0.0005 in; never zero.
fn inch_fraction(value: f64) -> Option<String> {
    const NEAR: f64 = 0.000_5;
    const LARGEST: f64 = 1e6;
    let size = value.abs();
    let sixty_fourths = (size * 64.0).round();
    let near = (size - sixty_fourths / 64.0).abs() <= NEAR;
    if !near || sixty_fourths < 1.0 || size > LARGEST {
        return None;
    }
    let count = sixty_fourths as u64;
    let (whole, mut over, mut under) = (count / 64, count % 64, 64);
    while over > 0 && over.is_multiple_of(2) {
        over /= 2;
        under /= 2;
    }
    let sign = if value < 0.0 { "−" } else { "" };
    Some(match (whole, over) {
        (_, 0) => sign.to_owned() + &fixed(whole as f64, 0),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole}-{over}/{under}"),
    })
}

/// A given size: so many decimals, but never fewer than three significant digits.
fn size(value: f64, decimals: usize) -> String {
    let smallest = 10f64.powi(2 - decimals as i32);
    if value.abs() < smallest {
        rounded(value, SIGNIFICANT)
    } else {
        trimmed(fixed(value, decimals))
    }
}

/// The value rounded to so many significant digits, zeros at the end trimmed.
fn rounded(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return fixed(value, 0);
    }
    let scientific = format!("{value:.*e}", digits - 1);
    let Some((mantissa, power)) = scientific.split_once('e') else {
        return scientific;
    };
    let power: i32 = power.parse().unwrap_or(0);
    if !(-9..15).contains(&power) {
        return signed(format!("{}e{power}", trimmed(mantissa.to_owned())));
    }
    let value: f64 = scientific.parse().unwrap_or(value);
    trimmed(fixed(value, usize::try_from(digits as i32 - 1 - power).unwrap_or(0)))
}

/// The value with so many decimals.
fn fixed(value: f64, decimals: usize) -> String {
    if value.is_nan() {
        return "undefined".to_owned();
    }
    if value.is_infinite() {
        return signed(if value < 0.0 { "-∞" } else { "∞" }.to_owned());
    }
    if value.abs() >= 1e15 {
        return signed(format!("{value:e}"));
    }
    let text = format!("{value:.decimals$}");
    let (whole, fraction) = match text.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (text.as_str(), None),
    };
    let mut shown = grouped(whole);
    if let Some(fraction) = fraction {
        shown.push('.');
        shown.push_str(fraction);
    }
    signed(shown)
}

/// Whole digits with thousands parted from five digits on.
fn grouped(whole: &str) -> String {
    let digits = whole.trim_start_matches('-').len();
    if digits < 5 {
        return whole.to_owned();
    }
    let mut shown = String::with_capacity(whole.len() + digits);
    for (place, digit) in whole.chars().enumerate() {
        let left = whole.len() - place;
        if left.is_multiple_of(3) && left < digits {
            shown.push('\u{202f}');
        }
        shown.push(digit);
    }
    shown
}

/// Without zeros at the end of the decimals.
fn trimmed(mut number: String) -> String {
    if number.contains('.') && !number.contains('e') {
        number.truncate(number.trim_end_matches('0').trim_end_matches('.').len());
    }
    if number == "−0" { "0".to_owned() } else { number }
}

/// With a typographic minus in front, and none in front of zero.
fn signed(number: String) -> String {
    match number.strip_prefix('-') {
        Some(size) if size.chars().all(|c| matches!(c, '0' | '.')) => size.to_owned(),
        Some(size) => format!("−{size}"),
        None => number,
    }
}
