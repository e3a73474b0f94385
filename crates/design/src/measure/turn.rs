//! The torque of a coupling: the field of one rotor on the charge of one arc of the other, times its arcs.

use magnetics::{Scene, Solid};
use materials::MU_0;
use numerics::quadrature::unit_rule;
use numerics::vector::Vector;

use super::MeasureError;
use super::air::{Bodies, upright};
use crate::draft::Draft;

/// Torque between the rotors of a draft, N m.
///
/// All arcs of a rotor feel the same by symmetry. The charge of an arc is on its two faces, `J` to the area.
pub(super) fn torque(draft: &Draft, bodies: &Bodies) -> Result<f64, MeasureError> {
    let rule: [(f64, f64); 4] = unit_rule();
    let poles = draft.magnets.len() / 2;
    let (lower, upper) = bodies.scene.bodies().split_at(poles);
    let (Some(piece), Some(body)) = (draft.magnets.get(poles), upper.first()) else {
        return Err(MeasureError::Unfit);
    };
    let Solid::Arc(arc) = &piece.solid else {
        return Err(MeasureError::Unfit);
    };
    let [inner, outer] = [0.5 * arc.inner_diameter, 0.5 * arc.outer_diameter];
    let mut places: Vec<Vector> = Vec::new();
    let mut charges = Vec::new();
    for side in [-1.0, 1.0] {
        for (radial, wr) in rule {
            let radius = inner + radial * (outer - inner);
            // In halves: the field of the other rotor turns about in the middle of an arc.
            for half in [-0.5, 0.0] {
                for (around, wa) in rule {
                    let angle = (half + 0.5 * around) * arc.angle;
                    let (sin, cos) = angle.sin_cos();
                    places.push(piece.to_space([radius * cos, radius * sin, 0.5 * side * arc.thickness]));
                    let area = wr * (outer - inner) * wa * 0.5 * arc.angle * radius;
                    charges.push(side * upright(body) * area);
                }
            }
        }
    }
    let fields = Scene::new(lower.to_vec())
        .flux_densities(&places)
        .map_err(|(_, error)| error)?;
    let one: f64 = places
        .iter()
        .zip(fields)
        .zip(charges)
        .map(|((at, b), charge)| charge * (at[0] * b[1] - at[1] * b[0]) / MU_0)
        .sum();
    Ok((one * poles as f64).abs())
}
