//! What a text has said so far, and what of it is contradictory or said twice.

use std::collections::BTreeMap;
use std::ops::Range;

use quantity::{Convention, Force, Kind, Load, Mass, Money};

use super::WordsProblem;
use super::dictionary::Sense;
use super::forms::{Fit, name, quantity};
use super::lexer::grouped;
use super::slot::{Sets, Slot, Takes};
use super::symbols::{Symbol, Value};
use super::vocabulary::{Class, Vocabulary};
use crate::question::{Direction, ShapeKind, Steelwork, Surroundings};

/// What fills a slot.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Filling {
    /// In SI.
    Quantity(f64),
    Load(Load),
    Number(f64),
    Count(u32),
    Money(Money),
    Name(String),
    Direction(Direction),
    Surroundings(Surroundings),
    Steelwork(Steelwork),
    Yes,
}

/// A value and where the text says it.
#[derive(Clone, Debug)]
pub(super) struct Filled {
    pub filling: Filling,
    pub range: Range<usize>,
}

/// What a text has said so far.
pub(super) struct Draft<'a> {
    text: &'a str,
    vocabulary: &'a Vocabulary,
    pub slots: BTreeMap<Slot, Filled>,
    /// Material, thickness in metres.
    pub layers: Vec<(String, f64)>,
    /// Layers without a thickness.
    pub bare_layers: Vec<String>,
    pub shapes: Vec<ShapeKind>,
    pub grades: Vec<String>,
    pub problems: Vec<WordsProblem>,
}

impl<'a> Draft<'a> {
    pub(super) fn new(text: &'a str, vocabulary: &'a Vocabulary) -> Self {
        Self {
            text,
            vocabulary,
            slots: BTreeMap::new(),
            layers: Vec::new(),
            bare_layers: Vec::new(),
            shapes: Vec::new(),
            grades: Vec::new(),
            problems: Vec::new(),
        }
    }

    pub(super) fn problem(&mut self, range: Range<usize>, message: impl Into<String>, hint: Option<String>) {
        self.problems.push(WordsProblem {
            range,
            message: message.into(),
            hint,
        });
    }

    /// Takes in what a form says.
    pub(super) fn take(&mut self, fit: &Fit, symbols: &[Symbol], range: Range<usize>) {
        for sets in &fit.form.sets {
            self.set(*sets, &range);
        }
        let mut layer = fit.form.sets.contains(&Sets::Air).then(|| self.air());
        let mut thickness = None;
        for (slot, place) in &fit.fills {
            let Some(symbol) = symbols.get(*place) else { continue };
            match slot {
                Slot::Layer => layer = self.name_of(symbol, &[Class::Layer]),
                Slot::LayerThickness => thickness = quantity(symbol, Kind::Length),
                Slot::BareLayer => self.bare_layers.extend(self.name_of(symbol, &[Class::Layer])),
                Slot::LayerAsGap => {}
                Slot::UnknownLayer | Slot::UnknownSteel => self.unknown_material(*slot, symbol),
                Slot::Shape => self
                    .shapes
                    .extend(shape_of(symbol).filter(|s| !self.shapes.contains(s))),
                Slot::Grade => self.grade(symbol, fit.form.sets.contains(&Sets::OrBetter)),
                _ => {
                    if let Some(filling) = self.read(*slot, symbol) {
                        self.fill(*slot, filling, symbol.range.clone());
                    }
                }
            }
        }
        self.layers.extend(layer.zip(thickness));
    }

    /// Fills a slot; a second, different value is a problem.
    pub(super) fn fill(&mut self, slot: Slot, filling: Filling, range: Range<usize>) {
        match self.slots.get(&slot) {
            None => {
                self.slots.insert(slot, Filled { filling, range });
            }
            Some(before) if before.filling == filling => {}
            Some(before) => {
                let quoted = |range: &Range<usize>| self.text.get(range.clone()).unwrap_or_default().to_owned();
                let (first, second) = (quoted(&before.range), quoted(&range));
                let message = format!("`{first}` and `{second}` are both said of the {}", slot.label());
                self.problem(range, message, Some(format!("leave out `{first}` or `{second}`")));
            }
        }
    }

    fn set(&mut self, sets: Sets, range: &Range<usize>) {
        let (slot, filling) = match sets {
            Sets::HangingBelow => (Slot::Direction, Filling::Direction(Direction::HangingBelow)),
            Sets::Sideways => (Slot::Direction, Filling::Direction(Direction::Sideways)),
            Sets::StraightOff => (Slot::Direction, Filling::Direction(Direction::StraightOff)),
            Sets::Dry => (Slot::Surroundings, Filling::Surroundings(Surroundings::Dry)),
            Sets::Damp => (Slot::Surroundings, Filling::Surroundings(Surroundings::Damp)),
            Sets::Outdoors => (Slot::Surroundings, Filling::Surroundings(Surroundings::Outdoors)),
            Sets::Food => (Slot::Surroundings, Filling::Surroundings(Surroundings::Food)),
            Sets::Touching => (Slot::Gap, Filling::Quantity(0.0)),
            Sets::Unstacked => (Slot::Stack, Filling::Count(1)),
            Sets::InStock => (Slot::InStock, Filling::Yes),
            Sets::ByAir => (Slot::ShipsByAir, Filling::Yes),
            Sets::Bare => (Slot::Steelwork, Filling::Steelwork(Steelwork::Bare)),
            Sets::BackPlate => (Slot::Steelwork, Filling::Steelwork(Steelwork::BackPlate)),
            Sets::Cup => (Slot::Steelwork, Filling::Steelwork(Steelwork::Cup)),
            Sets::PoleTip => (Slot::Steelwork, Filling::Steelwork(Steelwork::PoleTip)),
            Sets::Ring => {
                if !self.shapes.contains(&ShapeKind::Ring) {
                    self.shapes.push(ShapeKind::Ring);
                }
                return;
            }
            Sets::Air | Sets::OrBetter => return,
        };
        self.fill(slot, filling, range.clone());
    }

