//! What stands beside the need: conditions, and limits that a word alone sets.

use serde_json::json;

use super::Partial;
use crate::bounds::bound;
use crate::data::{Data, Said};
use crate::lexer::{Item, What};
use crate::loads;
use crate::named::Class;
use crate::note::Notes;
use crate::roles;
use crate::scene::{Scene, is_noun};

/// Rows of at least this weight say of the place itself what it is: `so call it outdoors`.
const STATED: f64 = 3.0;

pub(crate) fn conditions(scene: &Scene, out: &mut Partial, taken: &mut Vec<usize>, notes: &mut Notes) {
    let t = loads::temperatures(scene);
    for (key, chosen, meaning) in [
        ("warmest", t.warmest, "the warmest it gets"),
        ("coldest", t.coldest, "the coldest it gets"),
    ] {
        if let Some(c) = chosen {
            taken.push(c.item);
            notes.put(scene, c.item, &format!("/question/conditions/{key}"), meaning);
            out.conditions.insert(key.into(), json!(c.text));
        }
    }
    let said = Data::builtin().surroundings.said(&scene.words);
    // what a message says of the place itself, before what its words only speak of
    let stated = said.first().filter(|s| s.score >= STATED);
    let best = stated.or_else(|| {
        let order = ["food", "outdoors", "damp", "dry"];
        order.into_iter().find_map(|s| said.iter().find(|x| x.is == s))
    });
    if let Some(s) = best {
        out.conditions.insert("surroundings".into(), json!(s.is));
        notes.span(
            scene,
            s.place,
            "/question/conditions/surroundings",
            "where the magnet lives",
        );
    }
}

/// Whether what a row of words says is denied: `strongest not required`, `not the cheapest`.
fn denied(scene: &Scene, (first, last): (usize, usize)) -> bool {
    let no = |at: Option<usize>| at.is_some_and(|n| scene.items[n].is("negation"));
    let before = scene.previous(first);
    no(scene.next(last)) || no(before) || no(before.and_then(|b| scene.previous(b)))
}

/// Whether a superlative is said of something else than the magnet: `the smallest bell`, `the lightest is 6 mm wide`.
fn most_of_another(scene: &Scene, (first, last): (usize, usize)) -> bool {
    let superlative = first == last && scene.items[first].norm.ends_with("est");
    let after = scene.next(last).filter(|n| scene.distance(last, *n) < 1.3);
    let other = after.is_some_and(|n| {
        let x = &scene.items[n];
        matches!(x.norm.as_str(), "is" | "bell" | "part" | "model" | "tool" | "child")
    });
    superlative && scene.word(scene.previous(first)) == "the" && other
}

/// Whether a finish belongs to something else than the magnet: `nickel plated steel`, `a rubber pad`.
fn of_another(scene: &Scene, (_, last): (usize, usize)) -> bool {
    let next = scene.next(last);
    next.into_iter().chain(next.and_then(|n| scene.next(n))).any(|n| {
        let x = &scene.items[n];
        !x.is_magnet() && (x.of(Class::Surface) || x.of(Class::Through) || x.of(Class::Object) || x.norm == "allergy")
    })
}

/// Whether a finish is that of the steel named before it: `a steel tube, wall 2 mm, zinc plated`.
fn of_steel(scene: &Scene, (first, last): (usize, usize)) -> bool {
    let plated = [Some(last), scene.next(last)];
    let says = plated.into_iter().flatten().any(|n| {
        let norm = &scene.items[n].norm;
        ["plated", "galvan", "coated"].iter().any(|w| norm.contains(w))
    });
    let each = |n: usize| matches!(scene.word(scene.previous(n)), "per" | "each" | "every");
    let noun = (0..first)
        .rev()
        .take_while(|n| scene.same_sentence(*n, first))
        .find(|n| is_noun(&scene.items[*n]) && !each(*n));
    // "one magnet per tray, epoxy coated": what only may be steel is not what is coated beside a magnet
    let magnet = (0..first)
        .rev()
        .take_while(|n| scene.same_sentence(*n, first))
        .find(|n| (scene.items[*n].is_magnet() || scene.items[*n].of(Class::Surface)) && !each(*n))
        .is_some_and(|n| scene.items[n].is_magnet());
    let steel = |x: &Item| x.of(Class::Surface) || x.of(Class::Perhaps) && !magnet;
    says && noun.is_some_and(|n| steel(&scene.items[n]) && !scene.items[n].is_magnet())
}

