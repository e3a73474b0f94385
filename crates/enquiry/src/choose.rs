//! The question of a message: verb, need, conditions and limits, with what must be asked.

use serde_json::{Map, Value, json};

use crate::counts;
use crate::data::Data;
use crate::loads::{self, Chosen};
use crate::magnets::{self, Named};
use crate::named::Class;
use crate::named::Named as Name;
use crate::note::Notes;
use crate::roles::{self, LengthAt, Placed, Role};
use crate::scene::Scene;
use advice::sentence::Verb;

/// A partial question in the making.
#[derive(Debug, Default)]
pub(crate) struct Partial {
    pub need: Map<String, Value>,
    pub conditions: Map<String, Value>,
    pub limits: Map<String, Value>,
    pub pieces: Option<u32>,
    pub asks: Vec<String>,
    pub verb: Option<Verb>,
}

impl Partial {
    /// As JSON; parts that say nothing are left out.
    pub(crate) fn json(&self) -> Value {
        let mut out = Map::new();
        for (key, part) in [
            ("need", &self.need),
            ("conditions", &self.conditions),
            ("limits", &self.limits),
        ] {
            if !part.is_empty() {
                out.insert(key.into(), Value::Object(part.clone()));
            }
        }
        if let Some(pieces) = self.pieces {
            out.insert("pieces".into(), json!(pieces));
        }
        Value::Object(out)
    }

    pub(crate) fn steel(&mut self, key: &str, value: impl Into<Value>) {
        let steel = self.need.entry("steel").or_insert_with(|| json!({}));
        if let Some(steel) = steel.as_object_mut() {
            steel.insert(key.into(), value.into());
        }
    }

    pub(crate) fn ask(&mut self, place: &str) {
        if !self.asks.iter().any(|a| a == place) {
            self.asks.push(place.to_owned());
        }
    }
}

/// The verb of a message.
pub(crate) fn verb(scene: &Scene) -> Verb {
    let said = Data::builtin().verb.said(&scene.words);
    let fields = loads::fields(scene).len();
    let score = |verb: Verb| said.iter().find(|s| s.is == verb.name()).map_or(0.0, |s| s.score);
    let switch = score(Verb::SwitchSensor);
    let mut scored = [
        (
            Verb::SwitchSensor,
            switch + if switch > 0.0 && fields > 0 { 4.0 } else { 0.0 },
        ),
        (Verb::PushApart, score(Verb::PushApart)),
        (Verb::PullTogether, score(Verb::PullTogether)),
        (
            Verb::FaceField,
            if fields > 0 { 3.0 + score(Verb::FaceField) } else { -1.0 },
        ),
        (
            Verb::ReachField,
            if fields > 0 {
                3.2 + score(Verb::ReachField)
            } else {
                -1.0
            },
        ),
        (Verb::Hold, 2.5),
    ];
    scored.sort_by(|a, b| b.1.total_cmp(&a.1));
    scored[0].0
}

/// Reads the question that a message asks.
pub(crate) fn read(scene: &Scene, named: &[Named], verb: Verb, notes: &mut Notes) -> Partial {
    let mut out = Partial {
        verb: Some(verb),
        ..Partial::default()
    };
    out.need.insert("verb".into(), json!(verb.name()));
    let mut taken: Vec<usize> = Vec::new();
    conditions(scene, &mut out, &mut taken, notes);
    choices(scene, &mut out, &mut taken, notes);
    sizes(scene, named, verb, &mut out, notes);
    let lengths = roles::lengths(scene, &taken);
    taken.extend(lengths.iter().map(|l| l.item));
    let placed = roles::assign(scene, verb, &lengths);
    taken.extend(
        scene
            .items
            .iter()
            .enumerate()
            .filter(|(_, i)| i.amount().is_some_and(|a| !a.is_bare()))
            .map(|(n, _)| n),
    );
    let counts = counts::counts(scene, verb, &taken);
    if let Some((i, n)) = counts.shared {
        out.need.insert("shared_by".into(), json!(n));
        notes.put(scene, i, "/question/need/shared_by", "magnets that share the load");
    }
    if let Some((i, n)) = counts.pieces {
        out.pieces = Some(n);
        notes.put(scene, i, "/question/pieces", "pieces");
    }
    if counts.doubtful {
        out.ask("/question/pieces");
    }
    if let Some((i, n)) = counts.stack {
        out.limits.insert("stack".into(), json!(n));
        notes.put(scene, i, "/question/limits/stack", "most pieces in a stack");
    }
    limits(scene, &placed, &mut out, notes);
    match verb {
        Verb::Hold => hold(scene, &placed, &mut out, notes),
        Verb::PullTogether | Verb::PushApart => pair(scene, verb, &placed, &mut out, notes),
        Verb::ReachField | Verb::FaceField => field(scene, verb, &placed, &mut out, notes),
        Verb::SwitchSensor => switch(scene, &placed, &mut out, notes),
    }
    out
}

