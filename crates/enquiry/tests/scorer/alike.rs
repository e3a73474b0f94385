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
    load_or_force(got);
    asks.iter_mut().for_each(load_or_force_asked);
    coating_of_magnets(expect, got);
    two_as_count(expect, got);
    pieces_of_one_need(expect, got);
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

/// What one need takes is ordered where nothing is said: those that share it, two in a pair.
fn pieces_of_one_need(expect: &Value, got: &mut Value) {
    let need = &got["question"]["need"];
    let paired = ["pull_together", "push_apart"].iter().any(|verb| need["verb"] == *verb);
    let one = need["shared_by"].as_u64().unwrap_or(1) * if paired { 2 } else { 1 };
    let is_one = got["question"]["pieces"].as_u64() == Some(one);
    if expect["question"]["pieces"].is_null()
        && is_one
        && let Some(question) = got["question"].as_object_mut()
    {
        question.remove("pieces");
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

/// The force of two magnets, or that of one on steel, under the name of a load: which of both it is its unit says.
pub fn load_or_force(reading: &mut Value) {
    if let Some(need) = reading.pointer_mut("/question/need").and_then(Value::as_object_mut)
        && let Some(force) = need.remove("force")
    {
        need.entry("load").or_insert(force);
    }
}

/// The families of magnets by one name: `SmCo` as samarium cobalt.
pub fn name_families(reading: &mut Value) {
    let grades = reading
        .pointer_mut("/question/limits/grades")
        .and_then(Value::as_array_mut);
    for grade in grades.into_iter().flatten() {
        if grade.as_str().is_some_and(|g| g.eq_ignore_ascii_case("smco")) {
            *grade = json!("samarium cobalt");
        }
    }
}

/// A countersunk hole whose screw is named: that it is countersunk, and how wide a hole its screw needs.
pub fn countersunk_screw(reading: &mut Value) {
    let Some(limits) = reading.pointer_mut("/question/limits").and_then(Value::as_object_mut) else {
        return;
    };
    let Some(screw) = limits.get("countersunk").and_then(Value::as_str).map(str::to_owned) else {
        return;
    };
    limits.insert("countersunk".into(), json!(true));
    if let Some(size) = screw.strip_prefix('M').filter(|size| size.parse::<u32>().is_ok()) {
        limits.entry("hole").or_insert(json!(format!("{size} mm")));
    }
}

/// The same of a place that is asked.
pub fn load_or_force_asked(place: &mut String) {
    if place == "/question/need/force" {
        *place = "/question/need/load".to_owned();
    }
}

/// The coating of a magnet that is told of: said as a limit, or of each magnet, or left unsaid by the expected reading, which
/// then does not judge it.
fn coating_of_magnets(expect: &Value, got: &mut Value) {
    if !matches!(expect["kind"].as_str(), Some("tell" | "compare")) {
        return;
    }
    let limit = expect.pointer("/question/limits/coating").cloned();
    let wanted = expect["magnets"].as_array().map_or(&[][..], Vec::as_slice);
    let of_magnets = wanted.iter().any(|m| m["coating"].is_string());
    let own = got.pointer("/question/limits/coating").cloned();
    let mut said: Vec<Value> = Vec::new();
    if !of_magnets {
        for magnet in got["magnets"].as_array_mut().into_iter().flatten() {
            said.extend(magnet.as_object_mut().and_then(|m| m.remove("coating")));
        }
    }
    let Some(limits) = got.pointer_mut("/question/limits").and_then(Value::as_object_mut) else {
        if limit.is_some() && !said.is_empty() {
            got["question"]["limits"] = json!({"coating": said[0]});
        }
        return;
    };
    limits.remove("coating");
    if limit.is_some()
        && let Some(value) = own.or_else(|| said.first().cloned())
    {
        limits.insert("coating".into(), value);
    }
}

/// Two magnets that work on each other, where the other reading counts them or says nothing of how many there are.
fn two_as_count(expect: &Value, got: &mut Value) {
    if expect["kind"] != "tell" {
        return;
    }
    for (n, magnet) in got["magnets"].as_array_mut().into_iter().flatten().enumerate() {
        let want = &expect["magnets"][n];
        if magnet["pair"] == true && want["pair"].is_null() {
            magnet["pair"] = Value::Null;
            if magnet["count"].is_null() && want["count"] == 2 {
                magnet["count"] = want["count"].clone();
            }
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
        let layers: f64 = all.collect::<Option<Vec<f64>>>()?.iter().sum();
        let gap = gap.map_or(0.0, |g| g[1]);
        // what lies between may be said once as the distance and once by its parts
        Some(if near(gap, layers) { gap } else { gap + layers }).filter(|s| *s > 0.0)
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
