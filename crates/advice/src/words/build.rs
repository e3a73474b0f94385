//! The draft into a question, or what it lacks.

use quantity::{FluxDensity, Length, Load, Mass, Money, Temperature};

use super::Missing;
use super::draft::{Draft, Filling};
use super::slot::Slot;
use crate::question::{
    Conditions, Direction, FieldCeiling, Layer, Limits, Need, Question, SteelPart, Steelwork, Surroundings,
};
use crate::sentence::Verb;

/// The question of a draft; `None`, with what is missing, when a blank that must be filled is not, or with the problems
/// of the draft.
pub(super) fn question(verb: Option<Verb>, draft: &mut Draft) -> (Option<Question>, Vec<Missing>) {
    let mut lack = Lack(Vec::new());
    let Some(verb) = verb else {
        lack.add(
            "/need/verb",
            "what the magnet must do",
            "hold 2 kg hanging below 3 mm steel",
        );
        return (None, lack.0);
    };
    place_temperature(draft);
    let need = need(verb, draft, &mut lack);
    let question = need
        .filter(|_| draft.problems.is_empty() && lack.0.is_empty())
        .map(|need| Question {
            need,
            conditions: conditions(draft),
            limits: limits(draft),
            pieces: draft.count(Slot::Pieces).unwrap_or(1),
        });
    (question, lack.0)
}

/// What is missing so far.
struct Lack(Vec<Missing>);

impl Lack {
    fn add(&mut self, path: impl Into<String>, label: impl Into<String>, example: impl Into<String>) {
        self.0.push(Missing {
            path: path.into(),
            label: label.into(),
            example: example.into(),
        });
    }

    /// The value, or a note that it is missing.
    fn need<T>(&mut self, value: Option<T>, path: &str, slot: Slot, example: &str) -> Option<T> {
        if value.is_none() {
            self.add(path, slot.label(), example);
        }
        value
    }
}

/// A temperature without a bound: the coldest when below freezing, and else the warmest.
fn place_temperature(draft: &mut Draft) {
    if let Some(filled) = draft.slots.remove(&Slot::Temperature) {
        let freezes = matches!(filled.filling, Filling::Quantity(kelvin) if Temperature(kelvin).celsius() < 0.0);
        draft.fill(
            if freezes { Slot::Coldest } else { Slot::Warmest },
            filled.filling,
            filled.range,
        );
    }
}

fn need(verb: Verb, draft: &Draft, lack: &mut Lack) -> Option<Need> {
    match verb {
        Verb::Hold => hold(draft, lack),
        Verb::PullTogether => {
            let force = lack.need(draft.load(), "/need/force", Slot::Load, "20 N")?;
            Some(Need::PullTogether {
                force,
                gap: draft.length(Slot::Gap).unwrap_or(Length(0.0)),
            })
        }
        Verb::PushApart => {
            let force = lack.need(draft.load(), "/need/force", Slot::Load, "10 N")?;
            Some(Need::PushApart {
                force,
                gap: draft.length(Slot::Gap).unwrap_or(Length(0.0)),
            })
        }
        Verb::ReachField => {
            let field = lack.need(draft.flux(Slot::Field), "/need/field", Slot::Field, "50 mT");
            let distance = lack.need(
                draft.length(Slot::Distance),
                "/need/distance",
                Slot::Distance,
                "at 10 mm",
            );
            let ceiling = draft.flux(Slot::CeilingField).zip(draft.length(Slot::CeilingDistance));
            Some(Need::ReachField {
                field: field?,
                distance: distance?,
                off_axis: draft.length(Slot::OffAxis).unwrap_or(Length(0.0)),
                no_more_than: ceiling.map(|(field, distance)| FieldCeiling { field, distance }),
            })
        }
        Verb::SwitchSensor => {
            let operate = lack.need(
                draft.flux(Slot::Operate),
                "/need/operate",
                Slot::Operate,
                "operate 5 mT",
            );
            let release = lack.need(
                draft.flux(Slot::Release),
                "/need/release",
                Slot::Release,
                "release 2 mT",
            );
            let near = lack.need(draft.length(Slot::Near), "/need/near", Slot::Near, "near 4 mm");
            let far = lack.need(draft.length(Slot::Far), "/need/far", Slot::Far, "far 15 mm");
            Some(Need::SwitchSensor {
                operate: operate?,
                release: release?,
                margin: draft.number(Slot::Margin),
                near: near?,
                far: far?,
            })
        }
        Verb::FaceField => {
            let field = lack.need(draft.flux(Slot::Field), "/need/field", Slot::Field, "3500 G")?;
            Some(Need::FaceField {
                field,
                probe_depth: draft.length(Slot::ProbeDepth),
            })
        }
    }
}

