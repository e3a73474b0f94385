//! Habits of people who write: abbreviations, quoted lines, sums, letters for sides, feet that are no unit.

use advice::Catalogue;
use enquiry::{Reading, Vocabulary, read};
use serde_json::{Value, json};

fn reading(text: &str) -> Reading {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    read(text, &Vocabulary::of(&catalogue, None))
}

fn question(text: &str) -> Value {
    serde_json::to_value(&reading(text).enquiry.question).expect("a question is JSON")
}

fn asks(text: &str, place: &str) -> bool {
    reading(text).asks.iter().any(|a| a.place == place)
}

#[test]
fn a_load_that_is_none_is_asked_back_with_what_would_be_right() {
    let reading = reading("hold -3 kg on 2 mm steel");
    let ask = reading.asks.iter().find(|a| a.place == "/question/need/load");
    let question = &ask.expect("the load is asked").question;
    assert!(question.contains("more than zero"), "{question}");
    assert!(!asks("hold on 2 mm steel", "/question/need/load not positive"));
}

#[test]
fn a_range_of_warm_temperatures_says_nothing_of_the_cold() {
    let warm = question("magnet for 2 kg on a 1 mm steel wall, it gets 75-80 °C there");
    assert_eq!(warm["conditions"], json!({"warmest": "353.15 K"}));
    let both = question("magnet for 2 kg on a 1 mm steel wall, -10 to 50 °C");
    assert_eq!(
        both["conditions"],
        json!({"warmest": "323.15 K", "coldest": "263.15 K"})
    );
}

#[test]
fn a_number_of_an_order_is_no_temperature() {
    let read = question("Enquiry 7713-C: magnet for 2 kg on a 1 mm steel wall, at most 60 °C");
    assert_eq!(read["conditions"]["warmest"], "333.15 K");
}

#[test]
fn sides_are_read_by_their_letters() {
    let limits = &question("need a block L40 W20 H5 that holds 2 kg straight off 3 mm steel")["limits"];
    assert_eq!(limits["widest"], "0.04 m");
    assert_eq!(limits["tallest"], "0.005 m");
}

#[test]
fn an_abbreviation_ends_no_sentence() {
    let read = question("Disc for 20 N straight off a steel plate of approx. 3 mm, max. 16 mm dia. and 5 mm high");
    assert_eq!(read["need"]["steel"]["thickness"], "0.003 m");
    assert_eq!(read["limits"]["widest"], "0.016 m");
    assert_eq!(read["limits"]["tallest"], "0.005 m");
}

#[test]
fn what_lies_between_a_pair_is_not_counted_twice() {
    let text = "two magnets in a bag, leather 1.5 mm on both sides, so 3 mm between them, should hold 600 g";
    assert_eq!(question(text)["need"]["gap"], "0.003 m");
}

#[test]
fn a_sign_before_a_line_quotes_it() {
    let text = "> magnet for a lamp of 900 g\n> hanging under a beam of 8 mm steel\nsee above please";
    let need = &question(text)["need"];
    assert_eq!(need["load"], "0.9 kg");
    assert_eq!(need["steel"]["thickness"], "0.008 m");
}

#[test]
fn hundreds_and_what_follows_are_one_number() {
    let need = &question("hook for three hundred and twenty grams on the side of a steel wall of 1 mm")["need"];
    assert_eq!(need["load"], "0.32 kg");
}

#[test]
fn a_field_that_was_measured_limits_nothing() {
    let text = "At 35 mm from the face they want at least 60 mT. The old blocks reached 42 mT at 150 mm.";
    assert_eq!(question(text)["need"]["no_more_than"], Value::Null);
    let text = "At 35 mm from the face they want at least 60 mT, and at 150 mm no more than 1 mT.";
    assert_eq!(question(text)["need"]["no_more_than"]["field"], 0.001);
}

#[test]
fn feet_that_share_a_load_are_no_unit() {
    let need = &question("three feet share the weight of 1.9 kg on a vertical panel of 3 mm steel")["need"];
    assert_eq!(need["shared_by"], 3);
}

#[test]
fn a_magnet_may_be_as_wide_as_the_steel() {
    let text =
        "felt, 4 mm, over the steel hoop (2.3 mm wall, 12 mm wide), 400 g to lift it off. Not wider than the hoop!";
    assert_eq!(question(text)["limits"]["widest"], "0.012 m");
}

#[test]
fn what_can_hardly_be_meant_is_asked() {
    let many = "a tiny card of 2 g held by 300 magnets on a steel board of 0.5 mm";
    assert!(asks(many, "/question/need/shared_by"));
    assert!(!asks(
        "a card of 200 g held by 3 magnets on a steel board of 0.5 mm",
        "/question/need/shared_by"
    ));
    let light = "magnet that holds a leaf of 0.2 g on a steel board of 0.5 mm, upright";
    assert!(asks(light, "/question/need/load"));
}

#[test]
fn no_stack_is_read_on_either_side_of_the_word() {
    for text in [
        "disc for 2 kg hanging under 5 mm steel, stack not allowed",
        "disc for 2 kg hanging under 5 mm steel, one magnet only, not a stack",
    ] {
        assert_eq!(question(text)["limits"]["stack"], 1, "{text}");
    }
}

#[test]
fn paint_that_is_on_no_steel_is_no_layer() {
    let text = "I paint miniatures. The heaviest is 60 g and stands on a steel sheet of 0.5 mm, hanging upside down.";
    assert_eq!(question(text)["need"]["layers"], Value::Null);
}