fn put(map: &mut Map<String, Value>, key: &str, placed: &Placed, high: bool) {
    map.insert(
        key.into(),
        json!(if high { &placed.length.high } else { &placed.length.low }),
    );
}

pub(crate) fn of_role(placed: &[Placed], role: Role) -> Option<&Placed> {
    placed.iter().find(|p| p.role == role)
}

fn limits(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
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
        if p.second.is_some_and(|s| s != Role::Widest && s != Role::Tallest)
            && roles::bound(scene, p.length.item).is_none()
        {
            out.ask(&format!("/question/limits/{key}"));
        }
        put(&mut out.limits, key, p, true);
        notes.put(scene, p.length.item, &format!("/question/limits/{key}"), meaning);
        if role == Role::Widest
            && p.length.low_mm < p.length.high_mm
            && roles::bound(scene, p.length.item) != Some(true)
        {
            put(&mut out.limits, "narrowest", p, false);
        }
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

/// Sizes such as `20x10` that limit what is chosen, or measure the steel.
fn sizes(scene: &Scene, named: &[Named], verb: Verb, out: &mut Partial, notes: &mut Notes) {
    let limits: Vec<&Named> = named.iter().filter(|n| n.written).collect();
    if !limits.is_empty() {
        let mut widest = 0.0f64;
        let mut tallest = 0.0f64;
        for n in &limits {
            let (across, along) = match n.size_mm.as_slice() {
                [d, t] => (*d, Some(*t)),
                [a, b, t] => (a.max(*b), Some(*t)),
                [d] => (*d, None),
                _ => continue,
            };
            widest = widest.max(across);
            let side_by_side = n.shape == Some("block") && n.size_mm.len() == 2;
            if let Some(t) = along.filter(|_| !side_by_side) {
                tallest = tallest.max(t);
            }
            notes.put(scene, n.item, "/question/limits/widest", "greatest size of the magnet");
        }
        if widest > 0.0 {
            out.limits
                .insert("widest".into(), json!(format!("{} mm", roles::plain(widest))));
        }
        if tallest > 0.0 {
            out.limits
                .insert("tallest".into(), json!(format!("{} mm", roles::plain(tallest))));
        }
        let mut shapes: Vec<&str> = limits
            .iter()
            .filter(|n| n.size_mm.len() == 3 && !n.bound || n.shape == Some("block") && n.size_mm.len() == 3)
            .filter_map(|n| n.shape)
            .collect();
        shapes.dedup();
        if !shapes.is_empty() && !out.limits.contains_key("shapes") {
            out.limits.insert("shapes".into(), json!(shapes));
        }
    }
    if verb != Verb::Hold {
        return;
    }
    for (i, item) in scene.items.iter().enumerate() {
        let Some(size) = item.size() else { continue };
        if limits.iter().any(|n| n.items.contains(&i)) {
            continue;
        }
        // "a loudspeaker of 180 x 120 mm"
        let of_another = scene
            .previous(i)
            .filter(|p| scene.items[*p].norm == "of")
            .and_then(|p| scene.previous(p))
            .is_some_and(|o| !roles::is_steel(&scene.items[o]));
        if of_another {
            continue;
        }
        let steel = crate::scene::bracket_owner(scene, i)
            .filter(|o| roles::is_steel(&scene.items[*o]))
            .map(|o| (o, 0.5))
            .or_else(|| scene.nearest(i, 4.5, roles::is_steel))
            .filter(|(n, _)| scene.same_sentence(i, *n));
        let object = scene.nearest(i, 2.2, |x| x.of(Class::Object));
        let (Some((_, near)), false) = (steel, object.is_some_and(|o| steel.is_none_or(|s| o.1 < s.1))) else {
            continue;
        };
        let mm = magnets::millimetres(size);
        if mm.iter().any(|n| *n > 400.0) || near > 4.0 {
            continue;
        }
        let mut sorted = mm.clone();
        sorted.sort_by(f64::total_cmp);
        let text = |n: f64| format!("{} mm", roles::plain(n));
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
        notes.put(scene, i, "/question/need/steel", "size of the steel");
    }
}

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
    let best = ["food", "outdoors", "damp", "dry"]
        .into_iter()
        .find_map(|s| said.iter().find(|x| x.is == s));
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

fn choices(scene: &Scene, out: &mut Partial, taken: &mut Vec<usize>, notes: &mut Notes) {
    let data = Data::builtin();
    if let Some(s) = data.goal.said(&scene.words).first() {
        out.limits.insert("goal".into(), json!(s.is));
        notes.span(scene, s.place, "/question/limits/goal", "what is wanted most");
    }
    if let Some(s) = data.coating.said(&scene.words).first() {
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
    if let Some((i, factor)) = loads::safety(scene) {
        taken.push(i);
        out.need.insert("safety_factor".into(), json!(factor));
        notes.put(scene, i, "/question/need/safety_factor", "safety factor");
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
        let thing = item.of(Class::Surface) || item.of(Class::Object) || item.is("inside");
        let round = matches!(item.norm.as_str(), "round" | "circular" | "bar" | "button");
        // "round tube", "steel ball", "two steel bars", "disc brake"
        let after = scene.next(i).map(|n| &scene.items[n]);
        let owned = after.is_some_and(|n| {
            matches!(n.norm.as_str(), "brake" | "binder" | "welded" | "glued" | "screwed")
                || n.of(Class::Surface) && !n.is_magnet()
        }) || scene
            .previous(i)
            .is_some_and(|p| scene.items[p].of(Class::Surface) && scene.items[p].norm.starts_with("steel"));
        let magnet_near = scene
            .nearest(i, 2.6, |x| x.is("magnet"))
            .is_some_and(|(n, _)| scene.same_sentence(i, n));
        let made_of = scene
            .previous(i)
            .is_some_and(|p| scene.items[p].of(Class::Layer) || scene.items[p].of(Class::Inert));
        let sized_round = item.norm == "round" && scene.nearest(i, 1.7, |x| x.amount().is_some()).is_some();
        if thing
            || owned
            || made_of
            || (round
                && !sized_round
                && scene
                    .nearest(i, 5.0, |x| x.is("magnet") || x.of(Class::Recess))
                    .is_none())
        {
            continue;
        }
        // "bar" is a shape in "bar magnet" alone
        if matches!(item.norm.as_str(), "bar" | "bars" | "button") && !after.is_some_and(|n| n.is("magnet")) {
            continue;
        }
        let sure = matches!(
            item.norm.trim_end_matches('s'),
            "disc" | "disk" | "cylinder" | "sphere" | "cube"
        );
        let steel_ball = shape == "sphere" && scene.any(|x| x.of(Class::Surface) && x.norm.contains("ball"));
        let sized_round = item.norm == "round"
            && scene
                .nearest(i, 1.7, |x| x.amount().is_some())
                .is_some_and(|(n, _)| roles::bound(scene, n) == Some(true));
        if steel_ball || !(sure || sized_round || magnet_near || standing(scene, i)) {
            continue;
        }
        if !out.contains(&shape) {
            out.push(shape);
            notes.put(scene, i, "/question/limits/shapes", "shape");
        }
    }
    out
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
    ) || lead.is_empty();
    sized || asked
}

/// What surface the message speaks of, where it says so in everyday words.
pub(crate) fn surface(scene: &Scene) -> Option<(usize, &'static crate::named::Thing)> {
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

fn hold(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    load(scene, Verb::Hold, "load", out, notes);
    direction(scene, out, notes);
    material(scene, out, notes);
    if let Some(p) = of_role(placed, Role::SteelThickness) {
        if out.need.get("steel").and_then(|s| s.get("thickness")).is_none() || p.score > 3.0 {
            // the thinner end is the worse one
            let text = if p.length.low_mm < p.length.high_mm {
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
    if let Some(p) = of_role(placed, Role::SteelAcross) {
        out.steel("across", p.length.high.as_str());
        notes.put(
            scene,
            p.length.item,
            "/question/need/steel/across",
            "width of the steel",
        );
    }
    layers(scene, placed, out, notes);
}

fn load(scene: &Scene, verb: Verb, key: &str, out: &mut Partial, notes: &mut Notes) {
    let mut loads = loads::loads(scene, verb);
    if let Some(limit) = loads::mass_limit(scene, &loads) {
        out.limits.insert("mass".into(), json!(limit.text));
        notes.put(scene, limit.item, "/question/limits/mass", "most mass of the magnet");
        loads.retain(|l| l.item != limit.item);
    }
    let path = format!("/question/need/{key}");
    match loads.first().filter(|l| l.score > 0.0) {
        Some(best) => {
            out.need.insert(key.into(), json!(best.text));
            notes.put(scene, best.item, &path, "load");
            // two loads as likely as each other
            if loads
                .get(1)
                .is_some_and(|l| best.score - l.score < 0.12 && (l.si / best.si - 1.0).abs() > 0.01)
            {
                out.ask(&path);
            }
        }
        None => {
            let goal = out.limits.get("goal").is_some_and(|g| g == "strongest");
            if !goal {
                out.ask(&path);
            }
        }
    }
}

pub(crate) fn direction(scene: &Scene, out: &mut Partial, notes: &mut Notes) {
    let said = Data::builtin().direction.said(&scene.words);
    let best = said.first();
    let second = said.get(1).map_or(0.0, |s| s.score);
    match best {
        Some(b) if b.score >= 1.0 => {
            out.need.insert("direction".into(), json!(b.is));
            notes.span(
                scene,
                b.place,
                "/question/need/direction",
                match b.is {
                    "sideways" => "the load pulls along the steel",
                    "hanging_below" => "the load hangs below",
                    _ => "the load pulls straight off",
                },
            );
            if b.score - second < 0.6 {
                out.ask("/question/need/direction");
            }
        }
        _ => match surface(scene).and_then(|(_, t)| t.direction.as_deref()) {
            Some(d) => {
                out.need.insert("direction".into(), json!(d));
            }
            None => out.ask("/question/need/direction"),
        },
    }
}

pub(crate) fn material(scene: &Scene, out: &mut Partial, notes: &mut Notes) {
    // the names of particular steels; plain "steel" says nothing
    for (i, item) in scene.items.iter().enumerate() {
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

/// The layers between, each with its thickness or asked for.
pub(crate) fn layers(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let mut rows: Vec<(usize, String, Option<&LengthAt>)> = Vec::new();
    for n in roles::layer_items(scene) {
        let item = &scene.items[n];
        let own = placed.iter().find(|p| p.role == Role::Layer(n)).map(|p| &p.length);
        let Some(material) = layer_name(item) else { continue };
        let same = rows.iter_mut().find(|r| r.1 == material);
        match (own, same) {
            (Some(_), Some(row)) if row.2.is_none() => {
                row.0 = n;
                row.2 = own;
            }
            (_, Some(_)) => {}
            (_, None) => rows.push((n, material, own)),
        }
    }
    if let Some(p) = of_role(placed, Role::Gap) {
        rows.push((p.length.item, "air".into(), Some(&p.length)));
    }
    let mut list: Vec<Value> = Vec::new();
    for (n, material, own) in rows {
        match own {
            Some(length) => {
                list.push(json!({"material": material, "thickness": length.high}));
                notes.put(
                    scene,
                    length.item,
                    &format!("/question/need/layers/{}/thickness", list.len() - 1),
                    &format!("thickness of the {material}"),
                );
            }
            // paint without a thickness is on the steel; other materials without one are what things are made of
            None if matches!(material.as_str(), "paint" | "powder coat") => {
                out.ask(&format!("/question/need/layers/{}/thickness", list.len()));
                list.push(json!({"material": material}));
                notes.put(
                    scene,
                    n,
                    &format!("/question/need/layers/{}", list.len() - 1),
                    &material,
                );
            }
            None => {}
        }
    }
    if !list.iter().any(|l| l["material"] == "paper") {
        papers(scene, &mut list, out, notes);
    }
    if !list.is_empty() {
        out.need.insert("layers".into(), Value::Array(list));
    }
}

/// Thickness of a sheet of office paper, mm, and mass of an A4 sheet of it, g: 80 g/m² by ISO 216; thickness common practice, no source.
const SHEET: [f64; 2] = [0.1, 5.0];

/// Sheets of paper under a magnet: a layer, and a load where none is said.
fn papers(scene: &Scene, list: &mut Vec<Value>, out: &mut Partial, notes: &mut Notes) {
    const WORDS: [&str; 27] = [
        "paper",
        "papers",
        "sheet of paper",
        "sheets of paper",
        "printer paper",
        "notes",
        "note",
        "drawing",
        "drawings",
        "photo",
        "photos",
        "postcard",
        "postcards",
        "prints",
        "circulars",
        "receipts",
        "business card",
        "card",
        "notice",
        "notices",
        "leaflet",
        "leaflets",
        "poster",
        "posters",
        "note cards",
        "a4",
        "letters",
    ];
    let Some(at) = scene
        .items
        .iter()
        .enumerate()
        .position(|(n, i)| WORDS.contains(&i.norm.as_str()) && !i.is("inside") && !names_another(scene, n))
    else {
        return;
    };
    let flat = scene.any(|i| i.of(Class::Surface));
    if !flat
        || scene.says(&["clip", "paper clip", "paperclip"])
        || matches!(scene.items[at].norm.as_str(), "card" | "note" | "poster" | "posters")
    {
        return;
    }
    let sheets = scene.numbers().find(|(i, a)| {
        (1.0..=60.0).contains(&a.high)
            && [scene.next(*i), scene.next(*i).and_then(|n| scene.next(n))]
                .into_iter()
                .flatten()
                .any(|n| {
                    matches!(
                        scene.items[n].norm.as_str(),
                        "sheet"
                            | "sheets"
                            | "papers"
                            | "paper"
                            | "a4"
                            | "sheets of paper"
                            | "sheet of paper"
                            | "pages"
                            | "a4 papers"
                    )
                })
    });
    let place = list.len();
    notes.put(
        scene,
        at,
        &format!("/question/need/layers/{place}"),
        "paper under the magnet",
    );
    match sheets {
        Some((i, a)) => {
            let [thickness, mass] = SHEET;
            list.push(json!({"material": "paper", "thickness": format!("{} mm", roles::plain(a.high * thickness))}));
            if !out.need.contains_key("load") {
                out.need
                    .insert("load".into(), json!(format!("{} g", roles::plain(a.high * mass))));
                notes.put(scene, i, "/question/need/load", "mass of so many sheets");
            }
        }
        None => list.push(json!({"material": "paper"})),
    }
    out.ask(&format!("/question/need/layers/{place}/thickness"));
}

/// Whether a word for a sheet only names what follows it: `drawing no. 7`, `paper lanterns`.
fn names_another(scene: &Scene, n: usize) -> bool {
    let next = scene.next(n).filter(|m| scene.distance(n, *m) < 1.3);
    next.is_some_and(|m| {
        let x = &scene.items[m];
        x.is("number_of") || x.norm == "rev" || x.of(Class::Object) || x.of(Class::Perhaps)
    })
}

fn layer_name(item: &crate::lexer::Item) -> Option<String> {
    item.thing(Class::Layer).and_then(|t| t.material.clone()).or_else(|| {
        item.names.iter().find_map(|n| match n {
            Name::Layer(name) => Some(name.clone()),
            _ => None,
        })
    })
}

pub(crate) fn pair(scene: &Scene, verb: Verb, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    load(scene, verb, "force", out, notes);
    // what lies between adds up, unless its sum is said
    let parts: Vec<&Placed> = placed
        .iter()
        .filter(|p| matches!(p.role, Role::Gap | Role::Layer(_)))
        .collect();
    if !parts.is_empty() {
        let says_sum = |p: &&&Placed| {
            let i = p.length.item;
            let mut lead = scene.previous(i);
            while lead.is_some_and(|n| {
                matches!(
                    scene.items[n].norm.as_str(),
                    "a" | "an" | "about" | "of" | "that" | "there" | "is"
                )
            }) {
                lead = lead.and_then(|n| scene.previous(n));
            }
            let before = scene.word(lead);
            let total = scene.nearest(i, 2.2, |x| x.is("total")).is_some();
            total
                || matches!(
                    before,
                    "so" | "is" | "makes" | "gives" | "total" | "gap" | "gap of" | "distance of"
                )
                || scene
                    .items
                    .get(i.wrapping_sub(1))
                    .is_some_and(|x| matches!(x.what, crate::lexer::What::Mark('=' | '→')))
        };
        // what stands by a word for the distance, and layers, before lengths of whatever else
        let cued = |p: &&&Placed| {
            matches!(p.role, Role::Layer(_)) || scene.near(p.length.item, &["gap", "between"], 3.0).is_some()
        };
        let strong: Vec<&Placed> = parts.iter().filter(cued).copied().collect();
        let parts = if strong.is_empty() { parts } else { strong };
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

/// Two where a thickness is said of each of two sides.
fn doubled(scene: &Scene, i: usize) -> f64 {
    let each = (0..scene.items.len()).any(|n| {
        let x = &scene.items[n];
        let says = x.is("each") || matches!(x.norm.as_str(), "both" | "either");
        let reach = if n > i { 6.0 } else { 1.8 };
        says && scene.distance(i, n) < reach && scene.same_sentence(i, n)
    });
    if each { 2.0 } else { 1.0 }
}

fn field(scene: &Scene, verb: Verb, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let fields = loads::fields(scene);
    let wanted: Option<&Chosen> = fields.iter().map(|f| &f.1).max_by(|a, b| a.si.total_cmp(&b.si));
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
        return;
    }
    let ceiling = fields
        .iter()
        .map(|f| &f.1)
        .filter(|f| wanted.is_some_and(|w| w.item != f.item))
        .min_by(|a, b| a.si.total_cmp(&b.si));
    let mut distances: Vec<&Placed> = placed.iter().filter(|p| p.role == Role::Distance).collect();
    distances.sort_by(|a, b| b.score.total_cmp(&a.score));
    if let Some(w) = wanted.filter(|_| ceiling.is_some()) {
        distances.sort_by(|a, b| {
            scene
                .distance(w.item, a.length.item)
                .total_cmp(&scene.distance(w.item, b.length.item))
        });
    }
    if let Some(c) = ceiling {
        let all = roles::lengths(scene, &[]);
        let own = all
            .iter()
            .filter(|l| distances.first().is_none_or(|d| d.length.item != l.item))
            .min_by(|a, b| {
                scene
                    .distance(c.item, a.item)
                    .total_cmp(&scene.distance(c.item, b.item))
            });
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
    match distances.first() {
        Some(p) => {
            out.need.insert("distance".into(), json!(p.length.high));
            notes.put(
                scene,
                p.length.item,
                "/question/need/distance",
                "distance from the face",
            );
        }
        None => out.ask("/question/need/distance"),
    }
    if let Some(p) = of_role(placed, Role::OffAxis) {
        out.need.insert("off_axis".into(), json!(p.length.high));
    }
    if let Some(limit) = loads::mass_limit(scene, &loads::loads(scene, verb)) {
        out.limits.insert("mass".into(), json!(limit.text));
        notes.put(scene, limit.item, "/question/limits/mass", "most mass of the magnet");
    }
}

fn switch(scene: &Scene, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
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
    // of several distances the least is near and the greatest far
    let mut travel: Vec<&Placed> = placed
        .iter()
        .filter(|p| matches!(p.role, Role::Near | Role::Far))
        .collect();
    travel.sort_by(|a, b| a.length.high_mm.total_cmp(&b.length.high_mm));
    let (near, far) = match travel.as_slice() {
        [] => (None, None),
        [one] if one.role == Role::Near => (Some(*one), None),
        [one] => (None, Some(*one)),
        [first, .., last] => (Some(*first), Some(*last)),
    };
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
    if !out.need.contains_key("operate")
        && let Some(s) = Data::builtin().switch.said(&scene.words).first()
    {
        out.need.insert("switch".into(), json!(s.is));
        notes.span(scene, s.place, "/question/need/switch", "kind of switch");
    }
    if let Some((i, margin)) = loads::margin(scene) {
        out.need.insert("margin".into(), json!(margin));
        notes.put(scene, i, "/question/need/margin", "margin");
    }
}
