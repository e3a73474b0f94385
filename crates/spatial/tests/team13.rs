//! TEAM workshop problem 13: mean flux densities measured in three sheets of steel about a coil.
//!
//! T. Nakata and K. Fujiwara, COMPEL 11(3), 345-369 (1992). Values: reproduced alike in three public places; sizes of coil and channels: from memory, and in accord with the places of the values.

use spatial::solve::{Solution, solve};
use spatial::{Across, Grid, Key, Matter, Problem, graded};
use steel::SteelTable;

/// Ampere-turns, and the height of the coil, mm.
const TURNS: f64 = 1000.0;
const COIL: f64 = 100.0;
/// Half the straight part of the coil's inner and outer sides, and the radii of its corners, mm.
const STRAIGHT: f64 = 50.0;
const RADII: [f64; 2] = [25.0, 50.0];

/// Mean flux density, T, over the middle sheet at heights from 0 in steps of 10 mm.
const MIDDLE: [f64; 7] = [1.330, 1.329, 1.286, 1.225, 1.129, 0.985, 0.655];
/// Over the flat of a channel at these places, mm.
const FLAT: [(f64, f64); 11] = [
    (2.1, 0.259),
    (10.0, 0.453),
    (20.0, 0.554),
    (30.0, 0.637),
    (40.0, 0.698),
    (50.0, 0.755),
    (60.0, 0.809),
    (80.0, 0.901),
    (100.0, 0.945),
    (110.0, 0.954),
    (122.1, 0.956),
];
/// Over its upright at heights from 60 mm down to 0 in steps of 10 mm.
const UPRIGHT: [f64; 7] = [0.960, 0.965, 0.970, 0.974, 0.981, 0.984, 0.985];

/// The upper half: the field is the same below, mirrored. Lengths in mm.
fn problem(fineness: usize) -> Problem {
    let steel = SteelTable::builtin()
        .expect("steels")
        .curve("team13")
        .expect("its curve")
        .curve
        .clone();
    let both = |half: &[(f64, f64)]| -> Vec<Key> {
        let keys = half.iter().rev().map(|&(at, size)| Key::new(-at, size));
        keys.chain(half.iter().map(|&(at, size)| Key::new(at, size))).collect()
    };
    let mut along = vec![(1.6, 0.6), (2.1, 0.3)];
    along.extend([10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 110.0].map(|x| (x, 10.0)));
    along.extend([(122.1, 1.0), (125.3, 1.0), (350.0, 150.0)]);
    let across = [
        (15.0, 1.2),
        (25.0, 1.2),
        (65.0, 2.0),
        (75.0, 12.0),
        (100.0, 12.0),
        (300.0, 150.0),
    ];
    let up = [0.0, 10.0, 20.0, 30.0, 40.0].map(|z| Key::new(z, 10.0));
    let top = [(50.0, 5.0), (60.0, 0.8), (63.2, 0.8), (300.0, 150.0)].map(|(z, size)| Key::new(z, size));
    let metres = |keys: &[Key]| -> Vec<f64> { graded(keys, 0.6, fineness).into_iter().map(|x| x * 1e-3).collect() };
    let grid = Grid::new(
        [
            metres(&both(&along)),
            metres(&both(&across)),
            metres(&[up.as_slice(), &top].concat()),
        ],
        Across::Straight,
    );
    let ends: Vec<f64> = (0..3).map(|axis| *grid.lines(axis).last().expect("lines")).collect();
    let made_of = |place: [f64; 3]| {
        let [x, y, z] = place.map(|x| x * 1e3);
        let middle = x.abs() < 1.6 && y.abs() < 25.0 && z < 63.2;
        // Half a turn about z takes one channel into the other.
        let (out, side) = (x.abs(), y * x.signum());
        let within = side > 15.0 && side < 65.0;
        let flat = out > 2.1 && out < 125.3 && z > 60.0 && z < 63.2;
        let upright = out > 122.1 && out < 125.3 && z < 63.2;
        usize::from(middle || within && (flat || upright))
    };
    let held = |[x, y, z]: [f64; 3]| z <= 0.0 || z >= ends[2] || x.abs() >= ends[0] || y.abs() >= ends[1];
    Problem::new(grid, vec![Matter::AIR, Matter::Steel(steel)], made_of, held).with_windings(|place| {
        let [x, y, z] = place.map(|x| x.abs() * 1e3);
        let beside = [x, y].map(|x| (x - STRAIGHT).max(0.0));
        let [inner, outer] = RADII;
        let share = ((outer - beside[0].hypot(beside[1])) / (outer - inner)).clamp(0.0, 1.0);
        [
            0.0,
            0.0,
            if z < 0.5 * COIL {
                share * TURNS / (COIL * 1e-3)
            } else {
                0.0
            },
        ]
    })
}

/// Places with what is computed and measured there, T.
fn compared(solution: &Solution) -> Vec<(String, f64, f64)> {
    let mean =
        |ends: [[f64; 2]; 3], axis: usize| solution.mean_flux_density(ends.map(|e| e.map(|x| x * 1e-3)))[axis].abs();
    // A bit of the sheet beside each place, within it.
    let beside = |x: f64, from: f64, to: f64| [(x - 0.1).max(from), (x + 0.1).min(to)];
    let heights = (0..7).map(|k| 10.0 * f64::from(k));
    let middle = heights.clone().zip(MIDDLE).map(|(z, measured)| {
        let got = mean([[-1.6, 1.6], [-25.0, 25.0], beside(z, 0.0, 63.2)], 2);
        (format!("middle, z {z}"), got, measured)
    });
    let flat = FLAT.into_iter().map(|(x, measured)| {
        let got = mean([beside(x, 2.1, 122.1), [15.0, 65.0], [60.0, 63.2]], 0);
        (format!("flat, x {x}"), got, measured)
    });
    let upright = heights.rev().zip(UPRIGHT).map(|(z, measured)| {
        let got = mean([[122.1, 125.3], [15.0, 65.0], beside(z, 0.0, 60.0)], 2);
        (format!("upright, z {z}"), got, measured)
    });
    middle.chain(flat).chain(upright).collect()
}

/// Thin sheets of steel converge slowly, with the first power of the size of cells: two grids are extrapolated so.
#[test]
fn steel_carries_what_was_measured() {
    let [coarse, fine] = [1, 2].map(problem);
    let first = solve(&coarse, None).unwrap();
    let second = solve(&fine, Some(&first)).unwrap();
    for ((place, rough, measured), (_, better, _)) in compared(&first).into_iter().zip(compared(&second)) {
        let got = 2.0 * better - rough;
        assert!(
            (got - measured).abs() <= 0.04,
            "{place}: {got} T of {rough} and {better}, measured {measured}"
        );
    }
}
