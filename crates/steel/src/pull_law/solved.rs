//! What the law says, by the solver.

use std::sync::Arc;

use magnetics::{Shape, StackPull, demag, recoil};

use super::{Equivalent, OnPlate, plate_width, pole_flux_density};
use crate::behind::Behind;
use crate::curve::BhCurve;
use crate::drawing::Material;
use crate::setups::{Piece, Size, on_plate};
use crate::solve::{Options, Solution, solve};

/// Outer diameter that stands for any, m.
const DIAMETER: f64 = 20e-3;

impl OnPlate {
    /// The magnet, with an outer diameter of 20 mm; that of its disc, if it is a block.
    #[must_use]
    pub fn shape(&self) -> Shape {
        let thickness = self.height * DIAMETER;
        if let Some(long) = self.oblong {
            let of = |length: f64| Shape::Block {
                length,
                width: length / long,
                thickness,
            };
            of(DIAMETER * DIAMETER / Equivalent::of(&of(DIAMETER)).diameter())
        } else if self.bore > 0.0 {
            Shape::Ring {
                outer_diameter: DIAMETER,
                inner_diameter: self.bore * DIAMETER,
                thickness,
            }
        } else {
            Shape::Disc {
                diameter: DIAMETER,
                thickness,
            }
        }
    }

    /// Length of a block over the diameter of its disc; 1 of a disc or ring.
    pub(super) fn reach(&self) -> f64 {
        self.shape().widest() / DIAMETER
    }

    /// Pull of the mirror image, N, at that size.
    fn mirror(&self) -> Option<f64> {
        let pull = StackPull::new(&self.shape(), 0.0, 1, self.polarisation).ok()?;
        pull.plate_pull(self.gap * DIAMETER).ok()
    }

    /// The same place with the flux density that belongs to it; `None` where sizes or polarisation make no magnet.
    #[must_use]
    pub fn with_flux_density(self) -> Option<Self> {
        let flux_density = pole_flux_density(self.mirror()?, self.shape().pole_area());
        Some(Self { flux_density, ..self })
    }

    /// Pull over that of the mirror image by finite elements, on a plate of a steel with that curve; of a block that of its disc. `None` where there is no magnet or no solution.
    #[must_use]
    pub fn solved(&self, curve: &Arc<BhCurve>, options: &Options) -> Option<f64> {
        self.factor_of(&self.solution(curve, options)?)
    }

    /// Pull over that of the mirror image of a [`Self::solution`].
    #[must_use]
    pub fn factor_of(&self, solution: &Solution) -> Option<f64> {
        Some(solution.force_on("plate").ok()? / self.of_disc().mirror()?)
    }

    /// What is behind the plate in a [`Self::solution`], at its back and `away` outer diameters of the magnet further.
    #[must_use]
    pub fn behind(&self, solution: &Solution, away: f64) -> Option<Behind> {
        solution.behind("magnet", "plate", away * DIAMETER)
    }

    /// The magnet, of a block its disc, on its plate of a steel with that curve, by finite elements; `None` where there is no magnet or no solution.
    #[must_use]
    pub fn solution(&self, curve: &Arc<BhCurve>, options: &Options) -> Option<Solution> {
        let factor = demag::of_stack(&self.of_disc().shape(), 1).ok()?;
        let lowered = recoil::effective_polarisation(1.0, self.permeability, factor).ok()?;
        let magnet = Piece {
            size: Size {
                outer: DIAMETER,
                inner: self.bore * DIAMETER,
                thickness: self.height * DIAMETER,
            },
            material: Material::Magnet {
                polarisation: self.polarisation / lowered,
                recoil_permeability: self.permeability,
            },
        };
        let plate = Piece {
            size: Size::disc(
                self.of_disc().across.min(plate_width(self)) * DIAMETER,
                self.plate * DIAMETER,
            ),
            material: Material::Steel(Arc::clone(curve)),
        };
        let options = Options {
            force_on: Some("plate".into()),
            ..options.clone()
        };
        solve(&on_plate(&magnet, self.gap * DIAMETER, &plate), &options).ok()
    }
}
