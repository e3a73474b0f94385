//! Time of a solve from drawing to force: a disc of 20 x 5 mm, 1 mm above a plate of 60 x 2 mm, of mild steel.
//!
//! Run with `cargo bench -p steel`; `oracle/steel_ratio.py` sets it beside a general-purpose library.

use std::sync::Arc;

use divan::Bencher;
use steel::SteelTable;
use steel::drawing::{Drawing, Material};
use steel::setups::{Piece, Size, on_plate};
use steel::solve::{Options, solve};

fn main() {
    divan::main();
}

fn drawing() -> Drawing {
    let steels = SteelTable::builtin().expect("the table is built in");
    let steel = &steels.curve("team13").expect("the curve is built in").curve;
    let magnet = Piece {
        size: Size::disc(20e-3, 5e-3),
        material: Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.05,
        },
    };
    let plate = Piece {
        size: Size::disc(60e-3, 2e-3),
        material: Material::Steel(Arc::clone(steel)),
    };
    on_plate(&magnet, 1e-3, &plate)
}

/// As fast as the defaults allow, and with at least so many unknowns.
#[divan::bench(args = [1200, 20_000], sample_count = 20, sample_size = 1)]
fn force_on_a_plate(bencher: Bencher, least_unknowns: usize) {
    let drawing = drawing();
    let options = Options {
        least_unknowns,
        ..Options::force_on("plate")
    };
    let solution = solve(&drawing, &options).expect("it converges");
    let force = solution.force_on("plate").expect("there is a plate");
    println!("unknowns {} force {force:.6}", solution.unknowns());
    bencher.bench_local(|| solve(&drawing, &options).and_then(|solution| solution.force_on("plate")));
}
