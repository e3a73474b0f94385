//! What a fit of 200 readings and an expected reading cost.

use bench::{Lot, Options, Parameter, Probe, Reading, Setup, Value, expected, fit};
use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{FluxDensity, Length};

fn main() {
    divan::main();
}

/// Two lots, and 200 readings of pieces and stacks at the face and above it that scatter by a few percent.
fn session() -> (Vec<Lot>, Vec<Reading>) {
    let (grades, coatings) = (
        GradeTable::builtin().expect("the case is a valid one"),
        CoatingTable::builtin().expect("the case is a valid one"),
    );
    let lot = |grade: &str, diameter, thickness| {
        let shape = Shape::Disc { diameter, thickness };
        Lot::new(
            grade,
            shape,
            grades.get(grade).expect("the case is a valid one"),
            coatings.get("Ni-Cu-Ni").expect("the case is a valid one"),
        )
    };
    let lots = vec![lot("N42", 12e-3, 6e-3), lot("N45", 8e-3, 3e-3)];
    let probe = Probe::default();
    let readings = (0..200)
        .map(|k| {
            let what = Reading {
                spacer: Length::from_mm([0.0, 0.5, 1.0, 2.0, 4.0, 8.0][k % 6]),
                ..Reading::at_face(k % 2, 1 + (k % 5) as u32, Value::FluxDensity(FluxDensity(1.0)))
            };
            let setup = Setup::new(&probe, &lots[what.lot], &what).expect("the case is a valid one");
            let value = setup.value(&setup.middle());
            what.with_value(value * (1.0 + 0.02 * (k as f64).sin()))
        })
        .collect();
    (lots, readings)
}

#[divan::bench(args = [false, true])]
fn fit_of_200(bencher: divan::Bencher, robust: bool) {
    let (lots, readings) = session();
    let options = Options {
        free: vec![Parameter::Depth, Parameter::Scale(0), Parameter::Scale(1)],
        robust,
        ..Options::default()
    };
    bencher.bench_local(|| fit(&Probe::default(), &lots, &readings, &options).expect("the case is a valid one"));
}

#[divan::bench]
fn expected_reading(bencher: divan::Bencher) {
    let (lots, readings) = session();
    let probe = Probe::default();
    let setup = Setup::new(&probe, &lots[0], &readings[4]).expect("the case is a valid one");
    bencher.bench_local(|| expected(&setup).expect("the case is a valid one"));
}
