//! The pull law of `steel` for blocks against the solver as it is.

use std::sync::Arc;

use magnetics::{Shape, StackPull};
use spatial::{Face, OnPlate};
use steel::SteelTable;
use steel::pull_law::{Equivalent, PullLaw};

/// Length, width, thickness, gap and thickness of the plate, mm.
const BLOCKS: [[f64; 5]; 4] = [
    [100.0, 10.0, 5.0, 0.1, 1.0],
    [30.0, 10.0, 5.0, 0.1, 0.5],
    [10.0, 10.0, 5.0, 0.5, 0.5],
    [40.0, 20.0, 10.0, 2.0, 3.0],
];

#[test]
fn blocks_hold_what_the_law_says() {
    let curve = &SteelTable::builtin().unwrap().curve("team13").unwrap().curve.clone();
    let law = PullLaw::of_curve("team13").unwrap();
    for [length, width, thickness, gap, plate] in BLOCKS.map(|row| row.map(|x| x * 1e-3)) {
        let shape = Shape::Block {
            length,
            width,
            thickness,
        };
        let mirror = StackPull::new(&shape, 0.0, 1, 1.2).unwrap().plate_pull(gap).unwrap();
        let stands = Equivalent::of(&shape);
        let at = stands.on_plate(gap, Some(plate), 1.2, 1.0, mirror);
        let block = OnPlate {
            face: Face::Rectangle([length, width]),
            height: thickness,
            polarisation: 1.2,
            permeability: 1.0,
            gap,
            thickness: plate,
            plate: Face::Rectangle([length + 0.1, width + 0.1]),
            steel: Arc::clone(curve),
        };
        let solved = block.pull().unwrap().value;
        // The error is half of an interval of 95 %, 1.96 standard deviations; one block in four hundred is off by more than three.
        let (got, error) = (mirror * law.factor(&at), stands.error(law, &at));
        assert!(error <= 0.03, "{shape:?}: {error}");
        assert!(
            (got / solved - 1.0).abs() <= 3.0 / 1.96 * error,
            "{shape:?}: {got} {solved}, within {error}"
        );
    }
}
