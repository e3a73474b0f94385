//! What stands around an amount, as the features by which its places are weighed.

use quantity::Kind;

use crate::bounds::bound;
use crate::lexer::{Amount, Item, Measure, What};
use crate::magnets::dimension;
use crate::marks::stem;
use crate::named::Class;
use crate::scene::{Scene, bracket_owner};

/// Cues that say something of an amount.
const CUES: [&str; 44] = [
    "max",
    "min",
    "or_less",
    "or_more",
    "thick",
    "wide",
    "dia",
    "inner",
    "high",
    "deep",
    "long",
    "gap",
    "between",
    "through",
    "away",
    "at",
    "weigh",
    "pull",
    "hold",
    "each",
    "total",
    "pieces",
    "pairs",
    "sets",
    "quantity",
    "safety",
    "times",
    "friction",
    "warm",
    "cold",
    "operate",
    "release",
    "near",
    "far",
    "layer_cue",
    "probe",
    "hole",
    "countersunk",
    "budget",
    "stack",
    "age",
    "time",
    "number_of",
    "month",
];

/// The classes of things, by name.
const CLASSES: [(Class, &str); 7] = [
    (Class::Surface, "surface"),
    (Class::Perhaps, "perhaps"),
    (Class::Layer, "layer"),
    (Class::Object, "object"),
    (Class::Recess, "recess"),
    (Class::Through, "through"),
    (Class::Inert, "inert"),
];

/// How many words to each side say something.
const REACH: usize = 4;

/// What an item is, apart from the word itself.
fn kinds(item: &Item) -> Vec<&'static str> {
    let mut out: Vec<&'static str> = Vec::new();
    match &item.what {
        What::Amount(amount) => out.push(measure(amount)),
        What::Size(_) => out.push("size"),
        _ => {
            out.extend(CUES.iter().filter(|c| item.is(c)));
            out.extend(CLASSES.iter().filter(|c| item.of(c.0)).map(|c| c.1));
            if item.is_magnet() {
                out.push("magnet");
            }
            if item.grade().is_some() {
                out.push("grade");
            }
        }
    }
    out
}

fn measure(amount: &Amount) -> &'static str {
    match amount.measure {
        Measure::Bare => "number",
        Measure::Gauge => "gauge",
        Measure::Money { .. } => "money",
        Measure::Percent => "percent",
        Measure::Unit(unit) => match unit.kind() {
            Kind::Length => "length",
            Kind::Mass => "mass",
            Kind::Force => "force",
            Kind::Temperature => "temperature",
            Kind::FluxDensity | Kind::FieldStrength => "field",
        },
    }
}

/// What an item is as a thing: the first of its classes; magnets before all.
fn noun(item: &Item) -> Option<&'static str> {
    if item.is("inside") || item.what != What::Word {
        return None;
    }
    if item.is_magnet() && !item.of(Class::Surface) {
        return Some("magnet");
    }
    CLASSES.iter().find(|c| item.of(c.0)).map(|c| c.1)
}

fn bucket(value: f64, ends: &[f64]) -> usize {
    ends.iter().take_while(|e| value >= **e).count()
}

