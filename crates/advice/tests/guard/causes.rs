//! What each cause adds to a band, against its width as it is known and the slope of another model of the field.

use advice::predict::Prediction;
use advice::{Catalogue, Item, Question, search};
use quantity::Length;
use uncertainty::{Band, Cause};

use crate::shelf::{catalogue, disc, made_of};

/// A change of a width by a third is ten times this.
const NEAR: f64 = 0.033;

/// A limit of a distribution that is flat on each side reaches 95 % of its way at the 95 % ends.
const FLAT: f64 = 0.95;
/// A normal distribution reaches 1.96 standard uncertainties.
const NORMAL: f64 = 1.96;

fn band(question: &str, item: &Item, catalogue: &Catalogue) -> Band {
    let question: Question = serde_json::from_str(question).expect("the question is written below");
    let prediction: Prediction = search::prediction(&question, item, catalogue).expect("its materials are known");
    prediction.undiminished(1).band().expect("it is a magnet")
}

/// How far a cause takes the value down and up, as a part of it.
fn reach(band: &Band, cause: Cause) -> [f64; 2] {
    let share = band.shares.iter().find(|s| s.cause == cause);
    share.map_or([0.0; 2], |s| {
        [(band.mid - s.low) / band.mid, (s.high - band.mid) / band.mid]
    })
}

/// The reach of a cause is as reckoned by hand: down and up.
fn is(band: &Band, cause: Cause, down: f64, up: f64) {
    let [got_down, got_up] = reach(band, cause);
    for (got, want) in [(got_down, down), (got_up, up)] {
        assert!(
            (got - want).abs() <= NEAR * want + 1e-9,
            "{cause:?}: {got} for {want}, {band:?}"
        );
    }
}

/// The field on the axis of a disc of remanence 1 at a distance from its face (textbook), sizes in mm.
fn on_axis(diameter: f64, thickness: f64, distance: f64) -> f64 {
    let radius = 0.5 * diameter;
    let part = |x: f64| x / x.hypot(radius);
    0.5 * (part(thickness + distance) - part(distance))
}

/// The relative change of a function of one size for each millimetre.
fn slope(value: impl Fn(f64) -> f64, at: f64) -> f64 {
    let step = 1e-5;
    (value(at + step) - value(at - step)) / (2.0 * step) / value(at)
}

const FIELD: &str = r#"{"need": {"verb": "reach_field", "field": "1 mT", "distance": "8 mm"}}"#;

/// A rod of high coercivity keeps all of its strength, so that every cause acts by itself.
fn rod() -> Item {
    Item {
        tolerance: Length(0.2e-3),
        ..made_of(disc(10.0, 20.0), "N42SH", "Ni-Cu-Ni")
    }
}

/// N42 comes with 1.28 to 1.32 T, 1.30 as a rule: trade convention.
#[test]
fn the_grade_reaches_as_far_as_its_bracket() {
    let got = band(FIELD, &rod(), &catalogue());
    is(&got, Cause::Grade, FLAT * 0.02 / 1.30, FLAT * 0.02 / 1.30);
    // The field goes with it; the force between two with its square.
    let pair = r#"{"need": {"verb": "pull_together", "force": "1 N", "gap": "4 mm"}}"#;
    let got = band(pair, &rod(), &catalogue());
    is(&got, Cause::Grade, 2.0 * FLAT * 0.02 / 1.30, 2.0 * FLAT * 0.02 / 1.30);
}

/// Plus or minus 0.2 mm on both sizes, apart from each other, of a body 18 µm smaller a side.
#[test]
fn sizes_reach_as_far_as_their_tolerance() {
    let got = band(FIELD, &rod(), &catalogue());
    let plating = 0.018;
    let (diameter, thickness, distance) = (10.0 - 2.0 * plating, 20.0 - 2.0 * plating, 8.0 + plating);
    let across = slope(|d| on_axis(d, thickness, distance), diameter) * 0.2;
    let along = slope(|t| on_axis(diameter, t, distance), thickness) * 0.2;
    let both = FLAT * across.hypot(along);
    is(&got, Cause::Size, both, both);
}

/// Triple nickel is 10 to 25 µm thick, 18 as a rule: common practice, no source. It makes the body smaller and its face
/// further away.
#[test]
fn plating_reaches_as_far_as_its_range() {
    let got = band(FIELD, &rod(), &catalogue());
    let at = |plating: f64| on_axis(10.0 - 2.0 * plating, 20.0 - 2.0 * plating, 8.0 + plating);
    let each = -slope(at, 0.018);
    is(&got, Cause::Plating, FLAT * each * 0.007, FLAT * each * 0.008);
}

