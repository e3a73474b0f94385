//! The question of a message: verb, need, conditions and limits, with what must be asked.

mod field;
mod gate;
mod given;
mod hold;
mod layers;
mod limits;
mod pair;
mod total;

use advice::sentence::Verb;
use quantity::Kind;
use serde_json::{Map, Value, json};

use crate::counts::{self, Times};
use crate::data::Data;
use crate::doubts;
use crate::evidence;
use crate::learned::Weights;
use crate::lexer::{Item, What};
use crate::loads;
use crate::magnets::Named;
use crate::note::Notes;
use crate::places::{self, Placed};
use crate::roles::{self, Role};
use crate::scene::Scene;

pub(crate) use given::{coatings, conditions, finishes};
pub(crate) use hold::{direction, material, surface};
pub(crate) use layers::layers;
pub(crate) use pair::pair;

/// A place less likely than this is asked about.
const SURE: f64 = 0.5;
/// The same of a count.
const SURE_COUNT: f64 = 0.4;
/// A verb less likely than this is asked about.
const SURE_VERB: f64 = 0.45;

/// A partial question in the making.
#[derive(Debug, Default)]
pub(crate) struct Partial {
    pub need: Map<String, Value>,
    pub conditions: Map<String, Value>,
    pub limits: Map<String, Value>,
    pub pieces: Option<u32>,
    pub asks: Vec<String>,
    pub verb: Option<Verb>,
    /// The amounts with their places.
    pub placed: Vec<Placed>,
    /// What led to what is said in words: the place and what speaks for and against it.
    pub signs: Vec<(&'static str, Vec<String>)>,
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

/// What the rules give each verb.
pub(crate) fn verbs(scene: &Scene) -> Vec<(&'static str, f64)> {
    let said = Data::builtin().verb.said(&scene.words);
    let fields = !loads::fields(scene).is_empty();
    let speaks = scene.says(&["field", "gauss", "tesla", "mt", "flux"]);
    let score = |verb: Verb| said.iter().find(|s| s.is == verb.name()).map_or(0.0, |s| s.score);
    let switch = score(Verb::SwitchSensor);
    [
        (
            Verb::SwitchSensor,
            switch + if switch > 0.0 && fields { 4.0 } else { 0.0 },
        ),
        (Verb::PushApart, score(Verb::PushApart)),
        (Verb::PullTogether, score(Verb::PullTogether)),
        (
            Verb::FaceField,
            match (fields, speaks) {
                (true, _) => 3.0 + score(Verb::FaceField),
                (false, true) => 1.0 + 0.5 * score(Verb::FaceField),
                (false, false) => -1.0,
            },
        ),
        (
            Verb::ReachField,
            match (fields, speaks) {
                (true, _) => 3.2 + score(Verb::ReachField),
                (false, true) => 1.2 + 0.5 * score(Verb::ReachField),
                (false, false) => -1.0,
            },
        ),
        (Verb::Hold, 2.5),
    ]
    .map(|(verb, score)| (verb.name(), score))
    .to_vec()
}

/// The verb of a message, and how likely it is.
pub(crate) fn verb(scene: &Scene) -> Verb {
    let (name, _) = likeliest_verb(scene);
    Verb::ALL.into_iter().find(|v| v.name() == name).unwrap_or(Verb::Hold)
}

/// A switch that rows of words say so surely is meant where nothing is loaded.
const SAID_SWITCH: f64 = 6.0;

/// The likeliest verb and its chance. Where a field or a switch is named and neither a mass nor a force, nothing is held or
/// pulled.
fn likeliest_verb(scene: &Scene) -> (&'static str, f64) {
    let loaded = scene
        .amounts(Kind::Mass)
        .chain(scene.amounts(Kind::Force))
        .next()
        .is_some();
    let rules = verbs(scene);
    let switched = rules
        .iter()
        .any(|r| r.0 == Verb::SwitchSensor.name() && r.1 >= SAID_SWITCH);
    let fields = (switched || !loads::fields(scene).is_empty()) && !loaded;
    let of_fields = [Verb::ReachField, Verb::FaceField, Verb::SwitchSensor].map(Verb::name);
    let likely: Vec<(&'static str, f64)> = likeliest(&scene.learned.verbs, scene, &rules)
        .into_iter()
        .filter(|v| !fields || of_fields.contains(&v.0))
        .collect();
    let sum: f64 = likely.iter().map(|v| v.1).sum();
    likely.first().map_or((Verb::Hold.name(), 0.0), |v| (v.0, v.1 / sum))
}

/// The places of a message, the likeliest first.
fn likeliest(weights: &Weights, scene: &Scene, rules: &[(&'static str, f64)]) -> Vec<(&'static str, f64)> {
    let chances = weights.chances(&evidence::whole(scene), rules);
    let mut out: Vec<(&'static str, f64)> = rules.iter().map(|r| r.0).zip(chances).collect();
    out.sort_by(|a, b| b.1.total_cmp(&a.1));
    out
}

/// What the rules give each way of a load.
pub(crate) fn directions(scene: &Scene) -> Vec<(&'static str, f64)> {
    let said = Data::builtin().direction.said(&scene.words);
    ["sideways", "hanging_below", "straight_off"]
        .map(|way| (way, said.iter().find(|s| s.is == way).map_or(0.0, |s| s.score)))
        .to_vec()
}

/// Reads the question that a message asks.
pub(crate) fn read(scene: &Scene, named: &[Named], verb: Verb, notes: &mut Notes) -> Partial {
    let mut out = Partial {
        verb: Some(verb),
        ..Partial::default()
    };
    out.need.insert("verb".into(), json!(verb.name()));
    let mut taken: Vec<usize> = Vec::new();
    given::conditions(scene, &mut out, &mut taken, notes);
    given::choices(scene, &mut out, &mut taken, notes);
    let placed = places::assign(
        &scene.learned.amounts,
        verb,
        &places::candidates(scene, verb, named, &taken),
    );
    limits::sizes(scene, named, &placed, &mut out, notes);
    let chance = likeliest_verb(scene).1;
    out.signs.push(("verb", verb_signs(scene, verb, chance)));
    if chance < SURE_VERB || of_no_verb(scene, verb) {
        out.ask("/question/need/verb");
    }
    counted(scene, verb, &placed, &mut out, notes);
    doubts(verb, &placed, &mut out);
    limits::limits(scene, &placed, &mut out, notes);
    match verb {
        Verb::Hold => hold::hold(scene, &placed, &mut out, notes),
        Verb::PullTogether | Verb::PushApart => pair::pair(scene, &placed, &mut out, notes),
        Verb::ReachField | Verb::FaceField => field::field(scene, verb, &placed, &mut out, notes),
        Verb::SwitchSensor => field::switch(scene, &placed, &mut out, notes),
    }
    gate::gate(&mut out);
    out.placed = placed;
    out
}

/// Whether a message wants what none of the verbs is: a torque, or a field in the gap between two magnets.
fn of_no_verb(scene: &Scene, verb: Verb) -> bool {
    const MIDDLE: [&str; 5] = ["halfway", "midway", "middle", "mid-gap", "midpoint"];
    // "a torque wrench of 1.4 kg" is a thing that is held
    let loaded = scene
        .amounts(Kind::Mass)
        .chain(scene.amounts(Kind::Force))
        .next()
        .is_some();
    let torque = scene.says(&["torque"]) && !loaded;
    let magnets = |b: usize| {
        let two = |x: &Item| x.is_magnet() || matches!(x.norm.as_str(), "them" | "both");
        scene.nearest(b, 4.0, two).is_some_and(|(n, _)| n > b)
    };
    // "halfway between them", "in the middle of a gap between two blocks"
    let middle = (0..scene.items.len()).any(|m| {
        let said = MIDDLE.contains(&scene.items[m].norm.as_str());
        said && scene
            .tagged("between")
            .any(|b| b > m && scene.same_sentence(m, b) && scene.distance(m, b) < MIDDLE_REACH && magnets(b))
    });
    torque || matches!(verb, Verb::FaceField | Verb::ReachField) && middle
}

/// So near to `between` a word for the middle belongs to it.
const MIDDLE_REACH: f64 = 7.0;

/// What speaks for and against a verb.
fn verb_signs(scene: &Scene, verb: Verb, chance: f64) -> Vec<String> {
    let rules = verbs(scene);
    let ruled = rules.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or("", |r| r.0);
    let mut out = doubts::likely("own", chance);
    out.push(format!("ruled:{}", ruled == verb.name()));
    out.push(format!("ruled:{ruled}&{}", verb.name()));
    let second = likeliest(&scene.learned.verbs, scene, &rules)
        .into_iter()
        .find(|v| v.0 != verb.name());
    out.extend(second.map(|s| format!("second:{}", s.0)));
    out
}

/// Asks about every place that is taken without being likely enough.
fn doubts(verb: Verb, placed: &[Placed], out: &mut Partial) {
    let least = |role: Role| match role {
        Role::Pieces | Role::Things | Role::SharedBy => SURE_COUNT,
        _ => SURE,
    };
    for p in placed.iter().filter(|p| p.score < least(p.role)) {
        let place = match p.role {
            Role::SteelThickness => "/question/need/steel/thickness",
            Role::Widest | Role::MagnetSize => "/question/limits/widest",
            Role::Narrowest => "/question/limits/narrowest",
            Role::Tallest => "/question/limits/tallest",
            Role::Shortest => "/question/limits/shortest",
            Role::Hole => "/question/limits/hole",
            Role::Gap if roles::is_pair(verb) => "/question/need/gap",
            Role::Distance => "/question/need/distance",
            Role::OffAxis => "/question/need/off_axis",
            Role::Near => "/question/need/near",
            Role::Far => "/question/need/far",
            Role::Probe => "/question/need/probe_depth",
            Role::Load if roles::is_pair(verb) => "/question/need/force",
            Role::Load => "/question/need/load",
            Role::Pieces | Role::Things => "/question/pieces",
            Role::SharedBy => "/question/need/shared_by",
            Role::SafetyFactor => "/question/need/safety_factor",
            _ => continue,
        };
        out.ask(place);
    }
}

/// How many magnets are bought, share the load, and stand on each other.
fn counted(scene: &Scene, verb: Verb, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let number = |p: &Placed| scene.items[p.length.item].amount().map_or(0, |a| a.high as u32);
    let shared = sharing(scene, verb, placed)
        .map(|p| (p.length.item, number(p)))
        .or_else(|| pairs_together(scene, verb, placed));
    if let Some((item, number)) = shared {
        out.need.insert("shared_by".into(), json!(number));
        notes.put(scene, item, "/question/need/shared_by", "magnets that share the load");
    }
    if let Some(p) = of_role(placed, Role::Stack) {
        out.limits.insert("stack".into(), json!(number(p)));
        notes.put(scene, p.length.item, "/question/limits/stack", "most pieces in a stack");
    } else if let Some(word) = counts::unstacked(scene) {
        out.limits.insert("stack".into(), json!(1));
        notes.put(scene, word, "/question/limits/stack", "not stacked");
    }
    if let Some(p) = of_role(placed, Role::SafetyFactor) {
        let factor = scene.items[p.length.item].amount().map_or(1.0, |a| a.high);
        out.need.insert("safety_factor".into(), json!(factor));
        notes.put(scene, p.length.item, "/question/need/safety_factor", "safety factor");
    } else if let Some((i, factor)) = loads::safety(scene).filter(|s| scene.items[s.0].amount().is_none()) {
        out.need.insert("safety_factor".into(), json!(factor));
        notes.put(scene, i, "/question/need/safety_factor", "safety factor");
    }
    pieces(scene, verb, placed, out, notes);
    if let Some(needed) = out.pieces
        && let Some((item, number)) = counts::spare(scene, needed)
    {
        out.pieces = Some(needed.saturating_add(number));
        notes.put(scene, item, "/question/pieces", "pieces to spare");
    }
    let used: Vec<usize> = placed
        .iter()
        .filter(|p| p.role != Role::Nobody)
        .map(|p| p.length.item)
        .collect();
    out.signs.push(("pieces", counts::signs(scene, out.pieces, &used)));
}

/// How many share the force; of pairs nobody, where it is said of each pair: `4 pairs, 2 N per pair`.
fn sharing<'p>(scene: &Scene, verb: Verb, placed: &'p [Placed]) -> Option<&'p Placed> {
    let of_each = of_role(placed, Role::Load).is_some_and(|load| {
        scene
            .near(load.length.item, &["each"], 3.0)
            .and_then(|(each, _)| scene.next(each))
            .is_some_and(|n| scene.items[n].is("pairs"))
    });
    of_role(placed, Role::SharedBy).filter(|_| !(roles::is_pair(verb) && of_each))
}

/// How many pairs give a force that is said of all of them: `4 pairs, together 25 N`.
fn pairs_together(scene: &Scene, verb: Verb, placed: &[Placed]) -> Option<(usize, u32)> {
    let load = of_role(placed, Role::Load)
        .filter(|_| roles::is_pair(verb))?
        .length
        .item;
    let (total, _) = scene.near(load, &["total"], 6.0)?;
    let of_load = scene.same_sentence(total, load) && scene.near(load, &["each"], 3.0).is_none();
    let mut numbers = scene.numbers().filter(|_| of_load);
    let (item, amount) = numbers.find(|(i, a)| {
        a.high >= 2.0 && a.high.fract() == 0.0 && scene.same_sentence(*i, load) && counts::of_pairs(scene, *i)
    })?;
    Some((item, amount.high as u32))
}

/// How many magnets are bought, where no number has that place: the one pair that is spoken of, or the number of those that
/// share the load, said once more.
fn pieces_again(scene: &Scene, verb: Verb, shared: Option<&Placed>) -> Option<(usize, u32)> {
    let mut numbers = scene.numbers();
    if roles::is_pair(verb) {
        // "2 rings" as a sentence of its own
        let ends = |n: usize| {
            let item = scene.items.get(n);
            item.is_none_or(|x| matches!(x.what, What::Mark('.' | '!' | '?') | What::Break))
        };
        let alone = |i: usize| {
            let leads = i > 0 && (ends(i - 1) || scene.items[i - 1].amount().is_some());
            leads && scene.next(i).is_some_and(|n| ends(n + 1))
        };
        let wanted = |i: usize| {
            alone(i)
                || matches!(
                    scene.word(scene.previous(i)),
                    "need" | "want" | "order" | "buy" | "take"
                )
        };
        let (item, _) = numbers.find(|(i, a)| {
            a.low == a.high
                && (a.high == 1.0 && counts::of_pairs(scene, *i)
                    || a.high == 2.0 && wanted(*i) && counts::of_magnets(scene, *i))
        })?;
        return Some((item, 2));
    }
    let shared = shared?.length.item;
    let number = scene.items[shared].amount()?.high;
    let (item, _) = numbers.find(|(i, a)| {
        *i != shared && a.high == number && a.low == number && (counts::of_magnets(scene, *i) || totalled(scene, *i))
    })?;
    Some((item, number as u32))
}

/// The two magnets of a pair, where nothing else is counted.
fn the_two(scene: &Scene, verb: Verb) -> Option<(usize, u32)> {
    let mut numbers = scene
        .numbers()
        .filter(|(i, a)| a.high >= 2.0 && counts::counts_anything(scene, *i));
    let (item, amount) = numbers.next().filter(|_| roles::is_pair(verb))?;
    let alone = numbers.next().is_none() && amount.low == 2.0 && amount.high == 2.0;
    (alone && counts::of_magnets(scene, item)).then_some((item, 2))
}

/// Whether a number is said to be that of all: `so eight in all`; `all four together` says what they do.
fn totalled(scene: &Scene, i: usize) -> bool {
    scene
        .next(i)
        .is_some_and(|n| scene.items[n].is("total") && scene.items[n].norm != "together")
}

/// Whether nothing else is said of how many are bought than so many for each of so many things. Pairs that share a force are
/// counted by those who share.
fn follows(scene: &Scene, times: &Times, verb: Verb, placed: &[Placed], number: &impl Fn(&Placed) -> u32) -> bool {
    let pairs = roles::is_pair(verb) && counts::of_pairs(scene, times.items[0]);
    let own = |p: &Placed| {
        times.items.contains(&p.length.item) || times.numbers.contains(&number(p)) || number(p) == times.all
    };
    let ordered = placed.iter().filter(|p| matches!(p.role, Role::Pieces | Role::Things));
    let shared = of_role(placed, Role::SharedBy).is_some_and(|p| times.items.contains(&p.length.item));
    ordered.into_iter().all(own) && !(pairs && shared)
}

/// How many magnets are bought: the number that is said, or that of the things they are for, times those for each.
fn pieces(scene: &Scene, verb: Verb, placed: &[Placed], out: &mut Partial, notes: &mut Notes) {
    let number = |p: &Placed| scene.items[p.length.item].amount().map_or(0, |a| a.high as u32);
    let paired = if roles::is_pair(verb) { 2 } else { 1 };
    let shared = sharing(scene, verb, placed);
    let each = shared.map_or(1, number).saturating_mul(paired);
    let counts_things = |p: &Placed| {
        // "four magnets on it, so four": the same number is that of the magnets
        p.role == Role::Things || each > 1 && number(p) != each && counts::of_things(scene, p.length.item)
    };
    if let Some(times) = counts::times(scene, verb).filter(|t| follows(scene, t, verb, placed, &number)) {
        // "1 grille each, 50 cabinets", and six magnets share a grille
        let (first, each_of_them) = (times.items[0], times.numbers[0]);
        let of_magnets = counts::of_magnets(scene, first) || counts::of_pairs(scene, first);
        let of_things = counts::of_things(scene, first) || each_of_them == 1 && !of_magnets;
        let sharing = shared.filter(|p| of_things && paired == 1 && !times.items.contains(&p.length.item));
        out.pieces = Some(times.all.saturating_mul(sharing.map_or(1, number)));
        // "two ends each" have one magnet, "two closures each" a pair; one magnet each is that of one part or of both
        let of_one_part = counts::of_magnets(scene, first) && each_of_them % 2 == 1;
        if times.doubtful || paired > 1 && (of_things || of_one_part) {
            out.ask("/question/pieces");
        }
        for item in times.items {
            notes.put(
                scene,
                item,
                "/question/pieces",
                "so many magnets for each of so many things",
            );
        }
        return;
    }
    if let Some(p) = of_role(placed, Role::Pieces).filter(|p| !counts_things(p)) {
        let pairs = if counts::of_pairs(scene, p.length.item) {
            2
        } else {
            counts::of_set(scene, p.length.item, each).unwrap_or(1)
        };
        let number = number(p).saturating_mul(pairs);
        out.pieces = Some(number);
        notes.put(scene, p.length.item, "/question/pieces", "pieces");
        if each > 1 && number % each != 0 {
            out.ask("/question/pieces");
        }
        return;
    }
    let things: Vec<&Placed> = placed
        .iter()
        .filter(|p| matches!(p.role, Role::Things | Role::Pieces))
        .collect();
    if things.is_empty() {
        let per = |p: &Placed| scene.nearest(p.length.item, 3.4, |x| x.is("each")).is_some();
        let whole = shared.is_some_and(|p| paired > 1 && !per(p));
        // Where no order is said it is for what one need takes: those that share it, on both sides of a pair.
        let is_shared = |i: usize| shared.is_some_and(|p| p.length.item == i);
        let ordered = scene.numbers().any(|(i, a)| {
            a.high >= 2.0 && !is_shared(i) && (counts::of_things(scene, i) || counts::of_magnets(scene, i))
        });
        out.pieces = (each > 1 && (whole || !ordered)).then_some(each);
        let again = pieces_again(scene, verb, shared).filter(|_| !whole);
        let two = || the_two(scene, verb).filter(|_| out.pieces.is_none());
        if let Some((item, number)) = again.or_else(two) {
            out.pieces = Some(number);
            notes.put(scene, item, "/question/pieces", "pieces");
        }
        return;
    }
    // "45 labels in room one, 110 labels next year": of the same things one number is that of the order
    let twice = things.iter().enumerate().any(|(n, p)| {
        let same = |q: &&&Placed| number(q) != number(p) && counts::of_the_same(scene, q.length.item, p.length.item);
        things[..n].iter().any(|q| same(&q))
    });
    if twice {
        out.ask("/question/pieces");
    }
    let mut numbers: Vec<u32> = things.iter().map(|p| number(p)).collect();
    // "7 boards, and we order for 7 boards": said once more; "two halves": the partners of a pair
    numbers.sort_unstable();
    numbers.dedup();
    if roles::is_pair(verb) && (numbers.len() > 1 || shared.is_some()) {
        numbers.retain(|n| *n != 2 && shared.is_none_or(|p| *n != number(p)));
    }
    let product = numbers.into_iter().fold(each, u32::saturating_mul);
    out.pieces = Some(product);
    things.iter().for_each(|p| {
        notes.put(
            scene,
            p.length.item,
            "/question/pieces",
            "things that the magnets are for",
        )
    });
    if roles::is_pair(verb) && !scene.any(|x| x.is("pairs") || x.is("each") || x.norm == "both") {
        out.ask("/question/pieces");
    }
}

pub(crate) fn of_role(placed: &[Placed], role: Role) -> Option<&Placed> {
    placed.iter().find(|p| p.role == role)
}
