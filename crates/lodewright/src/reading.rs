//! JSON into what it stands for, with a pointer to the part that does not read.

use serde::de::DeserializeOwned;
use serde_json::Value;

use crate::complaint::{missing_key, plain};

/// Keys that say which of several forms an object has: without one nothing else of the object reads.
const TELLING: [&str; 3] = ["verb", "shape", "what"];
/// So many parts are looked into before the pointer stays at what contains them.
const MOST_TRIALS: usize = 300;

/// Why a JSON value does not stand for what was expected.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// JSON pointer to the part that is to blame; empty for the whole.
    pub pointer: String,
    /// What is wrong with it.
    pub message: String,
    /// What would be right, where the part itself says so.
    pub hint: Option<String>,
}

/// Reads a JSON value.
///
/// # Errors
/// What is wrong and where: a text that is no quantity, a key that is not known or missing, a number for a text.
pub fn read<T: DeserializeOwned>(value: &Value) -> Result<T, Misread> {
    T::deserialize(value).map_err(|error| Misread::new::<T>(value, error.to_string()))
}

/// Reads a request whose keys state the units of its numbers, see [`compute::in_stated_units`].
///
/// # Errors
/// As [`read`], and a text that is no quantity of the unit stated.
pub fn read_stated<T: DeserializeOwned>(value: Value) -> Result<T, Misread> {
    let value = compute::in_stated_units(value).map_err(|error| Misread {
        pointer: error.field,
        message: error.message,
        hint: Some(error.hint),
    })?;
    read(&value)
}

impl Misread {
    fn new<T: DeserializeOwned>(value: &Value, message: String) -> Self {
        let mut search = Search {
            value: value.clone(),
            message,
            trials: 0,
            reads: complaint::<T>,
        };
        let pointer = match missing_key(&search.message).map(String::from) {
            Some(key) => search.lacking("", &key).unwrap_or_default(),
            None => search.guilty(""),
        };
        let Search { message, .. } = search;
        let complaint = plain(&message);
        Self {
            pointer,
            message: complaint.message,
            hint: complaint.hint,
        }
    }
}

/// What is wrong with a value; empty where nothing is.
fn complaint<T: DeserializeOwned>(value: &Value) -> String {
    T::deserialize(value)
        .err()
        .map(|error| error.to_string())
        .unwrap_or_default()
}

/// Looks for the part to blame by trial: without it, or with what it lacks, the complaint is another.
struct Search {
    value: Value,
    message: String,
    trials: usize,
    reads: fn(&Value) -> String,
}

impl Search {
    /// The complaint after a change, which is undone.
    fn after(&mut self, at: &str, change: impl FnOnce(&mut Value)) -> String {
        self.trials += 1;
        let Some(part) = self.value.pointer_mut(at) else {
            return self.message.clone();
        };
        let before = part.clone();
        change(part);
        let message = (self.reads)(&self.value);
        if let Some(part) = self.value.pointer_mut(at) {
            *part = before;
        }
        message
    }

    /// The keys or indices of the part at a pointer, telling ones last.
    fn children(&self, at: &str) -> Vec<String> {
        match self.value.pointer(at) {
            Some(Value::Object(map)) => {
                let (last, first): (Vec<_>, Vec<_>) = map.keys().cloned().partition(|k| TELLING.contains(&k.as_str()));
                first.into_iter().chain(last).collect()
            }
            Some(Value::Array(items)) => (0..items.len()).map(|k| k.to_string()).collect(),
            _ => Vec::new(),
        }
    }

    /// The smallest part without which the complaint is another.
    fn guilty(&mut self, at: &str) -> String {
        for key in self.children(at) {
            if self.trials >= MOST_TRIALS {
                break;
            }
            let without = |part: &mut Value| match part {
                Value::Object(map) => drop(map.remove(&key)),
                Value::Array(items) => drop(key.parse().map(|k: usize| items.remove(k))),
                _ => {}
            };
            if self.after(at, without) != self.message {
                return self.guilty(&below(at, &key));
            }
        }
        at.into()
    }

