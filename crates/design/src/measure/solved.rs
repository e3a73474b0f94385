//! Drafts that carry steel, by finite elements on their axis.

use std::ops::ControlFlow;

use numerics::stop::Stop;
use steel::drawing::{Drawing, Material, Part};
use steel::solve::{Options, Solution, solve_watched};

use super::{Figures, MeasureError, inside, places};
use crate::draft::Draft;
use crate::known::Known;
use crate::wish::{Goal, Wish};

/// The steel that is held on.
const PLATE: &str = "plate";

/// How much wider than the draft a wide plate is drawn, with six gaps besides.
const WIDE: f64 = 3.0;

/// The whole as it is solved: the magnets, the steel parts, and the plate of a goal that holds.
pub(super) fn drawing(wish: &Wish, draft: &Draft, known: &Known) -> Result<Drawing, MeasureError> {
    let steel = || Material::Steel(known.curve.clone());
    let mut parts = Vec::new();
    for (k, piece) in draft.magnets.iter().enumerate() {
        let profile = piece.section().ok_or(MeasureError::Unfit)?;
        let material = Material::Magnet {
            polarisation: piece.along[2] * wish.stuff.remanence,
            recoil_permeability: wish.stuff.permeability,
        };
        parts.push(Part::new(format!("magnet {}", k + 1), profile, material));
    }
    for part in &draft.steel {
        parts.push(Part::new(part.name, part.profile.clone(), steel()));
    }
    if let Goal::Hold { gap, plate, .. } = wish.goal {
        let [reach, _] = draft.reach();
        let thickness = plate.unwrap_or(2.0 * reach);
        let radius = WIDE * reach + 6.0 * gap;
        parts.push(Part::ring(PLATE, [0.0, radius], [gap, gap + thickness], steel()));
    }
    Ok(Drawing::new(parts))
}

/// A mesh good enough to search with: some per cent.
fn rough_options() -> Options {
    Options {
        tolerance: 1.0,
        least_unknowns: 0,
        coarser: 6.0,
        ..Options::default()
    }
}

/// Solves a draft with these options, made for what its goal asks.
pub(super) fn solution(
    wish: &Wish,
    draft: &Draft,
    known: &Known,
    options: Options,
    stop: &Stop,
) -> Result<Solution, MeasureError> {
    let drawing = drawing(wish, draft, known)?;
    let height = places::height(&wish.goal, draft);
    let options = match wish.goal {
        Goal::Hold { .. } => Options {
            force_on: Some(PLATE.to_owned()),
            ..options
        },
        _ => Options {
            points: vec![[0.0, height]],
            ..options
        },
    };
    let go_on = |_| {
        if stop.is_set() {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    };
    Ok(solve_watched(&drawing, &options, &mut { go_on })?)
}

/// The figures of a draft on a rough mesh.
pub(super) fn rough(wish: &Wish, draft: &Draft, known: &Known, stop: &Stop) -> Result<Figures, MeasureError> {
    let solution = solution(wish, draft, known, rough_options(), stop)?;
    figures(wish, draft, &solution)
}

/// What a solution says of a draft.
pub(super) fn figures(wish: &Wish, draft: &Draft, solution: &Solution) -> Result<Figures, MeasureError> {
    let height = places::height(&wish.goal, draft);
    let axial = |r: f64| solution.flux_density(r, height)[1];
    let (value, spread) = match &wish.goal {
        Goal::Hold { .. } => (solution.force_on(PLATE)?.abs(), [1.0; 2]),
        Goal::Reach { spot, .. } | Goal::Gap { spot, .. } => {
            let mean = places::over_spot(*spot, height, true)
                .into_iter()
                .map(|(at, weight)| axial(at[0].hypot(at[1])) * weight)
                .sum();
            (mean, [1.0; 2])
        }
        Goal::Even { field, area, .. } => {
            let fields: Vec<f64> = places::over_area(area, height, true)
                .into_iter()
                .map(|at| axial(at[0]))
                .collect();
            let mean = fields.iter().sum::<f64>() / fields.len() as f64;
            (mean, places::ends(fields.iter().map(|b| b / field)))
        }
        Goal::Turn { .. } => return Err(MeasureError::Unfit),
    };
    let stray = places::around(draft)
        .into_iter()
        .map(|[x, y, z]| {
            let [radial, axial] = solution.flux_density(x.hypot(y), z);
            radial.hypot(axial)
        })
        .fold(0.0, f64::max);
    Ok(Figures {
        value,
        spread,
        strain: strain(wish, draft, solution),
        stray: Some(stray),
    })
}

/// Largest demagnetising field in a magnet over that of its knee, by the middles of the triangles that lie as far below its surface as elsewhere is looked.
fn strain(wish: &Wish, draft: &Draft, solution: &Solution) -> f64 {
    let stuff = &wish.stuff;
    let knee = stuff.curve.knee();
    solution
        .triangles()
        .filter_map(|triangle| {
            let piece = draft.magnets.get(triangle.part?)?;
            let half = piece.half_sizes();
            let [r, z] = [0, 1].map(|i| triangle.corners.iter().map(|corner| corner[i]).sum::<f64>() / 3.0);
            let deep = 1.0 - 2.0 * inside::DEPTH;
            if r > deep * half[0] || (z - piece.centre[2]).abs() > deep * half[2] {
                return None;
            }
            let along = piece.along[2] * triangle.flux_density[1];
            // On the recoil line B = Br - mu h.
            let field = (stuff.remanence - along) / (materials::MU_0 * stuff.permeability);
            Some(field / knee)
        })
        .fold(f64::NEG_INFINITY, f64::max)
}
