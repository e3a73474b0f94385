//! How surely a length belongs to a noun: nearness, grammar and brackets.

use quantity::Kind;

use super::is_steel;
use crate::lexer::{Item, What};
use crate::magnets::dimension;
use crate::named::Class;
use crate::scene::{Scene, bracket_owner, is_noun};

/// Beyond this distance a noun says nothing of a length.
pub(super) const BESIDE: f64 = 8.0;

/// How surely a length belongs to a noun that fits: its nearness, and more where it stands directly before the noun.
pub(super) fn affinity(scene: &Scene, i: usize, fits: impl Fn(usize, &Item) -> bool) -> f64 {
    let mut best = 0.0f64;
    let heads = heads_row(scene, i);
    if let Some(owner) = bracket_owner(scene, i)
        && fits(owner, &scene.items[owner])
    {
        best = 4.2;
    }
    for n in scene.around(i, BESIDE) {
        let item = &scene.items[n];
        if n == i || item.is("inside") || !fits(n, item) {
            continue;
        }
        let mut score = 4.6 - 0.75 * scene.distance(i, n);
        let (from, to) = if n > i { (i + 1, n) } else { (n + 1, i) };
        let between = &scene.items[from..to];
        // "steel disc, 20 mm diameter, 2 mm thick": one thing's sizes stand in a row
        for (k, x) in between.iter().enumerate() {
            if x.amount().is_some() || x.size().is_some() {
                score -= if dimension(scene, from + k).is_some() && n < i {
                    0.2
                } else {
                    0.9
                };
            }
        }
        let stop = !scene.same_clause(i, n);
        let participle = item.norm.ends_with("ed") && item.of(Class::Layer);
        if n > i && participle {
            score -= 2.5;
        } else if n > i && !stop {
            score += if heads { -2.0 } else { 1.2 };
            let others = between.iter().filter(|x| is_noun(x)).count();
            score -= 1.3 * others as f64;
        } else if n > i {
            score -= if scene.same_sentence(i, n) { 1.4 } else { 3.0 };
        } else if !scene.same_sentence(i, n) {
            score -= 0.8;
        }
        if n < i {
            let others = between.iter().filter(|x| is_noun(x)).count();
            score -= 0.9 * others as f64;
        }
        best = best.max(score);
    }
    best
}

/// Whether a length stands in the bracket of something that is no steel: `the receiver (1.9 kg, 155 mm wide)`.
pub(super) fn in_bracket_of_another(scene: &Scene, i: usize) -> bool {
    (0..i)
        .rev()
        .take(14)
        .take_while(|k| scene.items[*k].what != What::Mark(')'))
        .find(|k| scene.items[*k].what == What::Mark('('))
        .and_then(|open| scene.previous(open))
        .is_some_and(|owner| !is_steel(&scene.items[owner]) && bracket_owner(scene, i).is_none())
}

/// Whether a length directly follows a thing that is held, or a part of it: `the lamp foot 66 mm dia`.
pub(super) fn part_of_object(scene: &Scene, i: usize) -> bool {
    let held = |n: usize| scene.items[n].of(Class::Object) && !is_steel(&scene.items[n]);
    let before = scene.previous(i).filter(|b| scene.distance(*b, i) < 1.3);
    before.is_some_and(|b| {
        held(b) || !is_noun(&scene.items[b]) && scene.previous(b).is_some_and(|o| held(o) && scene.distance(o, b) < 1.3)
    })
}

/// Whether nouns stand before their lengths: in `wall 1.5 mm, paint 0.2 mm` the paint is not what measures 1.5 mm.
fn heads_row(scene: &Scene, i: usize) -> bool {
    let own = scene.nearest(i, 2.6, is_noun).is_some_and(|(n, _)| {
        n < i && scene.same_clause(n, i) && scene.items[n..i].iter().all(|x| x.amount().is_none())
    });
    let follows = (i + 1..scene.items.len())
        .take(5)
        .find(|n| scene.items[*n].amount().is_some());
    own && follows.is_some_and(|f| {
        let decimal = scene.items[f]
            .amount()
            .is_some_and(|a| !a.is_bare() || a.high.fract() != 0.0);
        let noun = (i + 1..f).rev().take(2).any(|n| is_noun(&scene.items[n]));
        decimal && noun && !scene.items[i + 1..f].iter().any(|x| x.is("thick"))
    })
}

/// The noun that leads a row of sizes: the steel of `steel washer 1.5 mm thick and 16 mm across`.
pub(super) fn row_owner(scene: &Scene, i: usize) -> Option<usize> {
    let mut at = scene.previous(i)?;
    let mut sizes = 0;
    for _ in 0..8 {
        let item = &scene.items[at];
        if item.amount().is_some_and(|a| a.kind() == Some(Kind::Length)) {
            sizes += 1;
        } else if is_noun(item) {
            return (sizes > 0 && scene.same_sentence(at, i)).then_some(at);
        } else if !(item.is_any(&["thick", "wide", "dia", "high", "long"])
            || matches!(item.norm.as_str(), "and" | "of"))
        {
            return None;
        }
        at = scene.previous(at)?;
    }
    None
}

/// Whether a size stands by steel rather than by what is held: `a steel plate 40 x 40`.
pub(crate) fn steel_beside(scene: &Scene, i: usize) -> bool {
    let steel = bracket_owner(scene, i)
        .filter(|o| is_steel(&scene.items[*o]))
        .map(|o| (o, 0.5))
        .or_else(|| scene.nearest(i, 4.5, is_steel))
        .filter(|(n, _)| scene.same_sentence(i, *n));
    let object = scene.nearest(i, 2.2, |x| x.of(Class::Object));
    steel.is_some_and(|s| object.is_none_or(|o| s.1 < o.1))
}
