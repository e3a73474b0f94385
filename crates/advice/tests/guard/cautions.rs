//! Which cautions an answer gives, in its words, for which magnet in which use.

use advice::Item;
use advice::view::answer::view;
use advice::view::cautions::Severity;
use advice::view::text::plain;
use quantity::Units;

use crate::shelf::{ask, disc, made_of, ring};

/// The cautions of the first build, each with what it guards.
fn cautions(json: &str, item: &Item) -> Vec<(String, Severity)> {
    let answer = ask(json, std::slice::from_ref(item));
    let shown = view(&answer, &Units::metric());
    let first = shown
        .candidates
        .first()
        .unwrap_or_else(|| panic!("{json}: no candidate"));
    assert!(
        first.cautions.iter().all(|c| !c.rule.is_empty()),
        "every caution names its rule"
    );
    first.cautions.iter().map(|c| (plain(&c.runs), c.severity)).collect()
}

/// Whether one of them has these words.
fn says(json: &str, item: &Item, words: &str) -> bool {
    cautions(json, item).iter().any(|(text, _)| text.contains(words))
}

const STRAIGHT: &str = r#"{"need": {"verb": "hold", "load": "0.5 N"}, "limits": {"stack": 1}}"#;
const HANGING: &str =
    r#"{"need": {"verb": "hold", "load": "0.5 N", "direction": "hanging_below"}, "limits": {"stack": 1}}"#;
const SIDEWAYS: &str =
    r#"{"need": {"verb": "hold", "load": "0.2 N", "direction": "sideways"}, "limits": {"stack": 1}}"#;
const PUSH: &str = r#"{"need": {"verb": "push_apart", "force": "0.1 N", "gap": "2 mm"}, "limits": {"stack": 1}}"#;
const FIELD: &str = r#"{"need": {"verb": "reach_field", "field": "1 mT", "distance": "2 mm"}, "limits": {"stack": 1}}"#;

#[test]
fn every_answer_says_what_guards_people() {
    for q in [STRAIGHT, HANGING, SIDEWAYS, PUSH, FIELD] {
        for item in [disc(10.0, 5.0), made_of(disc(10.0, 20.0), "Y30", "none")] {
            for words in [
                "pacemakers",
                "magnetic resonance scanner",
                "glued in",
                "strength is lost permanently",
                "brittle",
            ] {
                assert!(says(q, &item, words), "{words}: {q}");
            }
            let all = cautions(q, &item);
            let guards = |text: &str| all.iter().find(|(t, _)| t.contains(text)).map(|(_, s)| *s);
            assert_eq!(guards("pacemakers"), Some(Severity::Harm));
            assert_eq!(guards("magnetic resonance"), Some(Severity::Harm));
            // Among the two that are said at once is one about people.
            assert!(all.iter().take(2).any(|(_, s)| *s == Severity::Harm), "{all:?}");
        }
    }
}

#[test]
fn ways_of_holding_are_guarded_each_in_its_own_way() {
    let d = disc(10.0, 5.0);
    for (words, of) in [
        ("second means of holding", [false, true, true, false, false]),
        ("not lifting gear", [false, true, false, false, false]),
        ("works as a lever", [false, false, true, false, false]),
        ("they flip over", [false, false, false, true, false]),
    ] {
        for (q, said) in [STRAIGHT, HANGING, SIDEWAYS, PUSH, FIELD].into_iter().zip(of) {
            assert_eq!(says(q, &d, words), said, "{words}: {q}");
        }
    }
}

/// Rare earths burn and fly in chips; ferrite is brittle only; bonded material is not brittle.
#[test]
fn material_and_plating_have_their_own_cautions() {
    let rod = |grade: &str, coating: &str| made_of(disc(15.0, 15.0), grade, coating);
    for (item, drill, chips, breaks, nickel) in [
        (rod("N52", "Ni-Cu-Ni"), true, true, false, true),
        (rod("N52", "epoxy"), true, true, false, false),
        (rod("N42", "gold over nickel"), true, true, false, true),
        (rod("N42", "nickel"), true, true, false, true),
        (rod("N42", "zinc"), true, true, false, false),
        (rod("SmCo5-18", "none"), true, true, false, false),
        (rod("Y30", "none"), false, false, true, false),
        (rod("AlNiCo 5", "none"), false, false, true, false),
        (rod("BNP-10", "epoxy"), true, false, false, false),
    ] {
        for (words, said) in [
            ("Do not drill", drill),
            ("chips fly", chips),
            ("breaks when it falls", breaks),
            ("holds nickel", nickel),
        ] {
            assert_eq!(
                says(FIELD, &item, words),
                said,
                "{words} of {} with {}",
                item.grade,
                item.coating
            );
        }
    }
}