/// The features of the amount, the size or the word at `i`.
pub(crate) fn features(scene: &Scene, i: usize) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let item = &scene.items[i];
    let (what, value) = match &item.what {
        What::Amount(amount) => {
            if amount.low != amount.high {
                out.push("range".into());
            }
            if amount.high.fract() != 0.0 {
                out.push(format!("decimal:{}", measure(amount)));
            }
            if !amount.digits {
                out.push("worded".into());
            }
            let value = match amount.si() {
                Some(si) if amount.kind() == Some(Kind::Length) => si * 1e3,
                Some(si) => si,
                None => amount.high,
            };
            (measure(amount), value)
        }
        What::Size(size) => {
            out.push(format!("numbers:{}", size.numbers.len()));
            let least = size.numbers.iter().copied().fold(f64::MAX, f64::min);
            ("size", least)
        }
        _ => {
            out.push(format!("word:{}", item.norm));
            ("word", 0.0)
        }
    };
    out.push(format!("is:{what}"));
    let size = bucket(
        value,
        &[
            0.05, 0.15, 0.35, 0.8, 1.6, 3.1, 5.1, 8.1, 12.1, 20.1, 35.0, 60.0, 120.0, 250.0, 600.0,
        ],
    );
    let dim = dimension(scene, i).unwrap_or("none");
    let limit = bound(scene, i).map_or("none", |max| if max { "max" } else { "min" });
    out.push(format!("dim:{dim}"));
    out.push(format!("bound:{limit}"));
    out.push(format!("dim:{dim}&bound:{limit}"));
    let mut first: Vec<String> = Vec::new();
    for step in [-1isize, 1] {
        first.extend(around(scene, i, step, &mut out));
        out.extend(next_amount(scene, i, step));
        let beside = i.checked_add_signed(step).and_then(|n| scene.items.get(n));
        if let Some(What::Mark(c)) = beside.map(|x| &x.what) {
            out.push(format!("mark{step}:{c}"));
        }
    }
    arithmetic(scene, i, &mut out);
    if let [left, right] = first.as_slice() {
        out.push(format!("{left}&{right}"));
    }
    let near: Vec<String> = first.iter().map(|f| format!("{f}&is:{what}")).collect();
    out.extend(near);
    let owner = bracket_owner(scene, i).and_then(|o| noun(&scene.items[o]));
    let left = owner.map_or_else(|| beside(scene, i, -1), |o| format!("{o}("));
    let right = beside(scene, i, 1);
    out.push(format!("left:{left}"));
    out.push(format!("right:{right}"));
    out.push(format!("left:{left}&dim:{dim}"));
    out.push(format!("right:{right}&dim:{dim}"));
    out.push(format!("left:{left}&right:{right}"));
    out.push(format!("left:{left}&bound:{limit}"));
    out.push(format!("left:{left}&size:{size}"));
    out.push(format!("right:{right}&size:{size}"));
    out.push(format!("dim:{dim}&size:{size}"));
    out
}

/// How many amounts to each side may make up another.
const PARTS: usize = 6;

/// How an amount follows from those around it that measure the same: as their sum or product, or as a part of one.
fn arithmetic(scene: &Scene, i: usize, out: &mut Vec<String>) {
    let Some(amount) = scene.items[i].amount() else { return };
    let what = measure(amount);
    let value = |a: &Amount| a.si().filter(|_| !a.is_bare()).unwrap_or(a.high);
    let like = |n: &usize| scene.items[*n].amount().filter(|a| measure(a) == what).map(value);
    let before = (0..i).rev().filter_map(|n| like(&n)).take(PARTS);
    let after = (i + 1..scene.items.len()).filter_map(|n| like(&n)).take(PARTS);
    let others: Vec<f64> = before.chain(after).collect();
    let own = value(amount);
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-6 * a.abs().max(b.abs());
    let mut found: Vec<&str> = Vec::new();
    for (n, a) in others.iter().enumerate() {
        if same(own, 2.0 * a) {
            found.push("twice");
        }
        if same(2.0 * own, *a) {
            found.push("half");
        }
        for b in &others[n + 1..] {
            if same(own, a + b) {
                found.push("sum");
            }
            if same(own + a, *b) || same(own + b, *a) {
                found.push("part");
            }
            if what == "number" && own > 1.0 && *a > 1.0 && *b > 1.0 {
                if same(own, a * b) {
                    found.push("product");
                }
                if same(own * a, *b) || same(own * b, *a) {
                    found.push("factor");
                }
            }
        }
    }
    found.sort_unstable();
    found.dedup();
    out.extend(found.iter().map(|f| format!("{what}:{f}")));
}

