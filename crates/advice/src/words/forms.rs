//! Which words and values belong together, from `data/forms.toml`, and the longest form that fits at a place.

use std::collections::HashMap;
use std::sync::LazyLock;

use quantity::{Any, Kind};
use serde::Deserialize;

use super::dictionary::{Dictionary, Sense};
use super::slot::{Sets, Slot, Takes};
use super::symbols::{Symbol, Value};
use super::vocabulary::Class;
use crate::sentence::Verb;

/// What some rows of symbols mean.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Form {
    /// The meaning in words, with `{layer}` and `{steel}` where the name read belongs.
    pub says: String,
    /// Empty for all.
    #[serde(default)]
    pub verbs: Vec<Verb>,
    /// What it states without a value.
    #[serde(default)]
    pub sets: Vec<Sets>,
    patterns: Vec<String>,
}

/// One step of a pattern.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    Cue(usize),
    NotCue(usize),
    NotValue,
    NotUnknown,
    Slot(Slot),
    /// A bare number where the slot would take something else.
    NumberFor(Slot),
}

impl Step {
    /// Whether it only looks ahead.
    fn is_guard(self) -> bool {
        matches!(self, Step::NotCue(_) | Step::NotValue | Step::NotUnknown)
    }
}

struct Pattern {
    form: usize,
    steps: Vec<Step>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    form: Vec<Form>,
}

/// All forms.
pub(super) struct Forms {
    forms: Vec<Form>,
    patterns: Vec<Pattern>,
    /// The patterns that begin with a cue, by the cue.
    by_cue: HashMap<usize, Vec<usize>>,
    /// The patterns that begin with a value or a name.
    by_value: Vec<usize>,
}

/// A form that fits at a place.
pub(super) struct Fit {
    pub form: &'static Form,
    /// The place after its last symbol.
    pub end: usize,
    /// The slots that it fills, each with the place of its symbol.
    pub fills: Vec<(Slot, usize)>,
    steps: usize,
}

impl Forms {
    /// The forms of `data/forms.toml`.
    pub(super) fn builtin() -> &'static Self {
        #[expect(
            clippy::expect_used,
            reason = "the data is part of the program and every test reads it"
        )]
        static BUILTIN: LazyLock<Forms> = LazyLock::new(|| {
            Forms::read(include_str!("../../data/forms.toml")).expect("data/forms.toml is well formed")
        });
        &BUILTIN
    }

    fn read(text: &str) -> Result<Self, String> {
        let File { form: forms } = toml::from_str(text).map_err(|error| error.to_string())?;
        let mut patterns = Vec::new();
        for (form, Form { patterns: written, .. }) in forms.iter().enumerate() {
            for pattern in written {
                let steps = choices(pattern).map_err(|wrong| format!("{wrong} in pattern {pattern}"))?;
                patterns.extend(steps.into_iter().map(|steps| Pattern { form, steps }));
            }
        }
        let mut by_cue: HashMap<usize, Vec<usize>> = HashMap::new();
        let mut by_value = Vec::new();
        for (place, pattern) in patterns.iter().enumerate() {
            match pattern.steps.first() {
                Some(Step::Cue(cue)) => by_cue.entry(*cue).or_default().push(place),
                _ => by_value.push(place),
            }
        }
        Ok(Self {
            forms,
            patterns,
            by_cue,
            by_value,
        })
    }

    /// The longest form that fits from `start` on; of equally long ones the first in the file.
    pub(super) fn fit(&'static self, symbols: &[Symbol], start: usize, verb: Option<Verb>) -> Option<Fit> {
        let symbol = symbols.get(start)?;
        let by_cue = symbol.cues().filter_map(|cue| self.by_cue.get(&cue)).flatten();
        let mut places: Vec<usize> = by_cue.chain(&self.by_value).copied().collect();
        places.sort_unstable();
        let mut best: Option<Fit> = None;
        for pattern in places.into_iter().filter_map(|place| self.patterns.get(place)) {
            let Some(form) = self.forms.get(pattern.form) else {
                continue;
            };
            if !form.verbs.is_empty() && !verb.is_some_and(|v| form.verbs.contains(&v)) {
                continue;
            }
            let steps = pattern.steps.iter().filter(|s| !s.is_guard()).count();
            if best.as_ref().is_some_and(|b| b.steps >= steps) {
                continue;
            }
            if let Some((end, fills)) = fits(&pattern.steps, symbols, start) {
                best = Some(Fit {
                    form,
                    end,
                    fills,
                    steps,
                });
            }
        }
        best
    }
}

/// The place after the last symbol of the steps from `start` on, and the slots filled.
fn fits(steps: &[Step], symbols: &[Symbol], start: usize) -> Option<(usize, Vec<(Slot, usize)>)> {
    let mut at = start;
    let mut end = start;
    let mut fills = Vec::new();
    for step in steps {
        let place = place_of(*step, symbols, at, at == start);
        if step.is_guard() {
            if place.is_some() {
                return None;
            }
            continue;
        }
        let found = place?;
        if let Step::Slot(slot) | Step::NumberFor(slot) = step {
            fills.push((*slot, found));
        }
        at = found + 1;
        end = at;
    }
    (end > start).then_some((end, fills))
}

