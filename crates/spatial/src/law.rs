//! Places of the pull law of `steel`, solved in three dimensions.

use std::sync::Arc;

use magnetics::{Shape, demag, recoil};
use steel::BhCurve;
use steel::pull_law::{self, plate_width};

use crate::on_plate::{Face, OnPlate, Pull};
use crate::solve::SolveError;

/// Pull of a block over that of its mirror image, at a place of the pull law on a plate of a steel with that curve. A wide plate
/// is as wide as the law takes wide ones; a small one is square, the block in its middle along its sides, and may be smaller than the block.
///
/// # Errors
/// [`SolveError`]; [`SolveError::Sizes`] where there is no block.
pub fn share_of_mirror(at: &pull_law::OnPlate, curve: &Arc<BhCurve>) -> Result<Pull, SolveError> {
    let shape = at.shape();
    let (
        Shape::Block {
            length,
            width,
            thickness,
        },
        Shape::Disc { diameter, .. },
    ) = (shape, at.of_disc().shape())
    else {
        return Err(SolveError::Sizes);
    };
    let factor = demag::of_stack(&shape, 1).map_err(|_| SolveError::Sizes)?;
    let lowered = recoil::effective_polarisation(1.0, at.permeability, factor).map_err(|_| SolveError::Sizes)?;
    let beyond = (plate_width(at) - 1.0) * diameter;
    let side = at.across * length;
    let ideal = OnPlate {
        face: Face::Rectangle([length, width]),
        height: thickness,
        polarisation: at.polarisation,
        permeability: 1.0,
        gap: at.gap * diameter,
        thickness: at.plate * diameter,
        plate: Face::Rectangle([length, width].map(|along| side.min(along + beyond))),
        steel: Arc::clone(curve),
    };
    let real = OnPlate {
        polarisation: at.polarisation / lowered,
        permeability: at.permeability,
        ..ideal.clone()
    };
    real.share_of_ideal(&ideal)
}
