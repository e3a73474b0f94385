//! When nothing on the shelf will surely do: how far it falls short, what would do, and what physics allows.

use magnetics::grade::{Family, GradeRow};
use magnetics::{MU_0, Shape};
use quantity::Length;
use rayon::prelude::*;

use crate::answer::{Best, Ceiling, CeilingLaw, NearMiss, Predicted, RuledOut, Shortfall, WouldDo};
use crate::item::{Item, Magnetised};
use crate::predict::{Prediction, Task};
use crate::question::{Need, ShapeKind};
use crate::rules;
use crate::search::{KNEE, Search};

/// Largest disc that is proposed as a custom size, m: beyond it, magnetising and handling are a trade of their own.
const LARGEST_CUSTOM: f64 = 0.1;
/// Steps in which a custom size is proposed, m.
const CUSTOM_STEP: f64 = 0.5e-3;

pub(crate) fn shortfall(search: &Search, shelf: &[Item], near: &[NearMiss]) -> Shortfall {
    let best = best(search, shelf);
    let mut would_do: Vec<WouldDo> = near
        .iter()
        .filter(|m| !matches!(m.ruled_out_by, RuledOut::TooWeak { .. } | RuledOut::NotComputable))
        .take(2)
        .map(|miss| WouldDo::Relax { miss: Box::new(miss.clone()) })
        .collect();
    if let Some(best) = &best {
        would_do.extend(from_best(search, best));
    }
    would_do.extend(custom(search));
    Shortfall { best, would_do, ceiling: ceiling(search) }
}

/// The strongest build that breaks no rule.
fn best(search: &Search, shelf: &[Item]) -> Option<Best> {
    let most = search.question.limits.stack.unwrap_or(crate::check::MOST_STACKED);
    let (_, item, pieces) = shelf
        .par_iter()
        .filter_map(|item| {
            let (grade, coating) = search.materials(item)?;
            if !rules::item_rules(search.question, item, grade, coating, &search.wanted).is_empty() {
                return None;
            }
            let pieces = (1..=most).rev().find(|&n| search.build_rules(item, grade, coating, n).is_empty())?;
            let value = search.prediction(item, search.task)?.mid(pieces);
            Some((value, item, pieces))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    let band = search.prediction(item, search.task)?.band(pieces);
    let reaches = band.low / search.need.at_least;
    Some(Best { item: item.clone(), build: search.build(pieces), band, reaches })
}

/// Ways that start from the strongest build that the shelf has.
fn from_best(search: &Search, best: &Best) -> Vec<WouldDo> {
    let mut out = Vec::new();
    let need = search.need.at_least;
    let Some(prediction) = search.prediction(&best.item, search.task) else { return out };
    let Some(stack) = prediction.stack(best.build.pieces) else { return out };
    let enough = |value: f64| value >= need;
    if search.need.quantity == Predicted::Force && best.band.low > 0.0 && !search.task.is_pair() {
        let builds = (need / best.band.low).ceil();
        if (2.0..=20.0).contains(&builds) {
            out.push(WouldDo::Share { builds: builds as u32, code: best.item.code.clone() });
        }
    }
    match search.task {
        Task::Plate { layers, thickness, friction, .. } => {
            if let Some(t) = thickness {
                let thick = Task::Plate { layers, thickness: None, usable: 1.0, friction };
                let value = Prediction { task: thick, ..prediction }.mid(best.build.pieces);
                let Task::Plate { usable, .. } = search.task else { return out };
                let needed = prediction.thin(stack.plate_pull(layers[1]), usable, t).enough;
                if needed > t {
                    out.push(WouldDo::ThickerSteel { thickness: needed, value, enough: enough(value) });
                }
            }
            let value = stack.pair_force(layers[1]) * friction.map_or(1.0, |f| f[1]);
            out.push(WouldDo::BothSides { value, enough: enough(value) });
        }
        Task::Spot { .. } => {
            let value = 2.0 * best.band.mid;
            out.push(WouldDo::BothSides { value, enough: enough(value) });
        }
        Task::Pair { .. } => {}
    }
    if !matches!(best.item.shape, Shape::Sphere { .. }) {
        let doubled = prediction.mid(2 * best.build.pieces);
        out.push(WouldDo::BackSteel { value: doubled, enough: enough(doubled) });
    }
    if let Some(grade) = strongest(search)
        && grade.br_typical > prediction.grade.br_typical * 1.01
    {
        let value = Prediction { grade, ..prediction }.mid(best.build.pieces);
        out.push(WouldDo::OtherGrade { grade: grade.name.clone(), value, enough: enough(value) });
    }
    out
}

/// The grade of highest remanence that the question allows at its temperature.
fn strongest<'a>(search: &Search<'a>) -> Option<&'a GradeRow> {
    let question = search.question;
    search
        .catalogue
        .grades
        .rows()
        .iter()
        .filter(|g| g.family != Family::AlNiCo)
        .filter(|g| g.max_service_celsius >= search.celsius)
        .filter(|g| question.conditions.coldest.is_none_or(|t| t.celsius() >= g.min_service_celsius))
        .filter(|g| search.wanted.is_empty() || search.wanted.iter().any(|w| w.admits(g)))
        .max_by(|a, b| a.br_typical.total_cmp(&b.br_typical))
}

