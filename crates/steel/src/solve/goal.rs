//! What a mesh is refined for, and how near it has come.

use std::sync::Arc;

use super::exterior::Exterior;
use super::force::{Displacement, Reach};
use super::locate::locate;
use super::recover::{Recovered, Slots, errors};
use super::space::Space;
use super::sparse::{Factor, Singular};
use super::system::{Structure, System};
use super::{Options, SolveError};
use crate::drawing::{Drawing, Material};
use crate::mesh::outline::Outline;
use crate::mesh::plane::Point;

/// Forces below this share of energy over reach count as zero.
const LEAST_FORCE: f64 = 1e-3;
/// Fields below this share of the greatest at the wanted points are held to its error.
const LEAST_FIELD: f64 = 0.05;
/// Share of the bound that the products of errors sum up to, as if all errors had one sign, that is kept in the estimate.
const OF_BOUND: f64 = 0.06;
/// Share of the difference between the two ways to a force that is kept in the estimate.
const BETWEEN_WAYS: f64 = 0.1;

/// A field on one mesh.
#[derive(Clone, Debug)]
pub(crate) struct Field {
    pub(crate) space: Space,
    pub(crate) exterior: Exterior,
    pub(crate) structure: Arc<Structure>,
    pub(crate) u: Vec<f64>,
    pub(crate) slots: Slots,
    pub(crate) means: Vec<[f64; 2]>,
}

impl Field {
    /// Flux density at a point of the meshed ball or outside it.
    pub(crate) fn flux_density(&self, drawing: &Drawing, p: Point) -> [f64; 2] {
        match locate(drawing, &self.space, p) {
            Some((t, l)) => self.slots.at(&self.means, t, l),
            None => self.exterior.at(&self.exterior.amplitudes(&self.u), p).1,
        }
    }
}

/// What is wanted of a drawing.
#[derive(Clone, Debug)]
pub(crate) struct Goal<'a> {
    drawing: &'a Drawing,
    outline: &'a Outline,
    part: Option<usize>,
    points: &'a [Point],
}

/// The wanted values on one mesh.
#[derive(Clone, Debug)]
pub(crate) struct Reading {
    /// Energy, J.
    pub(crate) energy: f64,
    /// Force by the wide displacement and by that of the first layer, N.
    force: Option<[f64; 2]>,
    fields: Vec<[f64; 2]>,
}

impl<'a> Goal<'a> {
    pub(crate) fn new(drawing: &'a Drawing, outline: &'a Outline, options: &'a Options) -> Result<Self, SolveError> {
        if options.tolerance.is_nan() || options.tolerance <= 0.0 {
            let message = format!("the tolerance must be greater than zero, got {}", options.tolerance);
            return Err(SolveError::Option(message));
        }
        if !(options.coarser > 0.0 && options.coarser.is_finite()) {
            let message = format!(
                "elements must be larger by a factor greater than zero, got {}",
                options.coarser
            );
            return Err(SolveError::Option(message));
        }
        if options.decrement.is_nan() || options.decrement <= 0.0 {
            return Err(SolveError::Option(format!(
                "the last step must promise a share of the energy greater than zero, got {}",
                options.decrement
            )));
        }
        if let Some([r, z]) = options.points.iter().find(|p| !(p[0].is_finite() && p[1].is_finite())) {
            return Err(SolveError::Option(format!(
                "points must be finite, got r = {r} m, z = {z} m"
            )));
        }
        let part = options
            .force_on
            .as_ref()
            .map(|name| movable(drawing, name))
            .transpose()?;
        Ok(Self {
            drawing,
            outline,
            part,
            points: &options.points,
        })
    }

    /// The wanted values.
    pub(crate) fn read(&self, field: &Field, system: &System) -> Reading {
        let force = |part, reach| {
            Displacement::new(self.drawing, self.outline, &field.space, part, reach).force(
                self.drawing,
                &field.space,
                &field.u,
            )
        };
        Reading {
            energy: system.energy(&field.space, &field.u),
            force: self
                .part
                .map(|part| [Reach::Wide, Reach::Layer].map(|reach| force(part, reach))),
            fields: self
                .points
                .iter()
                .map(|&p| field.flux_density(self.drawing, p))
                .collect(),
        }
    }

