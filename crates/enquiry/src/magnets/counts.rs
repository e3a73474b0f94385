//! How many pieces a stack has.

use super::Named;
use crate::lexer::What;
use crate::scene::Scene;

/// Gives the magnets found the pieces of their stacks.
pub(super) fn counts(scene: &Scene, found: &mut [Named]) {
    const STACKED: [&str; 6] = [
        "one upon",
        "one over",
        "one on top",
        "one on the other",
        "end to end",
        "on top of",
    ];
    let lower = scene.text.to_lowercase();
    let laid = STACKED.iter().any(|w| lower.contains(w));
    if !laid && !scene.any(|i| i.is("stack")) {
        return;
    }
    let places: Vec<usize> = found.iter().map(|n| n.items[0]).collect();
    for named in found {
        let nearest = scene.tagged("stack").any(|s| {
            let distance = scene.distance(s, named.items[0]);
            places.iter().all(|p| scene.distance(s, *p) >= distance)
        });
        let after = scene.tagged("stack").filter(|_| nearest).find_map(|s| {
            let n = scene.next(s)?;
            let amount = scene.items[n].amount().filter(|a| a.is_bare())?;
            (scene.distance(s, named.items[0]) < 9.0).then_some(amount.high as u32)
        });
        let pieces = scene.tagged("stack").filter(|_| nearest).find_map(|s| {
            let near = scene.nearest(s, 5.0, |x| x.is("pieces") || x.is_magnet())?.0;
            leading_count(scene, near)
        });
        // "if I put two on top of each other"
        let before = scene.tagged("stack").filter(|_| nearest).find_map(|s| {
            let amount = scene.items[scene.previous(s)?].amount().filter(|a| a.is_bare())?;
            (scene.distance(s, named.items[0]) < 16.0).then_some(amount.high as u32)
        });
        let Some(number) = leading_count(scene, named.items[0]).or(after).or(pieces).or(before) else {
            continue;
        };
        let cue = scene.nearest(named.items[0], 16.0, |i| i.is("stack") || i.norm == "top");
        if (laid || cue.is_some()) && (2..=40).contains(&number) {
            named.count = Some(number);
        }
    }
}

/// The number of pieces that stands before a size: `two 10x5`, `2 pcs of 10x5`, `three discs 30x5`.
pub(crate) fn leading_count(scene: &Scene, item: usize) -> Option<u32> {
    let mut at = item;
    for _ in 0..5 {
        let before = scene.previous(at)?;
        let it = &scene.items[before];
        if let Some(amount) = it.amount() {
            // "2) block 12x12x3" numbers a list
            let listed = scene
                .items
                .get(before + 1)
                .is_some_and(|x| matches!(x.what, What::Mark(')' | '.' | ':')));
            if listed {
                return None;
            }
            return (amount.is_bare() && amount.high.fract() == 0.0 && amount.high >= 1.0)
                .then_some(amount.high as u32);
        }
        let passes = it.is_magnet()
            || it.is_any(&["pieces", "stack"])
            || it.grade().is_some()
            || matches!(
                it.norm.as_str(),
                "x" | "of"
                    | "the"
                    | "your"
                    | "my"
                    | "our"
                    | "those"
                    | "small"
                    | "these"
                    | "short"
                    | "long"
                    | "thin"
                    | "thick"
                    | "flat"
                    | "little"
                    | "big"
                    | "single"
                    | "solid"
                    | "separate"
                    | "equal"
            );
        if !passes {
            return None;
        }
        at = before;
    }
    None
}
