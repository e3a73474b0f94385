//! Units and their spellings.
//!
//! Factors are exact by definition unless a line says otherwise: inch and pound by the
//! international yard and pound agreement (1959), the kilogram-force by standard gravity, the gauss
//! and the oersted by IEC 80000-6 and Goldfarb and Fickett, NBS SP 696 (1985).

use std::f64::consts::PI;

use crate::kind::{ICE_POINT, Kind, STANDARD_GRAVITY};

/// A unit of one [`Kind`], with its conversion to SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    kind: Kind,
    label: &'static str,
    // SI = (value + offset) * mul / div. Two factors, because dividing by 1000 is correctly
    // rounded and multiplying by 0.001 is not.
    mul: f64,
    div: f64,
    offset: f64,
}

impl Unit {
    const fn new(kind: Kind, label: &'static str, mul: f64, div: f64) -> Self {
        Self {
            kind,
            label,
            mul,
            div,
            offset: 0.0,
        }
    }

    const fn degree(label: &'static str, mul: f64, div: f64, offset: f64) -> Self {
        Self {
            kind: Kind::Temperature,
            label,
            mul,
            div,
            offset,
        }
    }

    /// The unit of this spelling, as in a column heading: `mm`, `inch`, `kA/m`, `°C`.
    pub fn named(spelling: &str) -> Option<Unit> {
        let spelling = spelling.trim();
        at_start(spelling)
            .filter(|(_, len)| *len == spelling.len())
            .map(|(unit, _)| unit)
    }

    /// What it is a unit of.
    pub const fn kind(self) -> Kind {
        self.kind
    }

    /// How the unit is printed.
    pub const fn label(self) -> &'static str {
        self.label
    }

    /// The SI value of `value` in this unit.
    pub const fn to_si(self, value: f64) -> f64 {
        (value + self.offset) * self.mul / self.div
    }

    /// The value in this unit of an SI value.
    pub const fn from_si(self, si: f64) -> f64 {
        si * self.div / self.mul - self.offset
    }

    /// `(factor, offset)` with value in this unit = factor × SI + offset.
    pub const fn line(self) -> (f64, f64) {
        (self.div / self.mul, -self.offset)
    }
}

impl Unit {
    /// The units in which people give a quantity of this kind.
    pub(crate) const fn customary(kind: Kind) -> &'static [Unit] {
        match kind {
            Kind::Length => &[
                Unit::MILLIMETRE,
                Unit::CENTIMETRE,
                Unit::METRE,
                Unit::INCH,
                Unit::MIL,
                Unit::FOOT,
            ],
            Kind::FluxDensity => &[Unit::MILLITESLA, Unit::TESLA, Unit::GAUSS, Unit::KILOGAUSS],
            Kind::FieldStrength => &[
                Unit::KILOAMPERE_PER_METRE,
                Unit::AMPERE_PER_METRE,
                Unit::OERSTED,
                Unit::KILOOERSTED,
            ],
            Kind::Force => &[Unit::NEWTON, Unit::KILOGRAM_FORCE, Unit::POUND_FORCE, Unit::OUNCE_FORCE],
            Kind::Mass => &[Unit::GRAM, Unit::KILOGRAM, Unit::POUND, Unit::OUNCE],
            Kind::Temperature => &[Unit::CELSIUS, Unit::FAHRENHEIT, Unit::KELVIN],
        }
    }
}

