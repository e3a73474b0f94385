//! What a use does to a build permanently: its own field, heat, cold and what it faces.
//!
//! Every piece has one history: magnetised, loose and alone out of the box, put together, then in its use. What it loses is counted
//! from the loose piece; what is kept, from saturation.
//! A piece of the least coercivity of its grade decides the rules, the whole range of it goes into the bands, cell by cell ([`magnetics::inside`]). Quick bounds spare
//! the cells where no cell can lose anything, and where even the mean field takes far too much.

use std::cmp::Ordering;
use std::sync::Arc;

use magnetics::inside::{self, Detail, Facing, Inside};
use magnetics::{Shape, ShapeError, demag};
use materials::MU_0;
use materials::curve::{Curve, CurveError, Material};
use materials::grade::REFERENCE_CELSIUS;
use uncertainty::{Band, Cause, Input};

pub use crate::answer::LimitedBy;
use crate::coercivity::{NO_LOSS, keeps_all, piece_at, span};
use crate::exposure::{Exposure, KeptBy, LOSS_ALLOWED, Wear};
use crate::memo::Memo;
use crate::predict::{InUse, NotComputable, Prediction};

/// A loss below this is not worth a word.
pub const LOSS_WORTH_SAYING: f64 = 0.005;
/// 0 °C, K.
const ZERO_CELSIUS: f64 = 273.15;
/// A mean field that takes this many times what is allowed settles the matter.
const SURELY_TOO_MUCH: f64 = 3.0;

/// What is known of builds: some 10 MB at most.
static WEARS: Memo<Wear> = Memo::new(1 << 17);
/// The cells of shapes: some 30 MB at most.
static CELLS: Memo<Arc<Inside>> = Memo::new(1 << 12);

impl<'a> Prediction<'a> {
    /// So many pieces of it after what they are exposed to has taken its part permanently.
    ///
    /// # Errors
    /// [`NotComputable::Curve`] where the grade has no curve for that.
    pub fn in_use(self, pieces: u32, exposure: &Exposure) -> Result<InUse<'a>, NotComputable> {
        Ok(InUse::new(self, pieces, wear(&self, pieces, exposure)?))
    }
}

/// What an exposure does to so many stacked pieces.
///
/// # Errors
/// [`CurveError`] for a temperature without a curve, and a grade whose curve is bent and not listed.
pub fn wear(prediction: &Prediction, pieces: u32, exposure: &Exposure) -> Result<Wear, CurveError> {
    let grade = prediction.grade;
    let Ok(magnet) = prediction.item.shape.shrunk(prediction.coating.thickness.typical) else {
        return Ok(Wear::NONE);
    };
    let (pieces, facing) = (pieces as usize, exposure.facing);
    let material = Material::least_coercive(grade);
    let [from, to] = span(grade);
    let mut curves = Vec::with_capacity(3);
    let mut spared = grade.linear;
    let [loose, stacked] = [
        inside::worst_factor(&magnet, 1, Facing::Nothing),
        inside::worst_factor(&magnet, pieces, facing),
    ];
    for (k, celsius) in exposure.visits().into_iter().enumerate() {
        match material.curve(celsius) {
            Ok(curve) => curves.push((celsius, curve)),
            Err(CurveError::NoCoercivity { .. }) => return Ok(all_lost(celsius)),
            Err(error) => return Err(error),
        }
        let most = if k == 0 { loose.max(stacked) } else { stacked };
        spared = spared && keeps_all(&piece_at(grade, from), celsius, most);
    }
    if spared {
        return Ok(Wear::NONE);
    }
    let factors = [1, pieces].map(|pieces| demag::of_stack(&magnet, pieces));
    if let ([Ok(alone), Ok(together)], true) = (factors, grade.linear) {
        let left = |curve: &Curve, factor: f64| curve.settle(factor, 0.0, 1.0).1;
        let fresh = left(&curves[0].1, alone);
        let worst = curves
            .iter()
            .map(|(celsius, curve)| (left(curve, together), *celsius))
            .min_by(|a, b| a.0.partial_cmp(&b.0).unwrap_or(Ordering::Equal));
        if let Some((kept, celsius)) = worst
            && kept < fresh * (1.0 - SURELY_TOO_MUCH * LOSS_ALLOWED)
        {
            return Ok(Wear {
                kept,
                kept_by: KeptBy::all(kept),
                loss: 1.0 - kept / fresh,
                celsius,
            });
        }
    }
    let visited = curves
        .iter()
        .flat_map(|(celsius, curve)| std::iter::once(*celsius).chain(curve.parameters()))
        .chain([from, to]);
    WEARS.once(numbers(&magnet, pieces, facing).into_iter().chain(visited), || {
        let mut wear = by_cells(&magnet, pieces, &material, exposure)?;
        wear.kept_by = KeptBy::over(from, to, |x| {
            by_cells(&magnet, pieces, &piece_at(grade, x), exposure).map(|wear| wear.kept)
        })?;
        Ok(wear)
    })
}

/// The field inside so many pieces that face something, as ranking needs it.
fn cells(magnet: &Shape, pieces: usize, facing: Facing) -> Result<Arc<Inside>, ShapeError> {
    CELLS.once(numbers(magnet, pieces, facing), || {
        Inside::new(magnet, pieces, facing, Detail::Coarse).map(Arc::new)
    })
}