/// The smallest disc made to size that surely meets the need: within the limits if one does, else beyond them.
fn custom(search: &Search) -> Option<WouldDo> {
    let limits = &search.question.limits;
    if !limits.shapes.is_empty() && !limits.shapes.contains(&ShapeKind::Disc) || limits.hole.is_some() {
        return None;
    }
    let grade = strongest(search)?;
    let disc = |diameter: f64, thickness: f64| Item {
        code: String::new(),
        name: String::new(),
        shape: Shape::Disc { diameter, thickness },
        magnetised: Magnetised::Thickness,
        grade: grade.name.clone(),
        coating: "Ni-Cu-Ni".into(),
        tolerance: Length(0.1e-3),
        mass: None,
        stock: None,
        prices: Vec::new(),
        link: None,
        note: None,
    };
    let tallest = limits.tallest.map_or(f64::INFINITY, |t| t.si());
    let round = |x: f64| (x / CUSTOM_STEP).ceil() * CUSTOM_STEP;
    let thickness_for = |diameter: f64| round((diameter / 2.0).max(1e-3)).min(tallest);
    let low = |diameter: f64, thickness: f64| {
        let item = disc(diameter, thickness);
        let (_, coating) = search.materials(&item)?;
        let prediction = Prediction::new(&item, grade, coating, search.task, search.celsius);
        let stack = prediction.stack(1)?;
        let clear = crate::because::knee_ratio(&stack, grade, search.celsius) <= KNEE;
        let far = search.far_band(&prediction, 1);
        let quiet = far.is_none_or(|f| f.high <= search.need.ceiling.unwrap_or(f64::INFINITY));
        (clear && quiet).then(|| prediction.band(1).low)
    };
    let meets = |diameter: f64, thickness: f64| low(diameter, thickness).filter(|l| *l >= search.need.at_least);
    let widest = limits.widest.map_or(LARGEST_CUSTOM, |w| w.si().min(LARGEST_CUSTOM));
    let narrowest = limits.narrowest.map_or(2e-3, |w| w.si());
    let steps = |from: f64, to: f64| {
        let n = ((to - from) / CUSTOM_STEP).floor().max(0.0) as usize;
        (0..=n).map(move |k| from + k as f64 * CUSTOM_STEP)
    };
    let propose = |diameter: f64, thickness: f64, low: f64, breaks_limits: bool| WouldDo::Custom {
        diameter,
        thickness,
        grade: grade.name.clone(),
        low,
        breaks_limits,
    };
    for diameter in steps(round(narrowest), widest) {
        let usual = thickness_for(diameter);
        let tall = round(2.0 * diameter).min(tallest);
        for thickness in [usual, (usual + tall) / 2.0, tall] {
            if let Some(l) = meets(diameter, thickness) {
                return Some(propose(diameter, thickness, l, false));
            }
        }
    }
    steps(round(narrowest), LARGEST_CUSTOM).find_map(|diameter| {
        let thickness = round(diameter / 2.0);
        meets(diameter, thickness).map(|l| propose(diameter, thickness, l, true))
    })
}

/// What no magnet of the strongest grade passes.
fn ceiling(search: &Search) -> Option<Ceiling> {
    let grade = strongest(search)?;
    let br = grade.br_at(grade.br_max, search.celsius).ok()?;
    let limits = &search.question.limits;
    let (value, law) = match search.task {
        Task::Spot { axial_only: true, .. } => (br / 2.0, CeilingLaw::HalfRemanence),
        Task::Spot { distance, .. } => {
            let radius = limits.widest?.si() / 2.0;
            (br / 2.0 * (1.0 - distance / distance.hypot(radius)), CeilingLaw::EndlessRod)
        }
        Task::Plate { .. } | Task::Pair { .. } => {
            let width = limits.widest?.si();
            (br * br * width * width / (2.0 * MU_0), CeilingLaw::FullFace)
        }
    };
    let friction = match (&search.question.need, search.task) {
        (Need::Hold { .. }, Task::Plate { friction: Some([_, _, high]), .. }) => high,
        _ => 1.0,
    };
    Some(Ceiling { value: value * friction, grade: grade.name.clone(), law })
}
