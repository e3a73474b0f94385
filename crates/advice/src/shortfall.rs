//! When nothing on the shelf will surely do: how far it falls short, what would do, and what physics allows.

use std::f64::consts::FRAC_PI_2;

use magnetics::Shape;
use materials::MU_0;
use materials::coating::Coating;
use materials::grade::{Family, GradeRow};
use rayon::prelude::*;
use uncertainty::Band;

use crate::answer::{Best, Build, Ceiling, CeilingLaw, NearMiss, RuledOut, Shortfall, WouldDo};
use crate::blank::BlankKind;
use crate::criteria::Criteria;
use crate::go_on::{GoOn, Stopped, wanted};
use crate::item::Item;
use crate::limits::Has;
use crate::predict::{Prediction, Task};
use crate::question::{Need, ShapeKind};
use crate::rules;
use crate::sharing::lost_side_by_side;

/// Discs that are proposed as a custom size, m: beyond it, magnetising and handling are a trade of their own.
const LARGEST_CUSTOM: f64 = 0.1;
const SMALLEST_CUSTOM: f64 = 2e-3;
const LEAST_THICKNESS: f64 = 1e-3;
/// The least part of the need that a way must reach to be said.
const WORTH_SAYING: f64 = 0.5;
/// Steps in which a custom size is proposed, m.
const CUSTOM_STEP: f64 = 0.5e-3;
/// The most builds that are proposed to share the load of one.
const MOST_SHARING: f64 = 20.0;

/// The shortfall of a question that nothing surely meets.
///
/// # Errors
/// [`Stopped`] where `go_on` said no.
pub(crate) fn shortfall(
    criteria: &Criteria,
    shelf: &[Item],
    near: &[NearMiss],
    go_on: GoOn,
) -> Result<Shortfall, Stopped> {
    let best = best(criteria, shelf, go_on)?;
    // One that is past its knee may be too weak besides.
    let mut would_do: Vec<WouldDo> = near
        .iter()
        .filter(|m| !matches!(m.ruled_out_by, RuledOut::NotComputable | RuledOut::Overhangs { .. }))
        .filter(|m| !is_too_weak(criteria, m))
        .take(2)
        .map(|miss| WouldDo::Relax {
            miss: Box::new(miss.clone()),
        })
        .collect();
    if let Some(best) = &best {
        would_do.extend(from_best(criteria, best));
    }
    would_do.extend(custom(criteria, go_on)?);
    // What is enough first; what is far from it is no advice.
    would_do.retain(|way| part_of_need(criteria, way) >= WORTH_SAYING);
    would_do.sort_by_key(|way| !is_enough(way));
    Ok(Shortfall {
        best,
        would_do,
        ceiling: ceiling(criteria),
    })
}

/// Whether a near miss is too weak, besides what ruled it out.
fn is_too_weak(criteria: &Criteria, miss: &NearMiss) -> bool {
    criteria
        .prediction(&miss.item, criteria.task)
        .is_none_or(|prediction| miss.value < criteria.needed(&prediction, miss.build.pieces))
}

/// Whether a way is surely enough, or by itself rules nothing out.
fn is_enough(way: &WouldDo) -> bool {
    match way {
        WouldDo::Relax { .. } | WouldDo::Share { .. } | WouldDo::Custom { .. } => true,
        WouldDo::BackSteel { .. } => false,
        WouldDo::BothSides { enough, .. }
        | WouldDo::ThickerSteel { enough, .. }
        | WouldDo::OtherGrade { enough, .. } => *enough,
    }
}

/// The part of the need that a way reaches at its middle; 1 for what is known to be enough.
fn part_of_need(criteria: &Criteria, way: &WouldDo) -> f64 {
    match way {
        WouldDo::Relax { .. } | WouldDo::Share { .. } | WouldDo::Custom { .. } => 1.0,
        WouldDo::BothSides { value, .. }
        | WouldDo::BackSteel { value }
        | WouldDo::ThickerSteel { value, .. }
        | WouldDo::OtherGrade { value, .. } => value / criteria.need.at_least,
    }
}

