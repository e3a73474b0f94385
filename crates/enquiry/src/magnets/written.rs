//! Magnets whose size is written as `20x10`.

use quantity::Unit;

use super::dimension::{dimension, length_mm};
use super::{Named, REACH, SHAPES};
use crate::lexer::{Item, Size};
use crate::named::Class;
use crate::scene::{Scene, bracket_owner};

/// A size in mm; a fraction without a unit is in inches.
pub(crate) fn millimetres(size: &Size) -> Vec<f64> {
    let fraction = size.numbers.iter().any(|n| *n < 1.0 && (n * 64.0).fract() == 0.0) && size.unit.is_none();
    let unit = size
        .unit
        .unwrap_or(if fraction { Unit::INCH } else { Unit::MILLIMETRE });
    size.numbers.iter().map(|n| unit.to_si(*n) * 1e3).collect()
}

pub(super) fn of_size(scene: &Scene, i: usize, size: &Size) -> Option<Named> {
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
        && (t < i || scene.same_clause(i, t))
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
pub(super) fn owns_sizes(item: &Item) -> bool {
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
        if scene.taken_back(n) || item.norm == "round" || item.norm == "bar" && !scene.same_clause(i, n) {
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