/// Units by name, for columns whose heading states the unit.
impl Unit {
    /// Millimetre.
    pub const MILLIMETRE: Unit = Unit::new(Kind::Length, "mm", 1.0, 1e3);
    /// Centimetre.
    pub const CENTIMETRE: Unit = Unit::new(Kind::Length, "cm", 1.0, 1e2);
    /// Metre.
    pub const METRE: Unit = Unit::new(Kind::Length, "m", 1.0, 1.0);
    /// Micrometre.
    pub const MICROMETRE: Unit = Unit::new(Kind::Length, "µm", 1.0, 1e6);
    /// Inch, 25.4 mm.
    pub const INCH: Unit = Unit::new(Kind::Length, "in", 127.0, 5e3);
    /// Thousandth of an inch.
    pub const MIL: Unit = Unit::new(Kind::Length, "mil", 127.0, 5e6);
    /// Foot, 12 in.
    pub const FOOT: Unit = Unit::new(Kind::Length, "ft", 381.0, 1250.0);
    /// Tesla.
    pub const TESLA: Unit = Unit::new(Kind::FluxDensity, "T", 1.0, 1.0);
    /// Millitesla.
    pub const MILLITESLA: Unit = Unit::new(Kind::FluxDensity, "mT", 1.0, 1e3);
    /// Microtesla.
    pub const MICROTESLA: Unit = Unit::new(Kind::FluxDensity, "µT", 1.0, 1e6);
    /// Gauss, 0.1 mT.
    pub const GAUSS: Unit = Unit::new(Kind::FluxDensity, "G", 1.0, 1e4);
    /// Kilogauss.
    pub const KILOGAUSS: Unit = Unit::new(Kind::FluxDensity, "kG", 1.0, 10.0);
    /// Milligauss.
    pub const MILLIGAUSS: Unit = Unit::new(Kind::FluxDensity, "mG", 1.0, 1e7);
    /// Ampere per metre.
    pub const AMPERE_PER_METRE: Unit = Unit::new(Kind::FieldStrength, "A/m", 1.0, 1.0);
    /// Ampere per centimetre.
    pub const AMPERE_PER_CENTIMETRE: Unit = Unit::new(Kind::FieldStrength, "A/cm", 1e2, 1.0);
    /// Kiloampere per metre.
    pub const KILOAMPERE_PER_METRE: Unit = Unit::new(Kind::FieldStrength, "kA/m", 1e3, 1.0);
    /// Megaampere per metre.
    pub const MEGAAMPERE_PER_METRE: Unit = Unit::new(Kind::FieldStrength, "MA/m", 1e6, 1.0);
    /// Oersted, 1000/(4π) A/m.
    pub const OERSTED: Unit = Unit::new(Kind::FieldStrength, "Oe", 1e3, 4.0 * PI);
    /// Kilooersted.
    pub const KILOOERSTED: Unit = Unit::new(Kind::FieldStrength, "kOe", 1e6, 4.0 * PI);
    /// Newton.
    pub const NEWTON: Unit = Unit::new(Kind::Force, "N", 1.0, 1.0);
    /// Kilonewton.
    pub const KILONEWTON: Unit = Unit::new(Kind::Force, "kN", 1e3, 1.0);
    /// Millinewton.
    pub const MILLINEWTON: Unit = Unit::new(Kind::Force, "mN", 1.0, 1e3);
    /// Kilogram-force.
    pub const KILOGRAM_FORCE: Unit = Unit::new(Kind::Force, "kgf", STANDARD_GRAVITY, 1.0);
    /// Gram-force.
    pub const GRAM_FORCE: Unit = Unit::new(Kind::Force, "gf", STANDARD_GRAVITY, 1e3);
    /// Pound-force.
    pub const POUND_FORCE: Unit = Unit::new(Kind::Force, "lbf", POUND_KG * STANDARD_GRAVITY, 1.0);
    /// Ounce-force, 1/16 lbf.
    pub const OUNCE_FORCE: Unit = Unit::new(Kind::Force, "ozf", POUND_KG * STANDARD_GRAVITY, 16.0);
    /// Kilogram.
    pub const KILOGRAM: Unit = Unit::new(Kind::Mass, "kg", 1.0, 1.0);
    /// Gram.
    pub const GRAM: Unit = Unit::new(Kind::Mass, "g", 1.0, 1e3);
    /// Milligram.
    pub const MILLIGRAM: Unit = Unit::new(Kind::Mass, "mg", 1.0, 1e6);
    /// Tonne.
    pub const TONNE: Unit = Unit::new(Kind::Mass, "tonne", 1e3, 1.0);
    /// Pound, avoirdupois.
    pub const POUND: Unit = Unit::new(Kind::Mass, "lb", POUND_KG, 1.0);
    /// Ounce, 1/16 lb.
    pub const OUNCE: Unit = Unit::new(Kind::Mass, "oz", POUND_KG, 16.0);
    /// Degree Celsius.
    pub const CELSIUS: Unit = Unit::degree("°C", 1.0, 1.0, ICE_POINT);
    /// Degree Fahrenheit.
    pub const FAHRENHEIT: Unit = Unit::degree("°F", 5.0, 9.0, 459.67);
    /// Kelvin.
    pub const KELVIN: Unit = Unit::degree("K", 1.0, 1.0, 0.0);
}

