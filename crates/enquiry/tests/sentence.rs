//! The sentence that the program prints reads back to the same question.

use advice::question::{
    Conditions, Direction, FieldCeiling, Goal, Layer, Limits, Need, Question, ShapeKind, SteelPart, Steelwork,
    Surroundings,
};
use advice::sentence::{Verb, start, words};
use enquiry::{Name, Vocabulary, read};
use proptest::prelude::*;
use quantity::{Currency, FluxDensity, Force, Length, Load, Mass, Money, Temperature, Units};
use serde_json::Value;

/// A small vocabulary, so that the tests do not move with the data.
fn vocabulary() -> Vocabulary {
    let name = |name: &str, aliases: &[&str]| Name::new(name, aliases.iter().copied());
    Vocabulary {
        layers: ["paint", "wood", "air", "glass", "plastic", "brass or aluminium"]
            .map(|n| name(n, &[]))
            .to_vec(),
        steels: vec![
            name("mild steel", &["steel", "iron"]),
            name("ferritic stainless steel", &["430"]),
        ],
        grades: ["N35", "N42", "N42SH", "N45", "N52", "Y30"]
            .map(|grade| name(grade, &[]))
            .to_vec(),
        families: vec![name("ferrite", &["ceramic"]), name("samarium cobalt", &["SmCo"])],
        currency: Some(Currency::EUR),
    }
}

/// Whether two questions are the same within the digits that the sentence prints.
fn same(a: &Question, b: &Question) -> bool {
    let json = |q: &Question| serde_json::to_value(q).expect("a question is JSON");
    close(&json(a), &json(b))
}

fn close(a: &Value, b: &Value) -> bool {
    /// Relative: what the sentence allows itself, and a few last bits of the conversion.
    const TOLERANCE: f64 = 1.001e-6;
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap_or(f64::NAN), b.as_f64().unwrap_or(f64::NAN));
            (a - b).abs() <= TOLERANCE * a.abs().max(b.abs())
        }
        (Value::Array(a), Value::Array(b)) => a.len() == b.len() && a.iter().zip(b).all(|(a, b)| close(a, b)),
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter()
                    .all(|(key, value)| b.get(key).is_some_and(|other| close(value, other)))
        }
        _ => a == b,
    }
}

#[test]
fn every_start_reads_back() {
    for verb in Verb::ALL {
        let question = start(verb);
        for units in [Units::metric(), Units::inch()] {
            let text = words(&question, &units);
            let reading = read(&text, &vocabulary());
            assert!(
                reading.question.as_ref().is_some_and(|q| same(q, &question)),
                "{text}: {reading:?}"
            );
            assert!(reading.asks.is_empty(), "{text}: {:?}", reading.asks);
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
        (
            any::<bool>(),
            proptest::option::of(proptest::sample::select(vec![
                "epoxy".to_owned(),
                "nickel-copper-nickel".into(),
            ])),
            proptest::option::of(proptest::sample::select(Goal::ALL.to_vec())),
            any::<bool>(),
        ),
    )
        .prop_map(
            |((widest, narrowest, tallest, shortest, hole), (shapes, grades), rest, rest_taste)| {
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
                    countersunk: rest_taste.0,
                    coating: rest_taste.1,
                    goal: rest_taste.2,
                    without_nickel: rest_taste.3,
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
            let reading = read(&text, &vocabulary());
            prop_assert!(reading.question.as_ref().is_some_and(|q| same(q, &question)), "{}: {:?}", text, reading);
            prop_assert!(reading.phrases.iter().all(|p| !p.meaning.is_empty()), "{}: {:?}", text, reading.phrases);
        }
    }
}
