//! Limits of size, in words and as `20x10`.

use serde_json::{Map, Value, json};

use super::{Partial, of_role};
use crate::bounds::bound;
use crate::lexer::What;
use crate::magnets::{self, Named};
use crate::named::Class;
use crate::note::Notes;
use crate::places::Placed;
use crate::roles::{self, LengthAt, Role};
use crate::scene::Scene;

fn put(map: &mut Map<String, Value>, key: &str, placed: &Placed, high: bool) {
    map.insert(
        key.into(),
        json!(if high { &placed.length.high } else { &placed.length.low }),
    );
}

pub(super) fn limits(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    for (role, key, meaning) in [
        (Role::Widest, "widest", "greatest width"),
        (Role::Narrowest, "narrowest", "least width"),
        (Role::Tallest, "tallest", "greatest height"),
        (Role::Shortest, "shortest", "least height"),
        (Role::Hole, "hole", "hole through the magnet"),
    ] {
        let Some(p) = of_role(placed, role) else { continue };
        if out.limits.contains_key(key) {
            continue;
        }
        put(&mut out.limits, key, p, true);
        notes.put(scene, p.length.item, &format!("/question/limits/{key}"), meaning);
        if role == Role::Widest && p.length.low_mm < p.length.high_mm && bound(scene, p.length.item) != Some(true) {
            put(&mut out.limits, "narrowest", p, false);
        }
        if role == Role::Tallest && p.length.low_mm < p.length.high_mm && bound(scene, p.length.item) != Some(true) {
            put(&mut out.limits, "shortest", p, false);
        }
    }
    // "L40 W20 H5"
    let low = of_role(placed, Role::Tallest).map(|p| p.length.item);
    if let Some(wide) = low
        .and_then(|i| lettered(scene, i))
        .filter(|_| !out.limits.contains_key("widest"))
    {
        out.limits.insert("widest".into(), json!(wide.high));
        notes.put(scene, wide.item, "/question/limits/widest", "greatest width");
    }
    if !out.limits.contains_key("widest")
        && let Some((word, length)) = as_wide_as_that(scene)
    {
        out.limits.insert("widest".into(), json!(length.high));
        notes.put(scene, word, "/question/limits/widest", "no wider than that");
    }
    // "20 mm each way"
    if let Some(p) = of_role(placed, Role::Widest).filter(|p| each_way(scene, p.length.item))
        && !out.limits.contains_key("tallest")
    {
        put(&mut out.limits, "tallest", p, true);
    }
    // M4, M5: a hole for the screw
    if !out.limits.contains_key("hole") {
        let screw = scene.items.iter().enumerate().find_map(|(i, item)| {
            let digits = item.norm.strip_prefix('m')?;
            let size: u32 = digits.parse().ok()?;
            let own = scene.nearest(i, 6.0, |x| x.is_any(&["hole", "countersunk"])).is_some()
                || scene.nearest(i, 6.0, |x| x.of(Class::Through)).is_some()
                    && matches!(
                        scene.word(scene.previous(i)),
                        "for" | "with" | "an" | "a" | "by" | "takes" | "take" | "on" | "one" | "the"
                    );
            ((2..=12).contains(&size) && own).then_some((i, size))
        });
        if let Some((i, size)) = screw {
            out.limits.insert("hole".into(), json!(format!("{size} mm")));
            notes.put(scene, i, "/question/limits/hole", "hole for the screw");
        }
    }
}

/// The greater of the sides that stand with their letters directly before the height: the 40 of `L40 W20 H5`.
fn lettered(scene: &Scene, height: usize) -> Option<LengthAt> {
    let letter = |i: usize, letters: &[&str]| {
        let before = scene.previous(i)?;
        letters.contains(&scene.items[before].norm.as_str()).then_some(before)
    };
    let mut sides: Vec<LengthAt> = Vec::new();
    let mut at = letter(height, &["h", "t"])?;
    while let Some(number) = scene.previous(at) {
        let Some(before) = letter(number, &["l", "w", "b"]) else {
            break;
        };
        sides.extend(roles::as_length(scene, number));
        at = before;
    }
    sides.into_iter().max_by(|a, b| a.high_mm.total_cmp(&b.high_mm))
}

