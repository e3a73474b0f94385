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

/// Most digits of a number that somebody gives.
const GIVEN_DIGITS: usize = 4;
/// Digits of a number that is round in no unit.
const MOST_DIGITS: usize = 12;
/// Relative difference within which a number counts as the one that was given.
const SAME: f64 = 1e-9;

pub(crate) fn given(kind: Kind, si: f64, units: &Units) -> Shown {
    let own = units.unit(kind, si);
    let shown = |number: String, unit: Unit| Shown {
        number,
        unit: unit.label(),
    };
    if let Some(fraction) = given_fraction(own, si) {
        return shown(fraction, Unit::INCH);
    }
    let in_own = short(own, si, GIVEN_DIGITS);
    let mut spelt: Vec<(usize, String, Unit)> = Unit::customary(kind)
        .iter()
        .filter(|unit| **unit != own)
        .filter_map(|unit| short(*unit, si, GIVEN_DIGITS).map(|(digits, number)| (digits, number, *unit)))
        .collect();
    spelt.sort_by_key(|(_, number, _)| number.len());
    match (in_own, spelt.into_iter().next()) {
        // Somebody who gives 0.3048 mm means 12 mil.
        (Some((own_digits, number)), other)
            if other
                .as_ref()
                .is_none_or(|o| own_digits < GIVEN_DIGITS || o.0 + 2 > own_digits) =>
        {
            shown(number, own)
        }
        (_, Some((_, number, unit))) => shown(number, unit),
        _ => short(own, si, MOST_DIGITS).map_or_else(|| usual(kind, si, units), |(_, number)| shown(number, own)),
    }
}

/// A length as a fraction of an inch, where it is one exactly and whoever reads inches, or where metric people seldom give
/// it: quarters of an inch that are no whole millimetres, and more than hundredths of a millimetre. Nobody gives 3.175 mm,
/// many give 1/8 in.
fn given_fraction(own: Unit, si: f64) -> Option<String> {
    const SIXTY_FOURTHS: f64 = 64.0;
    if own.kind() != Kind::Length {
        return None;
    }
    let count = Unit::INCH.from_si(si) * SIXTY_FOURTHS;
    let is_whole = |count: f64| (count - count.round()).abs() <= SAME * count.abs();
    let millimetres = Unit::MILLIMETRE.from_si(si);
    let usual_in_metric = is_whole(millimetres) || (is_whole(millimetres * 100.0) && !is_whole(count / 16.0));
    (is_whole(count) && (own == Unit::INCH || !usual_in_metric))
        .then(|| inch_fraction(Unit::INCH.from_si(si)))
        .flatten()
}

/// The value in a unit with the fewest digits that say it, at most so many, and their number.
fn short(unit: Unit, si: f64, most: usize) -> Option<(usize, String)> {
    let value = unit.from_si(si);
    let says = |digits: &usize| {
        let rounded = format!("{value:.*e}", digits - 1).parse().unwrap_or(f64::NAN);
        (unit.to_si(rounded) - si).abs() <= SAME * si.abs()
    };
    (1..=most).find(says).map(|digits| (digits, rounded(value, digits)))
}

pub(crate) fn significant_up(kind: Kind, si: f64, digits: usize, units: &Units) -> Shown {
    // A value that exceeds a printed one by less counts as that one: room for rounding noise.
    const NOISE: f64 = 1e-9;
    let unit = units.unit(kind, si);
    let value = unit.from_si(si);
    let power = value.abs().log10().floor();
    let up = if value == 0.0 || !power.is_finite() {
        value
    } else {
        let step = 10f64.powf(power + 1.0 - digits.clamp(1, 15) as f64);
        (value / step - NOISE).ceil() * step
    };
    Shown {
        number: rounded(up, digits.clamp(1, 15)),
        unit: unit.label(),
    }
}

