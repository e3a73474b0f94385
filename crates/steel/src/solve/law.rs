//! What a material answers to a flux density.

use magnetics::MU_0;

use crate::curve::BhCurve;
use crate::drawing::Material;

/// Field strength (A/m), its derivative by the flux density (A/m per T) and the energy density (J/m3).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Response {
    pub(crate) h: [f64; 2],
    /// Derivatives rr, rz, zz.
    pub(crate) slope: [f64; 3],
    pub(crate) energy: f64,
}

/// The answer of a material to a flux density `[B_r, B_z]`.
pub(crate) fn response(material: &Material, b: [f64; 2]) -> Response {
    match material {
        Material::Air => linear(1.0 / MU_0, b),
        Material::Magnet {
            polarisation,
            recoil_permeability,
        } => linear(1.0 / (MU_0 * recoil_permeability), [b[0], b[1] - polarisation]),
        Material::Steel(curve) => steel(curve, b),
    }
}

fn linear(nu: f64, b: [f64; 2]) -> Response {
    Response {
        h: [nu * b[0], nu * b[1]],
        slope: [nu, 0.0, nu],
        energy: 0.5 * nu * (b[0] * b[0] + b[1] * b[1]),
    }
}

fn steel(curve: &BhCurve, b: [f64; 2]) -> Response {
    let size = b[0].hypot(b[1]);
    let point = curve.at(size);
    if size <= 0.0 {
        return Response {
            h: [0.0; 2],
            slope: [point.slope, 0.0, point.slope],
            energy: 0.0,
        };
    }
    let nu = point.h / size;
    let [er, ez] = [b[0] / size, b[1] / size];
    let rest = point.slope - nu;
    Response {
        h: [nu * b[0], nu * b[1]],
        slope: [nu + rest * er * er, rest * er * ez, nu + rest * ez * ez],
        energy: point.energy,
    }
}
