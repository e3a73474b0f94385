//! Speed of the hot paths: field points off the axis, the pull of a stack, and the flux lines of a picture.
//!
//! Run with `cargo bench -p magnetics`.

use divan::{Bencher, black_box, counter::ItemsCount};
use magnetics::lines::flux_lines;
use magnetics::plane::Window;
use magnetics::{Assembly, Body, Placed, Polarisation, Scene, Shape, Solid, StackPull, stack};

fn main() {
    divan::main();
}

const DISC: Shape = Shape::Disc {
    diameter: 0.01,
    thickness: 0.005,
};
const RING: Shape = Shape::Ring {
    outer_diameter: 0.02,
    inner_diameter: 0.01,
    thickness: 0.005,
};
const BLOCK: Shape = Shape::Block {
    length: 0.02,
    width: 0.01,
    thickness: 0.005,
};

/// Field at 1000 points around one magnet.
#[divan::bench(args = [DISC, RING, BLOCK])]
fn field_points(bencher: Bencher, shape: Shape) {
    let body = Body {
        shape,
        polarisation: 1.3,
        centre: [0.0; 3],
    };
    let Ok(assembly) = Assembly::new(vec![body]) else {
        return;
    };
    let points: Vec<[f64; 3]> = (0..1000)
        .map(|i| {
            let t = f64::from(i) * 1e-3;
            [0.001 + 0.012 * t, 0.002 * t, 0.0031 + 0.005 * (7.0 * t).sin().abs()]
        })
        .collect();
    bencher.counter(ItemsCount::new(points.len())).bench(|| {
        points
            .iter()
            .filter_map(|&point| assembly.flux_density(black_box(point)).ok())
            .map(|b| b[2])
            .sum::<f64>()
    });
}

/// Field at 1000 points around one magnet, given together.
#[divan::bench(args = [DISC, RING, BLOCK])]
fn field_points_together(bencher: Bencher, shape: Shape) {
    let solid = Solid::Plain(shape);
    let Ok(body) = Placed::new(solid, Polarisation::Along([0.0, 0.0, 1.3]), [0.0; 3], [0.0; 3]) else {
        return;
    };
    let scene = Scene::new(vec![body]);
    let points: Vec<[f64; 3]> = (0..1000)
        .map(|i| {
            let t = f64::from(i) * 1e-3;
            [0.001 + 0.012 * t, 0.002 * t, 0.0031 + 0.005 * (7.0 * t).sin().abs()]
        })
        .collect();
    bencher
        .counter(ItemsCount::new(points.len()))
        .bench(|| scene.flux_densities(black_box(&points)).map(|b| b.len()));
}

/// Building and asking the pull of a stack at one gap.
#[divan::bench(args = [(DISC, 1), (RING, 1), (BLOCK, 1), (DISC, 8), (RING, 8), (BLOCK, 8)])]
fn stack_pull(bencher: Bencher, (shape, pieces): (Shape, usize)) {
    bencher
        .bench(|| StackPull::new(black_box(&shape), 15e-6, pieces, 1.3).map(|pull| pull.plate_pull(black_box(1e-3))));
}

/// Twelve lines of a stack on a plate.
#[divan::bench(args = [DISC, RING, BLOCK])]
fn picture(bencher: Bencher, shape: Shape) {
    let Ok(assembly) = stack(&shape, 15e-6, 2, 1.3) else {
        return;
    };
    let window = Window {
        left: 0.0,
        right: 0.03,
        bottom: 0.0,
        top: 0.04,
    };
    bencher.bench(|| flux_lines(black_box(&assembly), window, 12, true).map(|lines| lines.len()));
}
