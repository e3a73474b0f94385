//! Which amount of a message is what: several wordings for each place.

mod counts;
mod layers;

use advice::Catalogue;
use enquiry::Vocabulary;
use serde_json::{Value, json};

fn reading(text: &str) -> (Value, Vec<String>) {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let reading = enquiry::read(text, &Vocabulary::of(&catalogue, None));
    let asks = reading.asks.into_iter().map(|a| a.place).collect();
    let json = serde_json::to_value(&reading.enquiry).expect("an enquiry is JSON");
    (json, asks)
}

/// Whether two values are the same number in the same unit, or the same word.
fn same(have: Option<&Value>, want: &Value) -> bool {
    match (have, want) {
        (Some(Value::Number(a)), Value::Number(b)) => {
            (a.as_f64().unwrap_or(f64::NAN) - b.as_f64().unwrap_or(0.0)).abs() < 1e-9
        }
        (Some(Value::String(a)), Value::String(b)) => {
            let number = |s: &str| {
                s.split_once(' ')
                    .and_then(|(n, u)| Some((n.parse::<f64>().ok()?, u.to_owned())))
            };
            match (number(a), number(b)) {
                (Some((x, u)), Some((y, v))) => u == v && (x - y).abs() < 1e-9 * y.abs().max(1.0),
                _ => a == b,
            }
        }
        (have, want) => have.unwrap_or(&Value::Null) == want,
    }
}

