//! What holds for any text.

use advice::Catalogue;
use enquiry::{Reading, Vocabulary, read};
use proptest::prelude::*;
use quantity::Currency;
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
