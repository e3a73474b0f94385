//! Cost of a band against that of the plain value. Run with `cargo bench -p advice`; the bar is ten times.

use advice::Catalogue;
use advice::item::Item;
use advice::predict::{Prediction, Task};
use divan::{Bencher, black_box};
use magnetics::Shape;

fn main() {
    divan::main();
}

const CASES: [&str; 7] = [
    "disc plate",
    "disc pair",
    "disc axis",
    "block plate",
    "block axis",
    "ring face",
    "disc stack of 4",
];

fn with(bencher: Bencher, name: &str, measure: impl Fn(&Prediction, u32) -> f64 + Sync) {
    let disc = Shape::Disc {
        diameter: 10e-3,
        thickness: 5e-3,
    };
    let block = Shape::Block {
        length: 20e-3,
        width: 10e-3,
        thickness: 5e-3,
    };
    let ring = Shape::Ring {
        outer_diameter: 20e-3,
        inner_diameter: 10e-3,
        thickness: 5e-3,
    };
    let plate = Task::Plate {
        layers: [0.3e-3, 0.4e-3, 0.5e-3],
        thickness: Some(3e-3),
        across: None,
        law: steel::pull_law::PullLaw::of_curve("team13"),
        friction: None,
    };
    let spot = |axial_only| Task::Spot {
        distance: 2e-3,
        off_axis: 0.0,
        tolerance: 0.0,
        axial_only,
        meter: None,
    };
    let (shape, task, pieces) = match name {
        "disc plate" => (disc, plate, 1),
        "disc pair" => (disc, Task::pair(3e-3), 1),
        "disc axis" => (disc, spot(false), 1),
        "block plate" => (block, plate, 1),
        "block axis" => (block, spot(false), 1),
        "ring face" => (ring, spot(true), 1),
        _ => (disc, plate, 4),
    };
    let item = Item::made(shape, "N42", "Ni-Cu-Ni");
    let Ok(catalogue) = Catalogue::builtin() else { return };
    let (Some(grade), Some(coating)) = (catalogue.grades.get("N42"), catalogue.coatings.get("Ni-Cu-Ni")) else {
        return;
    };
    let prediction = Prediction::new(&item, grade, coating, task, 60.0);
    bencher.bench(|| measure(black_box(&prediction), pieces));
}

#[divan::bench(args = CASES)]
fn mid(bencher: Bencher, name: &str) {
    with(bencher, name, |p, n| p.undiminished(n).value().unwrap_or(f64::NAN));
}

#[divan::bench(args = CASES)]
fn band(bencher: Bencher, name: &str) {
    with(bencher, name, |p, n| {
        p.undiminished(n).band().map_or(f64::NAN, |band| band.low)
    });
}
