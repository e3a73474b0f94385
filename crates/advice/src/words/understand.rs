//! From symbols to parts with their meanings, and to a draft of the question.

use std::ops::Range;

use quantity::Any;

use super::build;
use super::dictionary::{Dictionary, Phrases, Sense};
use super::draft::{Draft, Filling};
use super::forms::{Fit, Forms};
use super::slot::Slot;
use super::spelling::Speller;
use super::symbols::{Symbol, Value, symbols};
use super::verb::{self, Found};
use super::vocabulary::{Class, Vocabulary};
use super::{Parsed, Part};
use crate::sentence::Verb;

/// Reads a text of bearable length.
pub(super) fn understand(text: &str, vocabulary: &Vocabulary) -> Parsed {
    let names = Phrases::of(vocabulary);
    let symbols = symbols(text, &names);
    let mut draft = Draft::new(text, vocabulary);
    let found = verb::find(&symbols);
    let verb = match &found {
        Found::Said(verb) | Found::Guessed(verb) => Some(*verb),
        Found::Two(first, second, range) => {
            let message = format!(
                "two things are asked for at once: {} and {}",
                first.text(),
                second.text()
            );
            draft.problem(range.clone(), message, Some("ask for one of them".into()));
            Some(*first)
        }
        Found::None => None,
    };
    let mut reader = Reader {
        symbols: &symbols,
        verb,
        speller: Speller::new(&names),
        parts: Vec::new(),
    };
    reader.read(&mut draft);
    let mut parts = reader.parts;
    if let Found::Guessed(verb) = found {
        say_guess(verb, &mut parts);
    }
    mass_as_load(verb, &mut draft, &mut parts);
    draft.problems.sort_by_key(|p| p.range.start);
    let (question, missing) = build::question(verb, &mut draft);
    Parsed {
        question,
        parts: covering(text, parts),
        problems: draft.problems,
        missing,
    }
}

struct Reader<'a> {
    symbols: &'a [Symbol],
    verb: Option<Verb>,
    speller: Speller<'a>,
    parts: Vec<Part>,
}

impl Reader<'_> {
    fn read(&mut self, draft: &mut Draft) {
        let mut at = 0;
        while at < self.symbols.len() {
            at = match Forms::builtin().fit(self.symbols, at, self.verb) {
                Some(fit) => {
                    let range = self.range(at, fit.end);
                    draft.take(&fit, self.symbols, range.clone());
                    let meaning = Some(self.meaning(&fit, draft));
                    self.parts.push(Part {
                        range,
                        meaning,
                        hint: None,
                    });
                    fit.end
                }
                None => self.negated(at, draft).unwrap_or_else(|| {
                    self.leave(at, draft);
                    at + 1
                }),
            };
        }
    }

    fn range(&self, start: usize, end: usize) -> Range<usize> {
        let first = self.symbols.get(start).map_or(0, |s| s.range.start);
        let last = self.symbols.get(end.saturating_sub(1)).map_or(first, |s| s.range.end);
        first..last
    }

    fn meaning(&self, fit: &Fit, draft: &Draft) -> String {
        let mut says = fit.form.says.clone();
        for (slot, place) in &fit.fills {
            let name = self.symbols.get(*place).and_then(|s| match slot {
                Slot::Layer => draft.name_of(s, &[Class::Layer]),
                Slot::Steel => draft.name_of(s, &[Class::Steel]),
                _ => None,
            });
            if let Some(name) = name {
                says = says.replace("{layer}", &name).replace("{steel}", &name);
            }
        }
        says
    }

    /// `no ferrite`, `not outdoors`: what follows is read, but must not be taken for its opposite.
    fn negated(&mut self, at: usize, draft: &mut Draft) -> Option<usize> {
        let not = Dictionary::builtin().cue("not")?;
        self.symbols.get(at).filter(|s| s.has(Sense::Cue(not)))?;
        let next = (at + 1..self.symbols.len())
            .take(4)
            .find(|&i| !self.symbols[i].has(Sense::Filler))?;
        let fit = Forms::builtin().fit(self.symbols, next, self.verb)?;
        let range = self.range(at, fit.end);
        draft.problem(
            range.clone(),
            "what must not be cannot be stated",
            Some("say what is allowed instead, as `ring or block`, `dry` or `N42 or N45`".into()),
        );
        self.parts.push(Part {
            range,
            meaning: None,
            hint: None,
        });
        Some(fit.end)
    }

    /// Accounts for a symbol that no form takes.
    fn leave(&mut self, at: usize, draft: &mut Draft) {
        let symbol = &self.symbols[at];
        let range = symbol.range.clone();
        let mut part = Part {
            range: range.clone(),
            meaning: None,
            hint: None,
        };
        let cues = || symbol.cues().filter_map(|cue| Dictionary::builtin().cues.get(cue));
        let is_empty = symbol.is_stop || symbol.has(Sense::Filler) || symbol.has(Sense::Link);
        if is_empty || cues().any(|cue| cue.spare) {
            part.meaning = Some(String::new());
        } else if let Some(value) = &symbol.value {
            self.stray_value(value, range, draft);
        } else if symbol.is_unknown() && looks_like_grade(&symbol.norm) {
            let known = draft.some_grades();
            let message = format!("no grade is known by the name `{}`", symbol.norm.to_uppercase());
            draft.problem(
                range,
                message,
                Some(format!("known are {known}; a hole is given as 4 mm hole")),
            );
        } else if symbol.is_unknown() {
            part.hint = self
                .speller
                .nearest(&symbol.norm)
                .map(|word| format!("did you mean `{word}`"));
        } else if self.verb.is_some() {
            let wants = cues().find_map(|cue| cue.wants.as_ref());
            if let Some(wants) = wants {
                draft.problem(range, format!("`{}` wants {wants}", symbol.norm), None);
            } else if let Some(verb) = self
                .verb
                .filter(|_| symbol.senses.iter().any(|s| matches!(s, Sense::Name(..))))
            {
                let message = format!("`{}` has no place in a question to {}", symbol.norm, verb.text());
                draft.problem(range, message, None);
            }
        }
        self.parts.push(part);
    }

    /// A value that no form takes may not be passed over in silence.
    fn stray_value(&self, value: &Value, range: Range<usize>, draft: &mut Draft) {
        match value {
            Value::Bad(error) => {
                let start = (range.start + error.span.start).min(range.end);
                let end = (range.start + error.span.end).clamp(start, range.end);
                draft.problem(start..end, error.message.clone(), error.hint.clone());
            }
            Value::Any(any) if self.verb.is_some() => {
                let hint = match any {
                    Any::Length(_) => "say which length it is, as no wider than 25 mm, 10 mm high or 3 mm steel",
                    Any::FluxDensity(_) => "say which field it is, as 50 mT at 10 mm or release 2 mT",
                    Any::FieldStrength(_) => "give a flux density, as 50 mT or 500 G",
                    Any::Force(_) | Any::Mass(_) => {
                        "a load belongs to hold, pull together and push apart; for the magnet itself say no heavier than 50 g"
                    }
                    Any::Temperature(_) => "say up to 60 °C or down to -20 °C",
                    Any::Number(_) => "say what is counted, as 200 pieces, safety factor 3 or stack of up to 3",
                };
                draft.problem(range, "it is not clear what this value is for", Some(hint.into()));
            }
            Value::Money(..) => draft.problem(
                range,
                "it is not clear what this amount is for",
                Some("say budget 1 EUR each".into()),
            ),
            Value::Any(_) => {}
        }
    }
}

