//! Two magnets and the gap between them.

use advice::sentence::Verb;
use quantity::Kind;
use serde_json::json;

use super::hold::load;
use super::total::{says_sum, total};
use super::{Partial, of_role};
use crate::lexer::What;
use crate::note::Notes;
use crate::places::Placed;
use crate::roles::{self, Role};
use crate::scene::Scene;

pub(crate) fn pair(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let attracts = out.verb == Some(Verb::PullTogether);
    if let Some(word) = along_the_pane(scene, placed).filter(|_| attracts) {
        load(scene, placed, "load", out, notes);
        out.need.insert("direction".into(), json!("sideways"));
        notes.put(
            scene,
            word,
            "/question/need/direction",
            "the load pulls along the faces",
        );
    } else {
        load(scene, placed, "force", out, notes);
    }
    if let Some(sum) = total(scene) {
        out.need.insert("gap".into(), json!(sum.high));
        notes.put(
            scene,
            sum.item,
            "/question/need/gap",
            "clear distance between the magnets",
        );
        return;
    }
    // what lies between adds up, unless its sum is said
    let parts: Vec<&Placed> = placed
        .iter()
        .filter(|p| matches!(p.role, Role::Gap | Role::Layer(_)))
        .collect();
    if !parts.is_empty() {
        let says_sum = |p: &&&Placed| says_sum(scene, p.length.item);
        // "15 mm between the faces": what stands by a word for the distance, and is no less than any part, is all of it
        let cued = |p: &&Placed| scene.near(p.length.item, &["gap", "between"], 3.0).is_some();
        let most = parts.iter().map(|p| p.length.high_mm).fold(0.0, f64::max);
        let whole = parts
            .iter()
            .copied()
            .filter(|p| {
                cued(p) && p.role == Role::Gap && p.length.high_mm >= most && doubled(scene, p.length.item) < 1.5
            })
            .max_by(|a, b| a.score.total_cmp(&b.score));
        // and what is named or stands by such a word counts before lengths of whatever else
        let strong: Vec<&Placed> = parts
            .iter()
            .copied()
            .filter(|p| matches!(p.role, Role::Layer(_)) || cued(p))
            .collect();
        let parts = match whole {
            Some(whole) => vec![whole],
            None if strong.is_empty() => parts,
            None => strong,
        };
        let sum: f64 = parts
            .iter()
            .map(|p| p.length.high_mm * doubled(scene, p.length.item))
            .sum();
        let plain: f64 = parts.iter().map(|p| p.length.high_mm).sum();
        let own_sum = parts
            .iter()
            .find(|p| parts.len() > 2 && (2.0 * p.length.high_mm - plain).abs() < 0.02 * plain);
        let said = parts
            .iter()
            .find(says_sum)
            .filter(|_| parts.len() > 1)
            .or(own_sum)
            .copied();
        let text = match (said, parts.as_slice()) {
            (Some(p), _) => p.length.high.clone(),
            (None, [p]) if doubled(scene, p.length.item) < 1.5 => p.length.high.clone(),
            _ => format!("{} mm", roles::plain(sum)),
        };
        out.need.insert("gap".into(), json!(text));
        for p in parts {
            notes.put(
                scene,
                p.length.item,
                "/question/need/gap",
                "clear distance between the magnets",
            );
        }
        return;
    }
    if scene.says(&["touch", "touching", "direct", "contact"]) {
        out.need.insert("gap".into(), json!("0 mm"));
        return;
    }
    out.ask("/question/need/gap");
}

/// The word that says of a pair that a weight must not slide down between them: `it shall not slide down the glass`.
fn along_the_pane(scene: &Scene, placed: &[Placed]) -> Option<usize> {
    let load = of_role(placed, Role::Load)?.length.item;
    if let Some(word) = along(scene) {
        return Some(word);
    }
    let weighs = scene.items[load].amount()?.kind() == Some(Kind::Mass);
    let pulled = scene.near(load, &["pull"], 2.6).is_some();
    let word = scene
        .items
        .iter()
        .position(|x| ["slide", "slip", "creep"].iter().any(|w| x.norm.starts_with(w)) && x.what == What::Word)?;
    let denied = (0..word).rev().take(4).any(|n| {
        (scene.items[n].is("negation") || scene.items[n].norm.ends_with("n't")) && scene.same_sentence(n, word)
    });
    (weighs && !pulled && denied).then_some(word)
}

/// The word that says of a pair that its load pulls along what lies between: `hangs on it down the pane`.
fn along(scene: &Scene) -> Option<usize> {
    const PANES: [&str; 5] = ["pane", "glass", "window", "wall", "panel"];
    (0..scene.items.len()).find(|i| {
        let item = &scene.items[*i];
        let way = matches!(item.norm.as_str(), "down" | "along");
        let the = scene.next(*i).filter(|n| scene.items[*n].norm == "the");
        let pane = the.or(Some(*i)).and_then(|n| scene.next(n));
        way && item.what == What::Word && PANES.contains(&scene.word(pane))
    })
}

/// Two where a thickness is said of each of two sides.
fn doubled(scene: &Scene, i: usize) -> f64 {
    let each = (0..scene.items.len()).any(|n| {
        let x = &scene.items[n];
        let says = x.is("each") || matches!(x.norm.as_str(), "both" | "either");
        let reach = if n > i { 6.0 } else { 1.8 };
        // "every pair about 350 g"
        let of_pairs = matches!(
            scene.word(scene.next(n)),
            "pair"
                | "pairs"
                | "magnet"
                | "one"
                | "piece"
                | "may"
                | "must"
                | "can"
                | "should"
                | "foot"
                | "key"
                | "joint"
        );
        // "3 mm, both sides together"
        let summed = scene.nearest(n, 2.4, |x| x.is("total")).is_some();
        says && !of_pairs && !summed && scene.distance(i, n) < reach && scene.same_sentence(i, n)
    });
    let total = scene.nearest(i, 2.4, |x| x.is("total")).is_some();
    if each && !total { 2.0 } else { 1.0 }
}