/// Where from `at` on a symbol takes the step; fillers may be reached over, but not before the first step.
fn place_of(step: Step, symbols: &[Symbol], at: usize, is_first: bool) -> Option<usize> {
    /// Fillers between two words of a form: "no more than about the 25 mm".
    const MOST_FILLERS: usize = 5;
    let reach = if is_first { 1 } else { MOST_FILLERS + 1 };
    for (place, symbol) in symbols.iter().enumerate().skip(at).take(reach) {
        if takes(step, symbol) {
            return Some(place);
        }
        if !symbol.has(Sense::Filler) {
            return None;
        }
    }
    None
}

fn takes(step: Step, symbol: &Symbol) -> bool {
    match step {
        Step::Cue(cue) | Step::NotCue(cue) => symbol.has(Sense::Cue(cue)),
        Step::NotValue => symbol.value.is_some(),
        Step::NotUnknown => symbol.is_unknown(),
        Step::NumberFor(_) => symbol.number().is_some(),
        Step::Slot(slot) => match slot.takes() {
            Takes::Quantity(kind) => quantity(symbol, kind).is_some(),
            Takes::Load => [Kind::Mass, Kind::Force]
                .iter()
                .any(|kind| quantity(symbol, *kind).is_some()),
            Takes::Number | Takes::Count => symbol.number().is_some(),
            Takes::Money => matches!(symbol.value, Some(Value::Money(..))),
            Takes::Layer => name(symbol, &[Class::Layer]).is_some(),
            Takes::Steel => name(symbol, &[Class::Steel]).is_some(),
            Takes::Grade => name(symbol, &[Class::Grade, Class::Family]).is_some(),
            Takes::Shape => symbol.senses.iter().any(|s| matches!(s, Sense::Shape(_))),
            Takes::Unknown => symbol.is_unknown(),
            Takes::Nothing => false,
        },
    }
}

/// The quantity of a kind that a symbol is, by itself or as the start of a range, in SI.
pub(super) fn quantity(symbol: &Symbol, kind: Kind) -> Option<f64> {
    let own = if let Some(Value::Any(any)) = &symbol.value {
        Some(*any)
    } else {
        None
    };
    [own, symbol.opens]
        .into_iter()
        .flatten()
        .find(|any| any.kind() == Some(kind))
        .map(si)
}

fn si(any: Any) -> f64 {
    match any {
        Any::Length(q) => q.si(),
        Any::FluxDensity(q) => q.si(),
        Any::FieldStrength(q) => q.si(),
        Any::Force(q) => q.si(),
        Any::Mass(q) => q.si(),
        Any::Temperature(q) => q.si(),
        Any::Number(number) => number,
    }
}

/// The name of one of the classes that a symbol is: its class and its place in the vocabulary.
pub(super) fn name(symbol: &Symbol, classes: &[Class]) -> Option<(Class, usize)> {
    symbol.senses.iter().find_map(|s| match s {
        Sense::Name(class, index) if classes.contains(class) => Some((*class, *index)),
        _ => None,
    })
}

/// The rows of steps that a written pattern stands for, with and without each optional one.
fn choices(pattern: &str) -> Result<Vec<Vec<Step>>, String> {
    let mut rows: Vec<Vec<Step>> = vec![Vec::new()];
    for word in pattern.split_whitespace() {
        let (word, optional) = word.strip_suffix('?').map_or((word, false), |w| (w, true));
        let step = step(word)?;
        let with = rows.iter().map(|row| row.iter().copied().chain([step]).collect());
        rows = if optional {
            with.chain(rows.iter().cloned()).collect()
        } else {
            with.collect()
        };
    }
    Ok(rows)
}

fn step(word: &str) -> Result<Step, String> {
    let cue = |name: &str| {
        Dictionary::builtin()
            .cue(name)
            .ok_or_else(|| format!("unknown cue {name}"))
    };
    let slot = |name: &str| {
        Slot::deserialize(serde::de::value::StrDeserializer::<serde::de::value::Error>::new(name))
            .map_err(|error| error.to_string())
    };
    let inside = |open: &str, close: char| word.strip_prefix(open).and_then(|w| w.strip_suffix(close));
    match word {
        "!value" => return Ok(Step::NotValue),
        "!unknown" => return Ok(Step::NotUnknown),
        _ => {}
    }
    if let Some(name) = inside("!<", '>') {
        return cue(name).map(Step::NotCue);
    }
    if let Some(name) = inside("<", '>') {
        return cue(name).map(Step::Cue);
    }
    match inside("{", '}').map(|name| name.strip_suffix("=number").ok_or(name)) {
        Some(Ok(name)) => slot(name).map(Step::NumberFor),
        Some(Err(name)) => slot(name).map(Step::Slot),
        None => Err(format!("unreadable step {word}")),
    }
}