/// A place is kept to 0.1 mm, or to 2 % of a long distance: common practice, no source.
#[test]
fn places_are_kept_as_well_as_is_said() {
    for (distance, tolerance) in [("3 mm", 0.1), ("8 mm", 0.16), ("20 mm", 0.4), ("0.05 mm", 0.05)] {
        let question = FIELD.replace("8 mm", distance);
        let got = band(&question, &rod(), &catalogue());
        let mm: f64 = distance.trim_end_matches(" mm").parse().expect("a number");
        let plating = 0.018;
        let each = -slope(|x| on_axis(10.0 - 2.0 * plating, 20.0 - 2.0 * plating, x), mm + plating) * tolerance;
        is(&got, Cause::Placement, FLAT * each, FLAT * each);
    }
}

/// Temperature is known to 2 K, at -0.11 % a kelvin for SH; the coefficient to a tenth, over 80 K.
#[test]
fn temperature_and_its_coefficient_reach_as_far_as_is_said() {
    let warm = FIELD.replace(r#""8 mm"}"#, r#""8 mm"}, "conditions": {"warmest": "100 °C"}"#);
    let got = band(&warm, &rod(), &catalogue());
    let kept = 1.0 - 0.0011 * 80.0;
    is(
        &got,
        Cause::Temperature,
        FLAT * 2.0 * 0.0011 / kept,
        FLAT * 2.0 * 0.0011 / kept,
    );
    is(
        &got,
        Cause::Coefficient,
        FLAT * 0.1 * 0.088 / kept,
        FLAT * 0.1 * 0.088 / kept,
    );
    // At 20 °C the coefficient does nothing.
    let room = band(FIELD, &rod(), &catalogue());
    assert_eq!(reach(&room, Cause::Coefficient), [0.0; 2]);
}

/// A probe reads to three quarters of a per cent (standard) at low field, and 1 % at 1 T as the square of the field; its element
/// is 0.13 mm deeper or less deep than named.
#[test]
fn probes_reach_as_far_as_they_are_sold() {
    let question = r#"{"need": {"verb": "face_field", "field": "1 mT", "probe_depth": "0.5 mm"}}"#;
    let got = band(question, &rod(), &catalogue());
    let calibration = NORMAL * 0.0075f64.hypot(0.01 * got.mid * got.mid);
    is(&got, Cause::Calibration, calibration, calibration);
    // A lot is 6 % off its grade, and a hand 1.35 % unsteady (standard): common practice, no source.
    is(&got, Cause::Lot, NORMAL * 0.06, NORMAL * 0.06);
    is(&got, Cause::Repeatability, NORMAL * 0.0135, NORMAL * 0.0135);
    let plating = 0.018;
    let each = -slope(
        |x| on_axis(10.0 - 2.0 * plating, 20.0 - 2.0 * plating, x),
        0.5 + plating,
    ) * 0.13;
    is(&got, Cause::ProbeDepth, FLAT * each, FLAT * each);
    // A field that is computed is not read by a probe.
    assert_eq!(reach(&band(FIELD, &rod(), &catalogue()), Cause::Calibration), [0.0; 2]);
}

/// Friction is 0.15 to 0.25 where nobody names it, and within 15 % where somebody does: common practice, no source.
#[test]
fn friction_reaches_as_far_as_its_range() {
    let slide = |rest: &str| format!(r#"{{"need": {{"verb": "hold", "load": "1 N", "direction": "sideways"{rest}}}}}"#);
    let got = band(&slide(""), &rod(), &catalogue());
    is(&got, Cause::Friction, FLAT * 0.25, FLAT * 0.25);
    let got = band(&slide(r#", "friction": 0.4"#), &rod(), &catalogue());
    is(&got, Cause::Friction, FLAT * 0.15, FLAT * 0.15);
    let straight = r#"{"need": {"verb": "hold", "load": "1 N"}}"#;
    assert_eq!(reach(&band(straight, &rod(), &catalogue()), Cause::Friction), [0.0; 2]);
}

/// A model of forces between magnets is right to 5 % either way; that of a plate is 7 % too high or 3 % too low at
/// most, and its law adds its own error.
#[test]
fn models_reach_as_far_as_they_err() {
    let pair = r#"{"need": {"verb": "pull_together", "force": "1 N", "gap": "4 mm"}}"#;
    is(
        &band(pair, &rod(), &catalogue()),
        Cause::Model,
        FLAT * 0.05,
        FLAT * 0.05,
    );
    let hold = r#"{"need": {"verb": "hold", "load": "1 N"}}"#;
    let got = reach(&band(hold, &rod(), &catalogue()), Cause::Model);
    // With a law that errs by 1 to 3 % (95 %) beside it.
    let with = |model: f64, law: f64| (FLAT * model).hypot(law);
    assert!((with(0.07, 0.0)..with(0.07, 0.03)).contains(&got[0]), "{got:?}");
    assert!((with(0.03, 0.005)..with(0.03, 0.03)).contains(&got[1]), "{got:?}");
    // A field has no model beside its magnet.
    assert_eq!(reach(&band(FIELD, &rod(), &catalogue()), Cause::Model), [0.0; 2]);
}

/// Between rough faces lie 0 to 0.05 mm, 0.015 as a rule; a wooden board is within 5 % of its thickness.
#[test]
fn gaps_reach_as_far_as_seat_and_layers_do() {
    let catalogue = catalogue();
    // By the value itself at two gaps, far from contact, where the seat is small beside the board.
    let through = |mm: f64| {
        let question = format!(
            r#"{{"need": {{"verb": "hold", "load": "1 N", "layers": [{{"material": "wood", "thickness": "{mm} mm"}}]}}}}"#
        );
        band(&question, &rod(), &catalogue)
    };
    let got = through(6.0);
    let each = |to: f64| (through(6.0 + to).mid - got.mid).abs() / got.mid;
    let down = (FLAT * each(0.3)).hypot(FLAT * each(0.035));
    let up = (FLAT * each(-0.3)).hypot(FLAT * each(-0.015));
    is(&got, Cause::Gap, down, up);
    let bare = band(r#"{"need": {"verb": "hold", "load": "1 N"}}"#, &rod(), &catalogue);
    let air = |mm: f64| {
        let question = format!(
            r#"{{"need": {{"verb": "hold", "load": "1 N", "layers": [{{"material": "air", "thickness": "{mm} mm"}}]}}}}"#
        );
        band(&question, &rod(), &catalogue).mid
    };
    let [down, up] = reach(&bare, Cause::Gap);
    let want = [
        FLAT * (1.0 - air(0.035) / bare.mid),
        FLAT * 0.015 / 0.035 * (1.0 - air(0.035) / bare.mid),
    ];
    assert!(
        (down / want[0] - 1.0).abs() <= 0.1 && (up / want[1] - 1.0).abs() <= 0.15,
        "{down} {up} {want:?}"
    );
}

/// Coercivity: N42 comes with 955 to 1110 kA/m, 1000 as a rule. A flat piece loses more when it is hot, the less it has.
#[test]
fn coercivity_is_in_the_band_of_what_may_lose() {
    let catalogue = catalogue();
    let flat = made_of(disc(20.0, 4.0), "N42", "Ni-Cu-Ni");
    let mut tried = 0;
    for celsius in [50, 55, 60, 65, 70, 75] {
        let question = FIELD.replace(
            r#""8 mm"}"#,
            &format!(r#""8 mm"}}, "conditions": {{"warmest": "{celsius} °C"}}"#),
        );
        let question: Question = serde_json::from_str(&question).expect("written above");
        let prediction = search::prediction(&question, &flat, &catalogue).expect("known");
        let exposure = advice::exposure::Exposure::of(&question);
        let in_use = prediction.in_use(1, &exposure).expect("it has a curve");
        // What loses more is ruled out, and what loses nothing has no such share.
        if !(0.01..0.05).contains(&in_use.wear().loss) {
            continue;
        }
        tried += 1;
        let got = in_use.band().expect("it is a magnet");
        let [down, up] = reach(&got, Cause::Coercivity);
        let undiminished = prediction.undiminished(1).band().expect("a magnet");
        assert_eq!(reach(&undiminished, Cause::Coercivity), [0.0; 2]);
        // Its ends are those of pieces of the least and the largest coercivity, less what 95 % leaves out.
        let of = |hcj: f64| {
            let row = catalogue.grades.get("N42").expect("known").clone();
            let grade = materials::grade::GradeRow {
                hcj_min: hcj,
                hcj_typical: Some(hcj),
                hcj_max: Some(hcj),
                ..row
            };
            let piece = Prediction {
                grade: &grade,
                ..prediction
            };
            let piece = piece.in_use(1, &exposure).expect("it has a curve");
            piece.value().expect("a magnet")
        };
        let at = |part: f64| of(1000e3 + if part < 0.0 { 45e3 } else { 110e3 } * part);
        let (least, usual, most) = (at(-FLAT), at(0.0), at(FLAT));
        assert!((usual / got.mid - 1.0).abs() <= 2e-3, "{usual} {}", got.mid);
        let (low, high) = (1.0 - least / usual, most / usual - 1.0);
        assert!((down / low - 1.0).abs() <= 0.1, "{celsius}: {down} for {low}");
        assert!((up / high - 1.0).abs() <= 0.2, "{celsius}: {up} for {high}");
    }
    assert!(tried > 0);
}
