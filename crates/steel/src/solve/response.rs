//! What a material answers to a flux density.

use materials::MU_0;

use super::space::LINE;
use crate::curve::BhCurve;
use crate::drawing::{Material, RecoilLine};

/// Field strength (A/m) and its derivative by the flux density (A/m per T).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Response {
    pub(crate) h: [f64; 2],
    /// Derivatives rr, rz, zz.
    pub(crate) slope: [f64; 3],
}

/// The answer of a material to a flux density `[B_r, B_z]`.
pub(crate) fn response(material: &Material, b: [f64; 2]) -> Response {
    let straight = linear(material, b);
    let bent = bend(material, b);
    Response {
        h: [0, 1].map(|i| straight.h[i] + bent.h[i]),
        slope: [0, 1, 2].map(|i| straight.slope[i] + bent.slope[i]),
    }
}

/// The part of the answer that is straight: all of air, the recoil line of a magnet, nothing of steel.
fn linear(material: &Material, b: [f64; 2]) -> Response {
    let (nu, polarisation) = match (material, material.recoil_line()) {
        (_, Some(line)) => (1.0 / (MU_0 * line.permeability), line.polarisation),
        (Material::Steel(_), None) => (0.0, 0.0),
        _ => (1.0 / MU_0, 0.0),
    };
    Response {
        h: [nu * b[0], nu * (b[1] - polarisation)],
        slope: [nu, 0.0, nu],
    }
}

/// The rest of the answer: how far a magnet past its knee is from its recoil line, and all of steel.
pub(crate) fn bend(material: &Material, b: [f64; 2]) -> Response {
    match material {
        Material::Air | Material::Magnet { .. } => Response {
            h: [0.0; 2],
            slope: [0.0; 3],
        },
        Material::Kneed { .. } => {
            let (h, slope) = past_knee(material, b[1]);
            Response {
                h: [0.0, h],
                slope: [0.0, 0.0, slope],
            }
        }
        Material::Steel(curve) => steel(curve, b),
    }
}

/// Energy density of [`bend`], J/m3: the integral of its field strength over the flux density, for magnets from the remanence, for steel from zero.
pub(crate) fn bend_energy(material: &Material, b: [f64; 2]) -> f64 {
    /// Pieces of the way from the remanence: a knee is a few of them long.
    const PANELS: u32 = 16;
    match material {
        Material::Air | Material::Magnet { .. } => 0.0,
        Material::Kneed { .. } => {
            let from = material.recoil_line().map_or(0.0, |line| line.polarisation);
            let step = (b[1] - from) / f64::from(PANELS);
            let panels = (0..PANELS).flat_map(|k| LINE.map(|(t, weight)| (f64::from(k) + t, weight)));
            panels
                .map(|(t, weight)| weight * step * past_knee(material, from + t * step).0)
                .sum()
        }
        Material::Steel(curve) => curve.at(b[0].hypot(b[1])).energy,
    }
}

/// Field strength along z over that of the recoil line, A/m, and its derivative by the flux density, of a magnet with a knee.
fn past_knee(material: &Material, b: f64) -> (f64, f64) {
    let (
        Material::Kneed { curve, downwards },
        Some(RecoilLine {
            polarisation,
            permeability,
        }),
    ) = (material, material.recoil_line())
    else {
        return (0.0, 0.0);
    };
    let sign = if *downwards { -1.0 } else { 1.0 };
    let nu = 1.0 / (MU_0 * permeability);
    let point = curve.at_flux_density(sign * b);
    let straight = nu * (b - polarisation);
    (-sign * point.field - straight, 1.0 / point.permeability - nu)
}

fn steel(curve: &BhCurve, b: [f64; 2]) -> Response {
    // A flux density is far from where squares run over or vanish.
    let size = (b[0] * b[0] + b[1] * b[1]).sqrt();
    let point = curve.at(size);
    if size <= 0.0 {
        return Response {
            h: [0.0; 2],
            slope: [point.slope, 0.0, point.slope],
        };
    }
    let nu = point.h / size;
    let [er, ez] = [b[0] / size, b[1] / size];
    let rest = point.slope - nu;
    Response {
        h: [nu * b[0], nu * b[1]],
        slope: [nu + rest * er * er, rest * er * ez, nu + rest * ez * ez],
    }
}
