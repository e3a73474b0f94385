//! Holding on steel: load, direction and the steel.

use quantity::Kind;
use serde_json::json;

use super::layers::layers;
use super::limits::as_wide_as_that;
use super::{Partial, SURE, directions, likeliest, of_role};
use crate::data::Data;
use crate::doubts;
use crate::lexer::Measure;
use crate::named::{Class, Named as Name, Thing};
use crate::note::Notes;
use crate::places::Placed;
use crate::roles::{self, LengthAt, Role, is_steel};
use crate::scene::Scene;

/// What surface the message speaks of, where it says so in everyday words.
pub(crate) fn surface(scene: &Scene) -> Option<(usize, &'static Thing)> {
    scene
        .items
        .iter()
        .enumerate()
        .filter(|(_, i)| !i.is("inside"))
        .find_map(|(n, i)| {
            i.thing(Class::Surface)
                .filter(|t| t.thickness_mm.is_some())
                .map(|t| (n, t))
        })
}

pub(super) fn hold(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    load(scene, placed, "load", out, notes);
    direction(scene, out, notes);
    material(scene, out, notes);
    if let Some(p) = of_role(placed, Role::SteelThickness) {
        if out.need.get("steel").and_then(|s| s.get("thickness")).is_none() || p.score > 0.6 {
            // "16 gauge, that is 1/16 inch": what is measured is surer than a number of a table
            let measured = said_beside(scene, p);
            // the thinner end is the worse one
            let text = if let Some(other) = &measured {
                &other.high
            } else if p.length.low_mm < p.length.high_mm {
                &p.length.low
            } else {
                &p.length.high
            };
            out.steel("thickness", text.as_str());
            notes.put(
                scene,
                p.length.item,
                "/question/need/steel/thickness",
                "thickness of the steel",
            );
        }
    } else if out.need.get("steel").and_then(|s| s.get("thickness")).is_none() {
        if let Some((n, thing)) = surface(scene)
            && let Some([low, high]) = thing.thickness_mm
        {
            out.steel("thickness", format!("{low}..{high} mm"));
            notes.put(
                scene,
                n,
                "/question/need/steel/thickness",
                "usual thickness of the steel there",
            );
        }
        out.ask("/question/need/steel/thickness");
    }
    // a width that is hardly the steel's is left out
    let pointed = as_wide_as_that(scene).map(|(_, length)| length.item);
    let across = of_role(placed, Role::SteelAcross).filter(|p| p.score >= SURE);
    // "the rail is 30 mm wide, so no wider than that": the width of what is held
    if let Some(p) = across.filter(|p| pointed != Some(p.length.item)) {
        out.steel("across", p.length.high.as_str());
        notes.put(
            scene,
            p.length.item,
            "/question/need/steel/across",
            "width of the steel",
        );
    }
    as_wide_as_steel(scene, out, notes);
    layers(scene, placed, out, notes);
}

/// How near a length is to what the table of gauges says, to be the same sheet said once more.
const SAME_SHEET: f64 = 0.08;

/// The length that says the thickness of a gauge once more: `16 gauge, that is 1/16 inch`.
fn said_beside(scene: &Scene, gauge: &Placed) -> Option<LengthAt> {
    let item = gauge.length.item;
    let of_table = scene.items[item].amount()?.measure == Measure::Gauge;
    let near = |l: &LengthAt| {
        l.item != item
            && scene.distance(l.item, item) < 6.0
            && (l.high_mm - gauge.length.high_mm).abs() < SAME_SHEET * gauge.length.high_mm
    };
    roles::lengths(scene, &[]).into_iter().find(near).filter(|_| of_table)
}