/// Kilograms in a pound.
const POUND_KG: f64 = 0.453_592_37;

/// The ways to write one unit.
struct Spelling {
    unit: Unit,
    /// Read exactly as written: here the case tells units apart (`m`/`M`, `g`/`G`).
    exact: &'static [&'static str],
    /// Read in any case.
    any_case: &'static [&'static str],
}

const fn row(unit: Unit, exact: &'static [&'static str], any_case: &'static [&'static str]) -> Spelling {
    Spelling { unit, exact, any_case }
}

#[rustfmt::skip] // one row a unit reads best
const SPELLINGS: &[Spelling] = &[
    row(Unit::MILLIMETRE, &["mm", "MM"], &["millimetre", "millimetres", "millimeter", "millimeters"]),
    row(Unit::CENTIMETRE, &["cm", "CM"], &["centimetre", "centimetres", "centimeter", "centimeters"]),
    row(Unit::METRE, &["m"], &["metre", "metres", "meter", "meters"]),
    row(Unit::MICROMETRE, &["µm", "μm", "um"], &["micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"]),
    row(Unit::INCH, &["\"", "″", "”", "“", "''", "′′", "’’"], &["in", "in.", "inch", "inches"]),
    row(Unit::MIL, &[], &["mil", "mils", "thou"]),
    row(Unit::FOOT, &["'", "′", "’"], &["ft", "ft.", "foot", "feet"]),
    row(Unit::TESLA, &["T"], &["tesla", "teslas"]),
    row(Unit::MILLITESLA, &["mT"], &["millitesla", "milliteslas"]),
    row(Unit::MICROTESLA, &["µT", "μT", "uT"], &["microtesla", "microteslas"]),
    row(Unit::GAUSS, &["G", "Gs"], &["gauss"]),
    row(Unit::KILOGAUSS, &["kG", "kGs"], &["kilogauss"]),
    row(Unit::MILLIGAUSS, &["mG", "mGs"], &["milligauss"]),
    row(Unit::AMPERE_PER_METRE, &["A/m"], &[]),
    row(Unit::AMPERE_PER_CENTIMETRE, &["A/cm"], &[]),
    row(Unit::KILOAMPERE_PER_METRE, &[], &["kA/m"]),
    row(Unit::MEGAAMPERE_PER_METRE, &["MA/m"], &[]),
    row(Unit::OERSTED, &[], &["Oe", "oersted", "oersteds"]),
    row(Unit::KILOOERSTED, &[], &["kOe", "kilooersted"]),
    row(Unit::NEWTON, &["N"], &["newton", "newtons"]),
    row(Unit::KILONEWTON, &[], &["kN", "kilonewton", "kilonewtons"]),
    row(Unit::MILLINEWTON, &["mN"], &["millinewton", "millinewtons"]),
    row(Unit::KILOGRAM_FORCE, &[], &["kgf", "kp", "kilopond", "kilogram-force"]),
    row(Unit::GRAM_FORCE, &[], &["gf", "gram-force"]),
    row(Unit::POUND_FORCE, &[], &["lbf", "pound-force", "pounds-force"]),
    row(Unit::OUNCE_FORCE, &[], &["ozf", "ounce-force", "ounces-force"]),
    row(Unit::KILOGRAM, &["kg", "Kg", "kgs", "Kgs"], &["kilo", "kilos", "kilogram", "kilograms", "kilogramme", "kilogrammes"]),
    row(Unit::GRAM, &["g"], &["gram", "grams", "gramme", "grammes"]),
    row(Unit::MILLIGRAM, &["mg"], &["milligram", "milligrams"]),
    row(Unit::TONNE, &[], &["tonne", "tonnes"]),
    row(Unit::POUND, &[], &["lb", "lb.", "lbs", "lbs.", "pound", "pounds"]),
    row(Unit::OUNCE, &[], &["oz", "oz.", "ounce", "ounces"]),
    row(Unit::CELSIUS, &["℃"], &["C", "°C", "° C", "ºC", "º C", "degC", "deg C", "deg. C", "degree C", "degrees C",
        "celsius", "°celsius", "degree celsius", "degrees celsius"]),
    row(Unit::FAHRENHEIT, &["℉"], &["F", "°F", "° F", "ºF", "º F", "degF", "deg F", "deg. F", "degree F", "degrees F",
        "fahrenheit", "°fahrenheit", "degree fahrenheit", "degrees fahrenheit"]),
    row(Unit::KELVIN, &["K", "°K"], &["kelvin", "kelvins"]),
];

