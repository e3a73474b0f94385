//! Bound words by an amount: `max`, `not wider than`, `or less`.

use crate::named::Class;
use crate::scene::Scene;

/// Bound words by an amount: `Some(true)` for a maximum.
pub(crate) fn bound(scene: &Scene, i: usize) -> Option<bool> {
    let mut at = i;
    for _ in 0..4 {
        let Some(before) = scene.previous(at).filter(|b| scene.same_sentence(*b, i)) else {
            break;
        };
        let item = &scene.items[before];
        if item.is("max")
            && !(matches!(item.norm.as_str(), "under" | "below" | "beneath") && hangs_under(scene, before))
            && !(item.norm == "within" && comes(scene, before))
        {
            return Some(true);
        }
        if item.norm == "nor" {
            return Some(true);
        }
        if item.is("min") {
            return Some(negated(scene, before));
        }
        let passes = item.is_any(&["dia", "thick", "wide", "high", "deep", "long"])
            || matches!(
                item.norm.as_str(),
                "a" | "an" | "is" | "be" | "of" | "about" | "the" | "to"
            );
        if !passes {
            break;
        }
        at = before;
    }
    let mut at = i;
    for _ in 0..3 {
        let Some(after) = scene.next(at).filter(|a| scene.same_sentence(*a, i)) else {
            break;
        };
        let item = &scene.items[after];
        if item.is("or_less") {
            // "20 mm, max 5 thick": the bound belongs to what follows it
            let own = scene.next(after).is_none_or(|n| scene.items[n].amount().is_none());
            if own {
                return Some(true);
            }
            break;
        }
        if item.is("or_more") {
            return Some(false);
        }
        if !item.is_any(&["dia", "thick", "wide", "high", "deep", "long"])
            && !item.is_magnet()
            && !matches!(item.norm.as_str(), "is" | "the")
        {
            break;
        }
        at = after;
    }
    None
}

/// Whether a comparison is denied: `must not be wider than`, `no magnet larger than`.
fn negated(scene: &Scene, comparison: usize) -> bool {
    scene.items[comparison].norm.ends_with("than")
        && scene
            .nearest(comparison, 5.0, |x| x.is("negation"))
            .is_some_and(|(n, _)| n < comparison && scene.same_sentence(n, comparison))
}

/// Whether `within` says how near something comes: `when they come within 3 mm`.
fn comes(scene: &Scene, within: usize) -> bool {
    let come = [
        "come", "comes", "coming", "get", "gets", "pass", "passes", "approach", "brought", "moved", "from",
    ];
    come.contains(&scene.word(scene.previous(within)))
}

/// Whether `under` is a place rather than a bound: `under 3 mm steel`, `under the shelf`.
fn hangs_under(scene: &Scene, under: usize) -> bool {
    let Some(mut amount) = scene.next(under) else {
        return false;
    };
    while matches!(scene.items[amount].norm.as_str(), "a" | "the" | "an" | "our" | "my") {
        let Some(next) = scene.next(amount) else { return false };
        amount = next;
    }
    let noun = scene.next(amount).map(|n| {
        if scene.items[n].is("thick") {
            scene.next(n).unwrap_or(n)
        } else {
            n
        }
    });
    noun.is_some_and(|n| {
        scene.items[n].of(Class::Surface) || scene.items[n].of(Class::Layer) || scene.items[n].of(Class::Perhaps)
    })
}
