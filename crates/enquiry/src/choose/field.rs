//! A field at a place, and switches.

use advice::sentence::Verb;
use serde_json::json;

use super::hold::mass;
use super::total::total;
use super::{Partial, of_role};
use crate::bounds::bound;
use crate::data::Data;
use crate::loads::{self, Chosen};
use crate::note::Notes;
use crate::places::Placed;
use crate::roles::{self, LengthAt, Role};
use crate::scene::Scene;

pub(super) fn field(scene: &Scene, verb: Verb, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let fields = loads::fields(scene);
    // "10 mT at 25 mm, on the 20 mT range": what an instrument shows is nobody's need
    let shown = |f: &Chosen| matches!(scene.word(scene.next(f.item)), "range" | "scale");
    let all = || fields.iter().map(|f| &f.1);
    let wanted: Option<&Chosen> = all()
        .filter(|f| !shown(f))
        .max_by(|a, b| a.si.total_cmp(&b.si))
        .or_else(|| all().next());
    match wanted {
        Some(f) => {
            out.need.insert("field".into(), json!(f.text));
            notes.put(scene, f.item, "/question/need/field", "least flux density");
        }
        None => out.ask("/question/need/field"),
    }
    if verb == Verb::FaceField {
        if let Some(p) = of_role(placed, Role::Probe) {
            out.need.insert("probe_depth".into(), json!(p.length.high));
            notes.put(scene, p.length.item, "/question/need/probe_depth", "depth of the probe");
        }
        mass(scene, placed, out, notes);
        return;
    }
    let ceiling = fields
        .iter()
        .map(|f| &f.1)
        .filter(|f| wanted.is_some_and(|w| w.item != f.item) && limited(scene, f.item))
        .min_by(|a, b| a.si.total_cmp(&b.si));
    let mut distances: Vec<&Placed> = placed.iter().filter(|p| p.role == Role::Distance).collect();
    distances.sort_by(|a, b| b.score.total_cmp(&a.score));
    // a length in the sentence of a field is nearer to it than any other
    let apart =
        |from: usize, to: usize| scene.distance(from, to) + if scene.same_sentence(from, to) { 0.0 } else { 20.0 };
    if let Some(w) = wanted.filter(|_| ceiling.is_some()) {
        distances.sort_by(|a, b| apart(w.item, a.length.item).total_cmp(&apart(w.item, b.length.item)));
    }
    let all = roles::lengths(scene, &[]);
    let mut beside: Option<&LengthAt> = None;
    if let Some(c) = ceiling {
        // the only distance may be that of the ceiling, where each field has a length in its own sentence
        let first = distances.first().map(|d| d.length.item);
        beside = wanted
            .filter(|w| first.is_some_and(|d| scene.same_sentence(c.item, d) && !scene.same_sentence(w.item, d)))
            .and_then(|w| {
                let own = all.iter().filter(|l| scene.same_sentence(w.item, l.item));
                own.min_by(|a, b| {
                    scene
                        .distance(w.item, a.item)
                        .total_cmp(&scene.distance(w.item, b.item))
                })
            });
        let own = all
            .iter()
            .filter(|l| beside.is_some() || first != Some(l.item))
            .min_by(|a, b| apart(c.item, a.item).total_cmp(&apart(c.item, b.item)));
        if let Some(l) = own {
            out.need
                .insert("no_more_than".into(), json!({"field": c.text, "distance": l.high}));
            notes.put(
                scene,
                c.item,
                "/question/need/no_more_than/field",
                "most flux density further away",
            );
            notes.put(
                scene,
                l.item,
                "/question/need/no_more_than/distance",
                "where it must be low",
            );
            distances.retain(|d| d.length.item != l.item);
        }
    }
    let distance = distances.first().map(|p| &p.length).or(beside);
    match (total(scene), distance) {
        (Some(sum), _) => {
            out.need.insert("distance".into(), json!(sum.high));
            notes.put(scene, sum.item, "/question/need/distance", "distance from the face");
        }
        (None, Some(length)) => {
            out.need.insert("distance".into(), json!(length.high));
            notes.put(scene, length.item, "/question/need/distance", "distance from the face");
        }
        (None, None) => out.ask("/question/need/distance"),
    }
    if let Some(p) = of_role(placed, Role::OffAxis) {
        out.need.insert("off_axis".into(), json!(p.length.high));
    }
    mass(scene, placed, out, notes);
}

/// Whether a field is one that may not be passed, rather than one that was measured.
fn limited(scene: &Scene, i: usize) -> bool {
    bound(scene, i) == Some(true)
        || scene
            .nearest(i, 7.0, |x| {
                x.is_any(&["max", "or_less", "negation"])
                    || matches!(
                        x.norm.as_str(),
                        "less" | "below" | "under" | "low" | "weak" | "allows" | "must" | "only" | "still"
                    )
            })
            .is_some()
}

pub(super) fn switch(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let fields = loads::fields(scene);
    let (operate, release) = loads::switching(scene, &fields);
    for (key, chosen, meaning) in [("operate", operate, "operates at"), ("release", release, "releases at")] {
        match chosen {
            Some(c) => {
                out.need.insert(key.into(), json!(c.text));
                notes.put(scene, c.item, &format!("/question/need/{key}"), meaning);
            }
            // what a switch releases at follows from its kind
            None if key == "operate" || out.need.contains_key("operate") => out.ask(&format!("/question/need/{key}")),
            None => {}
        }
    }
    let likeliest = |role: Role| {
        let own = placed.iter().filter(|p| p.role == role);
        own.max_by(|a, b| a.score.total_cmp(&b.score))
    };
    let (mut near, mut far) = (likeliest(Role::Near), likeliest(Role::Far));
    // what is far is farther than what is near
    if let (Some(n), Some(f)) = (near, far)
        && n.length.high_mm > f.length.high_mm
    {
        (near, far) = (far, near);
    }
    for (found, key, meaning) in [
        (near, "near", "distance where it must operate"),
        (far, "far", "distance where it must release"),
    ] {
        match found {
            Some(p) => {
                out.need.insert(key.into(), json!(p.length.high));
                notes.put(scene, p.length.item, &format!("/question/need/{key}"), meaning);
            }
            None => out.ask(&format!("/question/need/{key}")),
        }
    }
    if let Some(p) = of_role(placed, Role::OffAxis) {
        out.need.insert("off_axis".into(), json!(p.length.high));
        notes.put(scene, p.length.item, "/question/need/off_axis", "distance off the axis");
    }
    if let Some(s) = Data::builtin().switch.said(&scene.words).first() {
        out.need.insert("switch".into(), json!(s.is));
        notes.span(scene, s.place, "/question/need/switch", "kind of switch");
    }
    if let Some((i, margin)) = loads::margin(scene) {
        out.need.insert("margin".into(), json!(margin));
        notes.put(scene, i, "/question/need/margin", "margin");
    }
    // "a factor of 1.5 on the field": what is a safety factor elsewhere is the margin of a switch
    if let Some(factor) = out.need.remove("safety_factor") {
        out.need.entry("margin").or_insert(factor);
    }
    mass(scene, placed, out, notes);
}
