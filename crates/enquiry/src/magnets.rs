//! The magnets that a message names by size, shape and grade.

use quantity::{Kind, Unit};

use crate::lexer::{Amount, Item, Measure, Size};
use crate::named::Class;
use crate::scene::{Scene, bracket_owner};

/// A magnet as a message names it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Named {
    /// Its first item.
    pub item: usize,
    /// The items of its sizes.
    pub items: Vec<usize>,
    pub shape: Option<&'static str>,
    /// In mm, in the order of its shape.
    pub size_mm: Vec<f64>,
    pub grade: Option<String>,
    pub count: Option<u32>,
    /// Whether a bound stands by it, so that it limits what is to be chosen.
    pub bound: bool,
    /// Whether its size stands as `20x10`, rather than in words.
    pub written: bool,
}

const SHAPES: [&str; 4] = ["disc", "ring", "block", "sphere"];

/// How far a shape or a grade may stand from the size that it belongs to.
const REACH: f64 = 5.0;

/// The magnets named, in the order of the text.
pub(crate) fn named(scene: &Scene) -> Vec<Named> {
    let mut found: Vec<Named> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| Some((i, item.size()?)))
        .filter_map(|(i, size)| of_size(scene, i, size))
        .collect();
    in_words(scene, &mut found);
    found.sort_by_key(|n| n.item);
    grades(scene, &mut found);
    counts(scene, &mut found);
    let mut merged: Vec<Named> = Vec::new();
    for named in found {
        let twin = merged.iter_mut().find(|m| {
            m.size_mm == named.size_mm
                && (m.grade == named.grade || m.grade.is_none() || named.grade.is_none())
                && (m.shape == named.shape || !named.written)
        });
        match twin {
            Some(twin) => {
                twin.grade = twin.grade.take().or(named.grade);
                twin.bound |= named.bound;
            }
            None => merged.push(named),
        }
    }
    merged
}

/// A size in mm; a fraction without a unit is in inches.
pub(crate) fn millimetres(size: &Size) -> Vec<f64> {
    let fraction = size.numbers.iter().any(|n| *n < 1.0 && (n * 64.0).fract() == 0.0) && size.unit.is_none();
    let unit = size
        .unit
        .unwrap_or(if fraction { Unit::INCH } else { Unit::MILLIMETRE });
    size.numbers.iter().map(|n| unit.to_si(*n) * 1e3).collect()
}

fn of_size(scene: &Scene, i: usize, size: &Size) -> Option<Named> {
    let mm = millimetres(size);
    if mm.iter().any(|n| *n > 300.0 || *n < 0.3) {
        return None;
    }
    let magnet = scene.nearest(i, REACH, |x| x.is_magnet() || x.grade().is_some());
    let adjacent_grade = scene.nearest(i, 2.2, |x| x.grade().is_some()).is_some();
    let bracket = bracket_owner(scene, i).filter(|o| owns_sizes(&scene.items[*o]));
    let thing = bracket.map(|o| (o, 0.0)).or_else(|| scene.nearest(i, 3.4, owns_sizes));
    // a sheet, a sign: nothing that a shop sells as a magnet
    if mm.iter().any(|n| *n >= 150.0) && !adjacent_grade && !size.slashed {
        return None;
    }
    if let Some((t, other)) = thing
        && !adjacent_grade
        && scene.same_sentence(i, t)
        && !size.round
        && magnet.is_none_or(|(_, m)| other < m)
        && !scene.items[t].is_magnet()
    {
        return None;
    }
    let shape = shape_of(scene, i, size, &mm);
    let mut size_mm = mm;
    let mut items = vec![i];
    if shape == Some("sphere") {
        size_mm.truncate(1);
    }
    if shape == Some("ring")
        && size_mm.len() == 2
        && let Some((hole, inner)) = hole_of(scene, i)
    {
        items.push(hole);
        let other = size_mm[1];
        size_mm = vec![size_mm[0], inner, other];
    }
    if shape == Some("ring")
        && size_mm.len() == 2
        && let Some((thick, mm)) = thickness_after(scene, i)
    {
        items.push(thick);
        size_mm.push(mm);
    }
    Some(Named {
        item: i,
        items,
        shape,
        size_mm,
        grade: None,
        count: None,
        bound: bounded(scene, i),
        written: true,
    })
}

/// The hole that a ring's outer diameter and thickness stand beside: `20x5 ring, hole 6`, `60x30 ring with 20 bore`.
fn hole_of(scene: &Scene, i: usize) -> Option<(usize, f64)> {
    scene.around(i, 8.5).into_iter().find_map(|n| {
        let mm = length_mm(scene.items[n].amount()?, true)?;
        let by = |at: Option<usize>| at.is_some_and(|h| scene.items[h].is_any(&["hole", "inner"]));
        (by(scene.next(n)) || by(scene.previous(n))).then_some((n, mm))
    })
}

