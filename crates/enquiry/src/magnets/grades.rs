//! Which grade each magnet has.

use super::{Named, REACH, SHAPES};
use crate::scene::Scene;

/// The grades that a message names, each with its item.
pub(crate) fn grades_said(scene: &Scene) -> Vec<(usize, String)> {
    scene
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| !item.is("inside"))
        .filter_map(|(i, item)| Some((i, item.grade().map(str::to_owned).or_else(|| spoken_grade(scene, i))?)))
        .collect()
}

/// Gives the magnets found their grades; a size named in several grades is several magnets.
pub(super) fn grades(scene: &Scene, found: &mut Vec<Named>) {
    let mut places = grades_said(scene);
    let families = families(scene, &places);
    if found.len() == 1 || places.is_empty() {
        // of one size, a family stands beside grades as one more: "SmCo or N38UH"
        places.extend(families.iter().cloned());
        places.sort_by_key(|p| p.0);
    }
    let several: std::collections::BTreeSet<&str> = places.iter().map(|(_, g)| g.as_str()).collect();
    if places.is_empty() {
        return;
    }
    if found.is_empty() {
        // "magnet N42, pull?"
        let near = scene.nearest(places[0].0, 3.0, |x| x.is_magnet());
        if let Some((n, _)) = near.filter(|_| several.len() == 1) {
            found.push(Named {
                items: vec![n],
                shape: SHAPES.into_iter().find(|s| scene.items[n].is(s)),
                grade: Some(places[0].1.clone()),
                ..Named::of_grade(places[0].0)
            });
        }
        return;
    }
    if several.len() == 1 {
        let grade = &places[0].1;
        let spread = scene.says(&["both", "all", "same", "each", "either"]) || places.len() < 2;
        for named in found.iter_mut() {
            let own = places.iter().any(|(p, _)| scene.distance(*p, named.item) <= REACH);
            let own_family = families.iter().find(|(p, f)| {
                f != grade && scene.distance(*p, named.item) <= 3.0 && scene.same_sentence(*p, named.item)
            });
            if let Some((_, family)) = own_family {
                named.grade = Some(family.clone());
            } else if own || spread {
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
        let own_family = families
            .iter()
            .find(|(p, _)| scene.distance(*p, item) <= 3.0 && scene.same_sentence(*p, item));
        found[index].grade = best.or(own_family).map(|(_, g)| g.clone());
    }
}

/// The families named that no grade of theirs makes plain; neodymium is what goes without saying.
fn families(scene: &Scene, grades: &[(usize, String)]) -> Vec<(usize, String)> {
    let of = |grade: &str| match grade.chars().next().map(|c| c.to_ascii_lowercase()) {
        Some('y' | 'c' | 'h') => "ferrite",
        Some('s') => "samarium cobalt",
        Some('a' | 'l') => "AlNiCo",
        _ => "neodymium",
    };
    scene
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| !item.is("inside"))
        .filter_map(|(i, item)| Some((i, item.family()?.to_owned())))
        .filter(|(_, family)| !family.contains("neodymium") && grades.iter().all(|g| of(&g.1) != family))
        .collect()
}

/// A grade without its letter: `in 42`, `42 grade`, `the 52s`, `42 or 52`.
fn spoken_grade(scene: &Scene, i: usize) -> Option<String> {
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
