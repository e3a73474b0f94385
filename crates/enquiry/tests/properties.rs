//! What holds for any text.

use advice::Catalogue;
use enquiry::{Reading, Vocabulary, read};
use proptest::prelude::*;
use quantity::Currency;
use serde_json::Value;
use std::sync::LazyLock;

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let catalogue = Catalogue::builtin().expect("the built-in data reads");
    Vocabulary::of(&catalogue, Some(Currency::EUR))
});

fn reading(text: &str) -> Reading {
    read(text, &VOCABULARY)
}

const PIECES: [&str; 24] = [
    "hold",
    "2 kg",
    "3 mm",
    "steel",
    "1/2\"",
    "Ø",
    "20x10",
    "N42",
    "disc",
    "max",
    "-",
    "(",
    ")",
    ".",
    "\n",
    "½",
    "x",
    "40/20 x",
    "°C",
    "🧲",
    "and a half",
    "between",
    "5",
    "a pair of",
];

proptest! {
    #[test]
    fn any_text_gives_a_reading(text in "\\PC{0,300}") {
        let read = reading(&text);
        for phrase in &read.phrases {
            prop_assert!(text.get(phrase.range.clone()).is_some(), "{:?}", phrase);
        }
    }

    #[test]
    fn any_row_of_trade_words_gives_a_reading(parts in proptest::collection::vec(proptest::sample::select(PIECES.to_vec()), 0..60), glue in 0..2) {
        let text = parts.join(if glue == 0 { " " } else { "" });
        let read = reading(&text);
        for range in &read.left_out {
            prop_assert!(text.get(range.clone()).is_some(), "{:?}", range);
        }
    }

    #[test]
    fn every_unit_of_a_load_gives_the_same(tenths in 1..200u32) {
        let kg = f64::from(tenths) / 10.0;
        let question = |load: String| reading(&format!("I need a magnet that holds {load} hanging below a 3 mm steel plate")).question;
        let load = |text: String| match question(text).map(|q| q.need) {
            Some(advice::question::Need::Hold { load, .. }) => load.force().0,
            other => panic!("{other:?}"),
        };
        let kilograms = load(format!("{kg} kg"));
        for other in [format!("{} g", kg * 1000.0), format!("{} lb", kg / 0.453_592_37), format!("{} N", kg * 9.806_65)] {
            let newtons = load(other.clone());
            prop_assert!((newtons / kilograms - 1.0).abs() < 1e-3, "{}: {} N against {} N", other, newtons, kilograms);
        }
    }
}

#[test]
fn polite_filler_and_the_order_of_sentences_change_nothing() {
    let parts = [
        "I need magnets to hold 2 kg on a vertical wall",
        "The steel is 3 mm thick",
        "Not wider than 25 mm",
        "60 pieces",
    ];
    let plain = reading(&format!("{}.", parts.join(". "))).enquiry.question;
    assert_eq!(plain.pieces, Some(60), "{plain:?}");
    assert!(plain.need.steel.is_some() && plain.limits.widest.is_some(), "{plain:?}");
    let polite = format!(
        "Dear all,\n\nhope you are well. {}.\n\nMany thanks in advance and kind regards,\nJo",
        parts.join(". ")
    );
    assert_eq!(reading(&polite).enquiry.question, plain);
    let turned = format!("{}. {}. {}. {}.", parts[3], parts[0], parts[1], parts[2]);
    assert_eq!(reading(&turned).enquiry.question, plain);
}

/// Messages in clauses, and what each clause alone says, as places of the question.
const CLAUSES: [[(&str, &[&str]); 4]; 3] = [
    [
        (
            "I need a magnet that holds 2 kg straight off a steel plate of 3 mm",
            &[],
        ),
        ("it must not be wider than 25 mm", &["/limits/widest"]),
        ("it gets up to 60 °C", &["/conditions/warmest"]),
        ("please quote 60 pieces", &["/pieces"]),
    ],
    [
        ("we want a field of 20 mT at 8 mm from the face of a magnet", &[]),
        ("no thicker than 6 mm please", &["/limits/tallest"]),
        ("the cheapest one will do", &["/limits/goal"]),
        ("the budget is 2 euro each", &["/limits/budget_each"]),
    ],
    [
        ("two magnets shall pull together with 12 N across a gap of 2 mm", &[]),
        ("each may be 20 mm wide at most", &["/limits/widest"]),
        ("they live outdoors", &["/conditions/surroundings"]),
        ("safety factor 3", &["/need/safety_factor"]),
    ],
];

const FILLERS: [&str; 5] = [
    "hope you are well",
    "sorry for bothering you",
    "a colleague told us about your shop",
    "we look forward to your answer",
    "thank you very much in advance",
];

