//! Values as the sentence prints them: as short as they can be and still be read back.

use quantity::{Load, Money, Quantity, Units};

/// A quantity with its unit, as whoever gave it would say it: the sentence never says what the question does not.
pub(super) fn quantity<Q: Quantity>(value: Q, units: &Units) -> String {
    plain(&value.show_given(units).to_string())
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