/// Words after "in" that make it the preposition: `25 in stock`, `3 in series`.
const AFTER_PREPOSITION: [&str; 5] = ["stock", "total", "all", "series", "parallel"];

/// Units after a hyphen that make a torque of the unit before it: `ft-lb`, `ozf-in`.
const OF_TORQUE: [&str; 9] = ["lb", "lbs", "lbf", "oz", "ozf", "in", "ft", "m", "cm"];

/// The unit at the very start of `text` and the bytes it takes: the longest spelling that ends
/// where a word ends.
pub(crate) fn at_start(text: &str) -> Option<(Unit, usize)> {
    let exact = |spelling: &&&str| text.starts_with(**spelling);
    let any_case = |spelling: &&&str| {
        text.get(..spelling.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(spelling))
    };
    SPELLINGS
        .iter()
        .flat_map(|row| {
            let exact = row.exact.iter().filter(exact);
            let any_case = row.any_case.iter().filter(any_case);
            exact.chain(any_case).map(|spelling| (row.unit, *spelling))
        })
        .filter(|(_, spelling)| ends_word(spelling, &text[spelling.len()..]))
        .max_by_key(|(_, spelling)| spelling.len())
        .filter(|(_, spelling)| !(*spelling == "in" && is_preposition(&text[spelling.len()..])))
        .map(|(unit, spelling)| (unit, spelling.len()))
}

/// The labels and kinds of the units that `word` would be if its letters had another case.
pub(crate) fn other_case(word: &str) -> Vec<(&'static str, Kind)> {
    SPELLINGS
        .iter()
        .filter(|row| row.exact.iter().any(|spelling| spelling.eq_ignore_ascii_case(word)))
        .map(|row| (row.unit.label, row.unit.kind))
        .collect()
}

/// Whether a unit spelled `spelling` may end before `rest`. `2 mmx` is not in mm, nor `5 N/m` or
/// `5 N·m` or `5 ft-lb` in N or ft; `2mmx3mm` is.
fn ends_word(spelling: &str, rest: &str) -> bool {
    if !spelling.ends_with(char::is_alphanumeric) {
        return true;
    }
    let mut chars = rest.chars();
    match chars.next() {
        Some('x' | 'X') => chars.as_str().trim_start().starts_with(|c: char| c.is_ascii_digit()),
        Some('/' | '·' | '⋅' | '*') => !chars.as_str().starts_with(char::is_alphabetic),
        Some('-') => {
            let word = chars
                .as_str()
                .split(|c: char| !c.is_alphanumeric())
                .next()
                .unwrap_or("");
            !OF_TORQUE.iter().any(|unit| unit.eq_ignore_ascii_case(word))
        }
        Some('^') => false,
        Some(c) => !c.is_alphanumeric(),
        None => true,
    }
}

