//! The verb with what it cannot do without, and the number of pieces at the end.

use quantity::Units;
use serde_json::{Value, json};

use super::print;
use crate::blank::{Blank, BlankKind, Choice, Segment, Spec};
use crate::question::{Direction, Layer, Need, Question, SteelPart};

const LOAD: Spec = Spec::must(
    "/need/load",
    "load",
    BlankKind::Load,
    "what must be held: a mass or a force",
    "2 kg",
);
const DIRECTION: Spec = Spec::must(
    "/need/direction",
    "direction",
    BlankKind::Choice,
    "which way the load pulls on the magnet",
    "hanging below",
);
const STEEL: Spec = Spec::must(
    "/need/steel",
    "steel",
    BlankKind::Steel,
    "what the magnet sticks to; thick where more does not help",
    "3 mm of mild steel",
);
const LAYERS: Spec = Spec::must(
    "/need/layers",
    "layers",
    BlankKind::Layers,
    "what lies between magnet and steel",
    "0.4 mm of paint",
);
const FORCE: Spec = Spec::must(
    "/need/force",
    "force",
    BlankKind::Load,
    "the force between two equal magnets: a force or a mass",
    "20 N",
);
const GAP: Spec = Spec::must(
    "/need/gap",
    "gap",
    BlankKind::Length,
    "clear distance between the two faces; 0 mm is touching",
    "5 mm",
);
const FIELD: Spec = Spec::must(
    "/need/field",
    "field",
    BlankKind::Field,
    "the least flux density there",
    "50 mT",
);
const DISTANCE: Spec = Spec::must(
    "/need/distance",
    "distance",
    BlankKind::Length,
    "from the outer face, along the axis",
    "10 mm",
);
const OPERATE: Spec = Spec::must(
    "/need/operate",
    "operates at",
    BlankKind::Field,
    "the switch surely operates at this flux density",
    "5 mT",
);
const RELEASE: Spec = Spec::must(
    "/need/release",
    "releases at",
    BlankKind::Field,
    "the switch surely releases at this flux density",
    "2 mT",
);
const NEAR: Spec = Spec::must(
    "/need/near",
    "near distance",
    BlankKind::Length,
    "from the face to the sensor where it must operate",
    "4 mm",
);
const FAR: Spec = Spec::must(
    "/need/far",
    "far distance",
    BlankKind::Length,
    "from the face to the sensor where it must release",
    "15 mm",
);
const PIECES: Spec = Spec::must(
    "/pieces",
    "pieces",
    BlankKind::Count,
    "how many are wanted; prices are taken at this number",
    "200",
);

/// The sentence up to the first clause.
pub(super) fn opening(question: &Question, units: &Units) -> Vec<Segment> {
    let text = Segment::text;
    let length = |spec: Spec, value| blank(spec.typed(print::quantity(value, units)));
    let field = |spec: Spec, value| blank(spec.typed(print::quantity(value, units)));
    match &question.need {
        Need::Hold {
            load,
            direction,
            steel,
            layers,
            ..
        } => {
            let mut segments = vec![
                text("Hold "),
                blank(LOAD.typed(print::load(*load, units))),
                text(" "),
                blank(direction_blank(*direction)),
                text(" "),
                blank(steel_blank(steel, units)),
            ];
            if !layers.is_empty() {
                segments.extend([text(" through "), blank(layers_blank(layers, units))]);
            }
            segments
        }
        Need::PullTogether { force, gap } => pair("Pull together with ", print::load(*force, units), length(GAP, *gap)),
        Need::PushApart { force, gap } => pair("Push apart with ", print::load(*force, units), length(GAP, *gap)),
        Need::ReachField {
            field: wanted,
            distance,
            ..
        } => {
            vec![
                text("Reach "),
                field(FIELD, *wanted),
                text(" at "),
                length(DISTANCE, *distance),
            ]
        }
        Need::SwitchSensor {
            operate,
            release,
            near,
            far,
            ..
        } => vec![
            text("Switch a sensor that operates at "),
            field(OPERATE, *operate),
            text(" and releases at "),
            field(RELEASE, *release),
            text(", near at "),
            length(NEAR, *near),
            text(" and far at "),
            length(FAR, *far),
        ],
        Need::FaceField { field: wanted, .. } => vec![text("Make a face field of "), field(FIELD, *wanted)],
    }
}

/// The end of the sentence.
pub(super) fn closing(question: &Question) -> [Segment; 3] {
    let pieces = question.pieces;
    [
        Segment::text(". "),
        blank(PIECES.blank(pieces.to_string(), pieces)),
        Segment::text(if pieces == 1 { " piece." } else { " pieces." }),
    ]
}

/// The blank of a list of layers, also where there is none yet.
pub(super) fn layers_blank(layers: &[Layer], units: &Units) -> Blank {
    let written: Vec<(String, &str)> = layers
        .iter()
        .map(|l| (print::quantity(l.thickness, units), l.material.as_str()))
        .collect();
    let phrases: Vec<String> = written
        .iter()
        .map(|(thickness, material)| format!("{thickness} of {material}"))
        .collect();
    let value: Vec<Value> = written
        .iter()
        .map(|(thickness, material)| json!({"material": material, "thickness": thickness}))
        .collect();
    LAYERS.blank(print::list(&phrases, "and"), value)
}

fn pair(start: &str, force: String, gap: Segment) -> Vec<Segment> {
    vec![
        Segment::text(start),
        blank(FORCE.typed(force)),
        Segment::text(" across a gap of "),
        gap,
    ]
}

fn direction_blank(direction: Direction) -> Blank {
    let choices = [
        (Direction::StraightOff, "straight_off", "straight off"),
        (Direction::HangingBelow, "hanging_below", "hanging below"),
        (Direction::Sideways, "sideways", "sideways on"),
    ];
    let (value, text) = choices
        .iter()
        .find(|c| c.0 == direction)
        .map_or(("", ""), |c| (c.1, c.2));
    DIRECTION
        .blank(text, value)
        .with(choices.iter().map(|c| Choice::new(c.1, c.2)).collect())
}

fn steel_blank(steel: &SteelPart, units: &Units) -> Blank {
    let thickness = steel.thickness.map(|t| print::quantity(t, units));
    let mut text = match &thickness {
        Some(thickness) => format!("{thickness} of {}", steel.material),
        None => format!("thick {}", steel.material),
    };
    let across = steel.across.map(|d| print::quantity(d, units));
    if let Some(across) = &across {
        text += &format!(" in a plate {across} wide");
    }
    STEEL.blank(
        text,
        json!({"material": steel.material, "thickness": thickness, "across": across}),
    )
}

fn blank(blank: Blank) -> Segment {
    Segment::Blank { blank }
}
