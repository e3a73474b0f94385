//! What says the same in other words: layers and magnets in another order, a gap as layers, pieces as a count, names of one
//! material.

use enquiry::{Name, Vocabulary};
use serde_json::{Map, Value, json};

use super::{near, range};

/// The name of a layer or a steel in the vocabulary; itself where that has none.
fn material<'m>(names: &'m [Name], said: &'m str) -> &'m str {
    let known = names
        .iter()
        .find(|l| l.name.eq_ignore_ascii_case(said) || l.aliases.iter().any(|w| w.eq_ignore_ascii_case(said)));
    known.map_or(said, |l| l.name.as_str())
}

/// Puts a reading in the terms of the expected one, its asks with it.
pub fn aligned(expect: &Value, got: &mut Value, asks: &mut [String], vocabulary: &Vocabulary) {
    name_materials(got, vocabulary);
    if asks.iter().any(|a| a == "/question/need/verb") {
        load_as_force(expect, got);
    }
    gap_as_layers(expect, got);
    let alike = |want: &Value, have: &Value| {
        let thick = |layer: &Value| layer["thickness"].as_str().and_then(|t| range("thickness", t));
        let same = want["material"] == have["material"];
        let near = match (thick(want), thick(have)) {
            (Some(a), Some(b)) => near(a[1], b[1]),
            _ => false,
        };
        2 * usize::from(same) + usize::from(near)
    };
    pieces_as_count(expect, got);
    reorder("/question/need/layers", expect, got, asks, alike);
    if expect["kind"] == "compare" {
        let alike = |want: &Value, have: &Value| {
            want.as_object()
                .into_iter()
                .flatten()
                .filter(|(key, value)| &&have[key.as_str()] == value)
                .count()
        };
        reorder("/magnets", expect, got, asks, alike);
    }
}

/// Names the materials of a reading as the vocabulary does.
pub fn name_materials(reading: &mut Value, vocabulary: &Vocabulary) {
    if let Some(steel) = reading.pointer_mut("/question/need/steel/material") {
        let said = steel.as_str().unwrap_or_default().to_owned();
        *steel = json!(material(&vocabulary.steels, &said));
    }
    let layers = reading
        .pointer_mut("/question/need/layers")
        .and_then(Value::as_array_mut);
    for layer in layers.into_iter().flatten() {
        if let Some(said) = layer["material"].as_str().map(str::to_owned) {
            layer["material"] = json!(material(&vocabulary.layers, &said));
        }
    }
}

/// A load as a force, or the other way, where what must be done is asked and the other reading has it so.
fn load_as_force(expect: &Value, got: &mut Value) {
    let Some(have) = got.pointer_mut("/question/need").and_then(Value::as_object_mut) else {
        return;
    };
    for (key, other) in [("load", "force"), ("force", "load")] {
        let wanted = expect["question"]["need"][other].is_string() && !have.contains_key(other);
        if let Some(value) = have.remove(key) {
            have.insert(if wanted { other } else { key }.to_owned(), value);
            return;
        }
    }
}

/// The clear distance of a pair, where the other reading has layers whose thicknesses make up the same, and the gap of a
/// holding magnet, where the other has a layer of air.
fn gap_as_layers(expect: &Value, got: &mut Value) {
    let Some(have) = got.pointer_mut("/question/need").and_then(Value::as_object_mut) else {
        return;
    };
    let Some(want) = expect["question"]["need"].as_object() else {
        return;
    };
    let sum = |need: &Map<String, Value>| -> Option<f64> {
        let gap = need.get("gap").and_then(Value::as_str).and_then(|g| range("gap", g));
        let layers = need.get("layers").and_then(Value::as_array);
        let all = layers
            .into_iter()
            .flatten()
            .map(|l| Some(range("thickness", l["thickness"].as_str()?)?[1]));
        let all = all.collect::<Option<Vec<f64>>>()?;
        Some(gap.map_or(0.0, |g| g[1]) + all.iter().sum::<f64>()).filter(|s| *s > 0.0)
    };
    let pair = matches!(have["verb"].as_str(), Some("pull_together" | "push_apart"));
    let same = match (sum(want), sum(have)) {
        (Some(a), Some(b)) => near(a, b),
        _ => false,
    };
    if pair && same {
        for key in ["gap", "layers"] {
            have.remove(key);
            if let Some(value) = want.get(key) {
                have.insert(key.to_owned(), value.clone());
            }
        }
    }
    if have["verb"] == "hold" && want.contains_key("gap") && !have.contains_key("gap") {
        let layers = have.get_mut("layers").and_then(Value::as_array_mut);
        let air = layers.and_then(|list| {
            let at = list.iter().position(|l| l["material"] == "air")?;
            Some(list.remove(at))
        });
        if let Some(air) = air {
            have.insert("gap".into(), air["thickness"].clone());
        }
    }
}

/// How many of each magnet there are, where the other reading says the same number as the pieces asked about.
fn pieces_as_count(expect: &Value, got: &mut Value) {
    let given = matches!(expect["kind"].as_str(), Some("tell" | "compare"));
    let wanted = expect["magnets"].as_array().map_or(&[][..], Vec::as_slice);
    let pieces = got.pointer("/question/pieces").cloned().unwrap_or_default();
    let all = wanted.iter().all(|m| m["count"] == pieces) && expect.pointer("/question/pieces").is_none();
    if !given || pieces.is_null() || wanted.is_empty() || !all {
        return;
    }
    let Some(magnets) = got["magnets"].as_array_mut() else {
        return;
    };
    if magnets.len() != wanted.len() || magnets.iter().any(|m| !m["count"].is_null()) {
        return;
    }
    magnets.iter_mut().for_each(|m| m["count"] = pieces.clone());
    if let Some(question) = got["question"].as_object_mut() {
        question.remove("pieces");
    }
}

/// Puts the parts of a list in the order of those expected that they are most alike.
fn reorder(place: &str, expect: &Value, got: &mut Value, asks: &mut [String], alike: impl Fn(&Value, &Value) -> usize) {
    let Some(want) = expect.pointer(place).and_then(Value::as_array) else {
        return;
    };
    let Some(have) = got.pointer_mut(place).and_then(Value::as_array_mut) else {
        return;
    };
    let mut left: Vec<usize> = (0..have.len()).collect();
    let mut order: Vec<usize> = Vec::new();
    for part in want {
        let best = left.iter().copied().rev().max_by_key(|i| alike(part, &have[*i]));
        if let Some(best) = best {
            left.retain(|i| *i != best);
            order.push(best);
        }
    }
    order.extend(left);
    *have = order.iter().map(|i| have[*i].clone()).collect();
    for ask in asks {
        let Some(rest) = ask.strip_prefix(&format!("{place}/")) else {
            continue;
        };
        let (number, further) = rest.split_once('/').map_or((rest, ""), |(n, f)| (n, f));
        let now = number
            .parse()
            .ok()
            .and_then(|n: usize| order.iter().position(|o| *o == n));
        if let Some(now) = now {
            *ask = format!("{place}/{now}/{further}").trim_end_matches('/').to_owned();
        }
    }
}