/// What passes a bore of 31.7 mm can be swallowed; from a flux index of 50 kG² mm² on two pieces can kill.
#[test]
fn what_can_be_swallowed_is_said_to_be() {
    for (item, kill, small) in [
        (disc(5.0, 2.0), true, false),
        (disc(2.0, 0.5), false, true),
        (made_of(disc(4.0, 4.0), "Y30", "none"), false, true),
        (made_of(disc(30.0, 5.0), "Y30", "none"), true, false),
        (disc(31.7, 5.0), true, false),
        // The tolerance counts: 31.75 mm may come 0.1 mm smaller.
        (disc(31.75, 5.0), true, false),
        (disc(31.85, 5.0), false, false),
        (ring(31.85, 20.0, 5.0), false, false),
        (disc(10.0, 57.15), true, false),
        (disc(10.0, 57.25), false, false),
    ] {
        assert_eq!(
            says(FIELD, &item, "two swallowed pieces can kill"),
            kill,
            "{:?}",
            item.shape
        );
        assert_eq!(
            says(FIELD, &item, "Whether it may go into a toy"),
            small,
            "{:?}",
            item.shape
        );
    }
}

/// Skin is pinched from 50 N on, by the strongest piece: common practice, no source.
#[test]
fn pinching_begins_at_fifty_newtons() {
    let mut seen = [0, 0];
    for tenths in 100..200 {
        let item = disc(f64::from(tenths) / 10.0, 4.0);
        let answer = ask(FIELD, std::slice::from_ref(&item));
        let force = answer.candidates[0].hazards.contact_force;
        assert_eq!(says(FIELD, &item, "skin is pinched"), force >= 50.0, "{force}");
        seen[usize::from(force >= 50.0)] += 1;
    }
    assert!(seen[0] > 10 && seen[1] > 10, "{seen:?}");
}

