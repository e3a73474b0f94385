use super::*;
use crate::learned::Learned;
use crate::read::read_in_parts;
use crate::vocabulary::Vocabulary;

fn part(place: &str, feature: &str) -> Part {
    Part {
        place: place.into(),
        features: vec![feature.into()],
    }
}

/// The committed weights, with others for what is doubtful.
fn doubting(doubts: &str) -> Learned {
    Learned::of(|matter| match matter {
        "doubts" => format!("wrong\n0\n{doubts}"),
        _ => std::fs::read_to_string(format!("{}/data/learned/{matter}.tsv", env!("CARGO_MANIFEST_DIR")))
            .expect("the weights are there"),
    })
}

fn vocabulary() -> Vocabulary {
    let catalogue = advice::Catalogue::builtin().expect("the built-in data reads");
    Vocabulary::of(&catalogue, Some(quantity::Currency::EUR))
}

#[test]
fn the_two_parts_that_are_likeliest_to_be_wrong_are_asked() {
    let learned = doubting("sure\t0 -500\nshaky\t0 100\nshakier\t0 200\nshakiest\t0 300\n");
    let parts = [
        part("/a", "shaky"),
        part("/b", "sure"),
        part("/c", "shakiest"),
        part("/d", "shakier"),
    ];
    assert_eq!(asked(&learned.doubts, &parts), ["/c", "/d"]);
    assert_eq!(asked(&learned.doubts, &parts[..2]), ["/a"]);
    assert!(asked(&doubting("").doubts, &parts).is_empty());
}

#[test]
fn a_part_of_which_most_asks_are_needless_is_asked_at_a_real_doubt_only() {
    // chances of 0.2 and of 0.3: the logarithms of 0.2 / 0.8 and of 0.3 / 0.7
    let learned = doubting("shaky\t0 -139\nshakier\t0 -85\n");
    let asked = |place: &str, feature: &str| !asked(&learned.doubts, &[part(place, feature)]).is_empty();
    assert!(asked("/question/limits/tallest", "shaky"));
    assert!(!asked("/question/limits/widest", "shaky"));
    assert!(asked("/question/limits/widest", "shakier"));
}

const MESSAGE: &str = "Hold 2 kg sideways on 3 mm steel, no wider than 25 mm, 60 pieces please, for our workshop";

#[test]
fn every_part_of_a_reading_has_its_place_and_its_name() {
    let (reading, parts) = read_in_parts(MESSAGE, &vocabulary(), &doubting(""));
    assert!(reading.asks.is_empty(), "{:?}", reading.asks);
    for place in [
        "/kind",
        "/question/need/verb",
        "/question/need/load",
        "/question/need/direction",
        "/question/need/steel/thickness",
        "/question/limits/widest",
        "/question/pieces",
    ] {
        let part = parts.iter().find(|p| p.place == place).expect(place);
        let name = name(place);
        assert!(part.features.contains(&name), "{place}: {:?}", part.features);
        assert!(part.features.iter().any(|f| f.starts_with(&format!("{name} "))));
    }
}

#[test]
fn a_doubtful_part_is_asked_with_what_was_read_first() {
    let (reading, _) = read_in_parts(MESSAGE, &vocabulary(), &doubting("part\t0 -500\nwidest\t0 900\n"));
    let first = reading.asks.first().expect("an ask");
    assert_eq!(first.place, "/question/limits/widest");
    assert_eq!(first.answers[0].label, "25 mm");
    assert!(reading.enquiry.question.limits.widest.is_some());
}

#[test]
fn where_the_verb_is_doubtful_nothing_else_of_the_need_is_asked() {
    let (reading, _) = read_in_parts(MESSAGE, &vocabulary(), &doubting("part\t0 -500\nverb\t0 900\n"));
    let places: Vec<&str> = reading.asks.iter().map(|a| a.place.as_str()).collect();
    assert_eq!(places, ["/question/need/verb"]);
    let need = &reading.enquiry.question.need;
    assert!(need.load.is_some() && need.direction.is_none() && need.steel.is_none());
    assert!(reading.enquiry.question.limits.widest.is_some());
}

#[test]
fn the_material_of_a_layer_is_no_part_that_is_asked() {
    let text = "Hold 2 kg sideways on 3 mm steel through 1 mm of leather";
    let (_, parts) = read_in_parts(text, &vocabulary(), &doubting(""));
    let places: Vec<&str> = parts.iter().map(|p| p.place.as_str()).collect();
    assert!(places.contains(&"/question/need/layers/0/thickness"), "{places:?}");
    assert!(!places.contains(&"/question/need/layers/0/material"), "{places:?}");
}
