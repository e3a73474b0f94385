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
                "strength is lost for good",
                "brittle",
            ] {
                assert!(says(q, &item, words), "{words}: {q}");
            }
            let all = cautions(q, &item);
            let guards = |text: &str| all.iter().find(|(t, _)| t.contains(text)).map(|(_, s)| *s);
            assert_eq!(guards("pacemakers"), Some(Severity::Harm));
            assert_eq!(guards("magnetic resonance"), Some(Severity::Harm));
            // What can hurt people stands first, what is good to know last.
            let order: Vec<u8> = all.iter().map(|(_, s)| *s as u8).collect();
            assert!(order.windows(2).all(|w| w[0] <= w[1]), "{all:?}");
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