/// A magnet that may be no wider than the steel: `not wider than the strip`.
fn as_wide_as_steel(scene: &Scene, out: &mut Partial, notes: &mut Notes) {
    let across = out.need.get("steel").and_then(|s| s.get("across")).cloned();
    let Some(across) = across.filter(|_| !out.limits.contains_key("widest")) else {
        return;
    };
    let compared = scene.items.iter().enumerate().find(|(i, x)| {
        let wide = ["wider than", "broader than", "larger than", "bigger than"];
        let noun = scene
            .next(*i)
            .filter(|n| scene.items[*n].norm == "the")
            .and_then(|n| scene.next(n));
        let as_wide = x.norm == "as"
            && matches!(scene.word(scene.previous(*i)), "wide" | "large" | "big" | "broad")
            && scene
                .previous(*i)
                .is_some_and(|p| scene.word(scene.previous(p)) == "as");
        (as_wide || wide.iter().any(|w| x.norm.ends_with(w))) && noun.is_some_and(|n| is_steel(&scene.items[n]))
    });
    if let Some((i, _)) = compared {
        out.limits.insert("widest".into(), across);
        notes.put(scene, i, "/question/limits/widest", "no wider than the steel");
    }
}

/// The most that the magnet may weigh.
pub(super) fn mass(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    if let Some(limit) = of_role(placed, Role::Mass) {
        out.limits.insert("mass".into(), json!(limit.length.high));
        notes.put(
            scene,
            limit.length.item,
            "/question/limits/mass",
            "most mass of the magnet",
        );
    }
}

pub(super) fn load(scene: &Scene, placed: &[Placed], key: &str, out: &mut Partial, notes: &mut Notes) {
    mass(scene, placed, out, notes);
    let path = format!("/question/need/{key}");
    match of_role(placed, Role::Load) {
        Some(best) => {
            out.need.insert(key.into(), json!(best.length.high));
            notes.put(scene, best.length.item, &path, "load");
        }
        None => {
            let goal = out.limits.get("goal").is_some_and(|g| g == "strongest");
            if !goal {
                out.ask(&path);
            }
        }
    }
}

/// A way of the load less likely than this is asked about.
const SURE_WAY: f64 = 0.55;
/// The same where no row of words speaks of a way.
const SURE_WAY_UNSAID: f64 = 0.75;

/// How many words may part a load from the way that it is said to pull.
const BY_LOAD: usize = 4;

/// The way that stands beside a load: `40 N straight off`, `axial 400 N`, `pushed sideways with 80 N`; none where loads pull
/// different ways.
fn stated_way(scene: &Scene) -> Option<&'static str> {
    let loads = scene.amounts(Kind::Force).chain(scene.amounts(Kind::Mass));
    let mut ways: Vec<&'static str> = Vec::new();
    for (load, _) in loads {
        let after = std::iter::successors(scene.next(load), |n| scene.next(*n)).take(BY_LOAD - 1);
        let before = std::iter::successors(scene.previous(load), |n| scene.previous(*n)).take(BY_LOAD);
        let led = before.scan(true, |leads, n| {
            // "straight pull of at least 15 N": nothing else stands between
            let own = *leads;
            *leads = LEADING.contains(&scene.items[n].norm.as_str()) || scene.items[n].is_any(&["max", "min"]);
            own.then_some(n)
        });
        let followed = after.take_while(|n| scene.items[*n].norm != "and" && scene.items[*n].amount().is_none());
        ways.extend(led.chain(followed).filter_map(|n| way_said(scene, n)));
    }
    let first = *ways.first()?;
    ways.iter().all(|w| *w == first).then_some(first)
}

/// Words between the way of a load and the load itself.
const LEADING: [&str; 14] = [
    "pull", "off", "force", "load", "out", "with", "up", "of", "at", "least", "about", "to", "by", "=",
];

/// The way that a word says by itself.
fn way_said(scene: &Scene, n: usize) -> Option<&'static str> {
    let norm = scene.items[n].norm.as_str();
    let says = |starts: &[&str]| norm.split(' ').any(|w| starts.iter().any(|s| w.starts_with(s)));
    if says(&["straight"]) {
        let down = says(&["down"]) || scene.word(scene.next(n)) == "down";
        return Some(if down { "hanging_below" } else { "straight_off" });
    }
    if says(&["axial", "perpendicular"]) {
        return Some("straight_off");
    }
    says(&["sideways", "sideward", "lateral", "shear"]).then_some("sideways")
}