/// The length that a magnet may not pass in words that only point to it: `the lamp has 28 mm, so the magnet not bigger`.
pub(super) fn as_wide_as_that(scene: &Scene) -> Option<(usize, LengthAt)> {
    let points = |i: usize| {
        let item = &scene.items[i];
        let words = ["wider", "bigger", "larger", "broader"];
        let than = item.norm.strip_suffix(" than");
        let size = words.iter().any(|w| than.unwrap_or(&item.norm).ends_with(w));
        let end = match than {
            Some(_) if matches!(scene.word(scene.next(i)), "that" | "this" | "it") => scene.next(i).unwrap_or(i),
            Some(_) => return false,
            None => i,
        };
        let inside = scene.items[end + 1..].iter().take_while(|x| x.is("inside")).count();
        let stop = matches!(
            scene.items.get(end + inside + 1).map(|x| &x.what),
            None | Some(What::Mark('.' | '!' | ',') | What::Break)
        );
        size && stop && item.is("max") && !item.is("inside")
    };
    let word = (0..scene.items.len()).find(|i| points(*i))?;
    let before = (0..word).rev().filter(|n| scene.same_sentence(*n, word));
    let measured = roles::lengths(scene, &[]);
    let own = |n: usize| measured.iter().find(|l| l.item == n).cloned();
    let length = before
        .filter_map(|n| own(n).or_else(|| roles::as_length(scene, n)))
        .find(|l| l.high_mm >= 3.0)?;
    Some((word, length))
}

/// Whether a length is said of every side.
fn each_way(scene: &Scene, i: usize) -> bool {
    let next = scene.next(i);
    let after = scene.word(next.and_then(|n| scene.next(n)));
    matches!(scene.word(next), "each" | "either" | "any" | "every" | "all")
        && matches!(after, "way" | "ways" | "direction" | "directions" | "side" | "sides")
        || matches!((scene.word(next), after), ("in", "any" | "every" | "each" | "all"))
}

/// Sizes such as `20x10` that limit what is chosen, or measure the steel.
pub(super) fn sizes(scene: &Scene, named: &[Named], placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let text = |n: f64| format!("{} mm", roles::plain(n));
    let (mut widest, mut tallest) = (0.0f64, 0.0f64);
    let high = of_role(placed, Role::Tallest).is_some();
    // of two equal sizes the second is a height where the message speaks of something round
    let round = scene.any(|x| x.is("disc") && !x.is("inside"));
    let mut shapes: Vec<&str> = Vec::new();
    for p in placed.iter().filter(|p| p.role == Role::MagnetSize) {
        let i = p.length.item;
        let own = named.iter().find(|n| n.written && n.items.contains(&i));
        let mm = match (own, scene.items[i].size()) {
            (Some(n), _) => n.size_mm.clone(),
            (None, Some(size)) => magnets::millimetres(size),
            (None, None) => continue,
        };
        let shape = own.and_then(|n| n.shape);
        let (across, along) = match mm.as_slice() {
            // "10 x 10 mm, 5 mm tall": two equal sides, or a height of its own, leave the sides of a face
            [d, t] if shape == Some("block") || !(round && shape == Some("disc")) && d == t || high => {
                (d.max(*t), None)
            }
            [d, t] => (*d, Some(*t)),
            [a, b, t] => (a.max(*b), Some(*t)),
            [d] => (*d, None),
            _ => continue,
        };
        widest = widest.max(across);
        tallest = tallest.max(along.unwrap_or(0.0));
        if let Some(shape) = shape.filter(|s| mm.len() == 3 && (*s == "block" || !own.is_some_and(|n| n.bound)))
            && !shapes.contains(&shape)
        {
            shapes.push(shape);
        }
        notes.put(scene, i, "/question/limits/widest", "greatest size of the magnet");
    }
    if widest > 0.0 {
        out.limits.insert("widest".into(), json!(text(widest)));
    }
    if tallest > 0.0 {
        out.limits.insert("tallest".into(), json!(text(tallest)));
    }
    if !shapes.is_empty() && !out.limits.contains_key("shapes") {
        out.limits.insert("shapes".into(), json!(shapes));
    }
    let steel = of_role(placed, Role::SteelSize).and_then(|p| Some((p, scene.items[p.length.item].size()?)));
    if let Some((p, size)) = steel {
        let mut sorted = magnets::millimetres(size);
        sorted.sort_by(f64::total_cmp);
        match sorted.as_slice() {
            [t, a, _] => {
                out.steel("thickness", text(*t));
                out.steel("across", text(*a));
            }
            [t, a] if *t <= 6.0 && a / t > 3.0 => {
                out.steel("thickness", text(*t));
                out.steel("across", text(*a));
            }
            [a, _] => out.steel("across", text(*a)),
            _ => {}
        }
        notes.put(scene, p.length.item, "/question/need/steel", "size of the steel");
    }
}