/// The finish that a word names by itself.
fn finish(item: &Item) -> Option<&'static str> {
    const FINISHES: [&str; 5] = ["nickel", "epoxy", "zinc", "gold", "rubber"];
    let word = item.is("finish") && !item.is("inside");
    FINISHES.into_iter().find(|f| word && item.norm.starts_with(f))
}

/// The finishes that a message names by a word alone.
pub(crate) fn finishes(scene: &Scene) -> Vec<Said<'static>> {
    let words = scene.items.iter().enumerate();
    words
        .filter_map(|(i, item)| {
            let is = finish(item)?;
            let place = (i, i);
            (!of_another(scene, place) && !denied(scene, place) && !is_layer(scene, place)).then_some(Said {
                is,
                score: 1.0,
                place,
            })
        })
        .collect()
}

/// Whether a finish stands as a sentence of its own, or directly after a grade or a size: `Epoxy.`, `disc 10x5 N42 gold`.
fn stands_alone(scene: &Scene, (first, last): (usize, usize)) -> bool {
    let before = first.checked_sub(1).map(|n| &scene.items[n]);
    let after = scene.items.get(last + 1);
    let stop = |x: Option<&Item>| x.is_none_or(|x| matches!(x.what, What::Mark('.' | '!' | '?' | ';') | What::Break));
    let of_magnet = before.is_some_and(|x| x.grade().is_some() || x.size().is_some());
    of_magnet || stop(before) && stop(after)
}

/// Whether a finish has a thickness before it, and so is what lies between: `0.5 mm epoxy`.
fn is_layer(scene: &Scene, (first, _): (usize, usize)) -> bool {
    let before = scene.previous(first).filter(|n| scene.same_sentence(*n, first));
    let before = before.and_then(|n| scene.items[n].amount());
    before.is_some_and(|a| a.kind() == Some(quantity::Kind::Length) && a.high < 5.0)
}

/// The finishes that a message names of the magnet.
pub(crate) fn coatings(scene: &Scene) -> Vec<Said<'static>> {
    let own = |s: &Said| {
        !of_another(scene, s.place) && !of_steel(scene, s.place) && !denied(scene, s.place) && !is_layer(scene, s.place)
    };
    let said = Data::builtin().coating.said(&scene.words);
    let mut out: Vec<Said> = said.into_iter().filter(own).collect();
    for alone in finishes(scene).into_iter().filter(|s| stands_alone(scene, s.place)) {
        if out.iter().all(|s| s.is != alone.is) {
            out.push(alone);
        }
    }
    out
}