/// The words to one side: themselves where they stand nearest, and what they are up to some way off.
/// Gives the nearest word.
fn around(scene: &Scene, i: usize, step: isize, out: &mut Vec<String>) -> Option<String> {
    let side = if step < 0 { "l" } else { "r" };
    let mut at = i;
    let (mut seen, mut stop) = (0, "");
    let mut words: Vec<String> = Vec::new();
    while let Some(next) = at.checked_add_signed(step).filter(|n| *n < scene.items.len()) {
        at = next;
        let item = &scene.items[at];
        match &item.what {
            What::Break => stop = "|",
            What::Mark(c) => {
                if matches!(c, '.' | '!' | '?' | ';') {
                    stop = "|";
                } else if stop.is_empty() && matches!(c, ',' | '(' | ')' | '/' | '-' | '–' | '+') {
                    stop = ",";
                }
            }
            What::Word if item.is("inside") => {}
            _ => {
                if Scene::is_small(item) {
                    continue;
                }
                seen += 1;
                if item.what == What::Word {
                    out.push(format!("{side}*{stop}:{}", stem(&item.norm)));
                }
                if seen <= 2 && item.what == What::Word {
                    out.push(format!("{side}{seen}{stop}:{}", item.norm));
                    words.push(format!("{side}{seen}{stop}:{}", item.norm));
                }
                for kind in kinds(item) {
                    if seen <= 2 {
                        out.push(format!("{side}{seen}{stop}#{kind}"));
                    }
                    out.push(format!("{side}~{stop}#{kind}"));
                }
                if seen == REACH {
                    break;
                }
            }
        }
    }
    if let [first, second] = words.as_slice() {
        out.push(format!("{first} {second}"));
    }
    words.into_iter().next()
}

/// What the next amount to one side measures, and along which way, where it stands in the same sentence.
fn next_amount(scene: &Scene, i: usize, step: isize) -> Option<String> {
    let mut at = i;
    loop {
        at = at.checked_add_signed(step).filter(|n| *n < scene.items.len())?;
        if !scene.same_sentence(i, at) {
            return None;
        }
        let item = &scene.items[at];
        if item.size().is_some() {
            return Some(format!("next{step}:size"));
        }
        if let Some(amount) = item.amount() {
            let dim = dimension(scene, at).unwrap_or("none");
            return Some(format!("next{step}:{}&{dim}", measure(amount)));
        }
    }
}

/// The thing that stands nearest to one side in the same sentence, and whether another amount or a stop parts it.
fn beside(scene: &Scene, i: usize, step: isize) -> String {
    let mut at = i;
    let (mut amounts, mut stop) = (0, false);
    while let Some(next) = at.checked_add_signed(step).filter(|n| *n < scene.items.len()) {
        at = next;
        if !scene.same_sentence(i, at) {
            break;
        }
        let item = &scene.items[at];
        if item.amount().is_some() || item.size().is_some() {
            amounts += 1;
        }
        if matches!(item.what, What::Mark(',' | '(' | ')' | '-' | '–' | '/')) {
            stop = true;
        }
        if let Some(noun) = noun(item) {
            let apart = match (amounts, stop) {
                (0, false) => "",
                (0, true) => ",",
                (1, _) => "'",
                _ => "''",
            };
            return format!("{noun}{apart}");
        }
    }
    "none".into()
}