/// Whether "in" before `rest` is the English preposition.
fn is_preposition(rest: &str) -> bool {
    let word = rest.split_whitespace().next().unwrap_or("");
    let word = word.trim_end_matches(|c: char| !c.is_alphanumeric());
    rest.starts_with(char::is_whitespace) && AFTER_PREPOSITION.iter().any(|after| after.eq_ignore_ascii_case(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST SP 811 (2008), appendix B.8; values marked there as exact, to the digits given.
    #[test]
    fn factors_agree_with_published_ones() {
        for (unit, si, relative) in [
            (Unit::INCH, 2.54e-2, 1e-15),
            (Unit::MIL, 2.54e-5, 1e-15),
            (Unit::FOOT, 3.048e-1, 1e-15),
            (Unit::GAUSS, 1e-4, 1e-15),
            (Unit::OERSTED, 7.957_747e1, 1e-7),
            (Unit::KILOGRAM_FORCE, 9.806_65, 1e-15),
            (Unit::POUND_FORCE, 4.448_222, 1e-7),
            (Unit::OUNCE_FORCE, 2.780_139e-1, 2e-7),
            (Unit::POUND, 4.535_924e-1, 1e-7),
            (Unit::OUNCE, 2.834_952e-2, 2e-7),
        ] {
            let error = (unit.to_si(1.0) / si - 1.0).abs();
            assert!(error <= relative, "{}: {error:e}", unit.label());
        }
    }

    #[test]
    fn degrees_agree_at_fixed_points() {
        for (unit, freezing, boiling) in [
            (Unit::CELSIUS, 0.0, 100.0),
            (Unit::FAHRENHEIT, 32.0, 212.0),
            (Unit::KELVIN, 273.15, 373.15),
        ] {
            assert!((unit.to_si(freezing) - 273.15).abs() <= 1e-12);
            assert!((unit.to_si(boiling) - 373.15).abs() <= 1e-12);
        }
    }

    #[test]
    fn each_unit_undoes_itself_and_matches_its_line() {
        for row in SPELLINGS {
            let si = row.unit.to_si(12.5);
            assert!((row.unit.from_si(si) - 12.5).abs() <= 1e-12, "{}", row.unit.label);
            let (factor, offset) = row.unit.line();
            assert!((factor * si + offset - 12.5).abs() <= 1e-12, "{}", row.unit.label);
        }
    }

    #[test]
    fn every_spelling_is_its_own_unit() {
        for row in SPELLINGS {
            for spelling in row.exact.iter().chain(row.any_case) {
                assert_eq!(Unit::named(spelling), Some(row.unit), "{spelling}");
            }
            assert_eq!(Unit::named(row.unit.label), Some(row.unit), "{}", row.unit.label);
        }
    }

    #[test]
    fn any_case_spellings_are_read_in_capitals() {
        for row in SPELLINGS {
            for spelling in row.any_case {
                let capitals = spelling.to_ascii_uppercase();
                assert_eq!(Unit::named(&capitals), Some(row.unit), "{capitals}");
            }
        }
    }

    #[test]
    fn a_unit_ends_where_its_word_ends() {
        let label = |text| at_start(text).map(|(unit, len)| (unit.label(), len));
        for (text, found) in [
            ("mmx", None),
            ("mmx3", Some(("mm", 2))),
            ("mmX 3", Some(("mm", 2))),
            ("mm, thick", Some(("mm", 2))),
            ("mm-thick", Some(("mm", 2))),
            ("mm²", None),
            ("mm^2", None),
            ("mm/3", Some(("mm", 2))),
            ("N/m", None),
            ("N·m", None),
            ("Nm", None),
            ("ft-lb", None),
            ("ozf-in", None),
            ("\"x", Some(("in", 1))),
            ("'' disc", Some(("in", 2))),
            ("in stock", None),
            ("IN  Stock,", None),
            ("in steel", Some(("in", 2))),
            ("in. stock", Some(("in", 3))),
            ("deg C", Some(("°C", 5))),
            ("degrees", None),
            ("kA/m", Some(("kA/m", 4))),
        ] {
            assert_eq!(label(text), found, "{text}");
        }
    }

    #[test]
    fn capitals_tell_units_apart() {
        let labels = |word| other_case(word).into_iter().map(|(label, _)| label).collect::<Vec<_>>();
        assert_eq!(labels("KG"), ["kG", "kg"]);
        assert_eq!(labels("MT"), ["mT"]);
        assert_eq!(labels("M"), ["m"]);
        assert!(labels("pieces").is_empty());
        for spelling in ["KG", "MT", "Mm", "M", "MN", "Mg", "t"] {
            assert_eq!(Unit::named(spelling), None, "{spelling}");
        }
    }
}
