//! Which dimension an amount is.

use quantity::Kind;

use crate::lexer::{Amount, Measure};
use crate::scene::Scene;

/// An amount as a length in mm; one without a unit where `bare` says so.
pub(super) fn length_mm(amount: &Amount, bare: bool) -> Option<f64> {
    match amount.measure {
        Measure::Unit(unit) if unit.kind() == Kind::Length => Some(unit.to_si(amount.high) * 1e3),
        Measure::Bare if bare && amount.digits => Some(amount.high),
        _ => None,
    }
}

/// The word for a dimension that stands directly by an amount.
pub(crate) fn dimension(scene: &Scene, i: usize) -> Option<&'static str> {
    const WORDS: [&str; 7] = ["inner", "dia", "thick", "high", "deep", "long", "wide"];
    let of = |at: Option<usize>| at.and_then(|n| WORDS.into_iter().find(|w| scene.items[n].is(w)));
    let next = scene.next(i);
    if labels_lead(scene, i, &|n| of(Some(n)).is_some())
        && let Some(word) = of(scene.previous(i))
    {
        return Some(word);
    }
    if let Some(word) = of(next) {
        return Some(word);
    }
    // "1/8 inch max thick"
    if next.is_some_and(|n| scene.items[n].is_any(&["max", "or_less", "or_more"]))
        && let Some(word) = next.and_then(|n| of(scene.next(n)))
        && next
            .and_then(|n| scene.next(n))
            .and_then(|n| scene.next(n))
            .is_none_or(|n| scene.items[n].amount().is_none())
    {
        return Some(word);
    }
    // "6 mm dia x 3 mm"
    if scene.previous(i).is_some_and(|p| scene.items[p].norm == "x") {
        return Some("thick");
    }
    // "across a 5 mm gap" says where it goes, not how wide it is
    let of_a_gap = next.is_some_and(|n| {
        matches!(
            scene.items[n].norm.as_str(),
            "gap" | "clearance" | "air gap" | "distance"
        )
    });
    // "5 N across 10 mm": the same without the word for it
    let of_a_force = scene.previous(i).is_some_and(|across| {
        scene.items[across].norm == "across"
            && scene.previous(across).is_some_and(|n| {
                scene.items[n]
                    .amount()
                    .is_some_and(|a| matches!(a.measure, Measure::Unit(unit) if unit.kind() == Kind::Force))
            })
    });
    if of_a_force {
        return None;
    }
    // "dia is 10", "thickness max 2 mm", "height not above 10"
    let mut at = i;
    for _ in 0..5 {
        let before = scene.previous(at)?;
        let item = &scene.items[before];
        if of_a_gap && item.norm == "across" {
            return None;
        }
        if let Some(word) = of(Some(before)) {
            return Some(word);
        }
        if let Some(word) = compared(&item.norm) {
            return Some(word);
        }
        let passes = item.is_any(&["max", "min", "each"])
            || item.is_magnet()
            || matches!(
                item.norm.as_str(),
                "is" | "of"
                    | "be"
                    | "about"
                    | "a"
                    | "an"
                    | "the"
                    | "to"
                    | "between"
                    | "from"
                    | "not"
                    | "should"
                    | "can"
                    | "may"
                    | "must"
                    | "ca"
                    | "approx"
                    | "exact"
                    | "exactly"
                    | "around"
                    | "was"
                    | "equals"
                    | "only"
                    | "at"
                    | "over"
                    | "above"
                    | "up"
                    | "for"
                    | "has"
                    | "have"
                    | "allowed"
                    | "available"
                    | "its"
            );
        if !passes {
            return None;
        }
        at = before;
    }
    None
}

/// Whether in the row that an amount stands in the words for dimensions stand before their amounts: `OD 20 ID 5 T 4`.
fn labels_lead(scene: &Scene, i: usize, label: &impl Fn(usize) -> bool) -> bool {
    let mut at = i;
    loop {
        let Some(before) = scene.previous(at).filter(|n| label(*n)) else {
            return false;
        };
        match scene.previous(before) {
            Some(n) if scene.items[n].amount().is_some() => at = n,
            _ => return true,
        }
    }
}

/// The dimension that a comparison speaks of: `not wider than`.
fn compared(norm: &str) -> Option<&'static str> {
    let has = |words: &[&str]| words.iter().any(|w| norm.contains(w));
    if has(&["wider", "narrower", "broader"]) {
        Some("wide")
    } else if has(&["thicker", "thinner", "flatter"]) {
        Some("thick")
    } else if has(&["higher", "taller", "deeper"]) {
        Some("high")
    } else {
        has(&["longer"]).then_some("long")
    }
}
