//! Whose length is it? Every length of the message competes for the places that a question has for lengths.

use advice::sentence::Verb;
use quantity::{Kind, Unit};

use crate::lexer::{Amount, Item, Measure, What};
use crate::magnets::dimension;
use crate::named::{Class, Named};
use crate::scene::{Scene, bracket_owner, is_noun};

/// Whether a verb is about two magnets.
pub(crate) fn is_pair(verb: Verb) -> bool {
    matches!(verb, Verb::PullTogether | Verb::PushApart)
}

/// A place for a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    SteelThickness,
    SteelAcross,
    /// The layer that this item names.
    Layer(usize),
    Widest,
    Narrowest,
    Tallest,
    Shortest,
    Hole,
    Gap,
    Distance,
    OffAxis,
    Near,
    Far,
    Probe,
    /// A length that nobody asks for.
    Nobody,
}

/// A length of the message.
#[derive(Clone, Debug)]
pub(crate) struct LengthAt {
    pub item: usize,
    pub low_mm: f64,
    pub high_mm: f64,
    /// As a draft has it, in the customer's unit: the high end, and the low one.
    pub high: String,
    pub low: String,
}

/// A length with the place that it got.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub length: LengthAt,
    pub role: Role,
    pub score: f64,
    /// The next best place, where it was near.
    pub second: Option<Role>,
}

/// The unit of bare numbers: inches where all lengths are in inches.
fn usual_unit(scene: &Scene) -> Unit {
    let mut inch = false;
    for item in &scene.items {
        let unit = match (item.amount(), item.size()) {
            (Some(a), _) => match a.measure {
                Measure::Unit(u) if u.kind() == Kind::Length => Some(u),
                _ => None,
            },
            (_, Some(s)) => s.unit,
            _ => None,
        };
        match unit {
            Some(u) if u == Unit::INCH => inch = true,
            Some(u) if u == Unit::MIL => {}
            Some(_) => return Unit::MILLIMETRE,
            None => {}
        }
    }
    if inch { Unit::INCH } else { Unit::MILLIMETRE }
}

/// A number as a draft writes it.
pub(crate) fn plain(value: f64) -> String {
    let rounded = (value * 1e6).round() / 1e6;
    format!("{rounded}")
}

/// The lengths of a message; a bare number is one where a word for a dimension, a bound, a steel or a layer stands by it.
pub(crate) fn lengths(scene: &Scene, taken: &[usize]) -> Vec<LengthAt> {
    let usual = usual_unit(scene);
    let mut out = Vec::new();
    for (i, item) in scene.items.iter().enumerate() {
        let Some(amount) = item.amount().filter(|_| !taken.contains(&i)) else {
            continue;
        };
        let Some(length) = length(scene, i, amount, usual) else {
            continue;
        };
        out.push(length);
    }
    out
}

fn length(scene: &Scene, i: usize, amount: &Amount, usual: Unit) -> Option<LengthAt> {
    if let Measure::Gauge = amount.measure {
        let mm = gauge_mm(amount.high)?;
        return Some(LengthAt {
            item: i,
            low_mm: mm,
            high_mm: mm,
            high: format!("{} mm", plain(mm)),
            low: format!("{} mm", plain(mm)),
        });
    }
    let unit = match amount.measure {
        // said of millimetres where nothing is in inches
        Measure::Unit(unit)
            if unit == Unit::MIL
                && usual != Unit::INCH
                && !scene.text[scene.items[i].range.clone()].contains("thou") =>
        {
            Unit::MILLIMETRE
        }
        Measure::Unit(unit) if unit.kind() == Kind::Length => unit,
        Measure::Bare if is_bare_length(scene, i, amount) => {
            if amount.fraction && amount.digits {
                Unit::INCH
            } else {
                usual
            }
        }
        _ => return None,
    };
    if amount.high < 0.0 {
        return None;
    }
    let label = if unit == Unit::INCH { "in" } else { unit.label() };
    Some(LengthAt {
        item: i,
        low_mm: unit.to_si(amount.low) * 1e3,
        high_mm: unit.to_si(amount.high) * 1e3,
        high: format!("{} {label}", plain(amount.high)),
        low: format!("{} {label}", plain(amount.low)),
    })
}

