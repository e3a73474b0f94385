//! Which of the six verbs a text asks for.

use std::ops::Range;

use quantity::Kind;

use super::dictionary::{Dictionary, Sense};
use super::forms::quantity;
use super::symbols::Symbol;
use crate::sentence::Verb;

/// The verb of a text.
#[derive(Debug, PartialEq)]
pub(super) enum Found {
    /// The text says it.
    Said(Verb),
    /// The text does not say it, but names what only this verb needs.
    Guessed(Verb),
    /// The text says two; the range is that of the second.
    Two(Verb, Verb, Range<usize>),
    /// Neither said nor to be guessed.
    None,
}

/// Finds the verb.
pub(super) fn find(symbols: &[Symbol]) -> Found {
    let cues = &Dictionary::builtin().cues;
    let said = |weak: bool| {
        symbols.iter().filter_map(move |symbol| {
            let mut cues = symbol
                .cues()
                .filter_map(|cue| cues.get(cue))
                .filter(|cue| cue.weak == weak);
            cues.find_map(|cue| cue.verb).map(|verb| (verb, symbol))
        })
    };
    if let Some((first, _)) = said(false).next() {
        return match said(false).find(|(verb, _)| *verb != first) {
            Some((second, symbol)) => Found::Two(first, second, symbol.range.clone()),
            None => Found::Said(first),
        };
    }
    let has = |name: &str| {
        Dictionary::builtin()
            .cue(name)
            .is_some_and(|cue| symbols.iter().any(|s| s.has(Sense::Cue(cue))))
    };
    let any = |kind: Kind| symbols.iter().any(|s| quantity(s, kind).is_some());
    let switches = has("operate") && has("release");
    match said(true).next() {
        Some(_) if switches && any(Kind::FluxDensity) => Found::Said(Verb::SwitchSensor),
        Some((verb, _)) => Found::Said(verb),
        None if any(Kind::FluxDensity) && switches => Found::Guessed(Verb::SwitchSensor),
        None if any(Kind::FluxDensity) && has("probe") => Found::Guessed(Verb::FaceField),
        None if any(Kind::FluxDensity) => Found::Guessed(Verb::ReachField),
        None if any(Kind::Mass) || any(Kind::Force) => Found::Guessed(Verb::Hold),
        None => Found::None,
    }
}
