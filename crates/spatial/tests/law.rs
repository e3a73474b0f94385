//! The pull law of `steel` for blocks against the solver as it is.

use std::sync::Arc;

use magnetics::{Shape, StackPull};
use spatial::{Face, OnPlate, share_of_mirror};
use steel::SteelTable;
use steel::pull_law::{Equivalent, PullLaw};

/// Length, width, thickness, gap, thickness of the plate and, where it is not wide, its side, mm.
const BLOCKS: [[f64; 6]; 8] = [
    [100.0, 10.0, 5.0, 0.1, 1.0, WIDE],
    [30.0, 10.0, 5.0, 0.1, 0.5, WIDE],
    [10.0, 10.0, 5.0, 0.5, 0.5, WIDE],
    [40.0, 20.0, 10.0, 2.0, 3.0, WIDE],
    [100.0, 10.0, 5.0, 0.1, 3.0, 102.0],
    [40.0, 20.0, 5.0, 1.0, 1.0, 50.0],
    [20.0, 20.0, 10.0, 0.5, 5.0, 22.0],
    [30.0, 10.0, 5.0, 3.0, 6.0, 36.0],
];
const WIDE: f64 = f64::INFINITY;

#[test]
fn blocks_hold_what_the_law_says() {
    let curve = &SteelTable::builtin().unwrap().curve("team13").unwrap().curve.clone();
    let law = PullLaw::of_curve("team13").unwrap();
    for [length, width, thickness, gap, plate, side] in BLOCKS.map(|row| row.map(|x| x * 1e-3)) {
        let shape = Shape::Block {
            length,
            width,
            thickness,
        };
        let mirror = StackPull::new(&shape, 0.0, 1, 1.2).unwrap().plate_pull(gap).unwrap();
        let stands = Equivalent::of(&shape);
        let wide = stands.on_plate(gap, Some(plate), 1.2, 1.0, mirror);
        let at = stands.on_small(wide, side.is_finite().then_some(side));
        let block = OnPlate {
            face: Face::Rectangle([length, width]),
            height: thickness,
            polarisation: 1.2,
            permeability: 1.0,
            gap,
            thickness: plate,
            plate: Face::Rectangle([length, width].map(|along| side.min(along + 0.1))),
            steel: Arc::clone(curve),
        };
        let solved = block.pull().unwrap().value;
        // The error is half of an interval of 95 %, 1.96 standard deviations; one block in four hundred is off by more than three.
        let (got, error) = (mirror * law.factor(&at), stands.error(law, &at));
        assert!(
            error <= if side.is_finite() { 0.19 } else { 0.03 },
            "{shape:?}: {error}"
        );
        assert!(
            (got / solved - 1.0).abs() <= 3.0 / 1.96 * error,
            "{shape:?}: {got} {solved}, within {error}"
        );
        // The place of the law, solved as an opened block is.
        let share = share_of_mirror(&at, curve).unwrap();
        assert!(
            (share.value * mirror / solved - 1.0).abs() <= 0.01,
            "{shape:?}: {share:?} {solved}"
        );
    }
}
