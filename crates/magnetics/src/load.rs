//! Force and torque of placed bodies on one another, at any place and turn, and the pull on an ideal plate.
//!
//! Closed forms where [`crate::force`] has them; otherwise the field of one body summed over the charge of the other by an adaptive
//! product rule that states its error.

mod induced;

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::sync::LazyLock;

use thiserror::Error;

use crate::assembly::FieldError;
use crate::closed::closed_form;
use crate::patch::Patch;
use crate::placed::Placed;
use crate::recoil_solve::{SettleError, Settled};
use crate::scene::Scene;
use crate::solid::PlacedError;
use numerics::quadrature::unit_rule;
use numerics::stop::Stop;
use numerics::vector::{add, cross, length, scale, sub};

/// Relative error that the quadrature aims at, of the force's parts taken without their signs.
pub const AIM: f64 = 1e-10;

/// Field evaluations after which the quadrature ends with the error it has.
const MOST_EVALUATIONS: usize = 200_000;

/// Points of the surface are taken this share of the body's size within it, so that touching faces are on the right side of each other.
const WITHIN: f64 = 1e-10;

/// Rounding of closed forms and sums, relative.
const ROUNDING: f64 = 1e-9;

/// Groups of six sections over a charged volume at first and at most, and the share of the force to which the finer must agree with the coarser.
const PANELS: u8 = 1;
const MOST_PANELS: u8 = 8;
const SECTIONS_AGREE: f64 = 1e-9;

static SIX: LazyLock<[(f64, f64); 6]> = LazyLock::new(unit_rule);

/// What one body feels from others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Load {
    /// Force, N.
    pub force: [f64; 3],
    /// Torque about the body's own origin, N m.
    pub torque: [f64; 3],
    /// Bound on the error of the force, N, as the quadrature sees it.
    pub error: f64,
}

