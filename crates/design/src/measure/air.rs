//! Magnets alone: their field in closed form, with the recoil to first order.

use magnetics::{Placed, Polarisation, Scene};
use materials::MU_0;
use numerics::stop::Stop;
use numerics::vector::{Vector, dot, length, scale, sub};

use super::{MeasureError, inside, places};
use crate::draft::{Draft, Piece};
use crate::family::Family;
use crate::wish::{Aim, Goal, Wish};

/// The magnets of a draft with the polarisation that their own field and that of the others leave them.
pub(super) struct Bodies {
    /// The bodies.
    pub scene: Scene,
    /// Largest demagnetising field over that of the knee.
    pub strain: f64,
    /// Polarisations, T, by piece.
    pub polarisations: Vec<f64>,
}

/// For each piece the first that is its like by symmetry.
fn alike(draft: &Draft) -> Vec<usize> {
    let count = draft.magnets.len();
    (0..count)
        .map(|k| match draft.family {
            Family::Coupling => 0,
            family if family.is_around() => 0,
            Family::Opposed | Family::Focused | Family::HalbachRow | Family::AlternatingRow => k.min(count - 1 - k),
            _ => k,
        })
        .collect()
}

/// Demagnetising field at places in one piece of a scene, A/m.
fn demagnetising(scene: &Scene, piece: &Piece, polarisation: f64, places: &[Vector]) -> Result<Vec<f64>, MeasureError> {
    let direction = piece.direction();
    let fields = scene.flux_densities(places).map_err(|(_, error)| error)?;
    Ok(fields
        .into_iter()
        .map(|b| dot(sub(scale(direction, polarisation), b), direction) / MU_0)
        .collect())
}

/// The bodies of a draft with these polarisations, T.
fn polarised(draft: &Draft, polarisations: &[f64], stop: &Stop) -> Result<Scene, MeasureError> {
    let bodies: Result<Vec<Placed>, _> = draft
        .magnets
        .iter()
        .zip(polarisations)
        .map(|(piece, &polarisation)| piece.placed(polarisation))
        .collect();
    Ok(Scene::new(bodies?).until(stop))
}

/// The bodies of a draft with all of their remanence.
pub(super) fn rigid(wish: &Wish, draft: &Draft, stop: &Stop) -> Result<Scene, MeasureError> {
    polarised(draft, &vec![wish.stuff.remanence; draft.magnets.len()], stop)
}

/// The bodies of a draft, the recoil to first order, with their strain.
pub(super) fn settled_to_first_order(wish: &Wish, draft: &Draft, stop: &Stop) -> Result<Bodies, MeasureError> {
    let stuff = &wish.stuff;
    let rigid = rigid(wish, draft, stop)?;
    let likes = alike(draft);
    let mut polarisations = vec![stuff.remanence; draft.magnets.len()];
    for (k, piece) in draft.magnets.iter().enumerate() {
        let left = if likes[k] < k {
            polarisations[likes[k]]
        } else {
            let (points, weights): (Vec<Vector>, Vec<f64>) = inside::mean(piece).into_iter().unzip();
            let fields = demagnetising(&rigid, piece, stuff.remanence, &points)?;
            let mean: f64 = fields.iter().zip(weights).map(|(h, w)| h * w).sum();
            // The field falls as the polarisation does: J = Br / (1 + chi mu0 h / Br).
            let share = 1.0 + stuff.susceptibility() * MU_0 * mean / stuff.remanence;
            stuff.remanence / share.max(0.5)
        };
        polarisations[k] = left;
    }
    let scene = polarised(draft, &polarisations, stop)?;
    let knee = stuff.curve.knee();
    let mut strain = f64::NEG_INFINITY;
    for (k, piece) in draft.magnets.iter().enumerate() {
        if likes[k] == k {
            let fields = demagnetising(&scene, piece, polarisations[k], &inside::worst(piece))?;
            strain = fields.into_iter().fold(strain, |worst, h| worst.max(h / knee));
        }
    }
    Ok(Bodies {
        scene,
        strain,
        polarisations,
    })
}

/// The bodies of a draft with the recoil solved for.
pub(super) fn settled(wish: &Wish, draft: &Draft, stop: &Stop) -> Result<Scene, MeasureError> {
    let bodies: Result<Vec<Placed>, _> = draft
        .magnets
        .iter()
        .map(|piece| {
            piece
                .placed(wish.stuff.remanence)
                .and_then(|body| body.with_recoil_permeability(wish.stuff.permeability))
        })
        .collect();
    Ok(Scene::new(bodies?).until(stop).settled()?)
}

/// The flux density along the axis that a goal asks for, T: over the spot, or its mean over the area.
pub(super) fn axial(scene: &Scene, wish: &Wish, draft: &Draft) -> Result<f64, MeasureError> {
    let height = places::height(&wish.goal, draft);
    let weighted = match &wish.goal {
        Goal::Reach { spot, .. } | Goal::Gap { spot, .. } => places::over_spot(*spot, height, draft.is_turned()),
        Goal::Even { area, .. } => {
            let points = places::over_area(area, height, draft.is_turned());
            let weight = 1.0 / points.len() as f64;
            points.into_iter().map(|point| (point, weight)).collect()
        }
        _ => return Err(MeasureError::Unfit),
    };
    let (points, weights): (Vec<Vector>, Vec<f64>) = weighted.into_iter().unzip();
    let fields = scene.flux_densities(&points).map_err(|(_, error)| error)?;
    Ok(fields.iter().zip(weights).map(|(b, w)| b[2] * w).sum())
}

/// Least and largest flux density along the axis over the area, as a share of the wanted one.
pub(super) fn spread(scene: &Scene, wish: &Wish, draft: &Draft) -> Result<[f64; 2], MeasureError> {
    let Goal::Even { field, area, .. } = &wish.goal else {
        return Ok([1.0; 2]);
    };
    let points = places::over_area(area, places::height(&wish.goal, draft), draft.is_turned());
    let fields = scene.flux_densities(&points).map_err(|(_, error)| error)?;
    Ok(places::ends(fields.iter().map(|b| b[2] / field)))
}

impl Bodies {
    /// As [`axial`].
    pub(super) fn value(&self, wish: &Wish, draft: &Draft) -> Result<f64, MeasureError> {
        axial(&self.scene, wish, draft)
    }

    /// As [`spread`].
    pub(super) fn spread(&self, wish: &Wish, draft: &Draft) -> Result<[f64; 2], MeasureError> {
        spread(&self.scene, wish, draft)
    }

    /// Largest flux density beside and behind, T. On a steel plate that of the magnets alone.
    pub(super) fn stray(&self, wish: &Wish, draft: &Draft) -> Result<Option<f64>, MeasureError> {
        if !wish.aims.contains(&Aim::Stray) {
            return Ok(None);
        }
        let fields = self
            .scene
            .flux_densities(&places::around(draft))
            .map_err(|(_, error)| error)?;
        Ok(Some(fields.into_iter().map(length).fold(0.0, f64::max)))
    }
}

/// Polarisation along `z` of a body, T.
pub(super) fn upright(body: &Placed) -> f64 {
    match body.polarisation() {
        Polarisation::Along(j) => j[2],
        Polarisation::Radial(_) => 0.0,
    }
}
