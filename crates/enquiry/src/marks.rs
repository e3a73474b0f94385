//! The marks of a message by which its kind is told: its words and pairs of words, what its amounts measure, and what it
//! names.

use std::collections::BTreeSet;

use quantity::Kind;

use crate::data::{Data, Rows};
use crate::lexer::{Item, Measure, What};
use crate::magnets::Named as Magnet;
use crate::named::{Class, Named};
use crate::scene::Scene;

/// The marks of a message, each once.
pub(crate) fn marks(scene: &Scene, magnets: &[Magnet]) -> BTreeSet<String> {
    let signs: Vec<String> = scene.items.iter().flat_map(signs).collect();
    let mut out: BTreeSet<String> = signs.iter().cloned().collect();
    out.extend(signs.windows(2).map(|pair| pair.join(" ")));
    out.extend(signs.first().map(|first| format!("^{first}")));
    for item in &scene.items {
        out.extend(classes(item));
    }
    let data = Data::builtin();
    for (rows, what) in [(&data.about, "asks"), (&data.topic, "topic"), (&data.refuse, "refuse")] {
        let said = rows.said(&scene.words);
        out.extend(said.iter().map(|s| format!("{what} {}", s.is)));
        out.extend(said.first().map(|s| format!("{what} first {}", s.is)));
        out.extend(
            said.iter()
                .filter(|s| s.score >= 4.0)
                .map(|s| format!("{what} sure {}", s.is)),
        );
    }
    out.extend(contrasts(scene, &data.coating));
    let trade = signs
        .iter()
        .any(|s| data.trade.iter().any(|t| s.starts_with(t.as_str())));
    let graded = scene.any(|i| i.grade().is_some() || i.family().is_some());
    let steel = scene.any(|i| i.of(Class::Surface));
    let measured = ["<mass>", "<force>", "<field>", "<length>"]
        .iter()
        .any(|m| out.contains(*m));
    if !(trade || graded || !magnets.is_empty() || steel && measured || scene.any(Item::is_magnet)) {
        out.insert("no trade".into());
    }
    let counted = |what: &str, count: usize| format!("{what}={}", count.min(3));
    let free = || magnets.iter().filter(|m| !m.bound);
    out.insert(counted("named", free().count()));
    out.insert(counted("graded", free().filter(|m| m.grade.is_some()).count()));
    out.insert(counted("bound", magnets.iter().filter(|m| m.bound).count()));
    let words = signs.len();
    out.insert(counted("long", [9, 17, 36, 80].iter().filter(|n| words >= **n).count()));
    for kind in ["<mass>", "<force>", "<field>", "<length>", "<heat>", "?"] {
        if !out.contains(kind) {
            out.insert(format!("no {kind}"));
        }
    }
    out
}

/// How many items may part two things that are set beside each other.
const APART: usize = 14;

/// What a message sets beside each other: two sizes, grades, families or finishes, the words that join them, and whether it
/// compares.
fn contrasts(scene: &Scene, coatings: &Rows) -> BTreeSet<String> {
    let mut out = BTreeSet::new();
    let coats: BTreeSet<&str> = coatings.said(&scene.words).iter().map(|s| s.is).collect();
    let side = |item: &Item| match &item.what {
        What::Size(_) => Some(("size", format!("{:?}", item.size().map(|s| s.numbers.clone())))),
        What::Word if item.is("inside") => None,
        What::Word => item
            .grade()
            .map(|g| ("grade", g.to_owned()))
            .or_else(|| Some(("family", item.family()?.to_owned())))
            .or_else(|| item.is("finish").then(|| ("finish", item.norm.clone()))),
        _ => None,
    };
    let sides: Vec<(usize, &str, String)> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(i, item)| side(item).map(|(what, which)| (i, what, which)))
        .collect();
    let compares = scene.any(|i| i.is("comparing"));
    let mut joined = false;
    for (n, (from, what, which)) in sides.iter().enumerate() {
        let next = sides[n + 1..].iter().find(|s| s.1 == *what && s.2 != *which);
        let Some((to, ..)) = next.filter(|s| s.0 - from <= APART) else {
            continue;
        };
        out.insert(format!("two {what}"));
        for word in scene.items[*from..*to].iter().filter(|i| i.is("joining")) {
            joined = true;
            out.insert(format!("two {what} joined"));
            out.insert(format!("two {what} {}", word.norm));
        }
    }
    if coats.len() > 1 {
        out.insert("two coatings".into());
    }
    if compares {
        out.insert("compares".into());
        out.extend(joined.then(|| "compares joined".to_owned()));
    }
    out
}

/// What an item says: the stems of its words, or what it measures.
fn signs(item: &Item) -> Vec<String> {
    if item.grade().is_some() {
        return vec!["<grade>".into()];
    }
    match &item.what {
        What::Word if item.is("inside") => Vec::new(),
        What::Word => item
            .norm
            .split([' ', '-', '~'])
            .filter(|w| !w.is_empty())
            .map(stem)
            .collect(),
        What::Size(_) => vec!["<size>".into()],
        What::Amount(amount) => vec![
            match amount.measure {
                Measure::Unit(unit) => match unit.kind() {
                    Kind::Mass => "<mass>",
                    Kind::Force => "<force>",
                    Kind::Length => "<length>",
                    Kind::FluxDensity => "<field>",
                    Kind::Temperature => "<heat>",
                    _ => "<unit>",
                },
                Measure::Gauge => "<length>",
                Measure::Money { .. } => "<money>",
                Measure::Percent => "<percent>",
                Measure::Bare => "#",
            }
            .into(),
        ],
        What::Mark(c @ ('?' | '!' | '.')) => vec![c.to_string()],
        What::Mark(_) | What::Break => Vec::new(),
    }
}

/// A word by its stem; `m4` is a screw.
pub(crate) fn stem(word: &str) -> String {
    let screw = word
        .strip_prefix('m')
        .is_some_and(|d| !d.is_empty() && d.chars().all(|c| c.is_ascii_digit()));
    if screw {
        return "<screw>".into();
    }
    for ending in ["ing", "es", "ed", "s", "e", "ly"] {
        if let Some(stem) = word.strip_suffix(ending)
            && stem.chars().count() >= 3
            && !(ending == "s" && stem.ends_with('s'))
        {
            return stem.trim_end_matches('e').to_owned();
        }
    }
    word.to_owned()
}

/// The classes of what an item names.
fn classes(item: &Item) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for name in &item.names {
        out.push(
            match name {
                Named::Thing(thing) => match thing.class {
                    Class::Surface => "is surface",
                    Class::Perhaps => "is perhaps",
                    Class::Layer => "is layer",
                    Class::Object => "is object",
                    Class::Recess => "is recess",
                    Class::Through => "is through",
                    Class::Inert => "is inert",
                },
                Named::Layer(_) => "is layer",
                Named::Steel(_) => "is steel",
                Named::Grade(_) => "is grade",
                Named::Family(_) => "is family",
            }
            .to_owned(),
        );
    }
    for tag in ["max", "min", "each", "pieces", "magnet", "stack"] {
        if item.is(tag) {
            out.push(format!("says {tag}"));
        }
    }
    out
}
