//! What induced charge adds to the forces between bodies.

use std::ops::Range;

use super::Load;
use crate::assembly::FieldError;
use crate::placed::Placed;
use crate::recoil_solve::Settled;
use materials::MU_0;
use numerics::vector::{Vector, add, cross, length, scale, sub};

/// Charges are felt this share of the body's size within it, so that touching faces are on the right side of each other.
const WITHIN: f64 = 1e-9;

/// Error of the parts that induced charge has in a force, relative to their size taken without signs.
const ROUGH: f64 = 1e-3;

impl Settled {
    /// Force on the bodies `on` from the bodies `from`, and its torque about `about`, so far as charge induced on either takes part.
    ///
    /// The charge of `on` in the field of `from`; where the first is that of rigid bodies, what the others feel of it, turned about.
    pub(crate) fn induced_load(&self, on: Range<usize>, from: Range<usize>, about: Vector) -> Result<Load, FieldError> {
        let mut total = Load {
            force: [0.0; 3],
            torque: [0.0; 3],
            error: 0.0,
        };
        let mut feel = |place: Vector, force: Vector| {
            total.force = add(total.force, force);
            total.torque = add(total.torque, cross(sub(place, about), force));
            total.error += ROUGH * length(force);
        };
        for (bodies, others, sign, everything) in [(on.clone(), from.clone(), 1.0, true), (from, on, -1.0, false)] {
            for body in bodies {
                let inset = self
                    .rigid()
                    .get(body)
                    .map_or(0.0, |body| WITHIN * body.bounding_ball().1);
                for (place, outwards, charge) in self.charges(body) {
                    let point = sub(place, scale(outwards, inset));
                    let mut field = [0.0; 3];
                    for other in others.clone() {
                        field = add(field, self.rigid_field(other, point)?);
                        if everything {
                            field = add(field, self.of_body(other, point));
                        }
                    }
                    feel(point, scale(field, sign * charge / MU_0));
                }
            }
        }
        Ok(total)
    }

    /// `μ0 H` of the rigid part of a body, T.
    fn rigid_field(&self, body: usize, point: Vector) -> Result<Vector, FieldError> {
        match self.rigid().get(body).map(|placed: &Placed| placed.fields(point)) {
            Some(Some((_, h))) => Ok(h),
            Some(None) => Err(FieldError::OnEdge { body, point }),
            None => Ok([0.0; 3]),
        }
    }
}