fn assert_reads(rows: &[(&str, &str, Value)]) {
    let wrong: Vec<String> = rows
        .iter()
        .filter_map(|(text, place, want)| {
            let (json, asks) = reading(text);
            let have = json.pointer(place);
            (!same(have, want)).then(|| format!("{text}\n    {place}: {have:?}, not {want}; asks {asks:?}"))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_safety_factor_is_told_from_counts() {
    assert_reads(&[
        (
            "Hold a 900 g rack on a 2 mm steel wall, please use a safety factor of 3.",
            "/question/need/safety_factor",
            json!(3.0),
        ),
        (
            "Hook for a 1.2 kg bag on a 1.5 mm steel locker, reserve of 2.5.",
            "/question/need/safety_factor",
            json!(2.5),
        ),
        (
            "A lamp of 800 g hangs under a 5 mm steel beam, 4-fold safety.",
            "/question/need/safety_factor",
            json!(4.0),
        ),
    ]);
}

#[test]
fn sizes_of_the_magnet_are_told_from_those_of_the_steel() {
    assert_reads(&[
        (
            "Magnet dia max 18, height max 6, holds 20 N on a 3 mm steel plate.",
            "/question/limits/widest",
            json!("0.018 m"),
        ),
        (
            "Magnet dia max 18, height max 6, holds 20 N on a 3 mm steel plate.",
            "/question/limits/tallest",
            json!("0.006 m"),
        ),
        (
            "The recess for the magnet is 12 mm wide and 4 mm deep; it holds 500 g on 2 mm steel.",
            "/question/limits/tallest",
            json!("0.004 m"),
        ),
        (
            "Hold 15 N on a strike plate 2 mm thick and 20 mm wide, pulled straight.",
            "/question/need/steel/across",
            json!("0.02 m"),
        ),
        (
            "Hold 15 N on a strike plate 2 mm thick and 20 mm wide, pulled straight.",
            "/question/need/steel/thickness",
            json!("0.002 m"),
        ),
        (
            "Fits a pocket 14x5, holds 8 N straight off a 1 mm steel plate.",
            "/question/limits/widest",
            json!("0.014 m"),
        ),
    ]);
}

#[test]
fn a_thing_keeps_its_own_sizes() {
    for text in [
        "A picture 600 mm wide and 400 mm high, 1.5 kg, on a steel wall of 1 mm.",
        "The van is 5.2 m long. The sign weighs 800 g, door of 0.8 mm steel.",
        "Shelf 900 mm long; hang a 1 kg pot under it, steel 1.5 mm.",
    ] {
        let (json, _) = reading(text);
        assert_eq!(json.pointer("/question/limits/widest"), None, "{text}: {json}");
        assert_eq!(json.pointer("/question/need/steel/across"), None, "{text}: {json}");
    }
}

#[test]
fn a_switch_keeps_its_distances_apart() {
    for (text, near, far) in [
        (
            "Reed switch closes at 8 mm and must be open at 30 mm.",
            "0.008 m",
            "0.03 m",
        ),
        (
            "Reed contact: gap 6 mm when the door is shut, 50 mm when it is open.",
            "0.006 m",
            "0.05 m",
        ),
        (
            "Hall sensor, operates at 8 mT, releases at 3 mT, near 4 mm, far 25 mm.",
            "0.004 m",
            "0.025 m",
        ),
    ] {
        assert_reads(&[
            (text, "/question/need/near", json!(near)),
            (text, "/question/need/far", json!(far)),
        ]);
    }
}

#[test]
fn money_is_what_may_be_spent() {
    assert_reads(&[
        (
            "Strongest magnet under 20 mm for a 3 mm steel plate, we have 15 dollars.",
            "/question/limits/budget_total",
            json!("15.00 USD"),
        ),
        (
            "Hold 1 kg on 2 mm steel, 2 euros a magnet at most.",
            "/question/limits/budget_each",
            json!("2.00 EUR"),
        ),
    ]);
}

#[test]
fn a_finish_of_something_else_is_no_coating() {
    for text in [
        "Hold 2 kg on a nickel plated steel bar of 5 mm.",
        "Magnet for 1 kg on 2 mm steel, the customer has a nickel allergy.",
    ] {
        let (json, _) = reading(text);
        assert_eq!(json.pointer("/question/limits/coating"), None, "{text}: {json}");
    }
}

#[test]
fn a_goal_that_is_denied_is_none() {
    let (json, _) = reading("Hold 1 kg on 3 mm steel. Strongest not needed, cheapest is.");
    assert_eq!(
        json.pointer("/question/limits/goal"),
        Some(&json!("cheapest")),
        "{json}"
    );
}

/// "on 3 mm steel, no wider than 25 mm" was once read as the width of the steel.
#[test]
fn a_bound_in_a_clause_without_steel_is_the_magnets() {
    let widest = |text: &'static str, mm: u32| {
        (
            text,
            "/question/limits/widest",
            json!(format!("{} m", f64::from(mm) / 1e3)),
        )
    };
    assert_reads(&[
        widest(
            "hold 2 kg hanging below 3 mm steel, no wider than 25 mm, 200 pieces",
            25,
        ),
        widest("hold 2 kg under 5 mm steel, not wider than 20 mm", 20),
        widest(
            "It must hold 1 kg straight off 2 mm steel. Not wider than 16 mm please.",
            16,
        ),
    ]);
    assert_reads(&[(
        "hold 1 kg straight off a steel strip no wider than 20 mm, 3 mm thick",
        "/question/need/steel/across",
        json!("0.02 m"),
    )]);
}

/// What is used of a question about a given magnet is not called left out.
#[test]
fn what_is_asked_of_a_given_magnet_is_noted() {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let text = "does a 20x5 N42 lift 5 kg off 3 mm plate?";
    let reading = enquiry::read(text, &Vocabulary::of(&catalogue, None));
    let noted: Vec<&str> = reading.phrases.iter().map(|p| &text[p.range.clone()]).collect();
    assert!(noted.contains(&"5 kg") && noted.contains(&"3 mm"), "{noted:?}");
    assert!(reading.left_out.is_empty(), "{:?}", reading.left_out);
}

/// Words that stand by an amount without limiting it, and slips of people who write another language.
#[test]
fn what_only_looks_like_a_limit_is_none() {
    assert_reads(&[
        (
            "hold 150 g on the vertical 5 mm steel wall, magnet not thicker then 12 mm",
            "/question/limits/tallest",
            json!("0.012 m"),
        ),
        (
            "two magnets must repel with 40 g when they come within 3 mm, 10 mm across max",
            "/question/need/gap",
            json!("0.003 m"),
        ),
        (
            "10 mT at 25 mm from the face, so that the pupils read it on the 20 mT range",
            "/question/need/field",
            json!("0.01 T"),
        ),
        (
            "0.3 mT 120 mm above the magnet. At 400 mm it may not be more than 0.02 mT. Widest 60 mm.",
            "/question/need/no_more_than/distance",
            json!(0.4),
        ),
    ]);
}

/// A sum that is paid is no load, though it is said in pounds.
#[test]
fn pounds_that_are_paid_are_no_load() {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let text = "How many kg do the 10x10x10 cubes N48 pull on 10 mm steel, and what is the price each, under 1 pound?";
    let reading = enquiry::read(text, &Vocabulary::of(&catalogue, None));
    let json = serde_json::to_value(reading.enquiry).expect("an enquiry is JSON");
    assert!(json.pointer("/question/need/load").is_none(), "{json}");
}

/// Magnets that are set beside each other are not judged by whatever weighs something, and two coatings are no limit.
#[test]
fn what_magnets_are_compared_by_is_no_condition() {
    let catalogue = Catalogue::builtin().expect("built-in data reads");
    let vocabulary = Vocabulary::of(&catalogue, None);
    let compared =
        |text: &str| serde_json::to_value(enquiry::read(text, &vocabulary).enquiry).expect("an enquiry is JSON");
    let blocks = compared(
        "Compare the pull and the weight of block 40x20x10 N42 and block 40x20x5 N42; the arm itself has 6 kg",
    );
    assert!(blocks.pointer("/question/need/load").is_none(), "{blocks}");
    let coatings = compared("Which coating lasts longer in salt air, nickel or epoxy?");
    assert_eq!(coatings["kind"], "compare", "{coatings}");
    assert!(coatings.pointer("/question/limits/coating").is_none(), "{coatings}");
}

#[test]
fn two_sides_of_a_face_are_no_height() {
    let boxed = "Reed relay that pulls in at 1.8 mT, releases at 0.8 mT, magnet at 7 mm, away at 40 mm. Size max. 10 x 10 mm footprint, 5 mm tall.";
    assert_reads(&[
        (boxed, "/question/limits/widest", json!("0.01 m")),
        (boxed, "/question/limits/tallest", json!("0.005 m")),
    ]);
}

#[test]
fn magnets_that_float_or_face_alike_push_apart() {
    let place = "/question/need/verb";
    assert_reads(&[
        (
            "A bird hovers above its nest on a wire: one magnet in the bird and another in the nest pushing it up, 0.3 kg, distance 20 mm.",
            place,
            json!("push_apart"),
        ),
        (
            "Two magnets n pole to n pole, at 2 mm gap 12 N.",
            place,
            json!("push_apart"),
        ),
        (
            "Magnets below the wagon and in the track push against each other, wagon 150 g, it flies at 5 mm.",
            place,
            json!("push_apart"),
        ),
    ]);
}

#[test]
fn so_many_times_the_weight_is_a_safety_factor() {
    let place = "/question/need/safety_factor";
    assert_reads(&[
        (
            "Lamp of 0.7 kg hangs under a steel deck of 5 mm. We roll a lot so take five times the weight.",
            place,
            json!(5.0),
        ),
        (
            "Guard of 1.7 kg on a vertical cast iron column, four magnets. Must stand 3x its weight.",
            place,
            json!(3.0),
        ),
        (
            "Lamp of 280 g on the ceiling, steel of 1.2 mm. At least 2.5 times security.",
            place,
            json!(2.5),
        ),
    ]);
}

#[test]
fn a_magnet_is_as_wide_as_the_length_that_words_point_to() {
    let place = "/question/limits/widest";
    assert_reads(&[(
        "Lamp of 280 g below a 1.2 mm steel roof bow. The lamp has 28 mm dia, so magnet not bigger.",
        place,
        json!("0.028 m"),
    )]);
}

#[test]
fn what_must_not_slide_down_a_pane_pulls_along_it() {
    let sign = "Sign of 500 g on a shop window, glass 8 mm, one magnet outside and a counter magnet inside, two pairs, and it shall not slide down.";
    assert_reads(&[
        (sign, "/question/need/verb", json!("pull_together")),
        (sign, "/question/need/direction", json!("sideways")),
        (sign, "/question/need/load", json!("0.5 kg")),
    ]);
}

#[test]
fn a_band_of_temperature_is_not_a_frost() {
    assert_reads(&[
        (
            "Reference magnet, 350 mT at the face, disc. The lab is at 23 ± 2 °C.",
            "/question/conditions/coldest",
            json!(null),
        ),
        (
            "Pouch of 150 g on a vertical wall of 0.6 mm steel. Cold store at -25 °C, when we defrost it goes up to +10.",
            "/question/conditions/warmest",
            json!("283.15 K"),
        ),
    ]);
}

#[test]
fn a_plate_of_brass_holds_no_magnet() {
    let (json, _) =
        reading("I want to hang a 1 kg sign on a brass plate, only with magnets, nothing behind it. Which one?");
    assert_eq!(json["reason"], "not_magnetic", "{json}");
}

#[test]
fn what_belongs_to_something_else_is_no_wish() {
    assert_reads(&[
        (
            "Two repelling magnets keep the clapper of the smallest bell off, 350 g at a distance of 4 mm.",
            "/question/limits/goal",
            json!(null),
        ),
        (
            "Thank you, the rings were perfect. New: a panel of 4 kg hangs below a 5 mm steel frame by 8 magnets.",
            "/question/limits/shapes",
            json!(null),
        ),
        (
            "Hold 0.5 kg hanging below a 3 mm steel plate, no more than 3 in a stack.",
            "/question/limits/stack",
            json!(3),
        ),
        (
            "First aid kit of 6 lb on the side of a steel crib, 16 gauge, so about 1/16 inch.",
            "/question/need/steel/thickness",
            json!("0.0015875 m"),
        ),
    ]);
}

#[test]
fn a_number_of_a_list_measures_nothing() {
    let list =
        "1) straight-off hold 70 N per magnet 2) plate S355 10 mm ground 3) 90 °C 4) dia <= 40, h <= 15 5) 6 off";
    assert_reads(&[
        (list, "/question/limits/hole", json!(null)),
        (list, "/question/limits/widest", json!("0.04 m")),
        (list, "/question/limits/tallest", json!("0.015 m")),
        (list, "/question/need/load", json!("70 N")),
        (list, "/question/pieces", json!(6)),
    ]);
}

#[test]
fn no_hole_is_read_where_none_is_said() {
    let dish =
        "Dish bottom to magnet face is 14 mm; we want 40 mT there. Not larger than 40 mm, not thicker than 20 mm.";
    assert_reads(&[
        (dish, "/question/limits/hole", json!(null)),
        (dish, "/question/need/distance", json!("0.014 m")),
        (
            "Ring magnets on a wooden stick, the upper floats over the lower. Stick 7 mm, so the hole must be a bit larger, 8 mm. They stay 12 mm apart with 50 g on it.",
            "/question/limits/hole",
            json!("0.008 m"),
        ),
    ]);
}

#[test]
fn a_size_may_have_two_ends() {
    let disc = "Check magnet, 250 mT on the face. A disc of at least 14 mm, thickness 3 to 8. 3 pieces.";
    assert_reads(&[
        (disc, "/question/limits/narrowest", json!("0.014 m")),
        (disc, "/question/limits/tallest", json!("0.008 m")),
        (disc, "/question/limits/shortest", json!("0.003 m")),
    ]);
}

#[test]
fn what_adds_up_is_no_temperature_and_what_rolls_no_stock() {
    assert_reads(&[
        (
            "Two magnets attract through 5 mm with 8 N. Inside it is 37 degC. 1 pair + 1 spare pair.",
            "/question/conditions/coldest",
            json!(null),
        ),
        (
            "Wagons coupled by magnets that pull with 0.3 N over 2 mm. Rolling stock is 22 wagons.",
            "/question/limits/in_stock",
            json!(null),
        ),
        (
            "Logger of 60 g on the inner wall of a freezer, sheet steel 0.6 mm, ice and meltwater likely.",
            "/question/conditions/surroundings",
            json!("damp"),
        ),
    ]);
}

#[test]
fn what_is_pointed_to_is_not_the_steels() {
    let rail = "Mount a 5 lb tool rail on the side of my steel tool cabinet, sheet 1/16\" thick. 4 magnets along the rail, rail is 1-1/4\" wide so no wider than that.";
    assert_reads(&[
        (rail, "/question/limits/widest", json!("0.03175 m")),
        (rail, "/question/need/steel/across", json!(null)),
    ]);
}

#[test]
fn a_mass_of_magnet_is_what_it_may_weigh() {
    let float = "Float with a magnet and a reed at the side, 9 mm apart. The level falls 50 mm, then the reed must have opened. The float can take 12 g of magnet.";
    assert_reads(&[(float, "/question/limits/mass", json!("0.012 kg"))]);
}

#[test]
fn a_load_along_a_pane_pulls_sideways() {
    let tank = "Pair for aquarium glass of 8 mm. The outside one carries a feeder of 150 g that hangs on it down the pane, the inside one counters, 9 mm between the magnets.";
    assert_reads(&[
        (tank, "/question/need/verb", json!("pull_together")),
        (tank, "/question/need/direction", json!("sideways")),
    ]);
}

#[test]
fn glue_in_aluminium_is_no_refusal() {
    let (json, _) = reading("Which glue do I take to fix a 5x5 mm cylinder (N42, nickel plated) in an aluminium hole?");
    assert_eq!(json["kind"], "tell", "{json}");
}

#[test]
fn a_plated_magnet_keeps_its_finish() {
    assert_reads(&[(
        "Disc 20x3 zinc plated, no idea of the grade - does it rust on a boat?",
        "/magnets/0/coating",
        json!("zinc"),
    )]);
}

#[test]
fn pounds_beside_words_for_money_are_money() {
    let school = "A mobile of 90 g hangs below a steel rail 0.4 mm thick from one magnet. Not expensive, please: 1 pound each at the most.";
    assert_reads(&[
        (school, "/question/limits/budget_each", json!("1.00 GBP")),
        (school, "/question/need/load", json!("0.09 kg")),
    ]);
    let heavy = "A cheap magnet that holds 3 pounds on a 2 mm steel plate, straight off.";
    let (json, _) = reading(heavy);
    assert!(json.pointer("/question/limits/budget_each").is_none(), "{json}");
}

#[test]
fn a_price_may_be_fine() {
    let cheap =
        "Two 1/4\" magnets pull with 6 oz through 1/16\" of maple. Anything cheap is fine, under 35 cents each.";
    assert_reads(&[(cheap, "/question/limits/budget_each", json!("0.35 USD"))]);
}

#[test]
fn a_finish_may_stand_alone() {
    let field = "Face field at least 0.25 T. Block, max 25 x 25, height max 12.5. 80 °C. Epoxy. 12 pcs.";
    let tray = "Drip trays, 75 g, hang at a vertical steel shelf 1.25 mm thick. One small magnet per tray, epoxy coated, 12 mm diameter or below.";
    assert_reads(&[
        (field, "/question/limits/coating", json!("epoxy")),
        (tray, "/question/limits/coating", json!("epoxy")),
        (
            "Gluing: block 30x10x5 N42 zinc, onto oak. Which glue?",
            "/magnets/0/coating",
            json!("zinc"),
        ),
    ]);
}

#[test]
fn finishes_that_are_compared_belong_to_a_magnet_each() {
    assert_reads(&[
        (
            "zinc or nickel coat for 20x4 N42 discs outside, which rusts less?",
            "/magnets/0/coating",
            json!("zinc"),
        ),
        (
            "zinc or nickel coat for 20x4 N42 discs outside, which rusts less?",
            "/magnets/1/coating",
            json!("nickel"),
        ),
        (
            "Price comparison: discs 8x2 N35 nickel or discs 8x2 ferrite Y30?",
            "/magnets/1/coating",
            Value::Null,
        ),
    ]);
}

#[test]
fn what_is_said_of_the_place_itself_counts_before_its_words() {
    assert_reads(&[
        (
            "Cover of 410 g on a 4 mm steel ring, straight off. No rain for years, so dry.",
            "/question/conditions/surroundings",
            json!("dry"),
        ),
        (
            "Catch on a 2 mm steel keeper, 25 N straight off. She'll see some dew on the milk cans, so call it outdoors.",
            "/question/conditions/surroundings",
            json!("outdoors"),
        ),
    ]);
}

#[test]
fn a_steel_by_its_number_is_steel_beside_aluminium() {
    let guard = "A guard in an aluminium frame opens at a pull of 35 N straight off. On the frame sits a ferromagnetic stainless plate 1.4016, 3 mm thick.";
    assert_reads(&[
        (guard, "/kind", json!("choose")),
        (
            guard,
            "/question/need/steel/material",
            json!("ferritic stainless steel"),
        ),
    ]);
}

#[test]
fn two_magnets_that_are_told_of_push_or_pull() {
    assert_reads(&[
        (
            "What's stronger in a repelling pair at 10 mm gap: two discs 20x6 N42 or two rings 22/6/6 N42?",
            "/question/need/verb",
            json!("push_apart"),
        ),
        (
            "Two 30x10 mm N35 discs on either side of 18 mm chipboard, what force do they pull with?",
            "/question/need/verb",
            json!("pull_together"),
        ),
    ]);
}

#[test]
fn a_shape_said_apart_from_the_size_is_the_magnets() {
    assert_reads(&[(
        "how strong is a magnet 20 mm across N45? disc",
        "/magnets/0/shape",
        json!("disc"),
    )]);
}

#[test]
fn what_no_verb_does_is_asked() {
    let asked = [
        "I need a magnetic coupling that transmits a torque of 0.5 Nm through a 3 mm plastic wall. Which magnets?",
        "We need a field of 0.3 T in the middle of a 10 mm gap between two block magnets. Which blocks?",
        "Two discs facing each other with a 15 mm gap, I want 150 mT halfway between them. What size?",
    ];
    for text in asked {
        let (json, asks) = reading(text);
        assert!(
            asks.iter().any(|a| a == "/question/need/verb"),
            "{text}: {json} {asks:?}"
        );
    }
    let wrench = "A torque wrench of 1.4 kg hangs on the vertical side of a trolley, sheet 1.2 mm, two magnets.";
    assert!(reading(wrench).1.iter().all(|a| a != "/question/need/verb"));
    let (_, asks) = reading("We need 30 mT at 10 mm from the face of a block, in the middle. Which block?");
    assert!(asks.iter().all(|a| a != "/question/need/verb"), "{asks:?}");
}

#[test]
fn a_load_of_tonnes_on_thin_sheet_is_asked() {
    let asks_load = |text: &str| reading(text).1.iter().any(|a| a == "/question/need/load");
    assert!(asks_load(
        "Please quote a magnet to hold 20 tonnes, sideways, on 0.5 mm steel sheet."
    ));
    assert!(asks_load("Hold 20 tonnes straight off a steel plate 30 mm thick."));
    assert!(!asks_load("Hold 20 kg straight off a steel plate 10 mm thick."));
}

#[test]
fn two_equal_sizes_of_nothing_round_are_those_of_a_face() {
    assert_reads(&[
        (
            "Block, max 20 x 20 mm, that shows 280 mT in the centre of its face.",
            "/question/limits/tallest",
            Value::Null,
        ),
        (
            "A magnet pair through 8 mm glass, pull 1.2 kg. Up to 40 x 40 mm face.",
            "/question/limits/widest",
            json!("0.04 m"),
        ),
        (
            "A magnet pair through 8 mm glass, pull 1.2 kg. Up to 40 x 40 mm face.",
            "/question/limits/tallest",
            Value::Null,
        ),
    ]);
}

#[test]
fn a_switch_is_read_without_its_fields() {
    let switches = [
        "need a magnet for a hall sensor on a conveyor, near 8 mm, far 40 mm. which one?",
        "A magnet for the reed switch of my bicycle counter on the wheel, 6 mm beside it. It should stick to the steel spoke.",
        "Door contact on a steel cupboard door: which magnet holds? The sheet is 1 mm. It must switch the lamp.",
        "Hall sensor in the lid of a steel box, which magnet on the box?",
    ];
    for text in switches {
        let (json, asks) = reading(text);
        assert_eq!(
            json["question"]["need"]["verb"], "switch_sensor",
            "{text}: {json} {asks:?}"
        );
    }
}

#[test]
fn pots_are_steelwork_and_cups_to_drink_from_are_not() {
    assert_reads(&[
        (
            "Torch, 450 g, on a vertical bulkhead of 6 mm steel. Two pots in the torch body share. Magnet diameter max 25.",
            "/question/limits/steelwork",
            json!("cup"),
        ),
        (
            "There will be a magnet in the cup bottom and one in the tray, 5 mm of plastic between the two, 8 N.",
            "/question/limits/steelwork",
            Value::Null,
        ),
    ]);
}

#[test]
fn what_a_magnet_may_weigh_may_be_a_budget() {
    assert_reads(&[(
        "A rotor cap of 90 g hangs below a 2 mm steel plate. Weight budget 15 g for the magnet.",
        "/question/limits/mass",
        json!("0.015 kg"),
    )]);
}

#[test]
fn outside_is_where_it_is_used_whatever_else_the_text_says_of_sizes() {
    assert_reads(&[
        (
            "Keep a closed steel flap of 4 mm against 8 kg of pull straight off. Dusty and it's outside, at the river. max 40mm wide.",
            "/question/conditions/surroundings",
            json!("outdoors"),
        ),
        (
            "Hold 2 kg on a 3 mm steel plate with a ring, outside max 30 mm, in the workshop.",
            "/question/conditions/surroundings",
            Value::Null,
        ),
    ]);
}

#[test]
fn a_cylinder_that_air_drives_is_no_shape() {
    assert_reads(&[(
        "Magnet for the reed at the cylinder side, operate 2.5 mT, 9 mm from the reed, next position at 45 mm.",
        "/question/limits/shapes",
        Value::Null,
    )]);
}

#[test]
fn the_way_that_stands_beside_a_load_is_the_one_meant() {
    let way = "/question/need/direction";
    assert_reads(&[
        (
            "Magnet for a work lamp on the fridge door, upright, 1 mm steel. Say 40 N straight off.",
            way,
            json!("straight_off"),
        ),
        (
            "Sensor mount on the wall, S355, 20 mm. Axial 400 N per magnet.",
            way,
            json!("straight_off"),
        ),
        (
            "Tray held from below on the table, 1 mm steel lid. Somebody pushes it sideways with up to 80 N.",
            way,
            json!("sideways"),
        ),
        (
            "Need a magnet to hold 25 lb straight down from a 1/2 inch steel plate.",
            way,
            json!("hanging_below"),
        ),
    ]);
}

#[test]
fn a_tolerance_is_no_frost_and_a_point_may_part_thousands() {
    let text = "Hall switch on at 25 mT, off at 9 mT, gap 4 mm plus minus 1, open 40 mm. Quantity: 1.500 pcs";
    assert_reads(&[
        (text, "/question/conditions/coldest", Value::Null),
        (text, "/question/pieces", json!(1500)),
    ]);
}
