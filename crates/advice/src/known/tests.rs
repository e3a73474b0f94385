use super::*;
use crate::Catalogue;
use crate::item::Item;
use crate::predict::{Prediction, Task};

fn disc() -> Item {
    let shape = magnetics::Shape::Disc {
        diameter: 15e-3,
        thickness: 5e-3,
    };
    Item {
        code: "14-07".into(),
        tolerance: Length::from_mm(0.02),
        ..Item::made(shape, "N42", "nickel-copper-nickel")
    }
}

fn read(lot: &str, br: f64, standard: f64) -> ReadLot {
    ReadLot {
        lot: lot.into(),
        br: Some(FluxDensity(br)),
        standard: Some(FluxDensity(standard)),
        thickness: None,
        readings: 15,
        day: "2026-03-12".into(),
    }
}

/// A field far off, which goes as the remanence.
fn far(catalogue: &Catalogue) -> uncertainty::Band {
    let item = disc();
    let (grade, coating) = (
        catalogue.grade_of(&item).unwrap(),
        catalogue.coatings.get(&item.coating).unwrap(),
    );
    Prediction::new(&item, grade, coating, Task::Dipole { distance: 1.0 }, 20.0)
        .undiminished(1)
        .outline()
        .unwrap()
}

/// Readings move a prediction as the remanence moves a field, and narrow it; without them it is as before.
#[test]
fn readings_of_a_lot_move_and_narrow_a_prediction() {
    let plain = Catalogue::builtin().unwrap();
    let usual = plain.grade_of(&disc()).unwrap().br_typical;
    let with = |lot: ReadLot| {
        let all = [("14-07".to_owned(), "N42".to_owned(), lot)];
        Catalogue::builtin().unwrap().with_read_lots(all)
    };
    let known = with(read("A", 0.95 * usual, 0.004));
    let (before, after) = (far(&plain), far(&known));
    assert!((after.mid / before.mid / 0.95 - 1.0).abs() < 1e-9);
    assert!(after.high - after.low < 0.8 * (before.high - before.low));
    assert_eq!(
        known.known_of(&disc()),
        Some(Known::Readings(read("A", 0.95 * usual, 0.004)))
    );
    let row = known.grade_of(&disc()).unwrap();
    assert!((row.br_max - row.br_typical - 1.96 * 0.004).abs() < 1e-12);
    assert_eq!(far(&known.as_graded()).mid, before.mid);
    // What no magnet can have is no row.
    assert_eq!(far(&with(read("A", 5.0, 0.004))).mid, before.mid);
    assert_eq!(far(&with(read("A", f64::NAN, 0.004))).mid, before.mid);
}

/// A certificate stands before readings of another lot, and behind those of its own.
#[test]
fn readings_of_the_certified_lot_stand_before_its_certificate() {
    let certificate = Certificate {
        lot: "A".into(),
        br: FluxDensity(1.31),
        hcj: Some(FieldStrength(1.1e6)),
    };
    let key = || ("14-07".to_owned(), "N42".to_owned());
    let with = |lot: &str| {
        let ((code, grade), (c, g)) = (key(), key());
        Catalogue::builtin()
            .unwrap()
            .with_certificates([(code, grade, certificate.clone())])
            .unwrap()
            .with_read_lots([(c, g, read(lot, 1.27, 0.004))])
    };
    let row = |catalogue: &Catalogue| catalogue.grade_of(&disc()).unwrap().clone();
    let own = with("A");
    assert!(matches!(own.known_of(&disc()), Some(Known::Readings(_))));
    assert_eq!((row(&own).br_typical, row(&own).hcj_typical), (1.27, Some(1.1e6)));
    let other = with("B");
    assert!(matches!(other.known_of(&disc()), Some(Known::Certificate(_))));
    assert_eq!(row(&other).br_typical, 1.31);
}

#[test]
fn the_depth_of_the_usual_probe_is_as_sure_as_the_shop_knows_it() {
    let probe = UsualProbe {
        name: "pen".into(),
        depth: Length(0.62e-3),
        standard: Length(0.02e-3),
        meter: Meter::usual(),
    };
    let tolerance = |usual, depth| meter_at(usual, depth).1;
    assert!((tolerance(Some(&probe), 0.62e-3) - 0.034_641e-3).abs() < 1e-8);
    assert_eq!(tolerance(Some(&probe), 0.5e-3), PROBE_DEPTH_TOLERANCE);
    assert_eq!(tolerance(None, 0.62e-3), PROBE_DEPTH_TOLERANCE);
    assert_eq!(tolerance(None, 0.05e-3), 0.05e-3);
    assert!(meter_at(Some(&probe), 0.62e-3).0.measured && !meter_at(None, 0.62e-3).0.measured);
}

/// A probe that was kept before its meter was reads as a usual one.
#[test]
fn a_probe_of_an_older_answer_is_a_usual_meter() {
    let kept = r#"{"name": "pen", "depth": 0.00062, "standard": 0.00002}"#;
    let probe: UsualProbe = serde_json::from_str(kept).unwrap();
    assert_eq!(probe.meter, Meter::usual());
    let lot: ReadLot =
        serde_json::from_str(r#"{"lot": "A", "br": 1.27, "standard": 0.004, "readings": 15, "day": "2026-03-12"}"#)
            .unwrap();
    assert_eq!(lot, read("A", 1.27, 0.004));
}

/// A thickness that was read makes every prediction that of a magnet of that thickness, as sure as it was read.
#[test]
fn a_thickness_that_was_read_moves_and_narrows_predictions() {
    let thin = Item {
        shape: magnetics::Shape::Disc {
            diameter: 10e-3,
            thickness: 1e-3,
        },
        tolerance: Length::from_mm(0.1),
        ..disc()
    };
    let read = ReadLot {
        br: None,
        standard: None,
        thickness: Some([Length::from_mm(0.94), Length::from_mm(0.005)]),
        ..read("A", 1.3, 0.004)
    };
    let plain = Catalogue::builtin().unwrap();
    let known = Catalogue::builtin()
        .unwrap()
        .with_read_lots([("14-07".to_owned(), "N42".to_owned(), read)]);
    let as_thick = Item {
        shape: magnetics::Shape::Disc {
            diameter: 10e-3,
            thickness: 0.94e-3,
        },
        ..thin.clone()
    };
    let band = |item: &Item, catalogue: &Catalogue, task: Task, pieces: u32| {
        let (grade, coating) = (
            catalogue.grade_of(item).unwrap(),
            catalogue.coatings.get(&item.coating).unwrap(),
        );
        let prediction = Prediction::new(item, grade, coating, task, 20.0).of_lot(catalogue.read_pieces(item));
        let whole = prediction.undiminished(pieces);
        (whole.band().unwrap(), whole.solid().unwrap())
    };
    for task in [
        Task::face(),
        Task::spot(5e-3, 0.0),
        Task::thick_steel([0.0; 3]),
        Task::pair(1e-3),
    ] {
        for pieces in [1, 3] {
            let ((got, solid), (want, as_solid)) =
                (band(&thin, &known, task, pieces), band(&as_thick, &plain, task, pieces));
            assert!((got.mid / want.mid - 1.0).abs() < 1e-9, "{task:?}: {got:?} {want:?}");
            assert!((solid / as_solid - 1.0).abs() < 1e-9, "{task:?}");
            assert!(
                got.high - got.low < 0.9 * (want.high - want.low),
                "{task:?}: {got:?} {want:?}"
            );
        }
    }
}