/// All that the field inside a build follows from.
pub(crate) fn numbers(magnet: &Shape, pieces: usize, facing: Facing) -> [f64; 7] {
    let [kind, a, b, c] = match *magnet {
        Shape::Disc { diameter, thickness } => [0.0, diameter, thickness, 0.0],
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => [1.0, outer_diameter, inner_diameter, thickness],
        Shape::Block {
            length,
            width,
            thickness,
        } => [2.0, length, width, thickness],
        Shape::Sphere { diameter } => [3.0, diameter, 0.0, 0.0],
    };
    let [what, gap] = match facing {
        Facing::Nothing => [0.0; 2],
        Facing::Steel { gap } => [1.0, gap],
        Facing::Attracting { gap } => [2.0, gap],
        Facing::Opposing { gap } => [3.0, gap],
    };
    [kind, a, b, c, pieces as f64, what, gap]
}

/// The same, cell by cell, of pieces of that material.
fn by_cells(magnet: &Shape, pieces: usize, material: &Material, exposure: &Exposure) -> Result<Wear, CurveError> {
    let Ok(cells) = cells(magnet, pieces, exposure.facing) else {
        return Ok(Wear::NONE);
    };
    let heated = match cells.heated(material, &[exposure.warmest, exposure.coldest]) {
        Ok(heated) => heated,
        Err(CurveError::NoCoercivity { celsius, .. }) => return Ok(all_lost(celsius)),
        Err(error) => return Err(error),
    };
    let left = |k: usize| -> f64 {
        let retained = &heated.visits[k].retained;
        retained.iter().zip(cells.shares()).map(|(r, share)| r * share).sum()
    };
    let celsius = if left(1) < left(0) - NO_LOSS {
        exposure.coldest
    } else {
        exposure.warmest
    };
    let kept = 1.0 - heated.short;
    Ok(Wear {
        kept,
        kept_by: KeptBy::all(kept),
        loss: heated.loss,
        celsius,
    })
}

fn all_lost(celsius: f64) -> Wear {
    Wear {
        kept: 0.0,
        kept_by: KeptBy::all(0.0),
        loss: 1.0,
        celsius,
    }
}

/// The highest temperature that so many pieces stand, as [`stands`], and what sets it.
#[must_use]
pub fn limit(prediction: &Prediction, pieces: u32, facing: Facing) -> (f64, LimitedBy) {
    let (grade, coating) = (prediction.grade.max_service_celsius, prediction.coating.max_celsius);
    let stands = stands(prediction, pieces, facing);
    let by = if stands < grade.min(coating) {
        LimitedBy::Shape
    } else if grade <= coating {
        LimitedBy::Grade
    } else {
        LimitedBy::Coating
    };
    (stands, by)
}

/// The highest temperature, °C, that so many pieces stand, facing something, without losing more than [`LOSS_ALLOWED`] of their
/// flux permanently; no more than the limits of grade and coating.
#[must_use]
pub fn stands(prediction: &Prediction, pieces: u32, facing: Facing) -> f64 {
    let most = prediction.grade.max_service_celsius.min(prediction.coating.max_celsius);
    highest(prediction, pieces, facing, most)
}

/// As [`stands`], up to `most` °C whatever grade and coating are rated.
#[must_use]
pub fn highest(prediction: &Prediction, pieces: u32, facing: Facing, most: f64) -> f64 {
    let Ok(magnet) = prediction.item.shape.shrunk(prediction.coating.thickness.typical) else {
        return most;
    };
    let material = Material::least_coercive(prediction.grade);
    let bound = inside::worst_factor(&magnet, pieces as usize, facing);
    let unhurt = |curve: Curve| curve.retained(bound * curve.remanence() / MU_0) >= 1.0 - LOSS_ALLOWED;
    if prediction.grade.linear && material.curve(most).is_ok_and(unhurt) {
        return most;
    }
    cells(&magnet, pieces as usize, facing).map_or(most, |cells| {
        inside::highest_celsius(&cells, &material, LOSS_ALLOWED, REFERENCE_CELSIUS, most)
    })
}

/// The band, K, of the highest temperature that so many pieces stand as [`highest`] has it, whatever grade and coating are
/// rated: with the coercivity spread over the grade rather than at its least. `None` where the grade's curve is bent.
#[must_use]
pub fn limit_band(prediction: &Prediction, pieces: u32, facing: Facing) -> Option<Band> {
    let grade = prediction.grade;
    if !grade.linear {
        return None;
    }
    let coercivity = Input::new(
        Cause::Coercivity,
        grade.hcj_min,
        grade.hcj_typical(),
        grade.hcj_max.unwrap_or(grade.hcj_typical()),
    );
    let middle = prediction
        .item
        .shape
        .shrunk(prediction.coating.thickness.typical)
        .ok()?;
    let middle_cells = cells(&middle, pieces as usize, facing).ok()?;
    prediction.band_of(coercivity, |magnet, br, hcj| {
        let material = Material::with(grade, br, hcj);
        let stands = |cells: &Inside| {
            inside::highest_celsius(cells, &material, LOSS_ALLOWED, REFERENCE_CELSIUS, grade.curie_celsius)
        };
        let celsius = if *magnet == middle {
            Some(stands(&middle_cells))
        } else {
            let moved = Inside::new(magnet, pieces as usize, facing, Detail::Coarse);
            moved.as_ref().ok().map(stands)
        };
        celsius.map_or(f64::NAN, |c| c + ZERO_CELSIUS)
    })
}

#[cfg(test)]
mod tests;