/// Whether an unknown word has the form of a grade, few letters and a number: a grade may not be passed over in silence.
fn looks_like_grade(word: &str) -> bool {
    const MOST_LETTERS: usize = 4;
    let letters = word.chars().take_while(|c| c.is_alphabetic()).count();
    (1..=MOST_LETTERS).contains(&letters) && word.chars().nth(letters).is_some_and(|c| c.is_ascii_digit())
}

/// Adds to the first part that led to the guess what was guessed.
fn say_guess(verb: Verb, parts: &mut [Part]) {
    let key = match verb {
        Verb::Hold => "load",
        Verb::SwitchSensor => "operates",
        _ => "field",
    };
    let said = parts
        .iter_mut()
        .filter_map(|p| p.meaning.as_mut())
        .find(|m| m.starts_with(key));
    if let Some(meaning) = said {
        meaning.push_str(match verb {
            Verb::Hold => ", taken as something to hold",
            Verb::SwitchSensor => ", taken as a sensor to switch",
            Verb::FaceField => ", taken as the field of a face",
            _ => ", taken as a field to reach",
        });
    }
}

/// `hold at most 2 kg` limits nothing: where no other load is said, it is the load.
fn mass_as_load(verb: Option<Verb>, draft: &mut Draft, parts: &mut [Part]) {
    let holds = matches!(verb, Some(Verb::Hold | Verb::PullTogether | Verb::PushApart));
    if !holds || draft.slots.contains_key(&Slot::Load) {
        return;
    }
    let Some(filled) = draft.slots.remove(&Slot::Mass) else {
        return;
    };
    let Filling::Quantity(kilograms) = filled.filling else {
        return;
    };
    for part in parts
        .iter_mut()
        .filter(|p| p.range.start <= filled.range.start && filled.range.end <= p.range.end)
    {
        part.meaning = Some(Slot::Load.label().into());
    }
    draft.fill(
        Slot::Load,
        Filling::Load(quantity::Load::Mass(quantity::Mass(kilograms))),
        filled.range,
    );
}

/// The parts with the spaces between them, so that they cover the text.
fn covering(text: &str, parts: Vec<Part>) -> Vec<Part> {
    let space = |range: Range<usize>| Part {
        range,
        meaning: Some(String::new()),
        hint: None,
    };
    let mut covered = Vec::with_capacity(2 * parts.len() + 1);
    let mut end = 0;
    for part in parts {
        if part.range.is_empty() || part.range.start < end {
            continue;
        }
        if part.range.start > end {
            covered.push(space(end..part.range.start));
        }
        end = part.range.end;
        covered.push(part);
    }
    if end < text.len() {
        covered.push(space(end..text.len()));
    }
    covered
}