/// The thickness that follows a ring's two diameters: `20 x 8, 4 thick`.
fn thickness_after(scene: &Scene, i: usize) -> Option<(usize, f64)> {
    (i + 1..scene.items.len())
        .take_while(|n| scene.distance(i, *n) <= 5.0)
        .filter(|n| matches!(dimension(scene, *n), Some("thick" | "high")))
        .find_map(|n| Some((n, length_mm(scene.items[n].amount()?, true)?)))
}

/// Whether a thing may own a size: a sign, a steel part, a recess.
fn owns_sizes(item: &Item) -> bool {
    (item.of(Class::Object) || item.of(Class::Surface) || item.of(Class::Perhaps) || item.of(Class::Recess))
        && !item.is_magnet()
        && item.norm != "side"
}

/// Whether a bound such as `max` stands by a size.
pub(crate) fn bounded(scene: &Scene, i: usize) -> bool {
    let mut at = i;
    for _ in 0..3 {
        let Some(before) = scene.previous(at) else { break };
        let item = &scene.items[before];
        if item.is_any(&["max", "min"]) {
            return true;
        }
        let small = item.is_any(&["dia", "thick", "wide", "high", "deep", "long", "each"])
            || item.is_magnet()
            || matches!(
                item.norm.as_str(),
                "a" | "an" | "is" | "be" | "of" | "about" | "the" | "approx" | "approx."
            );
        if !small {
            break;
        }
        at = before;
    }
    let mut at = i;
    for _ in 0..3 {
        let Some(after) = scene.next(at) else { break };
        let item = &scene.items[after];
        if item.is("or_less") || item.is("or_more") || matches!(item.norm.as_str(), "or so" | "approx") {
            return true;
        }
        if !(item.is_any(&["dia", "thick", "wide", "high", "deep", "long"]) || item.is_magnet()) {
            break;
        }
        at = after;
    }
    false
}

fn shape_of(scene: &Scene, i: usize, size: &Size, mm: &[f64]) -> Option<&'static str> {
    let worded = shape_near(scene, i, 3.4);
    match (worded, mm.len()) {
        (Some("ring"), _) => Some("ring"),
        (Some("block"), 2) if size.slashed || size.round => Some("disc"),
        (Some("disc"), 3) if !size.slashed => Some("block"),
        (Some("disc"), 3) => Some("ring"),
        (Some(shape), _) => Some(shape),
        (None, 3) if size.slashed => Some("ring"),
        (None, 3) => Some("block"),
        (None, 2) => Some("disc"),
        _ => None,
    }
}

/// The shape named nearest to a place; of two as near, the one that follows.
fn shape_near(scene: &Scene, i: usize, reach: f64) -> Option<&'static str> {
    let mut best: Option<(&'static str, f64)> = None;
    for n in scene.around(i, reach + 0.3) {
        let item = &scene.items[n];
        let Some(shape) = SHAPES.into_iter().find(|s| item.is(s)) else {
            continue;
        };
        if item.norm == "round" || item.norm == "bar" && !scene.same_clause(i, n) {
            continue;
        }
        // another size between belongs to the shape itself
        let between = if n < i { n + 1..i } else { i + 1..n };
        if scene.items[between].iter().any(|x| x.size().is_some()) && n > i {
            continue;
        }
        let distance = scene.distance(i, n) - if n > i { 0.3 } else { 0.0 };
        if distance <= reach && best.is_none_or(|b| distance < b.1) {
            best = Some((shape, distance));
        }
    }
    best.map(|b| b.0)
}