    /// Where the object stands that lacks `key`, with the key.
    fn lacking(&mut self, at: &str, key: &str) -> Option<String> {
        if self.trials >= MOST_TRIALS {
            return None;
        }
        let add = |part: &mut Value| {
            if let Value::Object(map) = part {
                map.entry(key).or_insert(Value::Null);
            }
        };
        let message = self.after(at, add);
        // An object that does not know the key complains of that instead.
        if message != self.message && !message.starts_with(&format!("unknown field `{key}`")) {
            return Some(below(at, key));
        }
        self.children(at)
            .iter()
            .find_map(|child| self.lacking(&below(at, child), key))
    }
}

/// The pointer to a child (RFC 6901).
fn below(at: &str, key: &str) -> String {
    format!("{at}/{}", key.replace('~', "~0").replace('/', "~1"))
}

#[cfg(test)]
mod tests {
    use advice::Question;
    use advice::ladder::LadderRequest;
    use serde_json::json;

    use super::*;

    fn pointer<T: DeserializeOwned>(value: Value) -> String {
        read::<T>(&value)
            .err()
            .map(|m| m.pointer)
            .unwrap_or_else(|| "it reads".into())
    }

    #[test]
    fn the_part_to_blame_is_pointed_at_however_deep() {
        let hold = |key: &str, value: Value| {
            let mut need = json!({ "verb": "hold", "load": "2 kg" });
            need[key] = value;
            pointer::<Question>(json!({ "need": need, "limits": { "widest": "25 mm" } }))
        };
        assert_eq!(hold("load", json!("2 kg")), "it reads");
        assert_eq!(hold("load", json!("2 parsecs")), "/need/load");
        assert_eq!(hold("lode", json!("2 kg")), "/need/lode");
        assert_eq!(hold("verb", json!("levitate")), "/need/verb");
        let layers = json!([{ "material": "paint", "thickness": "1 mm" }, { "material": "paint", "thickness": "1" }]);
        assert_eq!(hold("layers", layers), "/need/layers/1/thickness");
        assert_eq!(hold("steel", json!({ "material": 3 })), "/need/steel/material");
        assert_eq!(hold("odd/key", json!(1)), "/need/odd~1key");
        let need = json!({ "verb": "hold", "load": "2 kg" });
        let limits = json!({ "need": need, "limits": { "widest": "25 ells", "stack": 2 } });
        assert_eq!(pointer::<Question>(limits), "/limits/widest");
        assert_eq!(pointer::<Question>(json!({ "need": need, "pieces": -1 })), "/pieces");
        assert_eq!(pointer::<Question>(json!([])), "");
    }

    #[test]
    fn what_is_missing_is_pointed_at_where_it_should_stand() {
        assert_eq!(pointer::<Question>(json!({})), "/need");
        assert_eq!(pointer::<Question>(json!({ "need": { "verb": "hold" } })), "/need/load");
        assert_eq!(pointer::<Question>(json!({ "need": { "load": "2 kg" } })), "/need/verb");
        let layers = json!({ "need": { "verb": "hold", "load": "2 kg", "layers": [{ "material": "paint" }] } });
        assert_eq!(pointer::<Question>(layers), "/need/layers/0/thickness");
    }

    #[test]
    fn a_telling_key_is_not_blamed_for_its_neighbour() {
        let body = |body: Value| {
            pointer::<LadderRequest>(json!({ "body": body, "grade": "N42", "measure": { "what": "face" } }))
        };
        assert_eq!(
            body(json!({ "shape": "block", "length": "20 mm", "width": "wide" })),
            "/body/width"
        );
        assert_eq!(body(json!({ "shape": "heart", "length": "20 mm" })), "/body/shape");
    }

    #[test]
    fn the_hint_of_a_quantity_stands_alone() {
        let misread = read::<Question>(&json!({ "need": { "verb": "hold", "load": "2" } })).unwrap_err();
        assert_eq!(misread.message, "the unit is missing");
        assert!(misread.hint.is_some_and(|h| h.contains("kg")), "no units are offered");
    }

    #[test]
    fn a_very_wide_object_ends_soon() {
        let many: serde_json::Map<String, Value> = (0..20_000).map(|k| (format!("k{k}"), json!(k))).collect();
        let misread = read::<Question>(&Value::Object(many)).unwrap_err();
        assert!(misread.message.contains("there is no"));
    }
}
