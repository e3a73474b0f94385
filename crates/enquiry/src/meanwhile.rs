//! What is taken until it is said, so that nobody waits: the end at which a magnet does less.

use advice::enquiry::Draft;
use serde_json::Value;

use crate::asks::{self, Ask};
use crate::lexicon::usual_thickness;

/// Asks at their places, and the question with what stands meanwhile where nothing was said.
/// `read` is the reading in the words of the message, `not_positive` where a load is said that is none.
pub(crate) fn asks(places: &[String], read: &Value, question: &Draft, not_positive: bool) -> (Vec<Ask>, Draft) {
    let said = serde_json::to_value(question).unwrap_or_default();
    let mut taken = said.clone();
    let asks = places
        .iter()
        .map(|place| {
            let path = place.strip_prefix("/question").unwrap_or("");
            let mut ask = asked(place, path, &said, not_positive);
            if let Some(guess) = read.pointer(place) {
                ask = ask.with_guess(guess);
            }
            let value = ask.meanwhile.as_ref().map(|m| m.sets.clone());
            if !value.is_some_and(|value| put(&mut taken, path, value)) {
                ask.meanwhile = None;
            }
            ask
        })
        .collect();
    let whole = serde_json::from_value(taken).unwrap_or_else(|_| question.clone());
    (asks, whole)
}

/// The ask at a place; that of a layer speaks of its material.
fn asked(place: &str, path: &str, said: &Value, not_positive: bool) -> Ask {
    path.strip_suffix("/thickness")
        .filter(|layer| layer.starts_with("/need/layers/"))
        .and_then(|layer| said.pointer(layer)?.get("material")?.as_str())
        .and_then(|material| Some(asks::layer(place, material, usual_thickness(material)?)))
        .unwrap_or_else(|| asks::ask(place, not_positive))
}

/// Sets what is not said yet; whether it did.
fn put(root: &mut Value, path: &str, value: Value) -> bool {
    let Some((parent, key)) = path.rsplit_once('/') else {
        return false;
    };
    if root.pointer(path).is_some_and(|said| !said.is_null()) {
        return false;
    }
    let Some((grandparent, own)) = parent.rsplit_once('/') else {
        return false;
    };
    if let Some(Value::Object(above)) = root.pointer_mut(grandparent) {
        above.entry(own).or_insert_with(|| Value::Object(Default::default()));
    }
    match root.pointer_mut(parent) {
        Some(Value::Object(object)) => object.insert(key.to_owned(), value).is_none(),
        _ => false,
    }
}

#[cfg(test)]
mod tests;
