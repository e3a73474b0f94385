//! Every limit a hair below and above the place where it rules an item out.

use advice::Item;
use quantity::Mass;

use crate::shelf::{disc, item, made_of, ring, ruled_out};

/// A need that a strong piece meets many times over.
fn hold(rest: &str) -> String {
    format!(r#"{{"need": {{"verb": "hold", "load": "1 N"}}{rest}}}"#)
}

/// With that limit, on single pieces.
fn limit(limit: &str) -> String {
    hold(&format!(r#", "limits": {{"stack": 1, {limit}}}"#))
}

fn conditions(conditions: &str) -> String {
    hold(&format!(r#", "conditions": {{{conditions}}}"#))
}

/// The first question keeps the item, the second rules it out, by that rule.
fn turns(kept: &str, out: &str, item: &Item, rule: &str) {
    assert_eq!(ruled_out(kept, item), None, "{kept}");
    assert_eq!(ruled_out(out, item).as_deref(), Some(rule), "{out}");
}

/// Sizes count as they are listed; a micrometre is forgiven, for sizes that were converted from inches.
#[test]
fn sizes_are_kept_to_a_micrometre() {
    let d = disc(15.0, 5.0);
    for (name, kept, out, rule) in [
        ("widest", "14.9995 mm", "14.998 mm", "widest"),
        ("narrowest", "15.0005 mm", "15.002 mm", "narrowest"),
        ("tallest", "4.9995 mm", "4.998 mm", "tallest"),
    ] {
        let q = |size: &str| limit(&format!(r#""{name}": "{size}""#));
        turns(&q(kept), &q(out), &d, rule);
    }
    let q = |size: &str| limit(&format!(r#""shortest": "{size}""#));
    assert_eq!(ruled_out(&q("5.0005 mm"), &d), None);
    assert!(ruled_out(&q("5.002 mm"), &d).is_some());
    let q = |size: &str| limit(&format!(r#""hole": "{size}""#));
    turns(&q("5.0005 mm"), &q("5.002 mm"), &ring(15.0, 5.0, 5.0), "hole");
    assert_eq!(ruled_out(&q("0.5 mm"), &d).as_deref(), Some("hole"));
    let plate = |size: &str| {
        format!(
            r#"{{"need": {{"verb": "hold", "load": "1 N", "steel": {{"material": "mild steel", "across": "{size}"}}}},
                "limits": {{"stack": 1}}}}"#
        )
    };
    turns(&plate("14.9995 mm"), &plate("14.998 mm"), &d, "overhangs");
}

/// Heights are those of the whole stack: two of 5 mm are 10 mm.
#[test]
fn heights_are_those_of_the_stack() {
    let d = disc(15.0, 5.0);
    let q = |rest: &str| hold(&format!(r#", "limits": {{{rest}}}"#));
    let got = crate::shelf::ask(&q(r#""shortest": "9.9995 mm""#), std::slice::from_ref(&d));
    assert_eq!(got.candidates[0].build.pieces, 2);
    assert!((got.candidates[0].height - 10e-3).abs() <= 1e-12);
    let got = crate::shelf::ask(&q(r#""shortest": "10.002 mm""#), std::slice::from_ref(&d));
    assert_eq!(got.candidates[0].build.pieces, 3);
    assert_eq!(
        ruled_out(&q(r#""shortest": "7 mm", "tallest": "9.998 mm""#), &d).as_deref(),
        Some("tallest")
    );
    assert_eq!(ruled_out(&q(r#""shortest": "7 mm", "tallest": "9.9995 mm""#), &d), None);
    // Eight is the most that is stacked.
    assert_eq!(ruled_out(&q(r#""shortest": "40 mm""#), &d), None);
    assert!(ruled_out(&q(r#""shortest": "40.002 mm""#), &d).is_some());
}

/// 15 x 5 mm at 7.5 g/cm³ is 6.6268 g; what is listed goes first; both sides of a pair count.
#[test]
fn mass_is_that_of_all_pieces() {
    let computed = std::f64::consts::PI / 4.0 * 0.015 * 0.015 * 0.005 * 7500.0;
    let q = |kilograms: f64| limit(&format!(r#""mass": {kilograms}"#));
    let hair = 1e-9;
    let d = disc(15.0, 5.0);
    turns(&q(computed * (1.0 + hair)), &q(computed * (1.0 - hair)), &d, "mass");
    let listed = Item {
        mass: Some(Mass(0.007)),
        ..disc(15.0, 5.0)
    };
    turns(&q(0.007), &q(0.007 * (1.0 - hair)), &listed, "mass");
    let pair = |kilograms: f64| {
        format!(
            r#"{{"need": {{"verb": "pull_together", "force": "1 N", "gap": "1 mm"}},
                "limits": {{"stack": 1, "mass": {kilograms}}}}}"#
        )
    };
    turns(&pair(0.014), &pair(0.014 * (1.0 - hair)), &listed, "mass");
}

/// The ceiling is the lower of grade and coating, to the degree that is named.
#[test]
fn heat_and_cold_go_to_the_limit_of_grade_and_coating() {
    // A rod keeps its strength, so that only the ratings rule it out.
    let rod = |grade: &str, coating: &str| made_of(disc(10.0, 20.0), grade, coating);
    let faint = |question: String| question.replace("1 N", "0.01 N");
    let warm = |celsius: &str| faint(conditions(&format!(r#""warmest": "{celsius} °C""#)));
    for (grade, coating, limit) in [
        ("N42", "Ni-Cu-Ni", 80.0),
        ("N42M", "Ni-Cu-Ni", 100.0),
        ("N42H", "Ni-Cu-Ni", 120.0),
        ("N42SH", "Ni-Cu-Ni", 150.0),
        ("N38UH", "Ni-Cu-Ni", 180.0),
        ("N38EH", "Ni-Cu-Ni", 200.0),
        ("N38AH", "Ni-Cu-Ni", 200.0),
        ("N38AH", "none", 220.0),
        ("N42SH", "zinc", 120.0),
        ("N42SH", "epoxy", 130.0),
        ("N42SH", "parylene", 100.0),
        ("N42", "rubber cover", 80.0),
        ("Y30", "none", 250.0),
        ("Y30", "epoxy", 130.0),
        ("SmCo5-18", "none", 250.0),
        ("Sm2Co17-28", "none", 300.0),
    ] {
        let (at, above) = (format!("{limit}"), format!("{}", limit + 0.01));
        turns(&warm(&at), &warm(&above), &rod(grade, coating), "warmest");
    }
    let cold = |celsius: &str| faint(conditions(&format!(r#""coldest": "{celsius} °C", "warmest": "20 °C""#)));
    turns(&cold("-20"), &cold("-20.01"), &rod("Y30", "none"), "coldest");
    turns(&cold("-40"), &cold("-40.01"), &rod("C1", "none"), "coldest");
    turns(&cold("-100"), &cold("-100.01"), &rod("N42", "Ni-Cu-Ni"), "coldest");
}

/// Which coating goes where: common practice, no source.
#[test]
fn coatings_go_where_they_last() {
    let places = ["dry", "damp", "outdoors", "food"];
    for (grade, coating, suits) in [
        ("N42", "Ni-Cu-Ni", [true, true, false, false]),
        ("N42", "nickel", [true, false, false, false]),
        ("N42", "zinc", [true, false, false, false]),
        ("N42", "epoxy", [true, true, true, true]),
        ("N42", "gold over nickel", [true, true, false, true]),
        ("N42", "PTFE", [true, true, true, true]),
        ("N42", "rubber cover", [true, true, true, false]),
        ("N42", "parylene", [true, true, false, true]),
        ("N42", "phosphate", [true, false, false, false]),
        ("N42", "none", [true, false, false, false]),
        ("BNP-10", "none", [true, false, false, false]),
        // Without a coating they need none against water, but are no more fit for food.
        ("Y30", "none", [true, true, true, false]),
        ("SmCo5-18", "none", [true, true, true, false]),
        ("AlNiCo 5", "none", [true, true, true, false]),
        // A coating that rusts does so on any of them.
        ("Y30", "zinc", [true, false, false, false]),
    ] {
        let magnet = made_of(disc(15.0, 30.0), grade, coating);
        for (place, suits) in places.iter().zip(suits) {
            let q = format!(
                r#"{{"need": {{"verb": "reach_field", "field": "0.1 mT", "distance": "2 mm"}},
                    "conditions": {{"surroundings": "{place}"}}}}"#
            );
            let got = ruled_out(&q, &magnet);
            let want = (!suits).then_some("surroundings");
            assert_eq!(got.as_deref(), want, "{grade} with {coating}, {place}");
        }
    }
}

#[test]
fn kinds_are_what_was_asked_for() {
    let d = disc(15.0, 5.0);
    for (kept, out, rule) in [
        (
            r#""shapes": ["disc", "block"]"#,
            r#""shapes": ["ring", "block", "sphere"]"#,
            "shapes",
        ),
        (r#""grades": ["N35", "N42"]"#, r#""grades": ["N42SH"]"#, "grades"),
        (
            r#""grades": ["neodymium"]"#,
            r#""grades": ["ferrite", "samarium cobalt"]"#,
            "grades",
        ),
        (r#""coating": "Ni-Cu-Ni""#, r#""coating": "epoxy""#, "coating"),
        (r#""coating": "nickel""#, r#""coating": "zinc""#, "coating"),
        (r#""coating": "nickel""#, r#""without_nickel": true"#, "without_nickel"),
    ] {
        turns(&limit(kept), &limit(out), &d, rule);
    }
    let plain = ring(15.0, 4.0, 5.0);
    turns(
        &limit(r#""in_stock": false"#),
        &limit(r#""countersunk": true"#),
        &plain,
        "countersunk",
    );
    // Any plating that holds nickel is nickel to a customer; zinc is not.
    let gold = made_of(disc(15.0, 5.0), "N42", "gold over nickel");
    assert_eq!(ruled_out(&limit(r#""coating": "nickel""#), &gold), None);
    assert!(ruled_out(&limit(r#""without_nickel": true"#), &gold).is_some());
    let zinc = made_of(disc(15.0, 5.0), "N42", "zinc");
    assert_eq!(ruled_out(&limit(r#""without_nickel": true"#), &zinc), None);
    assert_eq!(
        ruled_out(&limit(r#""coating": "nickel""#), &zinc).as_deref(),
        Some("coating")
    );
}

/// One build may give 0.2 µT at 2.1 m (older rule of air transport), whatever piece of its grade and size comes: a
/// moment of 9.261 A m² does, 2e-7 m / r³; computed.
#[test]
fn what_flies_keeps_the_limit_with_its_strongest_piece() {
    let moment = 0.2e-6 * 2.1_f64.powi(3) / 2e-7;
    let q = r#"{"need": {"verb": "reach_field", "field": "1 mT", "distance": "2 mm"}, "limits": {"stack": 1, "ships_by_air": true}}"#;
    // The volume that reaches it at a remanence; N42 comes with 1.28 to 1.32 T, 1.30 as a rule. A recoil permeability of 1.05
    // takes 0.05 / 3 of a ball's moment.
    let ball = |br: f64, part: f64| {
        let left = 1.0 / (1.0 + 0.05 / 3.0);
        let volume = part * moment * 4e-7 * std::f64::consts::PI / (br * left);
        let mut ball = item(magnetics::Shape::Sphere {
            diameter: (6.0 * volume / std::f64::consts::PI).cbrt(),
        });
        ball.tolerance = quantity::Length(0.0);
        ball.coating = "none".into();
        ball
    };
    assert_eq!(ruled_out(q, &ball(1.32, 0.99)), None);
    // At its usual remanence it keeps the limit, and with the strongest it does not.
    assert_eq!(ruled_out(q, &ball(1.30, 0.998)).as_deref(), Some("ships_by_air"));
    // In the cold it is stronger: 0.12 % a kelvin, 6 % from 20 to -30 °C.
    let cold = q.replace(
        r#""limits""#,
        r#""conditions": {"coldest": "-30 °C", "warmest": "20 °C"}, "limits""#,
    );
    assert_eq!(ruled_out(&cold, &ball(1.32, 0.96)).as_deref(), Some("ships_by_air"));
    assert_eq!(ruled_out(&cold, &ball(1.32, 0.92)), None);
}