pub(crate) fn direction(scene: &Scene, out: &mut Partial, notes: &mut Notes) {
    let rules = directions(scene);
    let stated = stated_way(scene);
    let likely = likeliest(&scene.learned.directions, scene, &rules)[0];
    let way = stated.map_or(likely, |way| (way, 1.0));
    let sure = if rules.iter().all(|r| r.1 == 0.0) {
        SURE_WAY_UNSAID
    } else {
        SURE_WAY
    };
    out.need.insert("direction".into(), json!(way.0));
    let ruled = rules.iter().filter(|r| r.1 > 0.0).max_by(|a, b| a.1.total_cmp(&b.1));
    let mut signs = doubts::likely("own", way.1);
    signs.push(format!(
        "ruled:{}",
        ruled.map_or("none", |r| if r.0 == way.0 { "own" } else { "other" })
    ));
    signs.push(format!("ways said:{}", rules.iter().filter(|r| r.1 > 0.0).count()));
    signs.push(format!("is:{}", way.0));
    signs.push(format!("stated:{}", stated.is_some()));
    out.signs.push(("direction", signs));
    if let Some(said) = Data::builtin()
        .direction
        .said(&scene.words)
        .iter()
        .find(|s| s.is == way.0)
    {
        notes.span(
            scene,
            said.place,
            "/question/need/direction",
            match way.0 {
                "sideways" => "the load pulls along the steel",
                "hanging_below" => "the load hangs below",
                _ => "the load pulls straight off",
            },
        );
    }
    if way.1 < sure {
        out.ask("/question/need/direction");
    }
}

pub(crate) fn material(scene: &Scene, out: &mut Partial, notes: &mut Notes) {
    // the names of particular steels; plain "steel" says nothing
    let magnetic = scene.any(|x| x.of(Class::Surface) && x.norm.contains("mild"));
    for (i, item) in scene.items.iter().enumerate() {
        // "stainless 1.4301 with pads of mild steel": the magnet is for the pads
        if magnetic && item.of(Class::Inert) {
            continue;
        }
        let particular = item.names.iter().find_map(|n| match n {
            Name::Steel(name) if item.norm.chars().any(|c| c.is_ascii_digit()) => Some(name.clone()),
            Name::Thing(t) if t.class == Class::Surface => {
                let generic = t.words.iter().any(|w| w == "steel")
                    || t.thickness_mm.is_some()
                    || t.name.is_some() && t.material.as_deref() == Some("mild steel");
                t.material.clone().filter(|_| !generic)
            }
            _ => None,
        });
        if let Some(material) = particular {
            out.steel("material", material);
            notes.put(scene, i, "/question/need/steel/material", "the steel");
            return;
        }
    }
    // a number before "steel" is its name
    let numbered = scene.numbers().find(|(i, a)| {
        (1006.0..=1045.0).contains(&a.high) && scene.next(*i).is_some_and(|n| scene.items[n].norm.contains("steel"))
    });
    if let Some((i, _)) = numbered {
        out.steel("material", "mild steel");
        notes.put(scene, i, "/question/need/steel/material", "the steel");
        return;
    }
    let stainless = scene
        .items
        .iter()
        .position(|i| matches!(i.norm.as_str(), "stainless" | "stainless steel" | "inox"));
    if let Some(i) = stainless {
        let sticks = scene.says(&["sticks", "magnetic"]);
        if sticks {
            out.steel("material", "ferritic stainless steel");
            notes.put(
                scene,
                i,
                "/question/need/steel/material",
                "stainless steel that a magnet sticks to",
            );
        } else {
            out.ask("/question/need/steel/material");
        }
    }
}
