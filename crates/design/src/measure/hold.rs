//! Holding on steel across a gap: one magnet by the mirror image and the pull law, rows by the mirror image.

use magnetics::demag;
use magnetics::recoil::effective_polarisation;
use magnetics::{Shape, Solid, StackPull};
use materials::MU_0;
use numerics::quadrature::unit_rule;
use numerics::vector::Vector;
use steel::pull_law::Equivalent;

use super::MeasureError;
use super::air::Bodies;
use crate::draft::Draft;
use crate::known::Known;
use crate::wish::Wish;

/// Pull of the only magnet of a draft on steel, N.
pub(super) fn single(
    wish: &Wish,
    draft: &Draft,
    known: &Known,
    gap: f64,
    plate: Option<f64>,
) -> Result<f64, MeasureError> {
    let shape = only(draft).ok_or(MeasureError::Unfit)?;
    let gap = below(draft, gap);
    let stuff = &wish.stuff;
    let factor = demag::of_shape(shape)?;
    let polarisation =
        effective_polarisation(stuff.remanence, stuff.permeability, factor).map_err(|_| MeasureError::Unfit)?;
    let mirror = StackPull::new(shape, 0.0, 1, polarisation)?
        .plate_pull(gap)
        .map_err(|_| MeasureError::Unfit)?;
    let stands = Equivalent::of(shape);
    let at = stands.on_plate(gap, plate, polarisation, stuff.permeability, mirror);
    Ok(mirror * known.law.factor(&at))
}

/// From the magnet itself to the steel, m: plating lies between the face of the space and the magnet of a piece that is plated.
fn below(draft: &Draft, gap: f64) -> f64 {
    let [_, top] = draft.span();
    gap - top
}

/// The form of the only magnet, where it is a plain one.
pub(super) fn only(draft: &Draft) -> Option<&Shape> {
    match draft.magnets.as_slice() {
        [piece] => match &piece.solid {
            Solid::Plain(shape) => Some(shape),
            _ => None,
        },
        _ => None,
    }
}

/// Panels beyond the row on each side, their ends over the reach of its field.
const BEYOND: [f64; 2] = [1.0, 3.0];

/// Pull of a row of blocks on steel, N: Maxwell's stress of twice its field over the plane of the steel, times what the pull law says of one of its blocks alone.
///
/// The mirror image stands for thick steel. That one pole of a row loses as much to real steel as it would alone is a guess: it shares the plate with its neighbours.
pub(super) fn row(
    draft: &Draft,
    bodies: &Bodies,
    known: &Known,
    gap: f64,
    plate: Option<f64>,
) -> Result<f64, MeasureError> {
    let mirror = stress(draft, bodies, gap)?;
    let Some(Solid::Plain(shape)) = draft.magnets.first().map(|piece| &piece.solid) else {
        return Err(MeasureError::Unfit);
    };
    let polarisation = bodies.polarisations.first().copied().unwrap_or_default();
    let stands = Equivalent::of(shape);
    let away = below(draft, gap);
    let alone = StackPull::new(shape, 0.0, 1, polarisation)?
        .plate_pull(away)
        .map_err(|_| MeasureError::Unfit)?;
    let at = stands.on_plate(away, plate, polarisation, 1.0, alone);
    Ok(mirror * known.law.factor(&at))
}

/// `∫ (2 B_z)² / (2 μ0)` over the plane at the gap, N: what the mirror image pulls with.
pub(super) fn stress(draft: &Draft, bodies: &Bodies, gap: f64) -> Result<f64, MeasureError> {
    let rule: [(f64, f64); 5] = unit_rule();
    let mut xs: Vec<f64> = vec![0.0];
    let mut width = 0.0_f64;
    let mut pitch = f64::INFINITY;
    for piece in &draft.magnets {
        let half = piece.half_sizes();
        xs.extend(
            [piece.centre[0] - half[0], piece.centre[0] + half[0]]
                .into_iter()
                .filter(|x| *x > 0.0),
        );
        width = width.max(half[1]);
        pitch = pitch.min(2.0 * half[0]);
    }
    let end = xs.iter().copied().fold(0.0, f64::max);
    let reach = below(draft, gap) + pitch;
    xs.extend(BEYOND.map(|k| end + k * reach));
    let mut ys = vec![0.0, 0.5 * width, width];
    ys.extend(BEYOND.map(|k| width + k * reach));
    xs.sort_by(f64::total_cmp);
    xs.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let across = |edges: &[f64]| -> Vec<(f64, f64)> {
        edges
            .windows(2)
            .flat_map(|panel| {
                let (from, long) = (panel[0], panel[1] - panel[0]);
                rule.map(|(share, weight)| (from + share * long, weight * long))
            })
            .collect()
    };
    let (xs, ys) = (across(&xs), across(&ys));
    let places: Vec<(Vector, f64)> = xs
        .iter()
        .flat_map(|&(x, wx)| ys.iter().map(move |&(y, wy)| ([x, y, gap], wx * wy)))
        .collect();
    let (points, weights): (Vec<Vector>, Vec<f64>) = places.into_iter().unzip();
    let fields = bodies.scene.flux_densities(&points).map_err(|(_, error)| error)?;
    let sum: f64 = fields.iter().zip(weights).map(|(b, w)| b[2] * b[2] * w).sum();
    // Four quarters, alike; (2 B)^2 / (2 mu0).
    Ok(4.0 * 2.0 * sum / MU_0)
}