/// The strongest build that breaks no rule.
fn best(criteria: &Criteria, shelf: &[Item], go_on: GoOn) -> Result<Option<Best>, Stopped> {
    let bound = |item| {
        let prediction = criteria.prediction(item, criteria.task)?;
        criteria
            .item_rules(&prediction)
            .is_empty()
            .then(|| criteria.bound_on_strength(&prediction).ok())?
            .map(|bound| (bound / criteria.needed(&prediction, 1), prediction))
    };
    let bounds = shelf
        .par_iter()
        .filter_map(|item| wanted(go_on).map(|()| bound(item)).transpose());
    let mut bounds: Vec<(f64, Prediction)> = bounds.collect::<Result<_, Stopped>>()?;
    bounds.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best: Option<(f64, u32, Prediction)> = None;
    for (bound, prediction) in bounds {
        wanted(go_on)?;
        if best.as_ref().is_some_and(|b| b.0 >= bound) {
            break;
        }
        if let Some((pieces, value)) = criteria.strongest(&prediction) {
            let reaches = value / criteria.needed(&prediction, pieces);
            let has_band = || {
                criteria
                    .in_use(&prediction, pieces)
                    .is_ok_and(|in_use| in_use.band().is_ok())
            };
            if best.as_ref().is_none_or(|b| reaches > b.0) && has_band() {
                best = Some((reaches, pieces, prediction));
            }
        }
    }
    wanted(go_on)?;
    Ok(best.and_then(|(_, pieces, prediction)| in_full(criteria, pieces, &prediction)))
}

/// A build with its band and the part of the need that it surely reaches.
fn in_full(criteria: &Criteria, pieces: u32, prediction: &Prediction) -> Option<Best> {
    let band = criteria.in_use(prediction, pieces).ok()?.band().ok()?;
    let reaches = band.low / criteria.needed(prediction, pieces);
    Some(Best {
        item: prediction.item.clone(),
        build: Build::bare(criteria.stack(pieces)),
        band,
        reaches,
    })
}

/// Ways that start from the strongest build that the shelf has.
fn from_best(criteria: &Criteria, best: &Best) -> Vec<WouldDo> {
    let mut out = Vec::new();
    let pieces = best.build.pieces;
    let Some(prediction) = criteria.prediction(&best.item, criteria.task) else {
        return out;
    };
    let Ok(in_use) = criteria.in_use(&prediction, pieces) else {
        return out;
    };
    let need = criteria.needed(&prediction, pieces);
    let surely = |band: &Band| band.low >= need;
    out.extend(share(criteria, best, &prediction));
    match criteria.task {
        Task::Plate {
            layers,
            thickness,
            friction,
            ..
        } => {
            if let (Some(t), Some(steel)) = (thickness, in_use.steel())
                && steel.enough > t
                && let Ok(band) = in_use.for_task(criteria.task.on_plate(Some(steel.enough))).band()
            {
                out.push(WouldDo::ThickerSteel {
                    thickness: steel.enough,
                    value: band.mid,
                    enough: surely(&band),
                });
            }
            if let Ok(band) = in_use.for_task(Task::pair(layers[1])).band() {
                let [low, mid, _] = friction.unwrap_or([1.0; 3]);
                out.push(WouldDo::BothSides {
                    value: band.mid * mid,
                    enough: band.low * low >= need,
                });
            }
        }
        // Facing each other, their parts along the axis add up and those across it cancel.
        Task::Spot {
            distance,
            off_axis,
            tolerance,
            ..
        } if criteria.far.is_none() => {
            let along = Task::Spot {
                distance,
                off_axis,
                tolerance,
                axial_only: true,
                meter: None,
            };
            if let Ok(band) = in_use.for_task(along).band() {
                out.push(WouldDo::BothSides {
                    value: 2.0 * band.mid,
                    enough: 2.0 * band.low >= need,
                });
            }
        }
        Task::Spot { .. } | Task::Pair { .. } | Task::Dipole { .. } => {}
    }
    if !matches!(best.item.shape, Shape::Sphere { .. })
        && let Ok(doubled) = criteria.in_use(&prediction, 2 * pieces)
        && let Ok(value) = doubled.value()
    {
        out.push(WouldDo::BackSteel { value });
    }
    if let Some(grade) = strongest(criteria, |g| g.br_typical)
        && grade.br_typical > prediction.grade.br_typical * 1.01
    {
        // Another grade begins again as delivered, and loses what that grade loses.
        let stronger = Prediction { grade, ..prediction };
        if let Ok(in_use) = criteria.in_use(&stronger, pieces)
            && let Ok(value) = in_use.value()
            && criteria.field_rules(&in_use).is_empty()
        {
            out.push(WouldDo::OtherGrade {
                grade: grade.name.clone(),
                value,
                enough: matches!(criteria.low_if_sure(&stronger, pieces), Ok(Some(_))),
            });
        }
    }
    out
}

