//! The magnet of a place as a shape.

use magnetics::{Shape, StackPull};
use steel::law::{OnPlate, pole_flux_density};

/// Outer diameter of every sampled magnet, m; the problem has no length of its own.
pub const DIAMETER: f64 = 20e-3;

/// The magnet of a place.
pub fn shape(at: &OnPlate) -> Shape {
    let thickness = at.height * DIAMETER;
    if at.bore > 0.0 {
        Shape::Ring {
            outer_diameter: DIAMETER,
            inner_diameter: at.bore * DIAMETER,
            thickness,
        }
    } else {
        Shape::Disc {
            diameter: DIAMETER,
            thickness,
        }
    }
}

/// Pull by the mirror image, N; not a number where there is none.
pub fn mirror(at: &OnPlate) -> f64 {
    let pull = StackPull::new(&shape(at), 0.0, 1, at.polarisation).ok();
    pull.and_then(|p| p.plate_pull(at.gap * DIAMETER).ok())
        .unwrap_or(f64::NAN)
}

/// A place with the flux density that belongs to it.
pub fn completed(at: OnPlate) -> OnPlate {
    OnPlate {
        flux_density: pole_flux_density(mirror(&at), shape(&at).pole_area()),
        ..at
    }
}