pub(super) fn choices(scene: &Scene, out: &mut Partial, taken: &mut Vec<usize>, notes: &mut Notes) {
    let data = Data::builtin();
    let goals = data.goal.said(&scene.words);
    if let Some(s) = goals
        .iter()
        .find(|s| !denied(scene, s.place) && !most_of_another(scene, s.place))
    {
        out.limits.insert("goal".into(), json!(s.is));
        notes.span(scene, s.place, "/question/limits/goal", "what is wanted most");
    }
    if let Some(s) = coatings(scene).first() {
        out.limits.insert("coating".into(), json!(s.is));
        notes.span(scene, s.place, "/question/limits/coating", "coating");
    }
    if let Some(s) = data.steelwork.said(&scene.words).first() {
        out.limits.insert("steelwork".into(), json!(s.is));
        notes.span(scene, s.place, "/question/limits/steelwork", "steel parts");
    }
    for s in data.flag.said(&scene.words) {
        out.limits.insert(s.is.to_owned(), json!(true));
        notes.span(
            scene,
            s.place,
            &format!("/question/limits/{}", s.is),
            match s.is {
                "in_stock" => "only what is in stock",
                "ships_by_air" => "must fly unrestricted",
                _ => "countersunk",
            },
        );
    }
    let mut grades: Vec<String> = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        if let Some(grade) = item.grade().filter(|_| !item.is("inside")) {
            if !grades.iter().any(|g| g == grade) {
                grades.push(grade.to_owned());
            }
            notes.put(scene, i, "/question/limits/grades", "grade");
        }
    }
    if grades.is_empty()
        && let Some((i, family)) = scene
            .items
            .iter()
            .enumerate()
            .find_map(|(i, x)| Some((i, x.family()?.to_owned())))
        && family != "neodymium"
        && scene.says(&["only", "ferrite only"])
    {
        grades.push(family);
        notes.put(scene, i, "/question/limits/grades", "material of the magnet");
    }
    if !grades.is_empty() {
        out.limits.insert("grades".into(), json!(grades));
    }
    let shapes = shapes(scene, notes);
    if !shapes.is_empty() {
        out.limits.insert("shapes".into(), json!(shapes));
    }
    let (each, total) = loads::money(scene);
    for (key, money, meaning) in [
        ("budget_each", each, "most for one"),
        ("budget_total", total, "most in total"),
    ] {
        if let Some((i, text)) = money {
            taken.push(i);
            notes.put(scene, i, &format!("/question/limits/{key}"), meaning);
            out.limits.insert(key.into(), json!(text));
        }
    }
    if let Some((i, friction)) = loads::friction(scene) {
        taken.push(i);
        out.need.insert("friction".into(), json!(friction));
        notes.put(scene, i, "/question/need/friction", "friction");
    }
}

/// The shapes that the customer asks for.
fn shapes(scene: &Scene, notes: &mut Notes) -> Vec<&'static str> {
    let mut out: Vec<&'static str> = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        let Some(shape) = ["disc", "ring", "block", "sphere"].into_iter().find(|s| item.is(s)) else {
            continue;
        };
        if !asked_shape(scene, i, shape) {
            continue;
        }
        if !out.contains(&shape) {
            out.push(shape);
        }
        notes.put(scene, i, "/question/limits/shapes", "shape");
    }
    // "a ring, 12 mm round": round says how wide it is
    let only_round = scene.tagged("disc").all(|i| scene.items[i].norm == "round");
    if out.len() > 1 && only_round {
        out.retain(|shape| *shape != "disc");
    }
    out
}