/// How many of the best builds share the load.
fn share(criteria: &Criteria, best: &Best, prediction: &Prediction) -> Option<WouldDo> {
    let Need::Hold { shared_by, .. } = criteria.question.need else {
        return None;
    };
    // Each carries its own weight, and its part of the load with what is left.
    let own = criteria.needed(prediction, best.build.pieces) - criteria.need.at_least;
    let lost = lost_side_by_side(&criteria.in_use(prediction, best.build.pieces).ok()?);
    let times = criteria.need.at_least / ((1.0 - lost) * best.band.low - own).max(0.0);
    if !(times > 1.0 && times <= MOST_SHARING) {
        return None;
    }
    let builds = (times * f64::from(shared_by)).ceil() as u32;
    Some(WouldDo::Share {
        builds,
        item: Box::new(best.item.clone()),
        build: Box::new(best.build.clone()),
        lost,
    })
}

/// The grade of highest remanence, usual or largest, that the question allows at its temperature.
fn strongest<'a>(criteria: &Criteria<'a>, remanence: impl Fn(&GradeRow) -> f64) -> Option<&'a GradeRow> {
    let question = criteria.question;
    criteria
        .catalogue
        .grades
        .rows()
        .iter()
        .filter(|g| g.family != Family::AlNiCo)
        .filter(|g| g.max_service_celsius >= criteria.celsius)
        .filter(|g| {
            question
                .conditions
                .coldest
                .is_none_or(|t| t.celsius() >= g.min_service_celsius)
        })
        .filter(|g| criteria.wanted.is_empty() || criteria.wanted.iter().any(|w| w.admits(g)))
        .max_by(|a, b| remanence(a).total_cmp(&remanence(b)))
}

/// The smallest disc made to size that surely meets the need: within the limits if one does, else beyond them.
///
/// # Errors
/// [`Stopped`] where `go_on` said no.
fn custom(criteria: &Criteria, go_on: GoOn) -> Result<Option<WouldDo>, Stopped> {
    let found = smallest_disc(criteria, go_on);
    wanted(go_on)?;
    Ok(found)
}