fn hold(draft: &Draft, lack: &mut Lack) -> Option<Need> {
    let load = lack.need(draft.load(), "/need/load", Slot::Load, "2 kg");
    for (after, material) in draft.bare_layers.iter().enumerate() {
        let path = format!("/need/layers/{}/thickness", draft.layers.len() + after);
        lack.add(
            path,
            format!("thickness of the {material}"),
            format!("0.4 mm of {material}"),
        );
    }
    let usual = SteelPart::default();
    Some(Need::Hold {
        load: load?,
        direction: draft.direction(),
        steel: SteelPart {
            material: draft.name(Slot::Steel).unwrap_or(usual.material),
            thickness: draft.length(Slot::SteelThickness),
            across: draft.length(Slot::SteelAcross),
        },
        layers: draft
            .layers
            .iter()
            .map(|(material, metres)| Layer {
                material: material.clone(),
                thickness: Length(*metres),
            })
            .collect(),
        safety_factor: draft.number(Slot::SafetyFactor),
        shared_by: draft.count(Slot::SharedBy).unwrap_or(1),
        friction: draft.number(Slot::Friction),
    })
}

fn conditions(draft: &Draft) -> Conditions {
    Conditions {
        warmest: draft.si(Slot::Warmest).map(Temperature),
        coldest: draft.si(Slot::Coldest).map(Temperature),
        surroundings: draft.surroundings(),
    }
}

fn limits(draft: &Draft) -> Limits {
    Limits {
        widest: draft.length(Slot::Widest),
        narrowest: draft.length(Slot::Narrowest),
        tallest: draft.length(Slot::Tallest),
        shortest: draft.length(Slot::Shortest),
        shapes: draft.shapes.clone(),
        hole: draft.length(Slot::Hole),
        grades: draft.grades.clone(),
        stack: draft.count(Slot::Stack),
        mass: draft.si(Slot::Mass).map(Mass),
        budget_each: draft.money(Slot::BudgetEach),
        budget_total: draft.money(Slot::BudgetTotal),
        in_stock: draft.slots.contains_key(&Slot::InStock),
        ships_by_air: draft.slots.contains_key(&Slot::ShipsByAir),
        steelwork: draft.steelwork(),
        ..Limits::default()
    }
}

/// The fillings by what they are.
impl Draft<'_> {
    fn filling(&self, slot: Slot) -> Option<&Filling> {
        self.slots.get(&slot).map(|filled| &filled.filling)
    }

    fn si(&self, slot: Slot) -> Option<f64> {
        if let Some(Filling::Quantity(si)) = self.filling(slot) {
            Some(*si)
        } else {
            None
        }
    }

    fn length(&self, slot: Slot) -> Option<Length> {
        self.si(slot).map(Length)
    }

    fn flux(&self, slot: Slot) -> Option<FluxDensity> {
        self.si(slot).map(FluxDensity)
    }

    fn load(&self) -> Option<Load> {
        if let Some(Filling::Load(load)) = self.filling(Slot::Load) {
            Some(*load)
        } else {
            None
        }
    }

    fn number(&self, slot: Slot) -> Option<f64> {
        if let Some(Filling::Number(number)) = self.filling(slot) {
            Some(*number)
        } else {
            None
        }
    }

    fn count(&self, slot: Slot) -> Option<u32> {
        if let Some(Filling::Count(count)) = self.filling(slot) {
            Some(*count)
        } else {
            None
        }
    }

    fn money(&self, slot: Slot) -> Option<Money> {
        if let Some(Filling::Money(money)) = self.filling(slot) {
            Some(*money)
        } else {
            None
        }
    }

    fn name(&self, slot: Slot) -> Option<String> {
        if let Some(Filling::Name(name)) = self.filling(slot) {
            Some(name.clone())
        } else {
            None
        }
    }

    fn direction(&self) -> Direction {
        if let Some(Filling::Direction(d)) = self.filling(Slot::Direction) {
            *d
        } else {
            Direction::default()
        }
    }

    fn steelwork(&self) -> Option<Steelwork> {
        if let Some(Filling::Steelwork(s)) = self.filling(Slot::Steelwork) {
            Some(*s)
        } else {
            None
        }
    }

    fn surroundings(&self) -> Option<Surroundings> {
        if let Some(Filling::Surroundings(s)) = self.filling(Slot::Surroundings) {
            Some(*s)
        } else {
            None
        }
    }
}
