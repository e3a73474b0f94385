//! A stack on a plate, as the law of its steel takes it.

use magnetics::{ShapeError, StackPull};
use steel::pull_law::{Equivalent, OnPlate};

use crate::stacked::Stacked;

/// A stack of a remanence of 1 T on a plate.
pub(super) struct OnSteel {
    pub(super) pull: StackPull,
    /// What stands for it in the law.
    pub(super) equivalent: Equivalent,
    /// Plating a side, m.
    plating: f64,
    /// Effective polarisation over remanence.
    polarisation: f64,
}

impl OnSteel {
    pub(super) fn new(stack: &Stacked) -> Result<Self, ShapeError> {
        Ok(Self {
            pull: stack.pull()?,
            equivalent: stack.equivalent()?,
            plating: stack.plating(),
            polarisation: stack.polarisation(),
        })
    }

    /// Where it stands in the law: across `gap` from a plate of a thickness and a diameter, with a remanence in tesla and the pull of its mirror image.
    pub(super) fn place(
        &self,
        gap: f64,
        [thickness, across]: [Option<f64>; 2],
        br: f64,
        permeability: f64,
        mirror: f64,
    ) -> OnPlate {
        let wide = self.equivalent.on_plate(
            gap + self.plating,
            thickness,
            br * self.polarisation,
            permeability,
            mirror,
        );
        self.equivalent.on_small(wide, across)
    }
}