/// Sheet gauge of plain steel in mm: the manufacturers' standard gauge, from memory.
fn gauge_mm(gauge: f64) -> Option<f64> {
    const TABLE: [(u32, f64); 15] = [
        (8, 4.18),
        (10, 3.42),
        (11, 3.04),
        (12, 2.66),
        (13, 2.28),
        (14, 1.90),
        (15, 1.71),
        (16, 1.52),
        (18, 1.21),
        (20, 0.91),
        (22, 0.76),
        (24, 0.61),
        (26, 0.45),
        (28, 0.38),
        (30, 0.30),
    ];
    TABLE
        .iter()
        .find(|(g, _)| f64::from(*g) == gauge.round())
        .map(|(_, mm)| *mm)
}

fn is_bare_length(scene: &Scene, i: usize, amount: &Amount) -> bool {
    let next = scene.next(i);
    let counted = next.is_some_and(|n| {
        let x = &scene.items[n];
        x.is_any(&["pieces", "pairs", "sets", "time", "age", "month"]) || (x.is("magnet") && !x.is("disc"))
    });
    if !amount.digits || amount.high > 500.0 || counted || amount.high < 0.01 {
        return false;
    }
    if amount.fraction
        && amount.high < 10.0
        && !next.is_some_and(|n| matches!(scene.items[n].norm.as_str(), "of" | "time" | "page"))
    {
        return true;
    }
    let area = next.is_some_and(|n| {
        matches!(scene.items[n].norm.as_str(), "square" | "sq")
            && scene
                .next(n)
                .is_some_and(|m| scene.items[m].norm.starts_with("met") || scene.items[m].norm.starts_with("f"))
    });
    if area {
        return false;
    }
    let numbered = scene
        .previous(i)
        .is_some_and(|p| scene.items[p].is("number_of") && !scene.items[p].is("thick"));
    if numbered {
        return false;
    }
    // "2.6 kg x 6 panels"
    let multiplied = scene
        .previous(i)
        .filter(|x| scene.items[*x].norm == "x")
        .and_then(|x| scene.previous(x))
        .is_some_and(|x| scene.items[x].amount().is_some_and(|a| a.kind() == Some(Kind::Mass)));
    if multiplied {
        return false;
    }
    if dimension(scene, i).is_some_and(|d| d != "inner" || amount.high < 100.0) {
        return true;
    }
    let sign_before = i > 0 && matches!(scene.items[i - 1].what, What::Mark('Ø' | 'ø' | '⌀'));
    if sign_before {
        return true;
    }
    let before = scene.previous(i);
    let decimal = amount.high.fract() != 0.0 || amount.high < 1.0;
    // "through-hole 6.4"
    if decimal && before.is_some_and(|b| scene.items[b].is("hole") && scene.distance(b, i) < 1.6) {
        return true;
    }
    // "paint 0.05", "coating 0.1", "sheet 0.5", "painted (0.2)"
    let owner = before.filter(|b| scene.distance(*b, i) <= 2.4).is_some_and(|b| {
        let x = &scene.items[b];
        x.of(Class::Layer)
            || x.of(Class::Surface)
            || x.norm == "coating"
            || x.names.iter().any(|n| matches!(n, Named::Layer(_)))
    });
    if owner && decimal {
        return true;
    }
    // "0.7 steel", "1.2 laminate", "steel, 1.5, upright"
    let thin = decimal && amount.high < 12.0;
    let follows = next.into_iter().chain(next.and_then(|n| scene.next(n))).any(|n| {
        scene.distance(i, n) < 2.8
            && (is_steel(&scene.items[n])
                || scene.items[n].of(Class::Layer)
                || scene.items[n].norm.starts_with("stainless"))
    });
    let beside = scene
        .nearest(i, 2.8, |x| {
            is_steel(x) || x.norm.starts_with("stainless") || x.names.iter().any(|n| matches!(n, Named::Layer(_)))
        })
        .is_some_and(|(n, _)| n < i && scene.same_sentence(i, n));
    if thin && (follows || beside) && next.is_none_or(|n| !scene.items[n].is_any(&["safety", "friction", "weigh"])) {
        return true;
    }
    if before.is_some_and(|b| {
        let norm = &scene.items[b].norm;
        [
            "wider", "thicker", "higher", "taller", "narrower", "longer", "thinner", "deeper", "smaller",
        ]
        .iter()
        .any(|w| norm.contains(w))
            && norm.ends_with("than")
    }) {
        return true;
    }
    // "a 20 hole in the back"
    if next.is_some_and(|n| scene.items[n].of(Class::Recess) && scene.items[n].norm != "holes")
        && amount.high >= 2.0
        && amount.high <= 60.0
    {
        return true;
    }
    let max = before.is_some_and(|b| scene.items[b].is("max"));
    let or_less = next.is_some_and(|n| scene.items[n].is("or_less") && !scene.items[n].is("max"));
    let about_size = scene
        .nearest(i, 7.0, |x| x.is_magnet() || x.is_any(&["dia", "thick", "high"]))
        .is_some();
    let range_of_dia = amount.low != amount.high && scene.nearest(i, 2.5, |x| x.is("dia")).is_some();
    ((max || or_less)
        && about_size
        && next.is_none_or(|n| {
            scene.items[n].is_any(&["max", "or_less", "dia", "thick", "wide"]) || scene.distance(i, n) > 1.5
        }))
        || range_of_dia
}

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

