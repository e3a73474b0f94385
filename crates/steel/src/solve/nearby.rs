//! Drawings that differ in sizes or strengths from one that is solved, on its mesh.
//!
//! On one mesh, moved along with the walls, the error of the mesh is nearly the same for both and all but vanishes from the
//! ratio of their values, so that what a small change does is known better than either value. The solution at hand is near:
//! Newton's method takes a step or two from it.

use std::sync::Arc;

use super::exterior::Exterior;
use super::goal::Field;
use super::recover::Slots;
use super::solution::{Figures, Solution};
use super::space::Space;
use super::system::{Newton, System};
use super::{Progress, SolveError, Watch};
use crate::drawing::Drawing;
use crate::mesh::{moved, outline::outline};

impl Solution {
    /// Solves a drawing that has the parts of the solved one in other sizes, places or strengths, on the same mesh. Its error
    /// estimate stays that of the first solution.
    ///
    /// # Errors
    /// [`SolveError::Apart`] where its walls are not joined as those of the solved one, or lie so far from them that the mesh
    /// cannot be moved along; otherwise as [`super::solve_watched`].
    pub fn nearby(&self, drawing: &Drawing, watch: Watch<'_>) -> Result<Self, SolveError> {
        let before = self.field();
        let outline = outline(drawing)?;
        let mesh = moved(&before.space.mesh, self.outline(), &outline).ok_or(SolveError::Apart)?;
        let space = Space::new(mesh);
        let exterior = Exterior::new(&space, drawing.applied);
        let unknowns = space.len();
        let singular = |_| SolveError::Singular { unknowns };
        let system = System::new(drawing, &space, &exterior, &before.structure);
        let mut u = before.u.clone();
        let mut step = |iterations: usize, residual: f64| {
            watch(Progress {
                mesh: 0,
                unknowns,
                iterations,
                residual,
            })
            .is_continue()
        };
        let stop = self.stop();
        let ended = match system.newton(&mut u, false, stop, &mut step).map_err(singular)? {
            Newton::Stopped => return Err(SolveError::Cancelled),
            Newton::Ended(ended, None) => {
                return Err(SolveError::Diverged {
                    residual: ended.residual,
                    iterations: ended.iterations,
                });
            }
            Newton::Ended(ended, Some(_)) => ended,
        };
        let figures = Figures {
            energy: system.energy(&space, &u),
            iterations: ended.iterations,
            residual: ended.residual,
            unknowns,
            error_estimate: self.error_estimate(),
            stop,
        };
        let slots = Slots::new(&space);
        let means = slots.recover(&space, &u);
        let field = Field {
            space,
            exterior,
            structure: Arc::clone(&before.structure),
            u,
            slots,
            means,
        };
        Ok(Self::new(drawing.clone(), outline, field, figures))
    }
}