pub(crate) fn range(kind: Kind, a: f64, b: f64, units: &Units) -> Shown {
    // Below this share of the ends a width is rounding noise.
    const NOISE: f64 = 1e-9;
    let unit = units.unit(kind, a.abs().max(b.abs()));
    let (low, high) = {
        let (a, b) = (unit.from_si(a), unit.from_si(b));
        if a > b { (b, a) } else { (a, b) }
    };
    let width = high - low;
    if width <= NOISE * low.abs().max(high.abs()) && width.is_finite() {
        return usual(kind, a, units);
    }
    let (low, high) = if (1e-9..1e15).contains(&width) {
        outwards(low, high)
    } else {
        (rounded(low, SIGNIFICANT), rounded(high, SIGNIFICANT))
    };
    Shown {
        number: format!("{low} to {high}"),
        unit: unit.label(),
    }
}

/// The ends of an interval rounded outwards to a power of ten between 0.5 and 5 % of its width, so that an
/// end that clears a limit is not printed below it.
fn outwards(low: f64, high: f64) -> (String, String) {
    // Steps within which an end counts as lying on the grid already: room for rounding noise.
    const ON_GRID: f64 = 1e-6;
    let power = ((high - low) / 20.0).log10().floor() as i32;
    // 10 to a positive power is exact, so the multiples come out correctly rounded.
    let exact = 10f64.powi(power.abs());
    let steps = |value: f64| if power < 0 { value * exact } else { value / exact };
    let value = |steps: f64| if power < 0 { steps / exact } else { steps * exact };
    let low = value((steps(low) + ON_GRID).floor());
    let high = value((steps(high) - ON_GRID).ceil());
    let decimals = usize::try_from(-power).unwrap_or(0);
    (fixed(low, decimals), fixed(high, decimals))
}