/// Magnets whose sizes stand in words: `10 mm N42 sphere`, `cube 16 mm`, `dia 1/2 inch, length 1 inch`.
fn in_words(scene: &Scene, found: &mut Vec<Named>) {
    let taken = |found: &[Named], i: usize| found.iter().any(|n| n.items.contains(&i));
    let nouns: Vec<usize> = (0..scene.items.len())
        .filter(|i| scene.items[*i].is_magnet() && !matches!(scene.items[*i].norm.as_str(), "round" | "bar"))
        .collect();
    for noun in nouns {
        let near_written = found
            .iter()
            .any(|n| n.written && n.items.iter().any(|i| scene.distance(*i, noun) <= 3.4));
        let own_size = scene
            .next(noun)
            .is_some_and(|n| scene.items[n].is("dia") || scene.items[n].amount().is_some());
        if near_written && !own_size {
            continue;
        }
        let sides = |words: &[&str]| {
            scene.around(noun, 12.0).into_iter().any(|i| {
                scene.items[i].amount().is_some()
                    && scene.same_sentence(i, noun)
                    && dimension(scene, i).is_some_and(|d| words.contains(&d))
            })
        };
        let shape = SHAPES
            .into_iter()
            .find(|s| scene.items[noun].is(s))
            .or_else(|| (sides(&["long"]) && sides(&["wide"]) && sides(&["thick", "high"])).then_some("block"));
        let mut dims = Dims::default();
        for i in scene.around(noun, 12.0) {
            let Some(amount) = scene.items[i].amount() else {
                continue;
            };
            if taken(found, i) || !scene.same_sentence(i, noun) || scene.distance(i, noun) > 12.0 {
                continue;
            }
            let word = dimension(scene, i);
            if word.is_none() && scene.distance(i, noun) > 8.5 {
                continue;
            }
            let Some(mm) = length_mm(amount, word.is_some() && shape.is_some()) else {
                continue;
            };
            let thing = scene
                .nearest(i, 2.0, owns_sizes)
                .filter(|(t, d)| *d < scene.distance(i, noun) && scene.same_clause(i, *t));
            let placed = matches!(
                scene.word(scene.previous(i)),
                "at" | "through" | "within" | "behind" | "from" | "by"
            ) || scene.next(i).is_some_and(|n| {
                let next = &scene.items[n];
                next.is_any(&["away", "gap"]) || next.of(Class::Layer) || next.of(Class::Surface)
            });
            if shape.is_none() && (scene.distance(i, noun) > 1.8 || i > noun) {
                continue;
            }
            if thing.is_some() || placed || mm > 300.0 || (word.is_none() && scene.distance(i, noun) > 3.2) {
                continue;
            }
            let nearer_noun = scene.nearest(i, scene.distance(i, noun) - 0.01, Item::is_magnet);
            if nearer_noun.is_some_and(|(n, _)| !matches!(scene.items[n].norm.as_str(), "round" | "bar"))
                && word.is_none()
            {
                continue;
            }
            dims.add(word, mm, i);
        }
        let Some(size_mm) = dims.sizes(shape) else { continue };
        let first = dims.items.iter().copied().min().unwrap_or(noun);
        if found
            .iter()
            .any(|n| !n.written && n.items.iter().any(|i| dims.items.contains(i)))
        {
            continue;
        }
        found.push(Named {
            item: first,
            bound: dims.items.iter().any(|i| bounded(scene, *i)),
            items: dims.items,
            shape,
            size_mm,
            grade: None,
            count: None,
            written: false,
        });
    }
}

fn length_mm(amount: &Amount, bare: bool) -> Option<f64> {
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
                    | "was"
                    | "equals"
                    | "only"
                    | "at"
                    | "over"
                    | "above"
                    | "up"
            );
        if !passes {
            return None;
        }
        at = before;
    }
    None
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

/// Sizes gathered from words.
#[derive(Default)]
struct Dims {
    across: Vec<f64>,
    inner: Option<f64>,
    thick: Option<f64>,
    plain: Vec<f64>,
    long: Option<f64>,
    wide: Option<f64>,
    items: Vec<usize>,
}

impl Dims {
    fn add(&mut self, word: Option<&str>, mm: f64, item: usize) {
        match word {
            Some("inner") if self.inner.is_none() => self.inner = Some(mm),
            Some("dia") => self.across.push(mm),
            Some("thick" | "high" | "deep") if self.thick.is_none() => self.thick = Some(mm),
            Some("long") => self.long = Some(mm),
            Some("wide") => self.wide = Some(mm),
            _ => self.plain.push(mm),
        }
        self.items.push(item);
    }

    fn sizes(&self, shape: Option<&str>) -> Option<Vec<f64>> {
        if self.items.is_empty() || self.items.len() > 3 {
            return None;
        }
        let across = self.across.first().or(self.plain.first()).copied();
        let second = if self.across.is_empty() {
            self.plain.get(1)
        } else {
            self.plain.first()
        }
        .copied();
        let along = self.thick.or(self.long).or(second);
        match shape {
            Some("sphere") => across.or(self.thick).map(|d| vec![d]),
            Some("block") => match (self.long, self.wide, self.thick) {
                (Some(l), Some(w), Some(t)) => Some(vec![l, w, t]),
                (None, None, None) if self.plain.len() == 1 => Some(vec![self.plain[0]; 3]),
                _ => across.map(|d| vec![d]),
            },
            Some("ring") => match (across, self.inner, self.thick.or(self.long)) {
                (Some(o), Some(i), Some(t)) => Some(vec![o, i, t]),
                (Some(o), Some(i), None) => Some(vec![o, i]),
                _ => across.map(|d| vec![d]),
            },
            _ => match (across.or(self.wide), along) {
                (Some(d), Some(t)) => Some(vec![d, t]),
                (Some(d), None) => Some(vec![d]),
                _ => None,
            },
        }
    }
}

