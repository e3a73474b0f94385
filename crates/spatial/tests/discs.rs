//! Discs in three dimensions against the solver of bodies of revolution in `steel`.

use std::sync::Arc;

use spatial::{Face, OnPlate};
use steel::SteelTable;
use steel::drawing::{Drawing, Material, Part};
use steel::solve::{Options, solve};

/// Diameter, height, gap, thickness and diameter of the plate, mm.
const DISCS: [[f64; 5]; 4] = [
    [20.0, 5.0, 1.0, 10.0, 60.0],
    [20.0, 5.0, 0.2, 1.0, 60.0],
    [10.0, 10.0, 3.0, 0.5, 50.0],
    [20.0, 3.0, 0.5, 2.0, 24.0],
];

#[test]
fn discs_pull_as_bodies_of_revolution_do() {
    let steels = SteelTable::builtin().unwrap();
    let curve = &steels.curve("team13").unwrap().curve;
    for [diameter, height, gap, thickness, plate] in DISCS.map(|row| row.map(|x| x * 1e-3)) {
        let disc = OnPlate {
            face: Face::Circle(diameter),
            height,
            polarisation: 1.3,
            permeability: 1.05,
            gap,
            thickness,
            plate: Face::Circle(plate),
            steel: Arc::clone(curve),
        };
        let magnet = Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.05,
        };
        let drawing = Drawing::new(vec![
            Part::ring("magnet", [0.0, 0.5 * diameter], [gap, gap + height], magnet),
            Part::ring(
                "plate",
                [0.0, 0.5 * plate],
                [-thickness, 0.0],
                Material::Steel(Arc::clone(curve)),
            ),
        ]);
        let wanted = solve(&drawing, &Options::force_on("plate"))
            .unwrap()
            .force_on("plate")
            .unwrap();
        let got = disc.pull().unwrap();
        assert!(
            (got.value / wanted - 1.0).abs() <= 0.01,
            "{diameter} x {height}, {gap} over {thickness}: {got:?} {wanted}"
        );
    }
}
