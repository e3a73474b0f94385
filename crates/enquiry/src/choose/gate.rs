//! What is too strange to be answered without asking first.

use quantity::{Length, Load};
use serde_json::Value;

use super::Partial;

/// So many magnets seldom share one load; common practice, no source.
const MANY_SHARE: f64 = 60.0;
/// Less than this is hardly a load for one magnet, N: half a gram.
const LEAST_LOAD: f64 = 0.005;
/// More than this is hardly a load for one magnet, N: two tonnes; on sheet thinner than `THIN` a tenth of it, for thin steel
/// carries little flux. Common practice, no source.
const MOST_LOAD: f64 = 20_000.0;
const MOST_ON_THIN: f64 = 2_000.0;
const THIN: f64 = 1.05;
/// Wider, taller, or of thicker steel than this is seldom meant, mm; common practice, no source.
const WIDEST: f64 = 200.0;
const TALLEST: f64 = 100.0;
const THICKEST_STEEL: f64 = 150.0;
/// More pieces than a small supplier sells at once; common practice, no source.
const MOST_PIECES: u32 = 2_000_000;

/// Asks about what is said but can hardly be meant.
pub(super) fn gate(out: &mut Partial) {
    let length = |value: Option<&Value>| {
        let text = value.and_then(Value::as_str)?;
        Some(quantity::parse::<Length>(text).ok()?.si() * 1e3)
    };
    let shared = out.need.get("shared_by").and_then(Value::as_f64);
    let newtons = ["load", "force"]
        .iter()
        .find_map(|key| Load::parse(out.need.get(*key)?.as_str()?).ok())
        .map(|load| load.force().si());
    let thickness = length(out.need.get("steel").and_then(|s| s.get("thickness")));
    let mut strange: Vec<&str> = Vec::new();
    if shared.is_some_and(|n| n > MANY_SHARE || newtons.is_some_and(|load| load / n < LEAST_LOAD)) {
        strange.push("/question/need/shared_by");
    }
    let thin = thickness.is_some_and(|mm| mm < THIN);
    let most = if thin { MOST_ON_THIN } else { MOST_LOAD };
    let heavy = newtons.is_some_and(|load| load / shared.unwrap_or(1.0).max(1.0) > most);
    if heavy || newtons.is_some_and(|load| load < LEAST_LOAD) {
        let force = out.need.contains_key("force");
        strange.push(if force {
            "/question/need/force"
        } else {
            "/question/need/load"
        });
    }
    for (key, most, place) in [
        ("widest", WIDEST, "/question/limits/widest"),
        ("tallest", TALLEST, "/question/limits/tallest"),
    ] {
        if length(out.limits.get(key)).is_some_and(|mm| mm > most) {
            strange.push(place);
        }
    }
    if thickness.is_some_and(|mm| mm > THICKEST_STEEL) {
        strange.push("/question/need/steel/thickness");
    }
    if out.pieces.is_some_and(|n| n > MOST_PIECES) {
        strange.push("/question/pieces");
    }
    strange.into_iter().for_each(|place| out.ask(place));
}