    fn force_scale(&self, reading: &Reading) -> f64 {
        let least = LEAST_FORCE * reading.energy.abs() / self.outline.reach;
        reading.force.map_or(least, |[wide, _]| wide.abs().max(least))
    }

    /// Relative error of the wanted values, from those of the meshes before and between the two ways to a force; 1 on the first mesh.
    pub(crate) fn estimate(&self, now: &Reading, before: &[Reading], shares: &[f64]) -> f64 {
        let Some(last) = before.last() else {
            return 1.0;
        };
        let earlier = before.iter().rev().nth(1);
        let mut worst = 0.0f64;
        if let (Some([wide, layer]), Some([last, _])) = (now.force, last.force) {
            let earlier = earlier.and_then(|e| e.force).map(|f| f[0]);
            let error = to_come(wide, last, earlier).max(BETWEEN_WAYS * (wide - layer).abs());
            worst = worst
                .max(error / self.force_scale(now))
                .max(OF_BOUND * shares.iter().sum::<f64>());
        }
        let greatest = now.fields.iter().map(|b| b[0].hypot(b[1])).fold(0.0, f64::max);
        for (b, last) in now.fields.iter().zip(&last.fields) {
            let size = b[0].hypot(b[1]).max(LEAST_FIELD * greatest);
            worst = worst.max((b[0] - last[0]).hypot(b[1] - last[1]) / size);
        }
        if self.part.is_none() && self.points.is_empty() {
            worst = to_come(now.energy, last.energy, earlier.map(|e| e.energy)) / now.energy.abs();
        }
        worst
    }

    /// Share of every triangle in the error of what is wanted, relative.
    pub(crate) fn shares(&self, field: &Field, factor: &Factor, reading: &Reading) -> Result<Vec<f64>, Singular> {
        let space = &field.space;
        let mine = Recovered {
            u: &field.u,
            means: &field.means,
        };
        let mut dual = vec![0.0; space.len()];
        if let Some(part) = self.part {
            let scale = self.force_scale(reading);
            let derivative =
                Displacement::new(self.drawing, self.outline, space, part, Reach::Wide).derivative(space, &field.u);
            for (dual, d) in dual.iter_mut().zip(derivative) {
                *dual += d / scale;
            }
        }
        for (&p, b) in self.points.iter().zip(&reading.fields) {
            let square = b[0] * b[0] + b[1] * b[1];
            if let (Some((t, l)), true) = (locate(self.drawing, space, p), square > 0.0) {
                let share = 1.0 / (square * self.points.len() as f64);
                for (id, d) in space.nodes[t].iter().zip(space.at(t, l).b) {
                    dual[*id as usize] += share * (d[0] * b[0] + d[1] * b[1]);
                }
            }
        }
        let weighted = if dual.iter().all(|&d| d == 0.0) {
            errors(self.drawing, space, &field.slots, &mine, &mine)
        } else {
            factor.solve(&mut dual)?;
            let means = field.slots.recover(space, &dual);
            let weight = Recovered {
                u: &dual,
                means: &means,
            };
            errors(self.drawing, space, &field.slots, &mine, &weight)
        };
        Ok(weighted.into_iter().map(|[own, dual]| own * dual).collect())
    }
}

/// Index of the magnet or steel part of that name.
pub(crate) fn movable(drawing: &Drawing, name: &str) -> Result<usize, SolveError> {
    drawing
        .find(name)
        .filter(|&i| drawing.parts.get(i).is_some_and(|part| part.material != Material::Air))
        .ok_or_else(|| SolveError::NoPart(name.to_owned()))
}

/// How far a value is still going to move: twice as far as in the last step, or the rest of a geometric series if the last two steps go the same way.
fn to_come(now: f64, last: f64, earlier: Option<f64>) -> f64 {
    /// Slowest series that is believed.
    const SLOWEST: f64 = 0.9;
    /// The last step may have been small by chance.
    const SAFETY: f64 = 2.0;
    let step = now - last;
    let ratio = earlier.map_or(0.5, |earlier| step / (last - earlier));
    let ratio = if ratio > 0.0 { ratio.clamp(0.5, SLOWEST) } else { 0.5 };
    SAFETY * step.abs() * ratio / (1.0 - ratio)
}
