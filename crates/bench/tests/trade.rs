//! Readings of common practice.

// Marked as a test so that helpers, too, may unwrap.
#![cfg(test)]

use bench::fit::{Finding, fit};
use bench::next::{AtHand, rank};
use bench::{Lot, Options, Parameter, Probe, Reading, Setup, Value, expected, needed};
use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::FluxDensity;

/// A grade, a thickness in mm, and readings by the pieces in the stack.
type Series = (&'static str, f64, &'static [(u32, f64)]);

/// Readings at the middle of the face, in gauss: common practice, no source. Discs of 6 mm.
const SERIES: [Series; 3] = [
    ("N50", 1.0, &[(1, 1590.0), (2, 2600.0), (4, 3780.0)]),
    ("N50", 2.0, &[(1, 3340.0), (2, 4620.0), (4, 5390.0)]),
    ("N45", 4.0, &[(1, 4125.0), (2, 4960.0), (6, 5080.0), (18, 5130.0)]),
];

fn series() -> (Vec<Lot>, Vec<Reading>) {
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    let mut readings = Vec::new();
    let lots = SERIES
        .iter()
        .enumerate()
        .map(|(k, (grade, thickness, values))| {
            for (pieces, gauss) in *values {
                let value = Value::FluxDensity(FluxDensity(gauss * 1e-4));
                readings.push(Reading::at_face(k, *pieces, value));
            }
            let shape = Shape::Disc {
                diameter: 6e-3,
                thickness: thickness * 1e-3,
            };
            Lot::new(
                grade,
                shape,
                grades.get(grade).unwrap(),
                coatings.get("Ni-Cu-Ni").unwrap(),
            )
        })
        .collect();
    (lots, readings)
}

/// With factory values, and a probe that nobody has measured, nine readings in ten lie in the bands found beforehand; of any
/// other it is said what would have to be off, and by how much.
#[test]
fn bands_found_beforehand_hold_the_readings() {
    let (lots, readings) = series();
    let probe = Probe::default();
    let mut inside = 0;
    for reading in &readings {
        let setup = Setup::new(&probe, &lots[reading.lot], reading).unwrap();
        let band = expected(&setup).unwrap();
        let value = reading.value.si();
        if (band.low..=band.high).contains(&value) {
            inside += 1;
        }
        let reasons = needed(&setup, value);
        assert!(!reasons.is_empty(), "{reading:?}");
        for reason in &reasons {
            let mut at = setup.middle();
            at[reason.place] = reason.value;
            assert!((setup.value(&at) / value - 1.0).abs() <= 1e-6, "{reason:?}");
        }
        // What makes a band wide is the depth of a probe that nobody has measured; of one that somebody has it is narrow.
        let known = Probe {
            depth_standard: quantity::Length::from_mm(0.05),
            ..Probe::default()
        };
        let narrow = expected(&Setup::new(&known, &lots[reading.lot], reading).unwrap()).unwrap();
        let width = |band: &uncertainty::Band| (band.high - band.low) / band.mid;
        println!(
            "{:.4} T: width {:.2}, {:.2} with a known probe",
            value,
            width(&band),
            width(&narrow)
        );
        assert!(width(&band) < 0.7 && width(&narrow) < 0.42);
    }
    assert!(inside >= 9, "{inside} of {}", readings.len());
}

/// One probe depth for all, remanence and face loss free for each lot: every reading within 4 %, and the values that no
/// magnet of the grade can have are named, with a reading that would settle them.
#[test]
fn one_depth_and_free_lots_reproduce_the_readings() {
    let (lots, readings) = series();
    let probe = Probe::default();
    let mut free = vec![Parameter::Depth];
    for lot in 0..lots.len() {
        free.extend([Parameter::Scale(lot), Parameter::FaceLoss(lot)]);
    }
    let options = Options {
        free,
        ..Options::default()
    };
    let found = fit(&probe, &lots, &readings, &options).unwrap();
    for r in &found.readings {
        assert!((r.fitted / r.value - 1.0).abs() <= 0.04, "{r:?}");
        assert_eq!(r.weight, 1.0);
    }
    for (lot, listed) in lots.iter().enumerate() {
        let [remanence, _] = found.effective_remanence(lot, listed).unwrap();
        let grade = &listed.grade;
        let can_be = (grade.br_min..=grade.br_max).contains(&remanence);
        let named = found
            .findings
            .iter()
            .any(|f| matches!(f, Finding::OutsideGrade { lot: l, .. } if *l == lot));
        assert_eq!(named, !can_be, "lot {lot}: {remanence} T");
        if named {
            let at_hand = AtHand {
                coil: true,
                ..AtHand::default()
            };
            let feasible = at_hand.feasible(lots.len());
            let wanted = Parameter::Scale(lot);
            let next = rank(&probe, &lots, &readings, &options, &found, wanted, &feasible).unwrap();
            assert!(next[0].gain > 0.5, "{:?}", next[0]);
        }
    }
    let told = |f: &Finding| matches!(f, Finding::OutsideGrade { .. } | Finding::NotToldApart { .. });
    assert!(found.findings.iter().filter(|f| told(f)).count() >= 2);
    assert!(found.findings.contains(&Finding::MeasureThickness { lot: 0 }));
}

/// Every reading predicted from all others within 5 %, with one depth free and lots within their usual spread.
#[test]
fn each_reading_follows_from_the_others() {
    let (lots, readings) = series();
    let probe = Probe::default();
    let options = Options {
        free: vec![Parameter::Depth],
        ..Options::default()
    };
    let all = fit(&probe, &lots, &readings, &options).unwrap();
    for (k, reading) in readings.iter().enumerate() {
        let mut others = readings.clone();
        others.remove(k);
        let found = fit(&probe, &lots, &others, &options).unwrap();
        // The left-out reading is looked at by the next one proposed: its expected value is the prediction.
        let next = rank(
            &probe,
            &lots,
            &others,
            &options,
            &found,
            Parameter::Depth,
            std::slice::from_ref(reading),
        )
        .unwrap();
        let predicted = next[0].reading.value.si();
        assert!(
            (predicted / reading.value.si() - 1.0).abs() <= 0.05,
            "{reading:?}: {predicted}"
        );
        // The linearised prediction of the whole fit says nearly the same.
        let linear = all.readings[k].from_others;
        assert!((linear / predicted - 1.0).abs() <= 0.01, "{linear} {predicted}");
    }
}
