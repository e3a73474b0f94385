//! Values as the sentence prints them: as short as they can be and still be read back.

use quantity::{Load, Quantity, Units, parse};

/// Relative difference that a printed value may have from the true one. The shortest text within it is taken.
const CLOSE: f64 = 1e-9;

/// A quantity with its unit.
///
/// The usual print of the kind where that reads back as the value, and else as many significant digits as that takes, at
/// most 12. An odd value in converted units then has more digits than one would like, but the sentence never says what
/// the question does not.
pub(super) fn quantity<Q: Quantity>(value: Q, units: &Units) -> String {
    let reads_back = |text: &str| {
        let error = parse::<Q>(text).map_or(f64::INFINITY, |read| (read.si() - value.si()).abs());
        error <= CLOSE * value.si().abs()
    };
    let usual = plain(&value.show(units).to_string());
    if reads_back(&usual) {
        return usual;
    }
    (4..=12).map(|digits| plain(&value.show_to(digits, units).to_string())).find(|text| reads_back(text)).unwrap_or(usual)
}

/// A load, a mass as a mass and a force as a force.
pub(super) fn load(load: Load, units: &Units) -> String {
    match load {
        Load::Mass(mass) => quantity(mass, units),
        Load::Force(force) => quantity(force, units),
    }
}

/// `items` as one phrase: `disc, ring or block`.
pub(super) fn list(items: &[String], last: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// The text with plain spaces and a plain minus, as people type it.
fn plain(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ").replace('\u{2212}', "-").replace('\u{2009}', "")
}
