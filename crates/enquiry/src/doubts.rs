//! How sure each part of a reading is: what speaks for and against it, and which parts are asked about.

use serde_json::Value;

use crate::bounds::bound;
use crate::kind::Sort;
use crate::learned::Weights;
use crate::lexer::{Amount, What};
use crate::magnets::dimension;
use crate::marks::stem;
use crate::note::Note;
use crate::places::Placed;
use crate::roles::Role;
use crate::scene::Scene;

/// A part of a reading that may be wrong.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its place, a JSON pointer.
    pub place: String,
    /// What speaks for and against it.
    pub features: Vec<String>,
}

/// What is known of a reading as a whole.
pub(crate) struct Whole<'r> {
    pub sort: Sort,
    /// Why it is refused.
    pub reason: Option<&'r str>,
    /// How likely the kind is, of 1.
    pub kind: f64,
    /// How likely the least likely matter asked is, and the likeliest that is not.
    pub abouts: [f64; 2],
    pub placed: &'r [Placed],
    pub signs: &'r [(&'static str, Vec<String>)],
    pub notes: &'r [Note],
    /// The places that are asked already.
    pub asks: &'r [String],
}

/// Chances between which a likelihood is told apart.
const STEPS: [f64; 9] = [0.3, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.995];

/// A likelihood as features: one for each step that it does not reach.
pub(crate) fn likely(name: &str, chance: f64) -> Vec<String> {
    let below = STEPS.iter().filter(|step| chance < **step);
    below.map(|step| format!("{name}<{step}")).collect()
}

/// What changes no answer: of what lies between, only the thickness counts.
const OF_NO_WEIGHT: &str = "layers/material";

/// The parts of a reading that are not asked about yet, without those that change no answer.
pub(crate) fn parts(scene: &Scene, reading: &Value, whole: &Whole) -> Vec<Part> {
    let mut places: Vec<(String, Value)> = vec![("/kind".into(), reading["kind"].clone())];
    if matches!(whole.sort, Sort::Tell | Sort::Compare) {
        places.push(("/about".into(), reading["about"].clone()));
    }
    for (n, magnet) in reading["magnets"].as_array().into_iter().flatten().enumerate() {
        walk(&format!("/magnets/{n}"), magnet, &mut places);
    }
    walk("/question", &reading["question"], &mut places);
    let names: Vec<String> = places.iter().map(|p| name(&p.0)).collect();
    let mut common = of_message(whole);
    common.extend(of_text(scene, whole));
    common.extend(
        reading["question"]["need"]["verb"]
            .as_str()
            .map(|v| format!("does:{v}")),
    );
    places
        .iter()
        .zip(&names)
        .filter(|((place, _), own)| *own != OF_NO_WEIGHT && !whole.asks.iter().any(|a| covers(a, place)))
        .map(|((place, value), own)| {
            let mut features = common.clone();
            features.extend(names.iter().filter(|n| *n != own).map(|n| format!("with:{n}")));
            features.extend(
                value
                    .as_str()
                    .filter(|v| v.chars().all(|c| !c.is_ascii_digit()))
                    .map(|v| format!("is:{v}")),
            );
            for list in value.as_array().into_iter().flatten() {
                features.extend(list.as_str().map(|v| format!("is:{v}")));
            }
            of_amounts(scene, own, place, whole, &mut features);
            if own == "about" {
                features.extend(likely("own", whole.abouts[0]));
                features.extend(likely("passed", 1.0 - whole.abouts[1]));
            }
            let signs = whole.signs.iter().filter(|s| s.0 == own);
            features.extend(signs.flat_map(|s| s.1.iter().cloned()));
            features.sort_unstable();
            features.dedup();
            let all = features.iter().filter(|f| shared(f)).cloned();
            let all: Vec<String> = all
                .chain(features.iter().map(|f| format!("{own} {f}")))
                .chain([own.clone(), "part".to_owned()])
                .collect();
            Part {
                place: place.clone(),
                features: all,
            }
        })
        .collect()
}

