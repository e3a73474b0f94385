//! Cost of a propagation beside that of its model. Run with `cargo bench -p bench`.

use divan::{Bencher, black_box};
use uncertainty::{Cause, Input, propagate};

fn main() {
    divan::main();
}

/// Eight inputs of a product, as a prediction has them.
#[divan::bench]
fn eight_factors(bencher: Bencher) {
    let inputs = [
        Input::plus_minus(Cause::Grade, 1.3, 0.02),
        Input::new(Cause::Plating, 10.0, 18.0, 25.0),
        Input::plus_minus(Cause::Size, 10.0, 0.1),
        Input::plus_minus(Cause::Size, 5.0, 0.1),
        Input::new(Cause::Gap, 0.0, 0.015, 0.05),
        Input::normal(Cause::Calibration, 1.0, 0.005),
        Input::plus_minus(Cause::Temperature, 0.0, 2.0),
        Input::new(Cause::Model, 0.9, 0.97, 1.0),
    ];
    let value = |x: &[f64]| {
        x[0] * x[0] * x[2] * x[3] * x[5] * x[7] * (1.0 - 1e-3 * x[1]) * (1.0 - 4.0 * x[4]) * (1.0 - 1e-3 * x[6])
    };
    bencher.bench(|| propagate(black_box(&inputs), value));
}
