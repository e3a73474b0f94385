//! A magnet on steel of any sizes is solved, with a pull that is finite and pulls, or refused with a reason.
#![no_main]

use std::ops::ControlFlow;

use libfuzzer_sys::fuzz_target;
use steel::SteelTable;
use steel::drawing::Material;
use steel::setups::{Cup, Piece, Size, in_cup, on_plate, with_back};
use steel::solve::{Options, solve_watched};

/// Newton steps after which a solve is given up: a fine mesh is slow and not odd.
const MOST_STEPS: u32 = 12;

fuzz_target!(|input: (u8, [f64; 9], [u16; 9], f64)| {
    let (kind, raw, tenths, gap) = input;
    // Half of them of a size that somebody might have, in tenths of a millimetre.
    let size = |k: usize| {
        if kind & 4 == 0 {
            f64::from(tenths[k]) * 1e-4
        } else {
            raw[k]
        }
    };
    let ring = |k: usize| Size {
        outer: size(k),
        inner: if kind & 8 == 0 { 0.0 } else { size(k + 1) },
        thickness: size(k + 2),
    };
    let steels = SteelTable::builtin().expect("the table reads");
    let Some(curve) = steels.curve("mild steel") else {
        return;
    };
    let steel = Material::Steel(curve.curve.clone());
    let magnet = Piece {
        size: ring(0),
        material: Material::Magnet {
            polarisation: if kind & 16 == 0 { 1.3 } else { raw[8] },
            recoil_permeability: 1.05,
        },
    };
    let of_steel = |size| Piece {
        size,
        material: steel.clone(),
    };
    let gap = if kind & 32 == 0 {
        f64::from(tenths[8]) * 1e-5
    } else {
        gap
    };
    let plate = of_steel(ring(3));
    let drawing = match kind & 3 {
        0 => on_plate(&magnet, gap, &plate),
        1 => with_back(&magnet, &of_steel(ring(6)), gap, &plate),
        _ => {
            let cup = Cup {
                outer: size(6),
                inner: size(7),
                floor: size(8),
                hole: 0.0,
                rim: if kind & 64 == 0 { 0.0 } else { raw[7] },
                steel: steel.clone(),
            };
            in_cup(&magnet, &cup, gap, &plate)
        }
    };
    let options = Options {
        force_on: Some("plate".into()),
        tolerance: 0.2,
        most_unknowns: 4_000,
        ..Options::default()
    };
    let mut steps = 0;
    let solved = solve_watched(&drawing, &options, &mut |_| {
        steps += 1;
        if steps > MOST_STEPS {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    match solved {
        Ok(solution) => {
            let pull = solution.force_on("plate").expect("the plate is there");
            assert!(pull.is_finite(), "{drawing:?} gives {pull} N");
        }
        Err(error) => assert!(!error.to_string().is_empty() && !error.hint().is_empty()),
    }
});