/// Whether a feature says the same of every part.
fn shared(feature: &str) -> bool {
    [
        "own<", "passed<", "verb<", "kind<", "rival", "ruled:", "unsure:", "amounts:", "left:", "strange:", "long:",
    ]
    .iter()
    .any(|f| feature.starts_with(f))
}

/// Whether a place is that of an ask, or a part of it.
fn covers(ask: &str, place: &str) -> bool {
    place
        .strip_prefix(ask)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// Every value of a reading by its place; a list of plain values is one.
fn walk(path: &str, value: &Value, out: &mut Vec<(String, Value)>) {
    match value {
        Value::Null => {}
        Value::Object(parts) => parts
            .iter()
            .for_each(|(key, part)| walk(&format!("{path}/{key}"), part, out)),
        Value::Array(list) if list.iter().all(Value::is_object) => {
            for (n, part) in list.iter().enumerate() {
                walk(&format!("{path}/{n}"), part, out);
            }
        }
        other => out.push((path.to_owned(), other.clone())),
    }
}

/// What a part is called, whatever its place in a list: `layers/thickness`, `pieces`.
fn name(place: &str) -> String {
    let all: Vec<&str> = place
        .split('/')
        .filter(|p| p.parse::<usize>().is_err() && !p.is_empty())
        .collect();
    match all.as_slice() {
        [.., group @ ("layers" | "steel" | "magnets" | "no_more_than"), key] => format!("{group}/{key}"),
        [.., key] => (*key).to_owned(),
        [] => String::new(),
    }
}

/// A place with less than this chance is an unsure one.
const UNSURE: f64 = 0.8;

/// How many of the ends a number reaches.
fn bucket(number: usize, ends: &[usize]) -> usize {
    ends.iter().filter(|end| number >= **end).count()
}

/// What holds of a message whatever part is looked at.
fn of_message(whole: &Whole) -> Vec<String> {
    let mut out = vec![format!("kind:{:?}", whole.sort)];
    out.extend(whole.reason.map(|r| format!("reason:{r}")));
    out.extend(likely("kind", whole.kind));
    let placed = whole.placed.iter();
    let unsure = placed.filter(|p| p.score < UNSURE).count();
    out.push(format!("amounts:{}", bucket(whole.placed.len(), &[2, 4, 6, 9, 14])));
    out.push(format!("unsure:{}", unsure.min(4)));
    for (what, signs) in whole.signs {
        if *what == "verb" {
            out.extend(
                signs
                    .iter()
                    .filter(|s| s.starts_with("own<"))
                    .map(|s| s.replace("own", "verb")),
            );
        }
    }
    out
}

/// What the text itself says: its length, how many of its words nothing was learned of, and the amounts that nothing took.
fn of_text(scene: &Scene, whole: &Whole) -> Vec<String> {
    let words = || {
        scene
            .items
            .iter()
            .filter(|x| x.what == What::Word && !x.is("inside"))
            .flat_map(|x| x.norm.split([' ', '-']))
    };
    let strange = words()
        .filter(|w| w.len() > 3 && !scene.learned.kinds.knows(&stem(w)))
        .count();
    let mut out = vec![
        format!("strange:{}", bucket(strange, &[1, 2, 4, 7, 12])),
        format!("long:{}", bucket(words().count(), &[12, 25, 50, 90, 150])),
    ];
    let nobody = whole.placed.iter().filter(|p| p.role == Role::Nobody);
    for left in nobody {
        let item = &scene.items[left.length.item];
        let what = item
            .amount()
            .and_then(Amount::kind)
            .map_or("number".to_owned(), |k| format!("{k:?}"));
        let doubt = if left.score < UNSURE { "unsure" } else { "sure" };
        out.push(format!("left:{what}&{doubt}"));
    }
    out
}

/// The part that an amount of a role is.
fn part_of(role: Role) -> &'static [&'static str] {
    match role {
        Role::SteelThickness => &["steel/thickness"],
        Role::SteelAcross => &["steel/across"],
        Role::Layer(_) => &["layers/thickness", "layers/material"],
        Role::Widest => &["widest"],
        Role::Narrowest => &["narrowest"],
        Role::Tallest => &["tallest"],
        Role::Shortest => &["shortest"],
        Role::Hole => &["hole"],
        Role::Gap => &["gap", "layers/thickness"],
        Role::Distance => &["distance", "no_more_than/distance"],
        Role::OffAxis => &["off_axis"],
        Role::Near => &["near"],
        Role::Far => &["far"],
        Role::Probe => &["probe_depth"],
        Role::Load => &["load", "force"],
        Role::Mass => &["mass"],
        Role::Pieces | Role::Things => &["pieces"],
        Role::SharedBy => &["shared_by"],
        Role::SafetyFactor => &["safety_factor", "margin"],
        Role::Stack => &["stack"],
        Role::MagnetSize => &["widest", "tallest"],
        Role::SteelSize => &["steel/thickness", "steel/across"],
        Role::Nobody => &[],
    }
}