/// What goes by air: nothing is said to 0.2 µT at 2.1 m, then a caution, and from 0.525 µT at 4.5 m that it may not fly.
#[test]
fn orders_by_air_are_judged_whole() {
    let item = Item {
        stock: None,
        ..disc(20.0, 10.0)
    };
    let ask_for = |pieces: u32| {
        let q = FIELD.replace(r#""limits""#, &format!(r#""pieces": {pieces}, "limits""#));
        let answer = ask(&q, std::slice::from_ref(&item));
        let high = answer.candidates[0].hazards.order_range_at_2_1_m[1];
        let far = high * (2.1_f64 / 4.5).powi(3);
        (
            says(&q, &item, "magnetised material in air transport"),
            says(&q, &item, "may not fly without approval"),
            high,
            far,
        )
    };
    let mut seen = [0; 3];
    for pieces in [1, 2, 3, 4, 10, 20, 40, 60, 80, 100] {
        let (caution, never, high, far) = ask_for(pieces);
        assert_eq!(never, far > 0.525e-6, "{pieces}: {far}");
        assert_eq!(caution, !never && high > 0.2e-6, "{pieces}: {high}");
        seen[usize::from(caution) + 2 * usize::from(never)] += 1;
    }
    assert!(seen.iter().all(|n| *n > 0), "{seen:?}");
    // One disc of 20 x 10 mm has a moment of 3.25 A m² at 1.30 T: 0.0702 µT at 2.1 m; computed. Plating and recoil take
    // some 2 %, and the best of its grade and size gives 2 % more.
    let (.., high, _) = ask_for(1);
    assert!((high / 0.0702e-6 - 1.0).abs() <= 0.02, "{high}");
}

/// The temperature that is named is the lowest of grade, coating and shape.
#[test]
fn glue_and_heat_are_limited_by_the_weakest() {
    let rod = |grade: &str, coating: &str| made_of(disc(10.0, 20.0), grade, coating);
    for (item, celsius) in [
        (rod("N42", "Ni-Cu-Ni"), "80\u{a0}°C"),
        (rod("N42SH", "Ni-Cu-Ni"), "150\u{a0}°C"),
        (rod("N42SH", "zinc"), "120\u{a0}°C"),
        (rod("Y30", "rubber cover"), "80\u{a0}°C"),
    ] {
        assert!(
            says(FIELD, &item, &format!("must not cure hotter than {celsius}")),
            "{celsius}"
        );
        assert!(says(FIELD, &item, &format!("Above {celsius}")), "{celsius}");
    }
}

/// Distances to implants and cards are those of a dipole as strong as the strongest piece, its image in steel and the other
/// half of a pair with it: 2e-7 m / r³.
#[test]
fn distances_are_those_of_the_strongest_piece() {
    // N42 has at most 1.32 T; 0.1 mm larger, with 10 µm of nickel a side.
    let item = disc(30.0, 15.0);
    let (across, along) = (30.1e-3_f64 - 20e-6, 15.1e-3 - 20e-6);
    let volume = std::f64::consts::FRAC_PI_4 * across * across * along;
    let moment = 1.32 * volume / (4e-7 * std::f64::consts::PI);
    let reach = |times: f64, level: f64| (2e-7 * times * moment / level).cbrt();
    for (question, times) in [(FIELD, 1.0), (STRAIGHT, 2.0), (PUSH, 2.0)] {
        let answer = ask(question, std::slice::from_ref(&item));
        let hazards = answer.candidates[0].hazards;
        let (implant, card) = (reach(times, 0.5e-3), reach(times, 1e-3));
        assert!(
            (hazards.implant_distance / implant - 1.0).abs() <= 1e-3,
            "{question}: {hazards:?} for {implant}"
        );
        assert!(
            (hazards.card_distance / card - 1.0).abs() <= 1e-3,
            "{question}: {hazards:?} for {card}"
        );
        // Three stacked are three times as strong.
        let three = question.replace(r#""stack": 1"#, r#""shortest": "45 mm""#);
        let answer = ask(&three, std::slice::from_ref(&item));
        let tall = answer.candidates[0].hazards;
        assert_eq!(answer.candidates[0].build.pieces, 3);
        let grows = tall.card_distance / hazards.card_distance;
        assert!((grows - 3.0_f64.cbrt()).abs() <= 1e-3, "{grows}");
    }
    // Nothing is said to be safe nearer than 15 cm: common practice, no source.
    let answer = ask(FIELD, &[disc(5.0, 2.0)]);
    assert_eq!(answer.candidates[0].hazards.implant_distance, 0.15);
    assert!(says(
        FIELD,
        &disc(5.0, 2.0),
        "Keep at least 150\u{a0}mm from pacemakers"
    ));
}

/// The index of the toy test is pole area times the square of the most that is read 0.38 mm off the surface: no less than on
/// the axis, and for a flat disc half as much again near its rim.
#[test]
fn the_flux_index_is_no_less_than_on_the_axis() {
    for (diameter, thickness, most) in [(3.0, 1.0, 1.35), (5.0, 3.0, 1.35), (10.0, 2.0, 2.5), (4.0, 8.0, 1.35)] {
        let item = made_of(disc(diameter, thickness), "N42", "none");
        let answer = ask(FIELD, std::slice::from_ref(&item));
        let got = answer.candidates[0].hazards.flux_index / 1e-8;
        // The textbook field on the axis of the largest and strongest, in kG; sizes in mm.
        let (d, t): (f64, f64) = (diameter + 0.1, thickness + 0.1);
        let part = |x: f64| x / x.hypot(0.5 * d);
        let kilogauss = 10.0 * 0.5 * 1.32 * (part(t + 0.38) - part(0.38));
        let axis = kilogauss * kilogauss * std::f64::consts::FRAC_PI_4 * d * d;
        assert!(
            (0.99 * axis..most * axis).contains(&got),
            "{diameter} x {thickness}: {got} for {axis}"
        );
    }
    // A block is read at its edges and corners too: no less than the disc that it holds.
    let block = crate::shelf::item(magnetics::Shape::Block {
        length: 5e-3,
        width: 5e-3,
        thickness: 2e-3,
    });
    let index = |item: Item| ask(FIELD, &[item]).candidates[0].hazards.flux_index;
    let (square, round) = (index(block), index(disc(5.0, 2.0)));
    assert!((1.05 * round..2.5 * round).contains(&square), "{square} {round}");
    let (with_hole, solid) = (index(ring(10.0, 3.0, 3.0)), index(disc(10.0, 3.0)));
    assert!((0.6 * solid..2.0 * solid).contains(&with_hole), "{with_hole} {solid}");
}