fn grades(scene: &Scene, found: &mut Vec<Named>) {
    let places: Vec<(usize, String)> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| {
            if item.is("inside") {
                return None;
            }
            Some((i, item.grade().map(str::to_owned).or_else(|| spoken_grade(scene, i))?))
        })
        .collect();
    let mut distinct: Vec<&String> = places.iter().map(|(_, g)| g).collect();
    distinct.dedup();
    let several: std::collections::BTreeSet<&str> = places.iter().map(|(_, g)| g.as_str()).collect();
    if places.is_empty() {
        return;
    }
    if found.is_empty() {
        // "magnet N42, pull?"
        let near = scene.nearest(places[0].0, 3.0, |x| x.is_magnet());
        if let Some((n, _)) = near.filter(|_| several.len() == 1) {
            found.push(Named {
                item: places[0].0,
                items: vec![n],
                shape: None,
                size_mm: Vec::new(),
                grade: Some(places[0].1.clone()),
                count: None,
                bound: false,
                written: false,
            });
        }
        return;
    }
    if several.len() == 1 {
        let grade = &places[0].1;
        let spread = scene.says(&["both", "all", "same", "each", "either"]) || places.len() < 2;
        for named in found.iter_mut() {
            let own = places.iter().any(|(p, _)| scene.distance(*p, named.item) <= REACH);
            if own || spread {
                named.grade = Some(grade.clone());
            }
        }
        return;
    }
    if found.len() == 1 {
        // one size in several grades
        let mut seen: Vec<&str> = Vec::new();
        let mut clones = Vec::new();
        for (_, grade) in &places {
            if !seen.contains(&grade.as_str()) {
                seen.push(grade);
                clones.push(Named {
                    grade: Some(grade.clone()),
                    ..found[0].clone()
                });
            }
        }
        *found = clones;
        return;
    }
    for index in 0..found.len() {
        let item = found[index].item;
        let limit = found.get(index + 1).map_or(scene.items.len(), |n| n.item);
        let after = places
            .iter()
            .find(|(p, _)| *p > item && *p < limit && scene.distance(*p, item) <= 6.0);
        let before = places
            .iter()
            .rev()
            .find(|(p, _)| *p < item && (index == 0 || *p > found[index - 1].item) && scene.distance(*p, item) <= 2.6);
        let best = match (before, after) {
            (Some(b), Some(a)) if scene.distance(b.0, item) < scene.distance(a.0, item) => Some(b),
            (Some(b), None) => Some(b),
            (_, a) => a,
        };
        found[index].grade = best.map(|(_, g)| g.clone());
    }
}

/// A grade without its letter: `in 42`, `42 grade`, `the 52s`, `42 or 52`.
pub(crate) fn spoken_grade(scene: &Scene, i: usize) -> Option<String> {
    const GRADES: [f64; 10] = [30.0, 33.0, 35.0, 38.0, 40.0, 42.0, 45.0, 48.0, 50.0, 52.0];
    let amount = scene.items[i].amount()?;
    if !amount.is_bare() || !GRADES.contains(&amount.high) || amount.low != amount.high {
        return None;
    }
    let before = scene.word(scene.previous(i));
    let after = scene.word(scene.next(i));
    let kind = |w: &str| matches!(w, "grade" | "stuff" | "material" | "s" | "grades");
    let either = |w: Option<usize>| {
        w.and_then(|n| scene.items.get(n))
            .and_then(|x| x.amount())
            .is_some_and(|a| a.is_bare() && GRADES.contains(&a.high))
    };
    let or = |w: &str| matches!(w, "or" | "vs" | "versus" | "and");
    let paired = (or(after) && either(scene.next(i).and_then(|n| scene.next(n))))
        || (or(before) && either(scene.previous(i).and_then(|n| scene.previous(n))));
    let named = kind(after) || (matches!(before, "in" | "grade") && (after.is_empty() || kind(after))) || paired;
    named.then(|| format!("N{}", amount.high))
}

fn counts(scene: &Scene, found: &mut [Named]) {
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
        let Some(number) = leading_count(scene, named.items[0]).or(after).or(pieces) else {
            continue;
        };
        let cue = scene.nearest(named.items[0], 12.0, |i| i.is("stack") || i.norm == "top");
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
            return (amount.is_bare() && amount.high.fract() == 0.0 && amount.high >= 1.0)
                .then_some(amount.high as u32);
        }
        let passes = it.is_magnet()
            || it.is_any(&["pieces", "stack"])
            || it.grade().is_some()
            || matches!(
                it.norm.as_str(),
                "of" | "the" | "your" | "my" | "our" | "those" | "small" | "these"
            );
        if !passes {
            return None;
        }
        at = before;
    }
    None
}