/// The value as inches and a reduced fraction in 64ths, when one is within 0.0001 in, so that a
/// metric size such as 25 mm does not pass for one; never zero.
fn inch_fraction(value: f64) -> Option<String> {
    const NEAR: f64 = 0.000_1;
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

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::parse::parse;
    use crate::si::{FluxDensity, Force, Length, Mass, Quantity, Temperature};

    const METRIC: Units = Units::metric();
    const INCH: Units = Units::inch();

    fn plain(shown: Shown) -> String {
        shown.to_string().replace(['\u{a0}', '\u{202f}'], " ")
    }

    #[test]
    fn lengths_as_sizes() {
        for (mm, metric, inch) in [
            (12.7, "12.7 mm", "1/2 in"),
            (0.4, "0.4 mm", "0.0157 in"),
            (10.0, "10 mm", "0.394 in"),
            (28.575, "28.575 mm", "1-1/8 in"),
            (50.8, "50.8 mm", "2 in"),
            (-12.7, "−12.7 mm", "−1/2 in"),
            (0.0, "0 mm", "0 in"),
            (-0.0, "0 mm", "0 in"),
            (0.02, "0.02 mm", "0.000787 in"),
            (0.000_123_4, "0.000123 mm", "0.00000486 in"),
            (1e-12, "1e-12 mm", "3.94e-14 in"),
            (2_500_000.0, "2 500 000 mm", "98 425.197 in"),
        ] {
            let length = Length::from_mm(mm);
            assert_eq!(plain(length.show(&METRIC)), metric);
            assert_eq!(plain(length.show(&INCH)), inch, "{mm} mm");
        }
    }

    #[test]
    fn a_fraction_is_used_within_a_tenth_of_a_thousandth_only() {
        let inches = |value| plain(Length(value * 0.0254).show(&INCH));
        assert_eq!(inches(0.500_09), "1/2 in");
        assert_eq!(inches(0.500_51), "0.501 in");
        assert_eq!(inches(0.000_4), "0.0004 in");
        assert_eq!(inches(0.999_91), "1 in");
        assert_eq!(inches(25.0 / 25.4), "0.984 in");
    }

    #[test]
    fn what_must_not_be_shown_smaller_is_rounded_up() {
        for (mm, shown) in [
            (98.01, "99 mm"),
            (98.0, "98 mm"),
            (101.0, "110 mm"),
            (99.1, "100 mm"),
            (0.0, "0 mm"),
            (-12.1, "−12 mm"),
        ] {
            assert_eq!(plain(Length::from_mm(mm).show_up_to(2, &METRIC)), shown);
        }
        assert_eq!(plain(Length(0.15).show_up_to(2, &INCH)), "6 in");
    }

    #[test]
    fn derived_values_to_three_digits() {
        let force = |n| plain(Force(n).show(&METRIC));
        for (n, text) in [
            (34.02, "34 N"),
            (34.06, "34.1 N"),
            (-0.012_345, "−0.0123 N"),
            (9.996, "10 N"),
            (999.6, "1000 N"),
            (12_345.0, "12 300 N"),
            (123_456_789.0, "123 000 000 N"),
            (1.234e15, "1.23e15 N"),
            (-1.234e-10, "−1.23e-10 N"),
            (0.0, "0 N"),
            (f64::NAN, "undefined N"),
            (f64::NEG_INFINITY, "−∞ N"),
        ] {
            assert_eq!(force(n), text);
        }
        assert_eq!(plain(FluxDensity(0.351_2).show(&INCH)), "3510 G");
        assert_eq!(plain(FluxDensity(0.351_23).show_to(4, &INCH)), "3512 G");
        assert_eq!(plain(Length::from_mm(12.345_6).show_to(3, &METRIC)), "12.3 mm");
        assert_eq!(plain(Mass(0.8).show(&METRIC)), "800 g");
        assert_eq!(plain(Mass(2.0).show(&INCH)), "4.41 lb");
        assert_eq!(plain(Temperature::from_celsius(80.0).show(&METRIC)), "80 °C");
        assert_eq!(plain(Temperature::from_celsius(-5.0).show(&METRIC)), "−5 °C");
        assert_eq!(plain(Temperature::from_celsius(80.0).show(&INCH)), "176 °F");
        assert_eq!(plain(Temperature::from_celsius(-0.01).show(&METRIC)), "0 °C");
    }

    #[test]
    fn intervals_are_rounded_outwards() {
        let range = |low, high| plain(Force::show_range(Force(low), Force(high), &METRIC));
        for (low, high, text) in [
            (30.21, 38.87, "30.2 to 38.9 N"),
            (38.87, 30.21, "30.2 to 38.9 N"),
            (30.0, 39.0, "30.0 to 39.0 N"),
            (30.001, 34.501, "30.0 to 34.6 N"),
            (-5.05, 5.0, "−5.1 to 5.0 N"),
            (0.0, 0.1, "0.000 to 0.100 N"),
            (352.3, 386.7, "352 to 387 N"),
            (12_010.0, 19_990.0, "12 000 to 20 000 N"),
            (34.02, 34.02, "34 N"),
            (0.0, 0.0, "0 N"),
            (1.0, f64::INFINITY, "1 to ∞ N"),
            (f64::NAN, 1.0, "undefined to 1 N"),
        ] {
            assert_eq!(range(low, high), text);
        }
        let mass = Mass::show_range(Mass(0.9), Mass(1.1), &METRIC);
        assert_eq!(plain(mass), "0.90 to 1.10 kg");
    }

    #[test]
    fn what_was_given_is_said_back_in_the_unit_it_was_given_in() {
        fn said<Q: Quantity>(text: &str, units: &Units) -> String {
            plain(parse::<Q>(text).expect("it reads").show_given(units))
        }
        for (text, metric, inch) in [
            ("3 mm", "3 mm", "3 mm"),
            ("1/8 in", "1/8 in", "1/8 in"),
            ("5/16 in", "5/16 in", "5/16 in"),
            ("1/2 in", "1/2 in", "1/2 in"),
            ("3/4 in", "3/4 in", "3/4 in"),
            ("2 in", "2 in", "2 in"),
            ("254 mm", "254 mm", "10 in"),
            ("0.4 mm", "0.4 mm", "0.4 mm"),
            ("12 mil", "12 mil", "0.012 in"),
            ("1-1/8 in", "1-1/8 in", "1-1/8 in"),
            ("12.345678 mm", "12.345678 mm", "0.4860503 in"),
        ] {
            assert_eq!(said::<Length>(text, &METRIC), metric);
            let inches = said::<Length>(text, &INCH);
            assert!(inches.starts_with(inch.trim_end_matches(" in")), "{inches}");
        }
        assert_eq!(said::<Mass>("1 lb", &METRIC), "1 lb");
        assert_eq!(said::<Mass>("2 kg", &INCH), "2 kg");
        assert_eq!(said::<Mass>("7 oz", &METRIC), "7 oz");
        assert_eq!(said::<Force>("5 lbf", &METRIC), "5 lbf");
        assert_eq!(said::<Force>("0 N", &METRIC), "0 N");
        assert_eq!(said::<Temperature>("150 °F", &METRIC), "150 °F");
        assert_eq!(said::<Temperature>("0 °C", &METRIC), "0 °C");
        assert_eq!(said::<FluxDensity>("50 G", &METRIC), "5 mT");
    }

    #[test]
    fn shown_fills_columns() {
        assert_eq!(format!("{:>7}|", Force(34.0).show(&METRIC)), "   34\u{a0}N|");
    }

    fn sizes() -> impl Strategy<Value = f64> {
        (any::<bool>(), -9.0..9.0f64).prop_map(|(negative, power)| {
            let size = 10f64.powf(power);
            if negative { -size } else { size }
        })
    }

    proptest! {
        #[test]
        fn shown_lengths_are_read_back(si in sizes()) {
            // A decimal may be off by half its last place, a fraction by its whole allowance; a size
            // below those is off by half its third digit, or by 0.0005 in 1/64 in.
            for (units, step, share) in [(METRIC, 0.5e-7, 0.005), (INCH, 0.000_5 * 0.0254, 0.033)] {
                let text = Length(si).show(&units).to_string();
                let Length(back) = parse(&text).map_err(|e| TestCaseError::fail(e.one_line()))?;
                let allowed = f64::min(step, share * si.abs()) + 1e-9 * si.abs();
                prop_assert!((back - si).abs() <= allowed, "{text}");
            }
        }

        #[test]
        fn what_was_given_reads_back(si in sizes()) {
            for units in [METRIC, INCH] {
                let text = Length(si).show_given(&units).to_string();
                let Length(back) = parse(&text).map_err(|e| TestCaseError::fail(e.one_line()))?;
                prop_assert!((back / si - 1.0).abs() <= 1e-9 || text.len() > 12, "{text}");
            }
        }

        #[test]
        fn shown_values_are_read_back(si in sizes(), digits in 1..9usize) {
            let text = FluxDensity(si).show_to(digits, &INCH).to_string();
            let FluxDensity(back) = parse(&text).map_err(|e| TestCaseError::fail(e.one_line()))?;
            prop_assert!((back / si - 1.0).abs() <= 0.500_001 * 10f64.powi(1 - digits as i32), "{text}");
        }

        #[test]
        fn shown_temperatures_are_read_back(si in 0.1..2000.0f64) {
            for units in [METRIC, INCH] {
                let text = Temperature(si).show(&units).to_string();
                let Temperature(back) = parse(&text).map_err(|e| TestCaseError::fail(e.one_line()))?;
                prop_assert!((back - si).abs() <= 0.050_001, "{text}");
            }
        }

        #[test]
        fn a_printed_interval_covers_the_true_one(a in sizes(), b in sizes()) {
            let (low, high) = (a.min(b), a.max(b));
            // Narrower intervals than any that is measured are printed to three digits each.
            prop_assume!((1e-9..1e15).contains(&(high - low)));
            let shown = Force::show_range(Force(a), Force(b), &METRIC);
            let end = |text| parse::<Force>(&format!("{text} N")).map(|force| force.0);
            if let Some((from, to)) = shown.number.split_once(" to ") {
                let (Ok(from), Ok(to)) = (end(from), end(to)) else {
                    return Err(TestCaseError::fail(shown.number));
                };
                let width = high - low;
                prop_assert!(from <= low + 1e-6 * width && from >= low - 0.0501 * width);
                prop_assert!(to >= high - 1e-6 * width && to <= high + 0.0501 * width);
            } else {
                prop_assert!(high - low <= 1e-9 * low.abs().max(high.abs()));
            }
        }
    }
}
