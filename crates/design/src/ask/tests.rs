use proptest::prelude::*;

use super::*;

fn said(text: &str) -> Result<Read, AskError> {
    read(text, GradeTable::builtin().unwrap(), &[])
}

fn wish(text: &str) -> Read {
    said(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

#[test]
fn wishes_in_words_are_read() {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let face = wish("reach 0.63 T at the face on 25 mm in N52");
    assert!(
        matches!(face.wish.goal, Goal::Reach { field, distance: 0.0, spot } if near(field, 0.63) && near(spot, 1e-3))
    );
    assert!(face.wish.space.filled && face.wish.space.across == Area::Round(0.025));
    assert_eq!(face.wish.stuff.name, "N52");
    assert_eq!(
        face.assumed,
        [Assumed::Spot(1e-3), Assumed::Height(0.05), Assumed::Lot(USUAL_LOT)]
    );

    let hold = wish("40 N across 6 mm in a space of 20 x 10 mm");
    assert!(matches!(hold.wish.goal, Goal::Hold { force, gap, plate: None } if near(force, 40.0) && near(gap, 6e-3)));
    let Space { across, height, filled } = hold.wish.space;
    assert!(across == Area::Round(0.02) && near(height, 0.01) && !filled);

    let thin = wish("hold 3 kg on 2 mm steel across 1 mm in 30 x 20 x 12 mm, N42SH at 100 °C, 500 pieces");
    assert!(
        matches!(thin.wish.goal, Goal::Hold { force, gap, plate: Some(t) } if near(force, 3.0 * 9.80665) && near(gap, 1e-3) && near(t, 2e-3))
    );
    assert!(matches!(thin.wish.space.across, Area::Box([a, b]) if near(a, 0.03) && near(b, 0.02)));
    assert!(thin.wish.lot == 500 && near(thin.celsius, 100.0) && thin.wish.stuff.name == "N42SH");

    let even = wish("10 mT over 30 mm x 30 mm within 5 % at 5 mm in a space of 80 x 80 x 80 mm");
    assert!(
        matches!(even.wish.goal, Goal::Even { field, distance, area: Area::Box([a, b]), tolerance }
        if near(field, 0.01) && near(distance, 5e-3) && near(a, 0.03) && near(b, 0.03) && near(tolerance, 0.05))
    );

    let gap = wish("80 mT in a gap of 8 mm in a space of 30 x 40 mm");
    assert!(matches!(gap.wish.goal, Goal::Gap { field, gap, spot: 0.0 } if near(field, 0.08) && near(gap, 8e-3)));
    assert!(near(gap.wish.space.height, 0.04));

    let turn = wish("turn 0.5 Nm across 4 mm, space of 50 x 30 mm");
    assert!(matches!(turn.wish.goal, Goal::Turn { torque, gap } if near(torque, 0.5) && near(gap, 4e-3)));

    let spot = wish("0.3 T at 2 mm over 3 mm in a space of 20 x 20 mm of Y30");
    assert!(matches!(spot.wish.goal, Goal::Reach { spot, .. } if near(spot, 3e-3)));
}

#[test]
fn what_is_missing_is_said_with_what_would_be_right() {
    for (text, error) in [
        ("", AskError::NoGoal),
        ("something strong on 25 mm", AskError::NoGoal),
        ("0.3 T at 5 mm", AskError::NoSpace),
        ("0.5 Nm in a space of 50 x 30 mm", AskError::Missing("the gap")),
        (
            "10 mT within 5 % in a space of 80 x 80 mm",
            AskError::Missing("over which area"),
        ),
    ] {
        let got = said(text).unwrap_err();
        assert_eq!(got, error, "{text}");
        assert!(!got.hint().is_empty());
    }
    assert!(matches!(said("0.3 T 5 mm on 20 mm"), Err(AskError::Length(_))));
    assert!(matches!(said(&"reach ".repeat(200)), Err(AskError::Long)));
    assert!(matches!(
        said("0.3 T on 20 mm in N42 at 300 °C"),
        Err(AskError::Stuff(_))
    ));
}

proptest! {
    /// Whatever is typed is read or refused.
    #[test]
    fn no_text_is_too_much(text in "\\PC{0,120}") {
        let _read = said(&text);
    }

    #[test]
    fn no_words_of_the_trade_are_too_much(words in prop::collection::vec(prop::sample::select(vec![
        "reach", "0.3 T", "at", "the", "face", "5 mm", "x", "20", "×", "mm", "gap", "over", "%", "N42", "N", "kg", "°C", "space", "of", "-3", "1e9", "steel", "0.5 Nm", "²", "é",
    ]), 0..12)) {
        let _read = said(&words.join(" "));
    }
}