/// Why a load cannot be given.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum LoadError {
    /// Two bodies share space.
    #[error("the body overlaps body {other}")]
    Overlap {
        /// Index of the other body.
        other: usize,
    },
    /// The field of the others has no finite value on the body.
    #[error(transparent)]
    Field(#[from] FieldError),
    /// The gap to the plate is negative or not a number.
    #[error("gap must be finite and not negative, got {gap} m")]
    Gap {
        /// What was given, m.
        gap: f64,
    },
    /// There is no body.
    #[error("there must be at least one body, got none")]
    Empty,
    /// A mirror image is out of range.
    #[error(transparent)]
    Image(#[from] PlacedError),
    /// The charge that the bodies induce cannot be found.
    #[error(transparent)]
    Induced(#[from] SettleError),
}

/// Force and torque on a body from others.
///
/// Accuracy: 1e-8 relative where a closed form serves (coaxial discs and rings, spheres, parallel blocks with parallel polarisation);
/// otherwise as [`Load::error`] says, commonly below 1e-8 for bodies that do not touch.
/// Where a body has a recoil permeability above 1, what that adds is good to 1e-3 of itself.
///
/// # Errors
/// [`LoadError`] for bodies that overlap.
pub fn load(on: &Placed, from: &[Placed]) -> Result<Load, LoadError> {
    load_until(on, from, &Stop::new())
}

/// As [`load`], until the flag is set.
///
/// # Errors
/// As [`load`], and [`FieldError::Stopped`] or [`SettleError::Stopped`] in it.
pub fn load_until(on: &Placed, from: &[Placed], stop: &Stop) -> Result<Load, LoadError> {
    let mut total = Load {
        force: [0.0; 3],
        torque: [0.0; 3],
        error: 0.0,
    };
    let mut grow = |part: Load| {
        total.force = add(total.force, part.force);
        total.torque = add(total.torque, part.torque);
        total.error += part.error;
    };
    if let Some(other) = from.iter().position(|source| on.overlaps(source)) {
        return Err(LoadError::Overlap { other });
    }
    let bodies: Vec<Placed> = [on].into_iter().chain(from).cloned().collect();
    let settled = Settled::new(&bodies, stop)?;
    let rigid = settled.as_ref().map_or(&bodies[..], Settled::rigid);
    if let Some((on, from)) = rigid.split_first() {
        for source in from {
            grow(pair(on, source, stop)?);
        }
    }
    if let Some(settled) = settled {
        grow(settled.induced_load(0..1, 1..bodies.len(), on.centre())?);
    }
    Ok(total)
}

/// Pull of bodies on a thick plate of very high permeability, `gap` metres below their lowest point, its face across `z`, N, positive,
/// with its error, N. Any turn, any direction of polarisation.
///
/// The mirror image: an upper bound for real steel.
///
/// # Errors
/// [`LoadError`] for no body or a gap out of range.
pub fn plate_pull(bodies: &[Placed], gap: f64) -> Result<(f64, f64), LoadError> {
    plate_pull_until(bodies, gap, &Stop::new())
}

/// As [`plate_pull`], until the flag is set.
///
/// # Errors
/// As [`plate_pull`], and [`FieldError::Stopped`] or [`SettleError::Stopped`] in it.
pub fn plate_pull_until(bodies: &[Placed], gap: f64, stop: &Stop) -> Result<(f64, f64), LoadError> {
    if !(gap >= 0.0 && gap.is_finite()) {
        return Err(LoadError::Gap { gap });
    }
    if bodies.is_empty() {
        return Err(LoadError::Empty);
    }
    let plate = bodies.iter().map(Placed::bottom).fold(f64::INFINITY, f64::min) - gap;
    let images = bodies
        .iter()
        .map(|body| body.mirrored(plate))
        .collect::<Result<Vec<_>, _>>()?;
    let count = bodies.len();
    let all: Vec<Placed> = bodies.iter().chain(&images).cloned().collect();
    let settled = Settled::new(&all, stop)?;
    let rigid = settled.as_ref().map_or(&all[..], Settled::rigid);
    let (mut pull, mut error) = (0.0, 0.0);
    let mut grow = |part: Load| {
        pull -= part.force[2];
        error += part.error;
    };
    let (bodies, images) = rigid.split_at(count);
    for body in bodies {
        for image in images {
            grow(pair(body, image, stop)?);
        }
    }
    if let Some(settled) = settled {
        grow(settled.induced_load(0..count, count..2 * count, [0.0; 3])?);
    }
    Ok((pull, error))
}

fn pair(on: &Placed, source: &Placed, stop: &Stop) -> Result<Load, LoadError> {
    if stop.is_set() {
        return Err(FieldError::Stopped.into());
    }
    if let Some(closed) = closed_form(on, source) {
        let torque = match closed.torque {
            Some(torque) => torque,
            None => summed(on, source, stop)?.torque,
        };
        let error = ROUNDING * length(closed.force);
        return Ok(Load {
            force: closed.force,
            torque,
            error,
        });
    }
    if on.is_charged_within() && !source.is_charged_within() {
        // The charge of the other lies on its surface alone; what it feels, this one feels the other way round.
        let other = summed(source, on, stop)?;
        let force = scale(other.force, -1.0);
        let arm = sub(source.centre(), on.centre());
        let torque = sub(scale(other.torque, -1.0), cross(arm, other.force));
        return Ok(Load {
            force,
            torque,
            error: other.error,
        });
    }
    summed(on, source, stop)
}

/// Sums of force and torque over a cell, and of the force's magnitude.
type Sums = [f64; 7];

/// A part of a patch.
struct Cell {
    patch: Patch,
    u: [f64; 2],
    v: [f64; 2],
    sums: Sums,
    error: f64,
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        self.error.total_cmp(&other.error)
    }
}

/// Field of the source over the charge of the body; where its volume is charged, over ever more sections until they agree.
fn summed(on: &Placed, source: &Placed, stop: &Stop) -> Result<Load, LoadError> {
    let mut sum = over_pieces(on, source, PANELS, stop)?;
    if !on.is_charged_within() {
        return Ok(sum);
    }
    let mut panels = PANELS;
    loop {
        panels *= 2;
        let finer = over_pieces(on, source, panels, stop)?;
        let change = length(sub(finer.force, sum.force));
        sum = Load {
            error: finer.error + change,
            ..finer
        };
        if change <= SECTIONS_AGREE * length(finer.force) || panels >= MOST_PANELS {
            return Ok(sum);
        }
    }
}

/// Field of the source over the pieces of the body, by halving the cell with the largest error along its rougher direction.
fn over_pieces(on: &Placed, source: &Placed, panels: u8, stop: &Stop) -> Result<Load, LoadError> {
    let scene = Scene::new(vec![source.clone()]).until(stop);
    let inset = WITHIN * on.bounding_ball().1;
    let over = |patch: &Patch, u: [f64; 2], v: [f64; 2]| -> Result<Sums, FieldError> {
        let mut sums = [0.0; 7];
        for &(s, ws) in SIX.iter() {
            for &(t, wt) in SIX.iter() {
                let (place, charge, outwards) = patch.at(u[0] + s * (u[1] - u[0]), v[0] + t * (v[1] - v[0]));
                let point = on.to_space(sub(place, scale(outwards, inset)));
                let weight = ws * wt * (u[1] - u[0]) * (v[1] - v[0]) * charge;
                let force = scale(scene.field_strength(point)?, weight);
                let torque = cross(sub(point, on.centre()), force);
                for (sum, part) in sums
                    .iter_mut()
                    .zip(force.into_iter().chain(torque).chain([length(force)]))
                {
                    *sum += part;
                }
            }
        }
        Ok(sums)
    };
    let mut heap = BinaryHeap::new();
    let mut total = [0.0; 7];
    for patch in on.patches(panels) {
        let sums = over(&patch, [0.0, 1.0], [0.0, 1.0])?;
        add_to(&mut total, &sums, 1.0);
        heap.push(Cell {
            patch,
            u: [0.0, 1.0],
            v: [0.0, 1.0],
            sums,
            error: sums[6],
        });
    }
    let cost = 4 * SIX.len() * SIX.len();
    let mut error: f64 = heap.iter().map(|cell| cell.error).sum();
    for _ in 0..MOST_EVALUATIONS / cost {
        if error <= AIM * total[6] {
            break;
        }
        let Some(cell) = heap.pop() else { break };
        let halves = |[a, b]: [f64; 2]| [[a, 0.5 * (a + b)], [0.5 * (a + b), b]];
        let mut ways = [Vec::with_capacity(2), Vec::with_capacity(2)];
        for u in halves(cell.u) {
            ways[0].push((u, cell.v, over(&cell.patch, u, cell.v)?));
        }
        for v in halves(cell.v) {
            ways[1].push((cell.u, v, over(&cell.patch, cell.u, v)?));
        }
        let change = |way: &[([f64; 2], [f64; 2], Sums)]| {
            let mut difference = cell.sums;
            for (_, _, sums) in way {
                add_to(&mut difference, sums, -1.0);
            }
            length([difference[0], difference[1], difference[2]])
        };
        let changes = [change(&ways[0]), change(&ways[1])];
        let rougher = usize::from(changes[1] > changes[0]);
        let left = 0.5 * changes[0].max(changes[1]);
        error -= cell.error;
        add_to(&mut total, &cell.sums, -1.0);
        for (u, v, sums) in ways[rougher].drain(..) {
            add_to(&mut total, &sums, 1.0);
            error += left;
            heap.push(Cell {
                patch: cell.patch,
                u,
                v,
                sums,
                error: left,
            });
        }
    }
    // Summed afresh, so that the many small changes leave no rounding.
    let mut total = [0.0; 7];
    let mut error = 0.0;
    for cell in &heap {
        add_to(&mut total, &cell.sums, 1.0);
        error += cell.error;
    }
    let [fx, fy, fz, tx, ty, tz, size] = total;
    Ok(Load {
        force: [fx, fy, fz],
        torque: [tx, ty, tz],
        error: error + ROUNDING * size,
    })
}

fn add_to(sums: &mut Sums, part: &Sums, sign: f64) {
    for (sum, part) in sums.iter_mut().zip(part) {
        *sum += sign * part;
    }
}
