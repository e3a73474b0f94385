//! What heat and its own field do to a build: its curve and where it works on it, flux against temperature, and a map of the
//! inside.

use magnetics::inside::{Detail, Facing, Heated, Inside};
use magnetics::{Shape, demag, inside};
use materials::MU_0;
use materials::curve::{Curve, Material};
use materials::grade::REFERENCE_CELSIUS;

use crate::answer::{Branches, Heat, InsideField, Warming};
use crate::exposure::{Exposure, LOSS_ALLOWED};
use crate::heat::limit;
use crate::predict::Prediction;

/// Points of each branch of a curve.
const CURVE_POINTS: u32 = 60;
/// Points of the curve against temperature.
const TEMPERATURE_POINTS: u32 = 30;
/// The curve against temperature goes this far beyond what the build stands, K.
const BEYOND: f64 = 40.0;
/// Slenderness of the cylinder by which GB/T 13560-2017, 3.4 defines a maximum working temperature.
const BY_DEFINITION: f64 = 0.7;
/// Two temperatures closer than this are drawn as one, K.
const SAME: f64 = 0.5;

/// What an exposure does to so many pieces; `None` where their grade has no curve at some temperature of it.
pub(crate) fn heat(prediction: &Prediction, pieces: u32, exposure: &Exposure) -> Option<Heat> {
    let (grade, coating) = (prediction.grade, prediction.coating);
    let plating = coating.thickness.typical;
    let magnet = prediction.item.shape.shrunk(plating).ok()?;
    let looked_at = LookedAt {
        prediction,
        exposure,
        material: Material::least_coercive(grade),
        factor: demag::of_stack(&magnet, pieces as usize).ok()?,
    };
    let cells = |detail| Inside::new(&magnet, pieces as usize, exposure.facing, detail).ok();
    let (fine, coarse) = (cells(Detail::Fine)?, cells(Detail::Coarse)?);
    let heated = fine
        .heated(&looked_at.material, &[exposure.warmest, exposure.coldest])
        .ok()?;
    let most = grade.curie_celsius - 1.0;
    let highest = |cells: &Inside, material: &Material| {
        inside::highest_celsius(cells, material, LOSS_ALLOWED, REFERENCE_CELSIUS, most)
    };
    let cylinder = Shape::Disc {
        diameter: 10e-3,
        thickness: BY_DEFINITION * 10e-3,
    };
    let facing = [
        Facing::Nothing,
        Facing::Steel { gap: plating },
        Facing::Opposing { gap: 2.0 * plating },
    ];
    Some(Heat {
        grade: grade.clone(),
        rated: grade.max_service_celsius.min(coating.max_celsius),
        factor: looked_at.factor,
        in_use: limit(prediction, pieces, exposure.facing),
        stands: facing.map(|facing| limit(prediction, pieces, facing)),
        by_definition: Inside::new(&cylinder, 1, Facing::Nothing, Detail::Coarse)
            .ok()
            .map(|cells| highest(&cells, &Material::typical(grade))),
        loss: heated.loss,
        short: heated.short,
        curves: looked_at.curves()?,
        warming: looked_at.warming(&coarse, highest(&coarse, &looked_at.material))?,
        inside: looked_at.inside(&fine, &heated)?,
    })
}

struct LookedAt<'a> {
    prediction: &'a Prediction<'a>,
    exposure: &'a Exposure,
    material: Material<'a>,
    factor: f64,
}