fn question(text: &str) -> Value {
    serde_json::to_value(reading(text).enquiry.question).expect("a question is JSON")
}

fn sentences(clauses: &[&str]) -> String {
    clauses.iter().map(|c| format!("{c}. ")).collect()
}

#[test]
fn filler_between_clauses_changes_nothing() {
    for message in CLAUSES {
        let clauses: Vec<&str> = message.iter().map(|c| c.0).collect();
        let plain = question(&sentences(&clauses));
        for filler in FILLERS {
            for place in 0..=clauses.len() {
                let mut filled = clauses.clone();
                filled.insert(place, filler);
                let text = sentences(&filled);
                assert_eq!(question(&text), plain, "{text}");
            }
        }
    }
}

#[test]
fn the_order_of_clauses_changes_nothing() {
    for message in CLAUSES {
        let clauses: Vec<&str> = message.iter().map(|c| c.0).collect();
        let plain = question(&sentences(&clauses));
        for first in 0..clauses.len() {
            let mut turned = clauses.clone();
            turned.rotate_left(first);
            assert_eq!(question(&sentences(&turned)), plain, "{turned:?}");
            turned.reverse();
            assert_eq!(question(&sentences(&turned)), plain, "{turned:?}");
        }
    }
}

#[test]
fn a_clause_left_out_takes_only_what_it_said() {
    for message in CLAUSES {
        let clauses: Vec<&str> = message.iter().map(|c| c.0).collect();
        let whole = question(&sentences(&clauses));
        for (left_out, (clause, places)) in message.iter().enumerate().skip(1) {
            let mut rest = clauses.clone();
            rest.remove(left_out);
            let mut expected = whole.clone();
            for place in *places {
                let (group, key) = place.rsplit_once('/').unwrap_or(("", place));
                let from = expected.pointer_mut(group).and_then(Value::as_object_mut);
                let taken = from.and_then(|object| object.remove(key));
                assert!(taken.is_some(), "{clause} says nothing at {place}: {whole}");
            }
            let mut got = question(&sentences(&rest));
            for draft in [&mut expected, &mut got] {
                if let Some(object) = draft.as_object_mut() {
                    object.retain(|_, part| part.as_object().is_none_or(|p| !p.is_empty()));
                }
            }
            assert_eq!(got, expected, "without {clause}");
        }
    }
}

#[test]
fn every_unit_of_a_length_a_field_and_a_heat_gives_the_same() {
    let value = |text: &str, place: &str| -> String {
        let draft = question(text);
        draft
            .pointer(place)
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned()
    };
    for gap in [
        "2 mm",
        "0.2 cm",
        "2000 µm",
        "2000 microns",
        "2,0 millimetres",
        "2mm",
        "two mm",
        "2 MM",
    ] {
        let text = format!("two magnets that pull together with 12 N across a gap of {gap}");
        let mm = quantity::parse::<quantity::Length>(&value(&text, "/need/gap")).map(|l| l.0 * 1e3);
        assert!(mm.as_ref().is_ok_and(|mm| (mm - 2.0).abs() < 1e-6), "{text}: {mm:?}");
    }
    for field in [
        "20 mT",
        "200 G",
        "200 gauss",
        "0.02 T",
        "0.2 kG",
        "200 Gs",
        "20 millitesla",
        "20mT",
    ] {
        let text = format!("I need a magnet for {field} at 8 mm from its face");
        let mt = quantity::parse::<quantity::FluxDensity>(&value(&text, "/need/field")).map(|f| f.0 * 1e3);
        assert!(mt.as_ref().is_ok_and(|mt| (mt - 20.0).abs() < 1e-6), "{text}: {mt:?}");
    }
    for heat in [
        "80 °C",
        "80 C",
        "80 degrees",
        "80 deg C",
        "176 °F",
        "80 celsius",
        "80°C",
        "80 degr",
    ] {
        let text = format!("a magnet to hold 2 kg hanging below 3 mm steel, up to {heat}");
        let kelvin = quantity::parse::<quantity::Temperature>(&value(&text, "/conditions/warmest")).map(|t| t.0);
        assert!(
            kelvin.as_ref().is_ok_and(|k| (k - 353.15).abs() < 1e-6),
            "{text}: {kelvin:?}"
        );
    }
}

#[test]
fn a_message_out_of_reason_is_read_to_its_limit() {
    for text in [
        "wobbly ".repeat(30_000),
        "2 kg 3 mm steel ".repeat(700),
        "(".repeat(20_000),
        "1/".repeat(5_000),
        "é".repeat(9_999),
    ] {
        let read = reading(&text);
        assert!(read.asks.len() < 50);
    }
}