fn smallest_disc(criteria: &Criteria, go_on: GoOn) -> Option<WouldDo> {
    let limits = &criteria.question.limits;
    if !limits.shapes.is_empty() && !limits.shapes.contains(&ShapeKind::Disc) || limits.hole.is_some() {
        return None;
    }
    let grade = strongest(criteria, |g| g.br_typical)?;
    let surroundings = criteria.question.conditions.surroundings;
    let lasts = |c: &&Coating| {
        c.max_celsius >= criteria.celsius && surroundings.is_none_or(|place| rules::suits(grade, c, place))
    };
    let coating = criteria.catalogue.coatings.rows().iter().find(lasts)?;
    let within = |diameter: f64| {
        let tallest = limits.tallest.map_or(f64::INFINITY, |t| t.si());
        let shortest = limits.shortest.map_or(0.0, |t| round_up(t.si()));
        [0.5, 1.25, 2.0].map(|part| {
            round_up(diameter * part)
                .max(LEAST_THICKNESS)
                .max(shortest)
                .min(tallest)
        })
    };
    let beyond = |diameter: f64| [round_up(diameter / 2.0).max(LEAST_THICKNESS)];
    let propose = |diameter: f64, thickness: f64, breaks_limits: bool| {
        let item = Item::made(Shape::Disc { diameter, thickness }, &grade.name, &coating.name);
        let prediction = Prediction::new(&item, grade, coating, criteria.task, criteria.celsius);
        let low = criteria.low_if_sure(&prediction, 1).ok()??;
        let broken = [criteria.item_rules(&prediction), criteria.build_rules(&prediction, 1)].concat();
        let allowed = |rule: &RuledOut| is_priceless(rule) || breaks_limits && is_size(rule);
        broken.iter().all(allowed).then(|| WouldDo::Custom {
            diameter,
            thickness,
            grade: grade.name.clone(),
            low,
            breaks_limits,
        })
    };
    let widest = limits.widest.map_or(LARGEST_CUSTOM, |w| w.si().min(LARGEST_CUSTOM));
    let narrowest = limits.narrowest.map_or(SMALLEST_CUSTOM, |w| round_up(w.si()));
    let keeping = steps(narrowest, widest)
        .take_while(|_| go_on())
        .flat_map(|d| within(d).map(|t| (d, t)))
        .find_map(|(diameter, thickness)| propose(diameter, thickness, false));
    keeping.or_else(|| {
        steps(SMALLEST_CUSTOM, LARGEST_CUSTOM)
            .take_while(|_| go_on())
            .flat_map(|d| beyond(d).map(|t| (d, t)))
            .find_map(|(diameter, thickness)| propose(diameter, thickness, true))
    })
}

/// Whether a rule limits the size of a build.
fn is_size(rule: &RuledOut) -> bool {
    matches!(rule, RuledOut::Limit { limit, .. } if limit.of_size)
}

/// Whether a rule is a budget, and there is no price to hold against it.
fn is_priceless(rule: &RuledOut) -> bool {
    matches!(rule, RuledOut::Limit { limit, has: Has::Nothing } if limit.blank.kind == BlankKind::Money)
}

fn round_up(size: f64) -> f64 {
    ((size - rules::SIZE_SLACK) / CUSTOM_STEP).ceil() * CUSTOM_STEP
}

fn steps(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let all = move |k: u32| from + f64::from(k) * CUSTOM_STEP;
    (0..).map(all).take_while(move |size| *size <= to + rules::SIZE_SLACK)
}

/// What no flat face of the strongest grade passes.
///
/// Flux density: the charge on the near face alone, as of an endless rod; the far one only takes from it. A ball, whose
/// pole is not flat, has up to two thirds of its remanence there. Pull: the full remanence over the whole face.
fn ceiling(criteria: &Criteria) -> Option<Ceiling> {
    let grade = strongest(criteria, |g| g.br_max)?;
    let br = grade.br_at(grade.br_max, criteria.celsius).ok()?;
    let limits = &criteria.question.limits;
    let round_only = !limits.shapes.is_empty() && !limits.shapes.contains(&ShapeKind::Block);
    let (value, law) = match (criteria.task, limits.widest.map(|w| w.si())) {
        (Task::Spot { axial_only: true, .. }, _) | (Task::Spot { off_axis: 0.0, .. }, None) => {
            (br / 2.0, CeilingLaw::HalfRemanence)
        }
        (
            Task::Spot {
                distance,
                off_axis: 0.0,
                ..
            },
            Some(width),
        ) => {
            let (half2, distance2) = (width * width / 4.0, distance * distance);
            // The part of half a turn that the face fills, seen from the spot: a round one, and a square one.
            let part = if round_only {
                1.0 - distance / (distance2 + half2).sqrt()
            } else {
                (half2 / (half2 + distance2)).asin() / FRAC_PI_2
            };
            (br / 2.0 * part, CeilingLaw::EndlessRod)
        }
        (Task::Plate { .. } | Task::Pair { .. }, Some(width)) => {
            (br * br * width * width / (2.0 * MU_0), CeilingLaw::FullFace)
        }
        _ => return None,
    };
    let friction = match criteria.task {
        Task::Plate {
            friction: Some([_, _, high]),
            ..
        } => high,
        _ => 1.0,
    };
    Some(Ceiling {
        value: value * friction,
        grade: grade.name.clone(),
        law,
    })
}

#[cfg(test)]
mod tests;
