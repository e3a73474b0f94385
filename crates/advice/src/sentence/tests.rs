//! The sentence reads back, its blanks point to what they show, and the page can rely on its form.

use proptest::prelude::*;
use quantity::{FluxDensity, Force, Length, Load, Mass, Money, Temperature, Units};
use serde_json::{Value, json};

use super::{Segment, Verb, more, segments, start, verb, words};
use crate::answer::Assumed;
use crate::question::{
    Conditions, Direction, FieldCeiling, Layer, Limits, Need, Question, ShapeKind, SteelPart, Steelwork, Surroundings,
};
use crate::words::parse;
use crate::words::tests::{same, vocabulary};

fn blanks(segments: &[Segment]) -> impl Iterator<Item = &super::Blank> {
    segments.iter().filter_map(|s| {
        if let Segment::Blank { blank } = s {
            Some(blank)
        } else {
            None
        }
    })
}

#[test]
fn reads_as_one_sentence() {
    let metric = Units::metric();
    let said = |verb| words(&start(verb), &metric);
    assert_eq!(
        said(Verb::Hold),
        "Hold 2 kg hanging below 3 mm of mild steel through 0.4 mm of paint, up to 60 °C, indoors and dry, no wider than 25 mm. 200 pieces."
    );
    assert_eq!(
        said(Verb::PullTogether),
        "Pull together with 20 N across a gap of 5 mm, up to 60 °C, indoors and dry, no wider than 25 mm. 200 pieces."
    );
    assert_eq!(
        said(Verb::ReachField),
        "Reach 50 mT at 10 mm, up to 60 °C, indoors and dry, no wider than 25 mm. 200 pieces."
    );
    assert_eq!(
        words(&start(Verb::FaceField), &Units::inch()),
        "Make a face field of 3500 G, read by a probe 0.01968504 in deep, up to 140 °F, indoors and dry, no wider than 0.984252 in. 200 pieces."
    );
}

#[test]
fn every_start_reads_back() {
    for verb in Verb::ALL {
        let question = start(verb);
        assert_eq!(Verb::of(&question.need), verb);
        assert_eq!(Verb::named(verb.name()), Some(verb));
        for units in [Units::metric(), Units::inch()] {
            let text = words(&question, &units);
            let read = parse(&text, &vocabulary());
            assert!(
                read.question.as_ref().is_some_and(|q| same(q, &question)),
                "{text}: {read:?}"
            );
        }
    }
    assert_eq!(verb(&start(Verb::PullTogether).need), "pull_together");
    assert_eq!(Verb::named("holt"), None);
}

#[test]
fn blanks_have_the_form_of_the_contract() {
    let json = serde_json::to_value(segments(&start(Verb::Hold), &Units::metric(), &[])).expect("segments are JSON");
    assert_eq!(json[0], json!({"text": "Hold "}));
    assert_eq!(
        json[1],
        json!({"blank": {
            "path": "/need/load", "text": "2 kg", "label": "load", "kind": "load", "options": null, "value": "2 kg",
            "optional": false, "assumed": false, "help": "what must be held: a mass or a force", "example": "2 kg",
        }})
    );
    assert_eq!(
        json[3]["blank"]["options"][1],
        json!({"value": "hanging_below", "text": "hanging below"})
    );
    assert_eq!(
        json[5]["blank"]["value"],
        json!({"material": "mild steel", "thickness": "3 mm", "across": null})
    );
    assert_eq!(
        json[7]["blank"]["value"],
        json!([{"material": "paint", "thickness": "0.4 mm"}])
    );
}

#[test]
fn assumed_values_stand_in_the_sentence_and_are_marked() {
    let mut question = start(Verb::Hold);
    question.conditions.warmest = None;
    let assumed = [
        Assumed::SafetyFactor {
            factor: 2.0,
            falls: true,
        },
        Assumed::ThickSteel,
        Assumed::RoomTemperature,
    ];
    let segments = segments(&question, &Units::metric(), &assumed);
    let marked: Vec<(&str, &str)> = blanks(&segments)
        .filter(|b| b.assumed)
        .map(|b| (b.path.as_str(), b.text.as_str()))
        .collect();
    let expected = [
        ("/need/steel", "3 mm of mild steel"),
        ("/need/safety_factor", "2"),
        ("/conditions/warmest", "20 °C"),
    ];
    assert_eq!(marked, expected);
    // the question's own value stays
    let given = Assumed::RoomTemperature;
    let segments = super::segments(&start(Verb::Hold), &Units::metric(), &[given]);
    assert!(blanks(&segments).any(|b| b.path == "/conditions/warmest" && b.text == "60 °C"));
    // what does not belong to the verb is left out
    let margin = Assumed::SwitchMargin { margin: 2.0 };
    assert_eq!(
        super::segments(&start(Verb::Hold), &Units::metric(), &[margin]),
        super::segments(&start(Verb::Hold), &Units::metric(), &[])
    );
}

