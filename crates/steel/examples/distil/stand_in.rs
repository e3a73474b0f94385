//! What it costs that a disc stands for a ball.

use std::error::Error;
use std::f64::consts::PI;
use std::sync::Arc;

use magnetics::{Shape, StackPull};
use steel::drawing::{Drawing, Material, Part};
use steel::pull_law::{Equivalent, PullLaw};
use steel::solve::{Options, solve};
use steel::{BhCurve, SteelTable};

/// Size of every magnet, m, and its polarisation, T.
const SIZE: f64 = 12e-3;
const POLARISATION: f64 = 1.2;
/// Plates and gaps, over the size.
const PLATES: [f64; 4] = [0.02, 0.05, 0.1, 0.3];
const GAPS: [f64; 3] = [0.01, 0.1, 0.3];
/// Sides of the polygon that stands for a half circle; one of its area is taken.
const SIDES: u32 = 120;

/// Prints it.
pub fn check() -> Result<(), Box<dyn Error>> {
    let table = SteelTable::builtin()?;
    let curve = &table.curve("team13").ok_or("no such curve")?.curve;
    let law = PullLaw::of_curve("team13").ok_or("no such law")?;
    println!("ball: law of the cylinder that stands for it over solve, less 1 (%), by plate and gap over diameter");
    for plate in PLATES {
        for gap in GAPS {
            let pull = pull(law, &Shape::Sphere { diameter: SIZE }, gap, plate)?;
            let solved = ball(curve, gap * SIZE, plate * SIZE)?;
            println!("{plate:6} {gap:6} {:8.1}", 100.0 * (pull / solved - 1.0));
        }
    }
    Ok(())
}

fn mirror(shape: &Shape, gap: f64) -> Result<f64, Box<dyn Error>> {
    Ok(StackPull::new(shape, 0.0, 1, POLARISATION)?.plate_pull(gap * SIZE)?)
}

/// Pull by the law, N.
fn pull(law: &PullLaw, shape: &Shape, gap: f64, plate: f64) -> Result<f64, Box<dyn Error>> {
    let mirror = mirror(shape, gap)?;
    let at = Equivalent::of(shape).on_plate(gap * SIZE, Some(plate * SIZE), POLARISATION, 1.0, mirror);
    Ok(mirror * law.factor(&at))
}

/// Pull of a ball by the solver, N.
fn ball(curve: &Arc<BhCurve>, gap: f64, plate: f64) -> Result<f64, Box<dyn Error>> {
    let turn = PI / f64::from(SIDES);
    let radius = 0.5 * SIZE * (turn / turn.sin()).sqrt();
    let middle = gap + 0.5 * SIZE;
    let profile = (0..=SIDES).map(|k| {
        let (sin, cos) = (turn * f64::from(k)).sin_cos();
        [if k % SIDES == 0 { 0.0 } else { radius * sin }, middle - radius * cos]
    });
    let magnet = Material::Magnet {
        polarisation: POLARISATION,
        recoil_permeability: 1.0,
    };
    let drawing = Drawing::new(vec![
        Part::new("magnet", profile.collect(), magnet),
        Part::ring(
            "plate",
            [0.0, 6.0 * SIZE],
            [-plate, 0.0],
            Material::Steel(Arc::clone(curve)),
        ),
    ]);
    Ok(solve(&drawing, &Options::force_on("plate"))?.force_on("plate")?)
}
