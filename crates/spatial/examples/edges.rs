//! Solves discs near a straight edge of their plate: what they keep of their pull in the middle of it, the values of steel's `data/edge.toml`.
//!
//! ```text
//! cargo run -p spatial --example edges
//! ```

use std::error::Error;
use std::sync::Arc;

use spatial::{Beside, Face, OnPlate, Side};
use steel::SteelTable;

/// Diameter and height of the disc, m.
const DIAMETER: f64 = 20e-3;
const HEIGHT: f64 = 5e-3;
/// Gap and thickness of the plate, m.
const PLATES: [[f64; 2]; 6] = [
    [0.1e-3, 1e-3],
    [1e-3, 1e-3],
    [0.1e-3, 3e-3],
    [1e-3, 3e-3],
    [3e-3, 3e-3],
    [1e-3, 10e-3],
];

fn main() -> Result<(), Box<dyn Error>> {
    let steels = SteelTable::builtin()?;
    let curve = &steels.curve("team13").ok_or("no such curve")?.curve;
    println!("gap_mm,thickness_mm,rim,quarter,middle");
    for [gap, thickness] in PLATES {
        let on = OnPlate {
            face: Face::Circle(DIAMETER),
            height: HEIGHT,
            polarisation: 1.3,
            permeability: 1.0,
            gap,
            thickness,
            plate: Face::Circle(100e-3),
            steel: Arc::clone(curve),
        };
        print!("{},{}", 1e3 * gap, 1e3 * thickness);
        for at in [0.5, 0.25, 0.0] {
            let near = Beside {
                on: on.clone(),
                sides: [Side::Plate, Side::Edge(at * DIAMETER)],
            };
            print!(",{:.3}", near.share_of_middle()?.value);
        }
        println!();
    }
    Ok(())
}
