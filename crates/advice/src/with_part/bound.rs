//! What no build with a part passes, for the cost of a closed form: it spares solves and decides nothing.

use std::f64::consts::{FRAC_PI_4, PI};

use magnetics::Shape;
use materials::MU_0;

use super::fits::Fit;
use super::solved::STRONGEST;
use crate::part::Form;
use crate::predict::{NotComputable, State, Task};
use crate::rules::SIZE_SLACK;
use crate::stacked::Stacked;

/// Flux density that a rim carries into a plate, T.
const RIM: f64 = 2.3;
/// The share of a gap that counts against the flux of a closed circuit: the fringes carry the rest across.
const FRINGES: f64 = 0.5;
/// What a finite back-plate may add to an endless one, by bringing flux round to the front: as a part.
const ROUND: f64 = 0.1;

/// A value that the solved one does not pass.
///
/// A back-plate is at most a mirror, behind which the magnet goes on for as long again; where it holds on a plate, which is
/// taken as ideal and thick, the two mirror each other's images, and twice that height stands for them all. One that is wider
/// than the magnet makes a closed circuit with the plate besides: whatever flux comes back through its overhang is missing
/// from the pole, and both together pull no more than the full flux through the pole alone. In a cup the flux is at most that of the closed circuit, and goes through the face and once
/// more through the rim. The flux that leaves a tip is at most the magnet's, and none of it leaves behind the end.
///
/// # Errors
/// [`NotComputable`] where there is no magnet.
pub(super) fn at_most(
    shape: &Shape,
    pieces: u32,
    form: &Form,
    fit: &Fit,
    task: Task,
    state: &State,
) -> Result<f64, NotComputable> {
    let area = shape.pole_area();
    let height = shape.height() * f64::from(pieces);
    Ok(match (task, form) {
        (
            Task::Plate { .. },
            Form::Cup {
                outer_diameter,
                inner_diameter,
                ..
            },
        ) => {
            let rim_area = FRAC_PI_4 * (outer_diameter * outer_diameter - inner_diameter * inner_diameter);
            let gap = state.gap() + state.plating() + fit.rim.max(0.0);
            let flux_density = closed(state.br(), height, gap);
            let flux = flux_density * area;
            flux * (flux_density + RIM.min(flux / rim_area)) / (2.0 * MU_0)
        }
        (Task::Plate { .. }, _) if form.widest() > shape.widest() + SIZE_SLACK => {
            let flux_density = closed(state.br(), height, state.gap() + state.plating());
            flux_density * flux_density * area / (2.0 * MU_0)
        }
        (Task::Plate { .. }, _) => (1.0 + ROUND) * mirrored(shape, 4.0 * height, state)?.plate_pull(state.gap())?,
        (Task::Spot { distance, off_axis, .. }, Form::Disc { .. } | Form::Washer { .. }) => {
            // Off the axis, and over a hole, the field turns about.
            if off_axis > 0.0 || matches!(shape, Shape::Ring { .. }) {
                return Ok(f64::INFINITY);
            }
            let [_, axial] = mirrored(shape, 2.0 * height, state)?.flux_density(0.0, distance + state.gap())?;
            (1.0 + ROUND) * axial.abs()
        }
        (Task::Spot { distance, .. }, &Form::Cone { end, .. }) => from_end(state.br() * area, end, distance),
        (Task::Spot { distance, .. }, Form::Dome { .. }) => from_end(state.br() * area, 0.0, distance),
        _ => f64::INFINITY,
    })
}

/// Flux density through the pole of a magnet of that height whose circuit is closed but for a gap, T.
fn closed(br: f64, height: f64, gap: f64) -> f64 {
    br * height / (height + FRINGES * gap)
}

/// The magnet with its mirror images behind it, so high together, of full remanence.
fn mirrored(shape: &Shape, height: f64, state: &State) -> Result<Stacked, NotComputable> {
    let solid = shape.with_height(height).ok_or(NotComputable::NoSetUp)?;
    Ok(Stacked::new(solid, state.plating(), 1, state.br(), 1.0)?)
}

/// On the axis of a disc that all of a flux leaves evenly to one side, T.
fn from_end(flux: f64, end: f64, distance: f64) -> f64 {
    let radius = 0.5 * end;
    let solid_angle_share = 1.0 - distance / distance.hypot(radius);
    let spread = if radius > 0.0 && solid_angle_share > 1e-6 {
        flux / (PI * radius * radius) * solid_angle_share
    } else {
        flux / (2.0 * PI * distance * distance)
    };
    spread.min(STRONGEST)
}