/// The features of the whole message: its words, the rows of two, and the things that it names.
pub(crate) fn whole(scene: &Scene) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut last: Option<&str> = None;
    // what the amount directly before measures
    let mut measured: Option<&'static str> = None;
    let mut loose = 0;
    for (i, item) in scene.items.iter().enumerate() {
        match &item.what {
            What::Word if item.is("inside") => {}
            What::Word => {
                out.push(format!("w:{}", item.norm));
                out.push(format!("s:{}", stem(&item.norm)));
                if let Some(last) = last {
                    out.push(format!("w:{last} {}", item.norm));
                }
                out.extend(measured.take().map(|m| format!("m:{m} {}", item.norm)));
                for thing in item.names.iter().filter_map(|n| match n {
                    crate::named::Named::Thing(t) => Some(t),
                    _ => None,
                }) {
                    if let Some(name) = &thing.name {
                        out.push(format!("thing:{name}"));
                    }
                    if let Some(way) = &thing.direction {
                        out.push(format!("way:{way}"));
                    }
                }
                out.extend(
                    CLASSES
                        .iter()
                        .filter(|c| item.of(c.0))
                        .map(|c| format!("class:{}", c.1)),
                );
                out.extend(
                    ["hole", "gap", "between", "pairs", "operate", "release", "probe"]
                        .iter()
                        .filter(|t| item.is(t))
                        .map(|t| format!("cue:{t}")),
                );
                last = Some(&item.norm);
            }
            What::Amount(amount) => {
                let what = measure(amount);
                out.push(format!("has:{what}"));
                out.extend(last.map(|last| format!("m:{last} {what}")));
                let free = || dimension(scene, i).is_none() && bound(scene, i).is_none();
                if what == "length" && free() {
                    loose += 1;
                    out.extend(last.map(|last| format!("loose:{last}")));
                }
                measured = Some(what);
                last = Some("#");
            }
            What::Size(_) => {
                out.push("has:size".into());
                last = Some("#");
            }
            What::Mark('.' | '!' | '?' | ';') | What::Break => (last, measured) = (None, None),
            What::Mark(_) => {}
        }
    }
    out.extend(beside_loads(scene));
    // lengths that are neither a limit nor along a side
    out.push(format!("loose:{}", loose.min(3)));
    out.extend(beside_magnets(scene));
    out.sort_unstable();
    out.dedup();
    let unsaid = |what: &String| out.binary_search(what).is_err();
    let classes = CLASSES.iter().map(|c| format!("class:{}", c.1));
    let measures = ["length", "mass", "force", "field", "number", "size"].map(|m| format!("has:{m}"));
    let missing: Vec<String> = classes
        .chain(measures)
        .filter(unsaid)
        .map(|what| format!("no {what}"))
        .collect();
    out.extend(missing);
    out
}

/// So near to a load a word says how it pulls: `30 N straight pull`, `pushes sideways with 80 N`.
const BESIDE_LOAD: f64 = 4.0;

/// The words that stand by the masses and forces of a message, in their clause.
fn beside_loads(scene: &Scene) -> Vec<String> {
    let loads = scene.amounts(Kind::Mass).chain(scene.amounts(Kind::Force));
    let beside = |load: usize| {
        scene
            .around(load, BESIDE_LOAD)
            .filter(move |n| scene.items[*n].what == What::Word && scene.same_clause(*n, load))
    };
    loads
        .flat_map(|(load, amount)| {
            let what = measure(amount);
            beside(load).map(move |n| format!("{what}~{}", stem(&scene.items[n].norm)))
        })
        .collect()
}

/// How many words to each side of a magnet say what it is beside.
const BESIDE: usize = 4;

/// The words and things that stand by the magnets of a message, and how many magnets it speaks of.
fn beside_magnets(scene: &Scene) -> Vec<String> {
    let mut out = Vec::new();
    let words: Vec<usize> = (0..scene.items.len())
        .filter(|i| scene.items[*i].what == What::Word && !scene.items[*i].is("inside"))
        .collect();
    let magnets: Vec<usize> = (0..words.len())
        .filter(|n| scene.items[words[*n]].is_magnet())
        .collect();
    for magnet in &magnets {
        for n in magnet.saturating_sub(BESIDE)..words.len().min(magnet + BESIDE + 1) {
            let item = &scene.items[words[n]];
            if n == *magnet || !scene.same_sentence(words[n], words[*magnet]) {
                continue;
            }
            let side = if n < *magnet { "before" } else { "after" };
            out.push(format!("{side} magnet:{}", item.norm));
            out.extend(noun(item).map(|noun| format!("{side} magnet#{noun}")));
        }
    }
    out.push(format!("magnets:{}", magnets.len().min(5)));
    out
}