#[test]
fn every_offer_can_be_taken() {
    for verb in Verb::ALL {
        let question = Question {
            conditions: Conditions::default(),
            limits: Limits::default(),
            ..start(verb)
        };
        let offered = more(&question, &Units::metric());
        assert!(offered.len() >= 16, "{verb:?} offers {}", offered.len());
        for blank in offered {
            assert_eq!(
                (&blank.value, blank.text.is_empty()),
                (&taken_from(&blank), false),
                "{}",
                blank.path
            );
            let value = suggestion(&blank);
            let changed = set(&question, &blank.path, value);
            let shown = segments(&changed, &Units::metric(), &[]);
            assert!(
                blanks(&shown).any(|b| b.path == blank.path),
                "{} is not shown once set",
                blank.path
            );
            assert!(
                more(&changed, &Units::metric()).iter().all(|b| b.path != blank.path),
                "{} still offered",
                blank.path
            );
            let text = words(&changed, &Units::metric());
            let read = parse(&text, &vocabulary());
            assert!(
                read.question.as_ref().is_some_and(|q| same(q, &changed)),
                "{text}: {read:?}"
            );
        }
    }
}

/// What the page starts an offered blank from.
fn taken_from(blank: &super::Blank) -> Value {
    if blank.path == "/need/layers" {
        json!([])
    } else {
        Value::Null
    }
}

/// A value that a reader could choose for an offered blank.
fn suggestion(blank: &super::Blank) -> Value {
    use super::BlankKind::*;
    match blank.kind {
        Count => json!(blank.example.parse::<u32>().expect("a count")),
        Factor => json!(blank.example.parse::<f64>().expect("a number")),
        Choice => blank.options.as_ref().expect("choices")[0].value.clone(),
        Choices => json!([blank.options.as_ref().expect("choices")[0].value]),
        Switch => json!(true),
        Words => json!([blank.example]),
        Layers => json!([{"material": "paint", "thickness": "0.4 mm"}]),
        _ => json!(blank.example),
    }
}

fn set(question: &Question, path: &str, value: Value) -> Question {
    let mut json = serde_json::to_value(question).expect("a question is JSON");
    let (parent, key) = path.rsplit_once('/').expect("a pointer");
    json.pointer_mut(parent)
        .expect("the parent")
        .as_object_mut()
        .expect("an object")
        .insert(key.into(), value);
    serde_json::from_value(json).unwrap_or_else(|error| panic!("{path}: {error}"))
}

#[test]
fn every_blank_reads_back_its_own_value() {
    for verb in Verb::ALL {
        let question = start(verb);
        for units in [Units::metric(), Units::inch()] {
            for blank in blanks(&segments(&question, &units, &[])) {
                assert!(
                    same(&set(&question, &blank.path, blank.value.clone()), &question),
                    "{}",
                    blank.path
                );
                assert!(
                    !blank.label.is_empty() && !blank.help.is_empty() && !blank.example.is_empty(),
                    "{}",
                    blank.path
                );
            }
        }
    }
}

fn length(most_tenths: u32) -> impl Strategy<Value = Length> {
    (1..most_tenths).prop_map(|tenths| Length::from_mm(f64::from(tenths) / 10.0))
}

fn flux() -> impl Strategy<Value = FluxDensity> {
    (1..20_000u32).prop_map(|tenths| FluxDensity::from_mt(f64::from(tenths) / 10.0))
}

fn load() -> impl Strategy<Value = Load> {
    let mass = (1..50_000u32).prop_map(|grams| Load::Mass(Mass(f64::from(grams) / 1000.0)));
    let force = (1..5_000u32).prop_map(|tenths| Load::Force(Force(f64::from(tenths) / 10.0)));
    prop_oneof![mass, force]
}

fn factor() -> impl Strategy<Value = Option<f64>> {
    proptest::option::of((1..100u32).prop_map(|tenths| f64::from(tenths) / 10.0))
}

fn layer() -> impl Strategy<Value = Layer> {
    let material = proptest::sample::select(vec!["paint", "wood", "air", "brass or aluminium"]);
    (material, length(100)).prop_map(|(material, thickness)| Layer {
        material: material.into(),
        thickness,
    })
}

