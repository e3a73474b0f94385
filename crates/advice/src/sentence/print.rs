//! Values as the sentence prints them: as short as they can be and still be read back.

use quantity::{Load, Money, Quantity, Units, parse};

/// Relative difference that a printed value may have from the true one: far below any tolerance of a magnet, and a
/// size in millimetres shown in inches then keeps six or seven digits.
const CLOSE: f64 = 1e-6;

/// A quantity with its unit.
///
/// The usual print of the kind where that reads back as the value, and else as many significant digits as that takes: an
/// odd value in converted units has more digits than one would like, but the sentence never says what the question does not.
pub(super) fn quantity<Q: Quantity>(value: Q, units: &Units) -> String {
    let reads_back = |text: &str| {
        let error = parse::<Q>(text).map_or(f64::INFINITY, |read| (read.si() - value.si()).abs());
        error <= CLOSE * value.si().abs()
    };
    let usual = plain(&value.show(units).to_string());
    if reads_back(&usual) {
        return usual;
    }
    (3..=12)
        .map(|digits| plain(&value.show_to(digits, units).to_string()))
        .find(|text| reads_back(text))
        .unwrap_or(usual)
}

/// A load, a mass as a mass and a force as a force.
pub(super) fn load(load: Load, units: &Units) -> String {
    match load {
        Load::Mass(mass) => quantity(mass, units),
        Load::Force(force) => quantity(force, units),
    }
}

/// An amount without its currency. Three decimals would read as thousands, so a fourth is added.
pub(super) fn money(amount: Money) -> String {
    let mut text = amount.to_string();
    if text.split_once('.').is_some_and(|(_, decimals)| decimals.len() == 3) {
        text.push('0');
    }
    text
}

/// `items` as one phrase: `disc, ring or block`.
pub(super) fn list(items: &[String], last: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., end] => format!("{} {last} {end}", first.join(", ")),
    }
}

/// The text as people type it: a plain space before the unit, none inside the number, a plain minus.
fn plain(text: &str) -> String {
    text.replace('\u{a0}', " ")
        .replace(['\u{202f}', '\u{2009}'], "")
        .replace('\u{2212}', "-")
}