/// The amounts that a part was read from, and those that it might have been read from.
fn of_amounts(scene: &Scene, own: &str, place: &str, whole: &Whole, out: &mut Vec<String>) {
    let noted = |p: &Placed| {
        let range = &scene.items[p.length.item].range;
        let mut notes = whole.notes.iter();
        notes.any(|n| n.path == place && n.range.start <= range.start && range.end <= n.range.end)
    };
    let is_part = |role: Role| part_of(role).contains(&own);
    let (mut used, mut passed) = (0, 0.0f64);
    for p in whole.placed {
        let chance =
            |fits: &dyn Fn(Role) -> bool| p.chances.iter().filter(|c| fits(c.0)).map(|c| c.1).fold(0.0, f64::max);
        if is_part(p.role) && (noted(p) || !own.starts_with("layers")) {
            used += 1;
            out.extend(likely("own", p.score));
            out.push(format!("role:{}", p.role.name()));
            out.push(format!("ruled:{}", p.ruled == p.role));
            let dim = dimension(scene, p.length.item).unwrap_or("none");
            let limit = bound(scene, p.length.item).map_or("none", |max| if max { "max" } else { "min" });
            out.push(format!("said:{dim}&{limit}"));
            let rival = chance(&|role| role.name() != p.role.name());
            out.extend(likely("rival", 1.0 - rival));
            let which = p
                .chances
                .iter()
                .filter(|c| c.0.name() != p.role.name())
                .max_by(|a, b| a.1.total_cmp(&b.1));
            out.extend(which.filter(|w| w.1 > 0.1).map(|w| format!("rival:{}", w.0.name())));
        } else {
            passed = passed.max(chance(&|role| is_part(role)));
        }
    }
    out.push(format!("of:{}", used.min(3)));
    out.extend(likely("passed", 1.0 - passed));
}

/// The most parts of a message that are asked about because they may be wrong.
const MOST: usize = 2;
/// A part that is wrong with more than this chance is asked about.
const DOUBTFUL: f64 = 0.15;
/// The same of parts of which most asks are needless, so that only a real doubt is worth one.
const DOUBTFUL_SELDOM: f64 = 0.25;
const SELDOM: [&str; 7] = ["about", "far", "gap", "kind", "near", "steel/thickness", "widest"];

/// The chance of being wrong above which a part is asked about.
fn doubtful(place: &str) -> f64 {
    if SELDOM.contains(&name(place).as_str()) {
        DOUBTFUL_SELDOM
    } else {
        DOUBTFUL
    }
}

/// The places of the parts that are likeliest to be wrong, the likeliest first.
pub(crate) fn asked(weights: &Weights, parts: &[Part]) -> Vec<String> {
    if weights.is_empty() {
        return Vec::new();
    }
    let mut worth: Vec<(f64, &Part)> = parts
        .iter()
        .map(|part| (weights.any_of(&part.features).first().map_or(0.0, |c| c.1), part))
        .filter(|(chance, part)| *chance > doubtful(&part.place))
        .collect();
    worth.sort_by(|a, b| b.0.total_cmp(&a.0));
    worth
        .into_iter()
        .take(MOST)
        .map(|(_, part)| part.place.clone())
        .collect()
}

#[cfg(test)]
mod tests;