/// Beyond this distance a noun says nothing of a length.
const BESIDE: f64 = 8.0;

/// How surely a length belongs to a noun that fits: its nearness, and more where it stands directly before the noun.
fn affinity(scene: &Scene, i: usize, fits: impl Fn(usize, &Item) -> bool) -> f64 {
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
fn in_bracket_of_another(scene: &Scene, i: usize) -> bool {
    (0..i)
        .rev()
        .take(14)
        .take_while(|k| scene.items[*k].what != What::Mark(')'))
        .find(|k| scene.items[*k].what == What::Mark('('))
        .and_then(|open| scene.previous(open))
        .is_some_and(|owner| !is_steel(&scene.items[owner]) && bracket_owner(scene, i).is_none())
}

/// Whether a length directly follows a thing that is held, or a part of it: `the lamp foot 66 mm dia`.
fn part_of_object(scene: &Scene, i: usize) -> bool {
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
fn row_owner(scene: &Scene, i: usize) -> Option<usize> {
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

/// Whether an item names steel that a magnet sticks to.
pub(crate) fn is_steel(item: &Item) -> bool {
    item.of(Class::Surface) || item.names.iter().any(|n| matches!(n, Named::Steel(_)))
}

/// The material of a layer that an item names.
pub(crate) fn layer_of<'s>(scene: &'s Scene, n: usize) -> Option<&'s str> {
    let item = &scene.items[n];
    item.thing(Class::Layer)
        .and_then(|t| t.material.as_deref())
        .or_else(|| {
            item.names.iter().find_map(|n| match n {
                Named::Layer(name) => Some(name.as_str()),
                _ => None,
            })
        })
}

/// The layers that a message names, by item.
pub(crate) fn layer_items(scene: &Scene) -> Vec<usize> {
    (0..scene.items.len())
        .filter(|i| {
            let item = &scene.items[*i];
            let layer = item.of(Class::Layer) || item.names.iter().any(|n| matches!(n, Named::Layer(_)));
            let plain = matches!(
                item.norm.as_str(),
                "board" | "label" | "labels" | "nothing" | "gap" | "boards" | "clearance" | "empty space" | "air gap"
            );
            let magnetic = scene.word(scene.previous(*i)) == "magnetic";
            let barred = magnetic || item.is("inside") || item.is_magnet();
            layer && !barred && (!plain || item.norm.contains("air"))
        })
        .collect()
}

/// A place that scores so much less than the best one of a length is not taken when the best one is.
const FAR_BEHIND: f64 = 1.3;

/// The best places of all lengths together.
pub(crate) fn assign(scene: &Scene, verb: Verb, lengths: &[LengthAt]) -> Vec<Placed> {
    let mut offers: Vec<(f64, usize, Role)> = Vec::new();
    for (index, length) in lengths.iter().enumerate() {
        offers.extend(
            scores(scene, verb, length)
                .into_iter()
                .map(|(role, score)| (score, index, role)),
        );
    }
    offers.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best = vec![f64::MIN; lengths.len()];
    for (score, index, _) in &offers {
        best[*index] = best[*index].max(*score);
    }
    let mut placed: Vec<Option<Placed>> = vec![None; lengths.len()];
    for (score, index, role) in &offers {
        let free = matches!(
            *role,
            Role::Nobody | Role::Gap | Role::Distance | Role::Near | Role::Far
        ) || !placed.iter().flatten().any(|p| p.role == *role);
        match &mut placed[*index] {
            Some(p) if p.second.is_none() && p.score - score < 0.35 && *role != Role::Nobody && p.role != *role => {
                p.second = Some(*role);
            }
            Some(_) => {}
            // a place far behind the best one is no place
            None if free && *score > 0.0 && *score > best[*index] - FAR_BEHIND => {
                placed[*index] = Some(Placed {
                    length: lengths[*index].clone(),
                    role: *role,
                    score: *score,
                    second: None,
                });
            }
            None => {}
        }
    }
    let mut placed: Vec<Placed> = placed.into_iter().flatten().collect();
    // steel is wider than thick
    let place = |role: Role, placed: &[Placed]| placed.iter().position(|p| p.role == role);
    if let (Some(t), Some(a)) = (place(Role::SteelThickness, &placed), place(Role::SteelAcross, &placed))
        && placed[t].length.low_mm > placed[a].length.high_mm
    {
        placed[t].role = Role::SteelAcross;
        placed[a].role = Role::SteelThickness;
    }
    // a sheet without a thickness, and a length in its sentence that nobody wants
    if verb == Verb::Hold && !placed.iter().any(|p| p.role == Role::SteelThickness) {
        let free = placed
            .iter_mut()
            .filter(|p| p.role == Role::Nobody && (0.15..=60.0).contains(&p.length.high_mm))
            .find(|p| {
                let i = p.length.item;
                let thick = dimension(scene, i).is_none_or(|d| d == "thick") && bound(scene, i).is_none();
                thick
                    && scene
                        .nearest(i, 6.5, is_steel)
                        .is_some_and(|(n, _)| scene.same_sentence(i, n))
            });
        if let Some(p) = free {
            p.role = Role::SteelThickness;
            p.score = 0.5;
        }
    }
    placed
}

fn scores(scene: &Scene, verb: Verb, length: &LengthAt) -> Vec<(Role, f64)> {
    let i = length.item;
    let mm = length.high_mm;
    let bound = bound(scene, i);
    // "thin, 3 mm max"
    let flat = bound == Some(true)
        && scene
            .nearest(i, 3.2, |x| matches!(x.norm.as_str(), "thin" | "flat" | "slim"))
            .is_some_and(|(n, _)| n < i);
    let dim = dimension(scene, i).or(flat.then_some("thick"));
    let within = |low: f64, high: f64| if (low..=high).contains(&mm) { 0.0 } else { -4.0 };
    let by = |table: &[(&str, f64)], none: f64| {
        dim.map_or(none, |d| table.iter().find(|(w, _)| *w == d).map_or(0.0, |t| t.1))
    };
    let max = bound == Some(true);
    let min = bound == Some(false);
    let row = row_owner(scene, i).is_some_and(|o| is_steel(&scene.items[o]) && !scene.items[o].is_magnet());
    let gauge = scene.items[i].amount().is_some_and(|a| a.measure == Measure::Gauge);
    let mut out = vec![];

    let steel = affinity(scene, i, |_, x| is_steel(x));
    let perhaps = affinity(scene, i, |_, x| x.of(Class::Perhaps)) - 0.5;
    let surface = steel.max(perhaps);
    let magnet = affinity(scene, i, |_, x| x.is_magnet() && !x.of(Class::Surface));
    let recess = affinity(scene, i, |_, x| x.of(Class::Recess));
    let object = affinity(scene, i, |_, x| x.of(Class::Object));

    out.push((
        Role::Nobody,
        1.2 + object.max(0.0) * 0.75
            + by(
                &[
                    ("long", 2.0),
                    ("wide", 0.6),
                    ("high", 0.8),
                    ("deep", 0.3),
                    ("dia", 0.3),
                    ("thick", -0.4),
                ],
                0.0,
            )
            - if bound.is_some() { 1.5 } else { 0.0 },
    ));

    if verb == Verb::Hold {
        let thick = surface
            + by(
                &[
                    ("thick", 2.0),
                    ("wide", -4.0),
                    ("dia", -4.0),
                    ("high", -3.5),
                    ("long", -5.0),
                    ("deep", -3.5),
                    ("inner", -4.0),
                ],
                0.3,
            )
            + within(0.15, 60.0)
            + if max || min { -2.2 } else { 0.0 }
            + if gauge { 4.0 } else { 0.0 }
            // so thick where it says so
            + if mm > 25.0 && dim.is_none() { -2.5 } else { 0.0 };
        out.push((Role::SteelThickness, thick));
        let round = scene.nearest(i, 3.5, |x| {
            x.of(Class::Surface)
                && ["disc", "disk", "washer", "ball", "cap", "lid"]
                    .iter()
                    .any(|w| x.norm.contains(w))
        });
        let across = surface
            + if row { 1.8 } else { 0.0 }
            + if round.is_some() && dim.is_none() { 2.6 } else { 0.0 }
            + by(
                &[
                    ("wide", 2.2),
                    ("dia", 1.6),
                    ("high", 0.8),
                    ("long", -2.5),
                    ("thick", -6.0),
                    ("deep", -4.0),
                    ("inner", -3.0),
                ],
                -2.2,
            )
            + if in_bracket_of_another(scene, i) || part_of_object(scene, i) {
                -3.0
            } else {
                0.0
            }
            + within(5.0, 400.0)
            + if max || min { -2.5 } else { 0.0 };
        out.push((Role::SteelAcross, across));
    }
    if verb == Verb::Hold || verb == Verb::PullTogether {
        for n in layer_items(scene)
            .into_iter()
            .filter(|n| scene.distance(*n, i) <= BESIDE)
        {
            let own = affinity(scene, i, |m, _| m == n);
            let coat = layer_of(scene, n).is_some_and(|m| matches!(m, "paint" | "powder coat" | "air" | "tape"));
            let lies_between = coat
                || scene
                    .nearest(n, 4.5, |x| {
                        x.is("layer_cue") && !matches!(x.norm.as_str(), "of" | "with" | "thick")
                    })
                    .is_some_and(|(m, _)| scene.same_sentence(m, n))
                || scene.next(i).is_some_and(|x| scene.items[x].norm == "of");
            // "the shelf is birch ply 12 mm": what a thing is made of
            let made_of = !coat
                && scene.previous(n).is_some_and(|p| {
                    matches!(scene.items[p].norm.as_str(), "is" | "are" | "of")
                        && scene
                            .previous(p)
                            .is_some_and(|q| scene.items[q].of(Class::Perhaps) || scene.items[q].of(Class::Object))
                });
            // "labels of 2 mm acrylic", "plastic bases": likewise
            let of_it = !coat && scene.word(scene.previous(i)) == "of" && n > i;
            let part = !coat
                && scene.next(n).is_some_and(|m| {
                    let x = &scene.items[m];
                    x.what == What::Word && x.of(Class::Object) && !x.is("layer_cue") && scene.distance(n, m) < 1.3
                });
            let own = if made_of || of_it || part {
                own - 2.0
            } else if lies_between {
                own + 0.4
            } else {
                own - 1.2
            };
            let score =
                own + by(
                    &[
                        ("thick", 1.4),
                        ("wide", -4.0),
                        ("dia", -4.0),
                        ("high", -3.0),
                        ("long", -4.0),
                        ("deep", -2.5),
                    ],
                    0.7,
                ) + within(0.01, 60.0)
                    + if max || min { -1.5 } else { 0.0 };
            if own > 0.0 {
                out.push((Role::Layer(n), score));
            }
        }
    }
    let own = magnet.max(recess + 0.4);
    // with neither a magnet nor a bound near, a size is hardly the magnet's
    let stray = if own <= 0.3 && bound.is_none() { -1.5 } else { 0.0 };
    let stray = if row && !max { stray - 2.5 } else { stray };
    let size_bound = if max { 2.6 } else { 0.0 };
    let wide = own * 0.8
        + by(
            &[
                ("dia", 2.4),
                ("wide", 1.8),
                ("thick", -5.0),
                ("high", -5.0),
                ("deep", -5.0),
                ("long", 0.6),
                ("inner", -3.0),
            ],
            0.2,
        )
        + size_bound
        + stray
        + within(1.0, 250.0);
    // a bound of a few millimetres is one of height
    let low = max && dim.is_none() && mm < 3.6;
    let wide = if low { wide - 3.0 } else { wide };
    // a rod is long along its axis
    let rod = dim == Some("long") && scene.any(|x| matches!(x.norm.as_str(), "rod" | "rods" | "rod magnet"));
    let wide = if rod { wide - 4.0 } else { wide };
    out.push((Role::Widest, if min { wide - 3.0 } else { wide }));
    let tall = own * 0.8
        + by(
            &[
                ("thick", 1.8),
                ("high", 2.2),
                ("deep", 2.4),
                ("dia", -6.0),
                ("wide", -5.0),
                ("long", 0.4),
                ("inner", -6.0),
            ],
            -3.0,
        )
        + size_bound
        + stray
        + within(0.2, 150.0);
    let tall = if low { tall + 3.5 } else { tall };
    let tall = if rod { tall + 2.0 } else { tall };
    out.push((Role::Tallest, if min { tall - 3.0 } else { tall }));
    if min {
        out.push((Role::Narrowest, wide - 0.2));
        out.push((Role::Shortest, tall - 0.2));
    }
    let hole = affinity(scene, i, |n, x| {
        (x.is("hole") && screw_hole(scene, n)) || x.is("countersunk") || x.of(Class::Through)
    });
    out.push((
        Role::Hole,
        hole + by(
            &[
                ("inner", 1.0),
                ("dia", 0.2),
                ("thick", -4.0),
                ("deep", -4.0),
                ("long", -4.0),
                ("high", -3.0),
            ],
            0.3,
        ) + within(1.0, 20.0)
            + if max { -1.5 } else { 0.6 },
    ));
    let apart = affinity(scene, i, |_, x| x.is_any(&["gap", "between"]));
    let away = affinity(scene, i, |_, x| x.is_any(&["away", "gap", "at"]));
    let through = affinity(scene, i, |_, x| x.is("through"));
    match verb {
        Verb::PullTogether | Verb::PushApart => {
            let at = affinity(scene, i, |_, x| x.is("at")) - 0.8;
            let total = if scene.nearest(i, 3.0, |x| x.is("total")).is_some() {
                1.5
            } else {
                0.0
            };
            let lifted = scene
                .nearest(i, 2.0, |x| {
                    matches!(x.norm.as_str(), "above" | "height" | "apart" | "high" | "at")
                })
                .is_some();
            let base = if verb == Verb::PushApart && lifted && !max {
                3.4
            } else if mm < 30.0 && object < 2.5 {
                1.6
            } else {
                0.6
            };
            out.push((
                Role::Gap,
                base + apart.max(through - 0.3).max(at)
                    + total
                    + by(
                        &[
                            ("thick", 0.0),
                            ("wide", -3.0),
                            ("dia", -4.0),
                            ("long", -4.0),
                            ("deep", -3.0),
                            ("high", 0.0),
                        ],
                        0.3,
                    )
                    + if max { -1.5 } else { 0.0 },
            ));
        }
        Verb::ReachField => {
            out.push((
                Role::Distance,
                1.5 + away.max(through)
                    + by(&[("wide", -4.0), ("dia", -4.0), ("thick", -4.0), ("long", -3.0)], 0.4)
                    + if max { -1.0 } else { 0.0 },
            ));
            let off_axis = affinity(scene, i, |_, x| {
                matches!(x.norm.as_str(), "sideways" | "off-axis" | "axis")
            });
            let beside = ["off the axis", "off axis", "off-axis", "to the side", "sideways"]
                .iter()
                .any(|w| near_words(scene, i, w))
                || matches!(scene.word(scene.previous(i)), "offset" | "displacement" | "off-axis");
            if beside {
                out.push((Role::OffAxis, off_axis + 3.0));
            }
        }
        Verb::SwitchSensor => {
            let open = affinity(scene, i, |_, x| x.is_any(&["release", "far"]));
            let close = affinity(scene, i, |_, x| {
                x.is_any(&["near", "operate", "through", "gap", "at"]) && !x.is("far")
            });
            let wrong = by(
                &[
                    ("wide", -4.0),
                    ("dia", -4.0),
                    ("thick", -3.0),
                    ("long", -4.0),
                    ("high", -3.0),
                ],
                0.0,
            );
            out.push((Role::Near, 2.6 + close + wrong + within(0.5, 500.0)));
            out.push((Role::Far, 2.2 + open + wrong + within(0.5, 500.0)));
        }
        Verb::FaceField => {
            let probe = affinity(scene, i, |_, x| x.is("probe"));
            out.push((
                Role::Probe,
                probe.max(if scene.any(|x| x.is("probe")) { 3.0 } else { 0.0 })
                    + by(&[("deep", 2.0), ("dia", -4.0), ("wide", -4.0), ("long", -3.0)], 0.3)
                    + within(0.05, 5.0),
            ));
        }
        Verb::Hold => {
            let air = affinity(scene, i, |_, x| {
                matches!(x.norm.as_str(), "gap" | "air gap" | "airgap" | "air" | "clearance")
            });
            if air > 0.0
                && !layer_items(scene)
                    .iter()
                    .any(|n| scene.items[*n].norm.contains("air") && scene.distance(*n, i) < 3.0)
            {
                out.push((Role::Gap, air + 0.8 + by(&[("wide", -3.0), ("dia", -4.0)], 0.0)));
            }
        }
    }
    out
}

fn near_words(scene: &Scene, i: usize, words: &str) -> bool {
    let from = scene.items[i].range.end;
    let to = (from + 24).min(scene.text.len());
    scene
        .text
        .get(from..to)
        .is_some_and(|t| t.to_lowercase().contains(words))
}

/// Whether a hole is in the magnet, for a screw or a rod, rather than a place for the magnet.
pub(crate) fn screw_hole(scene: &Scene, n: usize) -> bool {
    let item = &scene.items[n];
    if item.is("countersunk")
        || item.norm.starts_with("through")
        || item.norm.starts_with("threaded")
        || item.norm.starts_with("clearance")
    {
        return true;
    }
    let near = scene.nearest(n, 5.0, |x| {
        x.of(Class::Through) || x.is("countersunk") || matches!(x.norm.as_str(), "m3" | "m4" | "m5" | "m6" | "m8")
    });
    if near.is_some_and(|(m, _)| scene.same_sentence(m, n)) {
        return true;
    }
    // "ring, 4 mm hole"
    let of_ring = scene
        .nearest(n, 4.0, |x| x.is("ring") && !x.of(Class::Surface))
        .is_some_and(|(m, _)| m < n && scene.same_sentence(m, n));
    if of_ring {
        return true;
    }
    // "magnet with a hole", "ring with 3 mm hole", "hole in the middle"
    let mut at = n;
    for _ in 0..5 {
        let Some(before) = scene.previous(at) else { break };
        let x = &scene.items[before];
        if matches!(
            x.norm.as_str(),
            "with" | "w" | "has" | "having" | "needs" | "need" | "w/"
        ) {
            let owner = scene.previous(before);
            return owner.is_none_or(|o| scene.items[o].is_magnet() || !is_noun(&scene.items[o]));
        }
        at = before;
    }
    scene
        .nearest(n, 3.5, |x| {
            matches!(x.norm.as_str(), "middle" | "centre" | "center" | "through")
        })
        .is_some()
}
