//! The sentence reads back, its blanks point to what they show, and the page can rely on its form.

use quantity::Units;
use serde_json::{Value, json};

use super::{Segment, Verb, more, segments, start, verb, words};
use crate::answer::Assumed;
use crate::question::{Conditions, Limits, Question};

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
        "Make a face field of 3500 G, read by a probe 0.5 mm deep, up to 140 °F, indoors and dry, no wider than 25 mm. 200 pieces."
    );
}

#[test]
fn every_verb_has_a_start_and_a_name() {
    for verb in Verb::ALL {
        assert_eq!(Verb::of(&start(verb).need), verb);
        assert_eq!(Verb::named(verb.name()), Some(verb));
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

/// Whether two questions are the same within the digits that a blank prints.
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