fn need() -> impl Strategy<Value = Need> {
    let direction = proptest::sample::select(vec![
        Direction::StraightOff,
        Direction::HangingBelow,
        Direction::Sideways,
    ]);
    let steel = (
        proptest::sample::select(vec!["mild steel", "ferritic stainless steel"]),
        proptest::option::of(length(300)),
        proptest::option::of(length(2000)),
    )
        .prop_map(|(material, thickness, across)| SteelPart {
            material: material.into(),
            thickness,
            across,
        });
    let hold = (
        load(),
        direction,
        steel,
        proptest::collection::vec(layer(), 0..4),
        factor(),
        1..9u32,
        factor(),
    )
        .prop_map(
            |(load, direction, steel, layers, safety_factor, shared_by, friction)| Need::Hold {
                load,
                direction,
                steel,
                layers,
                safety_factor,
                shared_by,
                friction,
            },
        );
    let ceiling = (flux(), length(5000)).prop_map(|(field, distance)| FieldCeiling { field, distance });
    prop_oneof![
        hold,
        (load(), length(500)).prop_map(|(force, gap)| Need::PullTogether { force, gap }),
        (load(), length(500)).prop_map(|(force, gap)| Need::PushApart { force, gap }),
        (flux(), length(900), length(300), proptest::option::of(ceiling)).prop_map(
            |(field, distance, off_axis, no_more_than)| Need::ReachField {
                field,
                distance,
                off_axis,
                no_more_than
            }
        ),
        (flux(), flux(), factor(), length(300), length(900)).prop_map(|(operate, release, margin, near, far)| {
            Need::SwitchSensor {
                operate,
                release,
                margin,
                near,
                far,
            }
        }),
        (flux(), proptest::option::of(length(30)))
            .prop_map(|(field, probe_depth)| Need::FaceField { field, probe_depth }),
    ]
}

fn conditions() -> impl Strategy<Value = Conditions> {
    let celsius =
        |range: std::ops::Range<i32>| proptest::option::of(range.prop_map(|c| Temperature::from_celsius(f64::from(c))));
    let places = vec![
        Surroundings::Dry,
        Surroundings::Damp,
        Surroundings::Outdoors,
        Surroundings::Food,
    ];
    (
        celsius(-10..300),
        celsius(-100..20),
        proptest::option::of(proptest::sample::select(places)),
    )
        .prop_map(|(warmest, coldest, surroundings)| Conditions {
            warmest,
            coldest,
            surroundings,
        })
}

fn limits() -> impl Strategy<Value = Limits> {
    let size = || proptest::option::of(length(1000));
    let money = || proptest::option::of((1..10_000_000i64).prop_map(Money::from_parts));
    let shapes = vec![ShapeKind::Disc, ShapeKind::Ring, ShapeKind::Block, ShapeKind::Sphere];
    let grades = vec![
        "N42".to_owned(),
        "N42SH".into(),
        "ferrite".into(),
        "samarium cobalt".into(),
    ];
    let mass = proptest::option::of((1..5000u32).prop_map(|grams| Mass(f64::from(grams) / 1000.0)));
    (
        (size(), size(), size(), size(), size()),
        (
            proptest::sample::subsequence(shapes, 0..=4),
            proptest::sample::subsequence(grades, 0..=4),
        ),
        (
            proptest::option::of(1..9u32),
            mass,
            money(),
            money(),
            any::<bool>(),
            any::<bool>(),
            proptest::option::of(proptest::sample::select(Steelwork::ALL.to_vec())),
        ),
    )
        .prop_map(
            |((widest, narrowest, tallest, shortest, hole), (shapes, grades), rest)| {
                let (stack, mass, budget_each, budget_total, in_stock, ships_by_air, steelwork) = rest;
                Limits {
                    widest,
                    narrowest,
                    tallest,
                    shortest,
                    shapes,
                    hole,
                    grades,
                    stack,
                    mass,
                    budget_each,
                    budget_total,
                    in_stock,
                    ships_by_air,
                    steelwork,
                    ..Limits::default()
                }
            },
        )
}

proptest! {
    #[test]
    fn the_words_of_a_question_read_back(
        need in need(), conditions in conditions(), limits in limits(), pieces in 1..100_000u32,
    ) {
        let question = Question { need, conditions, limits, pieces };
        for units in [Units::metric(), Units::inch()] {
            let text = words(&question, &units);
            let read = parse(&text, &vocabulary());
            prop_assert!(read.question.as_ref().is_some_and(|q| same(q, &question)), "{}: {:?}", text, read);
            prop_assert!(read.parts.iter().all(|part| part.meaning.is_some()), "{}: {:?}", text, read.parts);
        }
    }
}
