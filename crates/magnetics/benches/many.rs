//! A million points around a disc and around a block: nanoseconds a point, for `oracle/ratio.py`.
//!
//! Run with `RAYON_NUM_THREADS=1 cargo bench -p magnetics --bench many` for one core.

use std::hint::black_box;
use std::time::Instant;

use magnetics::{Placed, Polarisation, Scene, Shape, Solid};

const POINTS: u32 = 1_000_000;

fn main() {
    let points: Vec<[f64; 3]> = (0..POINTS)
        .map(|i| {
            let t = f64::from(i % 1000) * 1e-3;
            [0.001 + 0.012 * t, 0.002 * t, 0.0031 + 0.005 * (7.0 * t).sin().abs()]
        })
        .collect();
    let disc = Shape::Disc {
        diameter: 0.01,
        thickness: 0.005,
    };
    let block = Shape::Block {
        length: 0.02,
        width: 0.01,
        thickness: 0.005,
    };
    for (name, shape) in [("disc", disc), ("block", block)] {
        let body = Placed::new(
            Solid::Plain(shape),
            Polarisation::Along([0.0, 0.0, 1.0]),
            [0.0; 3],
            [0.0; 3],
        );
        let Ok(body) = body else { continue };
        let scene = Scene::new(vec![body]);
        let best = (0..5)
            .map(|_| {
                let start = Instant::now();
                let fields = scene.flux_densities(black_box(&points));
                let time = start.elapsed().as_secs_f64();
                black_box(fields).map_or(f64::INFINITY, |_| time)
            })
            .fold(f64::INFINITY, f64::min);
        println!("{name} {:.2}", best / f64::from(POINTS) * 1e9);
    }
}