/// Whether a word for a shape says that the magnet should have it.
fn asked_shape(scene: &Scene, i: usize, shape: &str) -> bool {
    let item = &scene.items[i];
    if item.norm.contains("magnet") {
        return true;
    }
    // "a ring of ferritic stainless"
    let made = scene
        .next(i)
        .filter(|n| scene.items[*n].norm == "of")
        .and_then(|n| scene.next(n));
    let metal = |n: usize| {
        let x = &scene.items[n];
        !x.is_magnet() && (roles::is_steel(x) || x.of(Class::Inert))
    };
    if made.is_some_and(metal) || scene.previous(i).is_some_and(metal) {
        return false;
    }
    if scene.taken_back(i) {
        return false;
    }
    // "the rings were perfect": those of the last order
    if matches!(scene.word(scene.next(i)), "were" | "was" | "arrived" | "came") {
        return false;
    }
    // "round the edge", "a plate 0.5 mm thick and 40 mm round"
    if item.norm == "round" && (goes_round(scene, i) || of_steel_before(scene, i)) {
        return false;
    }
    // "a steel blank, 30 mm round", "steel 0.3 mm disc"
    let own = |x: &Item| x.is("magnet");
    let steel = |x: &Item| x.of(Class::Surface) && !x.is_magnet();
    let of_steel = scene
        .nearest(i, 2.6, steel)
        .filter(|(n, _)| *n < i && scene.same_sentence(*n, i));
    if of_steel.is_some_and(|(_, d)| scene.nearest(i, d, own).is_none())
        && scene.nearest(i, 1.7, |x| x.amount().is_some()).is_some()
    {
        return false;
    }
    let thing = item.of(Class::Surface) || item.of(Class::Object) || item.is("inside");
    let round = matches!(item.norm.as_str(), "round" | "circular" | "bar" | "button");
    // "round tube", "steel ball", "two steel bars", "disc brake"
    let after = scene.next(i).map(|n| &scene.items[n]);
    // "at the cylinder side", "a cylinder piston": one that air or oil drives
    let driven = item.norm == "cylinder"
        && after.is_some_and(|n| matches!(n.norm.as_str(), "side" | "piston" | "wall" | "head" | "tube" | "barrel"));
    let owned = after.is_some_and(|n| {
        matches!(n.norm.as_str(), "brake" | "binder" | "welded" | "glued" | "screwed")
            || n.of(Class::Surface) && !n.is_magnet()
    }) || scene
        .previous(i)
        .is_some_and(|p| scene.items[p].of(Class::Surface) && scene.items[p].norm.contains("steel"));
    let magnet_near = scene
        .nearest(i, 2.6, |x| x.is("magnet"))
        .is_some_and(|(n, _)| scene.same_sentence(i, n));
    let made_of = scene
        .previous(i)
        .is_some_and(|p| scene.items[p].of(Class::Layer) || scene.items[p].of(Class::Inert));
    let sized_round = item.norm == "round" && scene.nearest(i, 1.7, |x| x.amount().is_some()).is_some();
    if thing
        || driven
        || owned
        || made_of
        || (round
            && !sized_round
            && scene
                .nearest(i, 5.0, |x| x.is("magnet") || x.of(Class::Recess))
                .is_none())
    {
        return false;
    }
    // "bar" is a shape in "bar magnet" alone
    if matches!(item.norm.as_str(), "bar" | "bars" | "button") && !after.is_some_and(|n| n.is("magnet")) {
        return false;
    }
    let sure = matches!(
        item.norm.trim_end_matches('s'),
        "disc" | "disk" | "cylinder" | "sphere" | "cube"
    );
    let steel_ball = shape == "sphere" && scene.any(|x| x.of(Class::Surface) && x.norm.contains("ball"));
    let sized_round = item.norm == "round"
        && scene
            .nearest(i, 1.7, |x| x.amount().is_some())
            .is_some_and(|(n, _)| bound(scene, n) == Some(true));
    !steel_ball && (sure || sized_round || magnet_near || standing(scene, i))
}

/// Whether `round` is where something goes: `round the edge`.
fn goes_round(scene: &Scene, i: usize) -> bool {
    matches!(
        scene.word(scene.next(i)),
        "the" | "a" | "an" | "its" | "my" | "our" | "your" | "their" | "each" | "every" | "it"
    )
}

/// Whether the noun before is steel, so that `round` says how that is made.
fn of_steel_before(scene: &Scene, i: usize) -> bool {
    let noun = (0..i)
        .rev()
        .take_while(|n| scene.same_sentence(*n, i))
        .find(|n| is_noun(&scene.items[*n]));
    let at_size = scene.previous(i).is_some_and(|p| scene.items[p].amount().is_some());
    at_size && noun.is_some_and(|n| scene.items[n].of(Class::Surface) && !scene.items[n].is_magnet())
}

/// Whether a shape stands for the magnet itself: `disc 30 mm max`, `what disc`, `ring with hole`.
fn standing(scene: &Scene, i: usize) -> bool {
    let lead = scene.word(scene.previous(i));
    let bolt = scene
        .nearest(i, 2.0, |x| {
            matches!(x.norm.as_str(), "eye" | "bolt" | "hook" | "flag" | "key")
        })
        .is_some();
    if bolt {
        return false;
    }
    let sized = scene
        .nearest(i, 3.2, |x| {
            x.amount().is_some() || x.size().is_some() || x.is_any(&["dia", "max"])
        })
        .is_some();
    let asked = matches!(
        lead,
        "what"
            | "which"
            | "disc"
            | "a"
            | "one"
            | "or"
            | "size"
            | "neodymium"
            | "the"
            | "strongest"
            | "please"
            | "tiny"
            | "small"
            | "thin"
            | "flat"
            | "need"
            | "any"
            | "some"
            | "two"
            | "no"
            | "so"
            | "quote"
            | "as"
            | "for"
            | "like"
            | "with"
            | "is"
            | "shape"
            | "only"
            | "prefer"
    ) || lead.is_empty();
    sized || asked
}