    /// The filling that a symbol is for a slot; none, with a problem, when it is not of the right form.
    fn read(&mut self, slot: Slot, symbol: &Symbol) -> Option<Filling> {
        match slot.takes() {
            Takes::Quantity(kind) => quantity(symbol, kind).map(Filling::Quantity),
            Takes::Load => {
                let mass = quantity(symbol, Kind::Mass).map(|si| Load::Mass(Mass(si)));
                mass.or_else(|| quantity(symbol, Kind::Force).map(|si| Load::Force(Force(si))))
                    .map(Filling::Load)
            }
            Takes::Number => symbol.number().map(Filling::Number),
            Takes::Count => self.read_count(slot, symbol).map(Filling::Count),
            Takes::Money => self.read_money(symbol).map(Filling::Money),
            Takes::Steel => self.name_of(symbol, &[Class::Steel]).map(Filling::Name),
            Takes::Layer | Takes::Grade | Takes::Shape | Takes::Unknown | Takes::Nothing => None,
        }
    }

    fn read_count(&mut self, slot: Slot, symbol: &Symbol) -> Option<u32> {
        let written = self.text.get(symbol.range.clone()).unwrap_or_default();
        let number = grouped(written).map(|n| n as f64).or_else(|| symbol.number())?;
        if number.fract() == 0.0 && (0.0..=f64::from(u32::MAX)).contains(&number) {
            return Some(number as u32);
        }
        let message = format!("{} must be a whole number, not `{written}`", slot.label());
        self.problem(symbol.range.clone(), message, Some("write a number such as 200".into()));
        None
    }

    fn read_money(&mut self, symbol: &Symbol) -> Option<Money> {
        let Some(Value::Money(money, code)) = &symbol.value else {
            let written = self.text.get(symbol.range.clone()).unwrap_or_default();
            return match Money::parse(written, Convention::Auto) {
                Ok(money) => Some(money),
                Err(error) => {
                    self.problem(symbol.range.clone(), error.message, error.hint);
                    None
                }
            };
        };
        if let Some(own) = self
            .vocabulary
            .currency
            .filter(|own| !code.is_empty() && own.code() != *code)
        {
            let message = format!("the prices are in {}, not in {code}", own.code());
            self.problem(
                symbol.range.clone(),
                message,
                Some(format!("write the budget in {}", own.code())),
            );
        }
        Some(*money)
    }

    fn grade(&mut self, symbol: &Symbol, or_better: bool) {
        let Some((class, index)) = name(symbol, &[Class::Grade, Class::Family]) else {
            return;
        };
        let grade = self.vocabulary.name(class, index).to_owned();
        let better = if or_better {
            self.vocabulary.at_least(&grade)
        } else {
            Vec::new()
        };
        if or_better && better.is_empty() {
            let message = format!("which grades are better than {grade} is not known");
            self.problem(
                symbol.range.clone(),
                message,
                Some("name each grade, as N42 or N45".into()),
            );
        }
        for grade in if better.is_empty() { vec![grade] } else { better } {
            if !self.grades.contains(&grade) {
                self.grades.push(grade);
            }
        }
    }

    fn unknown_material(&mut self, slot: Slot, symbol: &Symbol) {
        let class = if slot == Slot::UnknownSteel {
            Class::Steel
        } else {
            Class::Layer
        };
        let message = format!("`{}` is not a {} that is known", symbol.norm, slot.label());
        let known = self.vocabulary.some_of(class);
        let way_out = if class == Class::Layer {
            "; what is not magnetic counts as air of its thickness"
        } else {
            ""
        };
        self.problem(
            symbol.range.clone(),
            message,
            Some(format!("known are {known}{way_out}")),
        );
    }

    pub(super) fn some_grades(&self) -> String {
        self.vocabulary.some_of(Class::Grade)
    }

    fn air(&self) -> String {
        let is_air = |name: &&super::Name| name.wordings().any(|w| w.eq_ignore_ascii_case("air"));
        self.vocabulary
            .layers
            .iter()
            .find(is_air)
            .map_or_else(|| "air".into(), |name| name.name.clone())
    }

    pub(super) fn name_of(&self, symbol: &Symbol, classes: &[Class]) -> Option<String> {
        name(symbol, classes).map(|(class, index)| self.vocabulary.name(class, index).to_owned())
    }
}

fn shape_of(symbol: &Symbol) -> Option<ShapeKind> {
    symbol.senses.iter().find_map(|s| {
        if let Sense::Shape(shape) = s {
            Some(*shape)
        } else {
            None
        }
    })
}
