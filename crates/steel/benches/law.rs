//! Time of one pull by the law: of a disc, and of a block, which has a network more, each on a wide plate and on a small one.
//!
//! Run with `cargo bench -p steel --bench law`.

use divan::{Bencher, black_box};
use steel::pull_law::{OnPlate, PullLaw};

fn main() {
    divan::main();
}

/// Length over width of the block, and width of the plate over its length; a disc has no length.
#[divan::bench(args = [(None, f64::INFINITY), (None, 1.5), (Some(3.0), f64::INFINITY), (Some(3.0), 1.5)])]
fn pull(bencher: Bencher, (oblong, across): (Option<f64>, f64)) {
    let law = PullLaw::of_curve("team13").expect("the law is built in");
    let disc = OnPlate::of_row([0.3, 0.0, 0.02, 0.1, 1.3, 1.05]);
    let at = OnPlate { oblong, across, ..disc }
        .with_flux_density()
        .expect("it is a magnet");
    bencher.bench(|| law.factor(black_box(&at)));
}
