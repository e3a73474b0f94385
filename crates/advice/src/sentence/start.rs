//! A question to start from, for each verb.

use quantity::{FluxDensity, Force, Length, Load, Mass, Temperature};

use super::asked::Verb;
use crate::question::{Conditions, Direction, Layer, Limits, Need, Question, SteelPart, Surroundings};

/// A sensible question of this verb, all blanks filled, for a reader to change.
pub fn start(verb: Verb) -> Question {
    let mm = Length::from_mm;
    let need = match verb {
        Verb::Hold => Need::Hold {
            load: Load::Mass(Mass(2.0)),
            direction: Direction::HangingBelow,
            steel: SteelPart {
                thickness: Some(mm(3.0)),
                ..SteelPart::default()
            },
            layers: vec![Layer {
                material: "paint".into(),
                thickness: mm(0.4),
            }],
            safety_factor: None,
            shared_by: 1,
            friction: None,
        },
        Verb::PullTogether => Need::PullTogether {
            force: Load::Force(Force(20.0)),
            gap: mm(5.0),
        },
        Verb::PushApart => Need::PushApart {
            force: Load::Force(Force(10.0)),
            gap: mm(8.0),
        },
        Verb::ReachField => Need::ReachField {
            field: FluxDensity::from_mt(50.0),
            distance: mm(10.0),
            off_axis: mm(0.0),
            no_more_than: None,
        },
        Verb::SwitchSensor => Need::SwitchSensor {
            operate: FluxDensity::from_mt(5.0),
            release: FluxDensity::from_mt(2.0),
            margin: None,
            near: mm(4.0),
            far: mm(25.0),
        },
        Verb::FaceField => Need::FaceField {
            field: FluxDensity::from_mt(350.0),
            probe_depth: Some(mm(0.5)),
        },
    };
    let conditions = Conditions {
        warmest: Some(Temperature::from_celsius(60.0)),
        surroundings: Some(Surroundings::Dry),
        ..Conditions::default()
    };
    let limits = Limits {
        widest: Some(mm(25.0)),
        ..Limits::default()
    };
    Question {
        need,
        conditions,
        limits,
        pieces: 200,
    }
}
