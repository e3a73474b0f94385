//! Foretold readings against readings that are drawn.

use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{FluxDensity, Length};

use super::*;
use crate::setup::Setup;
use crate::{Value, fit};

fn lot() -> Lot {
    let (grades, coatings) = (GradeTable::builtin().unwrap(), CoatingTable::builtin().unwrap());
    let shape = Shape::Disc {
        diameter: 10e-3,
        thickness: 3e-3,
    };
    Lot::new(
        "a",
        shape,
        grades.get("N42").unwrap(),
        coatings.get("Ni-Cu-Ni").unwrap(),
    )
}

/// The reading of that stack and spacer, `off` times what the usual inputs give.
fn reading(lot: &Lot, pieces: u32, spacer: f64, off: f64) -> Reading {
    let plain = Reading {
        spacer: Length(spacer),
        ..Reading::at_face(0, pieces, Value::FluxDensity(FluxDensity(1.0)))
    };
    let probe = Probe::default();
    let setup = Setup::new(&probe, lot, &plain).unwrap();
    plain.with_value(off * setup.value(&setup.middle()))
}

fn foretold(readings: &[Reading], other: &Reading) -> Foretold {
    let (probe, options) = (Probe::default(), Options::default());
    let lots = [lot()];
    let found = fit(&probe, &lots, readings, &options).unwrap();
    let other = std::slice::from_ref(other);
    foretell(&probe, &lots, readings, &options, &found, other).unwrap()[0].unwrap()
}

/// A lot that reads 4 % more than usual is expected to do so in stacks too, and each reading makes that surer.
#[test]
fn what_was_read_moves_and_narrows_what_is_expected() {
    let lot = lot();
    let [one, two] = [1, 2].map(|pieces| reading(&lot, pieces, 0.0, 1.0));
    let some = vec![reading(&lot, 1, 0.0, 1.04); 3];
    let many = vec![some[0].clone(); 30];
    let few = foretold(&some, &one);
    let more = foretold(&many, &one);
    let part = more.value / one.value.si();
    assert!((part - 1.04).abs() < 0.003, "{part}");
    assert!(more.mean_standard < few.mean_standard && more.standard < few.standard);
    assert!(more.mean_standard < 0.3 * more.standard, "{more:?}");
    let stack = foretold(&many, &two);
    assert!(stack.value > 1.02 * two.value.si(), "{stack:?}");
    assert!(
        stack.mean_standard / stack.value > more.mean_standard / more.value,
        "it was not read itself"
    );
}

/// The one that a fit left out is foretold as the fit itself compares it with the others.
#[test]
fn it_agrees_with_what_the_fit_says_of_a_reading_left_out() {
    let lot = lot();
    let mut readings: Vec<Reading> = [(1, 0.0), (2, 0.0), (3, 0.0), (1, 1e-3), (1, 2e-3), (4, 0.0), (6, 0.0)]
        .iter()
        .map(|&(pieces, spacer)| reading(&lot, pieces, spacer, 1.0))
        .collect();
    readings.push(reading(&lot, 5, 0.0, 0.8));
    let (probe, options, lots) = (Probe::default(), Options::default(), [lot]);
    let found = fit(&probe, &lots, &readings, &options).unwrap();
    let odd = found.readings[7];
    assert_eq!(odd.weight, 0.0);
    let told = foretell(&probe, &lots, &readings, &options, &found, &readings[7..]).unwrap()[0].unwrap();
    assert!((told.value - odd.from_others).abs() < 1e-6 * odd.from_others);
    assert!((told.standard - odd.apart).abs() < 1e-3 * odd.apart, "{told:?} {odd:?}");

    // Where it is to count, it does.
    let counting = Options {
        counted: vec![7],
        ..options
    };
    let all = fit(&probe, &lots, &readings, &counting).unwrap();
    assert!(all.readings.iter().all(|r| r.weight == 1.0));
    assert!(all.scatter > 1.0, "a reading that far off is a surprise");
}