impl LookedAt<'_> {
    /// The temperatures of the use, room temperature first.
    fn temperatures(&self) -> Vec<f64> {
        let mut out: Vec<f64> = vec![REFERENCE_CELSIUS];
        for celsius in [self.exposure.warmest, self.exposure.coldest] {
            if out.iter().all(|t| (t - celsius).abs() > SAME) {
                out.push(celsius);
            }
        }
        out
    }

    /// The second quadrant.
    fn curves(&self) -> Option<Vec<Branches>> {
        let branches = |celsius: f64| {
            let curve: Curve = self.material.curve(celsius).ok()?;
            let branch = |value: &dyn Fn(f64) -> f64| -> Vec<[f64; 2]> {
                (0..=CURVE_POINTS)
                    .map(|i| curve.coercivity() * f64::from(i) / f64::from(CURVE_POINTS))
                    .map(|h| [h, value(h)])
                    .take_while(|[_, v]| *v >= 0.0)
                    .collect()
            };
            let (h, kept) = curve.settle(self.factor, 0.0, 1.0);
            Some(Branches {
                celsius,
                b: branch(&|h| curve.flux_density(h)),
                j: branch(&|h| curve.polarisation(h).max(0.0)),
                ends: [curve.coercivity(), curve.remanence()],
                works: [h, curve.recoiled(kept, h) - MU_0 * h],
            })
        };
        self.temperatures().into_iter().map(branches).collect()
    }

    /// Flux against temperature.
    fn warming(&self, cells: &Inside, stands: f64) -> Option<Warming> {
        let grade = self.prediction.grade;
        let room = self.material.curve_at_reference().ok()?;
        let fresh = cells.as_delivered(&room);
        let start = self.exposure.coldest.min(0.0);
        let hottest = stands.max(self.exposure.warmest).max(grade.max_service_celsius);
        let end = (hottest + BEYOND).min(grade.curie_celsius - 1.0);
        let share = |j: f64| j / fresh.polarisation;
        let mut points = Vec::new();
        for k in 0..=TEMPERATURE_POINTS {
            let celsius = start + (end - start) * f64::from(k) / f64::from(TEMPERATURE_POINTS);
            // Beyond the last temperature with a curve there is nothing left to draw.
            let Ok(curve) = self.material.curve(celsius) else { break };
            let then = cells.settle(&curve, Some(&fresh));
            let cold = cells.settle(&room, Some(&then));
            points.push([
                celsius,
                share(then.polarisation),
                curve.remanence() / room.remanence(),
                share(cold.polarisation),
            ]);
        }
        Some(Warming { points, end, stands })
    }

    fn inside(&self, cells: &Inside, heated: &Heated) -> Option<InsideField> {
        let visits = [self.exposure.warmest, self.exposure.coldest];
        let knee = |k: usize| Some(self.material.curve(visits[k]).ok()?.knee());
        // The visit with the larger part past the knee, or the larger field where none is.
        let shares = |k: usize| -> Option<(f64, f64)> {
            let state = heated.visits.get(k)?;
            Some((state.past_knee, state.worst / knee(k)?))
        };
        let worst = usize::from(shares(1)? > shares(0)?);
        let (state, knee) = (heated.visits.get(worst)?, knee(worst)?);
        let places = cells.cells();
        let (across, levels) = (places.across.len() - 1, places.along.len() - 1);
        let rows = |value: &dyn Fn(usize) -> f64| -> Vec<Vec<f64>> {
            let upper: Vec<Vec<f64>> = (0..levels)
                .map(|z| (0..across).map(|x| value(x * levels + z)).collect())
                .collect();
            if places.halved {
                upper.iter().rev().cloned().chain(upper.iter().cloned()).collect()
            } else {
                upper
            }
        };
        let along = if places.halved {
            let top = places.along.last().copied()?;
            let lower = places.along.iter().rev().map(|e| top - e);
            lower.chain(places.along.iter().skip(1).map(|e| top + e)).collect()
        } else {
            places.along.clone()
        };
        Some(InsideField {
            celsius: visits[worst],
            across: places.across.clone(),
            along,
            cells: rows(&|k| state.field.get(k).map_or(0.0, |h| h / knee)),
            kept: rows(&|k| heated.after.retained.get(k).copied().unwrap_or(1.0)),
            past_knee: state.past_knee,
            worst: state.worst / knee,
        })
    }
}
