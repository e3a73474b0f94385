use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{Force, Length};

use super::*;
use crate::fit::{Options, Parameter, fit};
use crate::setup::place;
use crate::{Lot, Probe, Reading, Setup, Value};

fn lot() -> Lot {
    let shape = Shape::Disc {
        diameter: 20e-3,
        thickness: 5e-3,
    };
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    Lot::new(
        "A",
        shape,
        grades.get("N42").unwrap(),
        coatings.get("Ni-Cu-Ni").unwrap(),
    )
}

fn pull(plate: Option<Plate>) -> Reading {
    Reading {
        plate,
        ..Reading::at_face(0, 1, Value::Pull(Force(1.0)))
    }
}

fn sheet(mm: f64) -> Plate {
    Plate {
        thickness: Some(Length::from_mm(mm)),
        ..Plate::default()
    }
}

fn middle(reading: &Reading) -> f64 {
    let (lot, probe) = (lot(), Probe::default());
    let setup = Setup::new(&probe, &lot, reading).unwrap();
    setup.value(&setup.middle())
}

/// A plate that nobody describes is thick, wide, bare and of mild steel; a thinner, smaller or painted one, or one of poorer
/// steel, holds less.
#[test]
fn a_poorer_plate_holds_less() {
    let thick = middle(&pull(None));
    assert_eq!(middle(&pull(Some(Plate::default()))), thick);
    assert!((middle(&pull(Some(sheet(20.0)))) / thick - 1.0).abs() < 1e-3);
    // 4 mm carry all flux of this disc, as well as the law knows: within 1 %.
    let enough = middle(&pull(Some(sheet(4.0))));
    assert!((enough / thick - 1.0).abs() < 0.01, "{enough} {thick}");
    let mut last = thick;
    for mm in [2.0, 1.0, 0.5] {
        let here = middle(&pull(Some(sheet(mm))));
        assert!(here < last, "{mm} mm: {here} {last}");
        last = here;
    }
    let small = Plate {
        across: Some(Length::from_mm(22.0)),
        ..sheet(1.0)
    };
    let painted = Plate {
        paint: Length::from_mm(0.2),
        ..sheet(1.0)
    };
    let cast = Plate {
        steel: "grey cast iron".into(),
        ..sheet(2.0)
    };
    assert!(middle(&pull(Some(small))) < middle(&pull(Some(sheet(1.0)))));
    assert!(middle(&pull(Some(painted.clone()))) < 0.95 * middle(&pull(Some(sheet(1.0)))));
    assert!(middle(&pull(Some(cast))) < middle(&pull(Some(sheet(2.0)))));
    // Paint is a spacer that is less well known.
    let spaced = Reading {
        spacer: painted.paint,
        ..pull(Some(sheet(1.0)))
    };
    assert!((middle(&pull(Some(painted))) / middle(&spaced) - 1.0).abs() < 1e-9);
}

/// Pulls from a thin plate tell the lot, though they do not go as the square of its remanence.
#[test]
fn pulls_from_a_thin_plate_tell_the_lot() {
    let (lot, probe) = (lot(), Probe::default());
    let readings: Vec<Reading> = [(0.93, 1.0), (0.93, 2.0), (0.93, 4.0)]
        .into_iter()
        .map(|(scale, mm)| {
            let reading = pull(Some(sheet(mm)));
            let setup = Setup::new(&probe, &lot, &reading).unwrap();
            let mut at = setup.middle();
            at[place::SCALE] = scale;
            reading.with_value(setup.value(&at))
        })
        .collect();
    let options = Options {
        free: vec![Parameter::Scale(0)],
        ..Options::default()
    };
    let found = fit(&probe, std::slice::from_ref(&lot), &readings, &options).unwrap();
    let scale = found.get(Parameter::Scale(0)).unwrap();
    // Middles of lopsided inputs lie beside their means, which the fit takes.
    assert!((scale.value / 0.93 - 1.0).abs() < 0.03, "{scale:?}");
    assert!(scale.standard < 0.06 && scale.standard > 0.01, "{scale:?}");
}

#[test]
fn plates_that_cannot_be_are_refused_with_a_reason() {
    let (lot, probe) = (lot(), Probe::default());
    let refused = |plate: Plate| {
        let reading = pull(Some(plate));
        Setup::new(&probe, &lot, &reading).map(|_| ()).unwrap_err()
    };
    let other = |steel: &str| Plate {
        steel: steel.into(),
        ..Plate::default()
    };
    assert_eq!(refused(other("cheese")), SetupError::Steel { name: "cheese".into() });
    assert!(matches!(
        refused(other("austenitic stainless steel")),
        SetupError::Steel { .. }
    ));
    let narrow = Plate {
        across: Some(Length::from_mm(15.0)),
        ..Plate::default()
    };
    assert!(matches!(
        refused(narrow),
        SetupError::Range {
            what: "size of the plate",
            ..
        }
    ));
    assert!(matches!(refused(sheet(0.0)), SetupError::Range { .. }));
    assert!(matches!(refused(sheet(f64::NAN)), SetupError::Range { .. }));
}

/// A magnet that reads flux density or moment feels no plate.
#[test]
fn only_a_pull_feels_the_plate() {
    let (lot, probe) = (lot(), Probe::default());
    let bare = Reading::at_face(0, 1, Value::Moment(1.0));
    let with = Reading {
        plate: Some(sheet(0.5)),
        ..bare.clone()
    };
    let value = |reading: &Reading| {
        let setup = Setup::new(&probe, &lot, reading).unwrap();
        (
            setup.value(&setup.middle()),
            setup.inputs().map(|input| input.is_spread()),
        )
    };
    assert_eq!(value(&bare), value(&with));
}
