use super::*;
use crate::changes::{Deed, changes};

fn catalogue() -> Catalogue {
    Catalogue::builtin().unwrap()
}

fn asked(json: &str) -> ParcelRequest {
    serde_json::from_str(json).unwrap()
}

/// So many discs of 20 × 5 mm in N42.
fn discs(count: u32, more: &str) -> Parcel {
    let json = format!(
        r#"{{"lines":[{{"magnet":{{"shape":"disc","size_mm":[20,5],"grade":"N42","coating":"none"}},"count":{count}}}]{more}}}"#
    );
    judge(&asked(&json), &[], &catalogue()).unwrap()
}

/// One has 1.3 T of 1.571 cm³ / μ0 = 1.625 A m², of which recoil leaves the part 1 / (1 + 0.05 · 0.6346), the mean factor of a disc
/// a quarter as thick as wide: 1.575 A m²; by hand. Tolerances make a few per cent.
#[test]
fn the_moment_is_that_of_remanence_times_volume() {
    let [low, mid, high] = discs(1, "").lines[0].moment;
    assert!((mid / 1.575 - 1.0).abs() < 0.002, "{mid}");
    assert!(low < mid && mid < high && high < 1.06 * mid, "{low} {mid} {high}");
}

/// Moments of 6.5, 16, 160 and 325 A m² lie between 9.3, 24.3 and 239 A m², where a dipole meets the limits.
#[test]
fn each_number_goes_as_its_moment_says() {
    for (count, carriage) in [
        (4, Carriage::Free),
        (10, Carriage::Ask),
        (100, Carriage::Declared),
        (200, Carriage::Never),
    ] {
        let got = discs(count, "");
        assert_eq!(got.carriage, carriage, "{count}: {:?}", got.readings);
        assert!(got.readings.iter().all(|reading| reading.field < reading.most));
    }
}

/// What is turned against each other gives less, and what differs from piece to piece is counted all the same.
#[test]
fn turned_stacks_fly_where_those_of_one_way_do_not() {
    let near = |parcel: &Parcel| parcel.readings[0].field;
    let one_way = discs(200, "");
    for arrangement in ["alternating", "paired", "rings"] {
        let turned = discs(200, &format!(r#","arrangement":"{arrangement}""#));
        assert!(
            near(&turned) < 0.05 * near(&one_way),
            "{arrangement}: {}",
            near(&turned)
        );
        assert!(turned.carriage <= Carriage::Ask, "{arrangement}: {:?}", turned.readings);
        let uneven = dipole_field(
            turned.uneven,
            2.1 + 0.5 * turned.sides.iter().copied().fold(f64::INFINITY, f64::min),
        );
        assert!(turned.readings[0].most >= near(&turned) + 0.99 * uneven);
    }
}

#[test]
fn a_larger_box_gives_less_at_its_surface() {
    let field = |filler: &str| discs(50, &format!(r#","filler":"{filler}""#)).readings[1].field;
    assert!(field("200 mm") < 0.85 * field("20 mm"));
}

#[test]
fn a_lining_is_counted_by_half_at_the_unfavourable_end() {
    let (bare, lined) = (
        discs(20, r#","filler":"60 mm""#),
        discs(20, r#","filler":"60 mm","lining":"2 mm""#),
    );
    let lining = lined.lining.unwrap();
    assert!(lining.weakens > 2.0, "{lining:?}");
    let near = |parcel: &Parcel| parcel.readings[1].field;
    // The box has grown by the lining, which takes a little more.
    let ratio = near(&bare) / near(&lined);
    assert!((ratio / lining.weakens - 1.0).abs() < 0.02, "{ratio} {lining:?}");
    assert!(lined.readings[1].most > near(&lined) * 1.9);
}

#[test]
fn what_cannot_be_packed_is_pointed_at() {
    let field = |json: &str| judge(&asked(json), &[], &catalogue()).unwrap_err().field;
    assert_eq!(
        field(r#"{"lines":[{"magnet":{"code":"zz"},"count":1}]}"#),
        "/lines/0/magnet/code"
    );
    let small =
        r#"{"lines":[{"magnet":{"shape":"disc","size_mm":[20,5]},"count":200}],"box":["80 mm","80 mm","80 mm"]}"#;
    assert_eq!(field(small), "/box");
}

/// Each change goes more freely, and is what its own request gives.
#[test]
fn changes_lead_to_what_they_say() {
    for count in [200, 100, 10] {
        let parcel = discs(count, "");
        let found = changes(&parcel);
        assert!(!found.is_empty(), "{count}");
        for change in &found {
            assert!(change.after.carriage < parcel.carriage, "{:?}", change.deed);
            let again = judge(&change.after.request, &[], &catalogue()).unwrap();
            assert_eq!(again, change.after, "{:?}", change.deed);
        }
    }
    assert!(changes(&discs(4, "")).is_empty());
}

/// The most that a parcel of its own may have: one more is too many.
#[test]
fn a_split_is_the_largest_that_is_free() {
    let found = changes(&discs(200, ""));
    let split = found.iter().find_map(|change| match change.deed {
        Deed::Split(count) => Some(count),
        _ => None,
    });
    let most = split.unwrap();
    assert_eq!(discs(most, "").carriage, Carriage::Free);
    assert!(discs(most + 1, "").carriage > Carriage::Free, "{most}");
}

/// One piece in its box: on its axis `2e-7 m / r³` at the distance of each rule from the surface above it; at the unfavourable end by
/// the upper end of its moment and half its band more; by hand.
#[test]
fn one_piece_gives_the_field_of_its_moment_at_each_distance() {
    let parcel = discs(1, "");
    let [low, mid, high] = parcel.lines[0].moment;
    let half = 0.5 * parcel.sides[2];
    assert!(parcel.sides.iter().all(|side| *side >= 2.0 * half));
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-3;
    for metres in [2.1, 4.5, 4.6] {
        let mut at = parcel.readings.iter().filter(|r| r.rule.distance == metres).peekable();
        assert!(at.peek().is_some(), "no rule at {metres} m");
        for reading in at {
            let on_axis = |moment: f64| 2e-7 * moment / (metres + half).powi(3);
            assert!(near(reading.field, on_axis(mid)), "{}: {reading:?}", reading.rule.name);
            let most = on_axis(high + 0.5 * (high - low));
            assert!(near(reading.most, most), "{}: {reading:?}, {most}", reading.rule.name);
        }
    }
}
