//! The solver: axisymmetric non-linear magnetostatics in unbounded space.
//!
//! Quadratic finite elements for the flux through circles about the axis, Newton's method with a line search on every mesh, and meshes refined where the error of the
//! force (or of the field at the wanted points, or of the energy when neither is wanted) comes from. See `docs/steel.md` for the method and its accuracy.

mod exterior;
mod force;
mod goal;
mod locate;
mod nearby;
mod recover;
mod response;
mod solution;
mod space;
mod sparse;
mod system;

#[cfg(test)]
mod tests;

use std::ops::ControlFlow;
use std::sync::Arc;

use thiserror::Error;

pub use solution::{Saturation, Solution, Triangle};

use crate::drawing::{Drawing, DrawingError};
use crate::mesh::outline::Outline;
use crate::mesh::plane::Point;
use crate::mesh::{outline, refine, size};
use exterior::Exterior;
use goal::{Field, Goal, Reading};
use recover::Slots;
use solution::Figures;
use space::{NODES, Space, shapes};
use sparse::Singular;
use system::{Newton, Stop, Structure, System};

/// What is wanted of a solve.
#[derive(Clone, Debug, PartialEq)]
pub struct Options {
    /// Name of the part whose force is wanted: the mesh is refined for it.
    pub force_on: Option<String>,
    /// Points `[r, z]`, m, whose field is wanted: the mesh is refined for them.
    pub points: Vec<[f64; 2]>,
    /// Relative error estimate at which refinement ends; that of the first mesh is 1, so that 1 ends with it.
    pub tolerance: f64,
    /// Unknowns below which refinement does not end: estimates from coarser meshes are not to be trusted.
    pub least_unknowns: usize,
    /// Unknowns above which no mesh is refined any more; the estimate says what was reached.
    pub most_unknowns: usize,
    /// Newton steps on one mesh after which the solve is given up.
    pub most_iterations: usize,
    /// Energy that the last Newton step on a mesh promises to win, over the energy at hand; what is left after it is less.
    pub decrement: f64,
    /// How many times larger elements of the first mesh are at corners and thin places than they are usually.
    pub coarser: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            force_on: None,
            points: Vec::new(),
            tolerance: 2e-3,
            least_unknowns: 1200,
            most_unknowns: 60_000,
            most_iterations: 60,
            decrement: 1e-8,
            coarser: 1.0,
        }
    }
}

impl Options {
    /// The defaults, for the force on a part.
    #[must_use]
    pub fn force_on(name: impl Into<String>) -> Self {
        Self {
            force_on: Some(name.into()),
            ..Self::default()
        }
    }
}

/// Where a solve stands, told at every Newton step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Number of the mesh, from 0.
    pub mesh: usize,
    /// Its unknowns.
    pub unknowns: usize,
    /// Newton steps so far, over all meshes.
    pub iterations: usize,
    /// Unbalanced load over load.
    pub residual: f64,
}

/// Why a solve gave no solution.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SolveError {
    /// The drawing cannot be solved.
    #[error(transparent)]
    Drawing(#[from] DrawingError),
    /// An option makes no sense.
    #[error("{0}")]
    Option(String),
    /// No part of the wanted name feels a force.
    #[error("{0:?} is no magnet or steel part of the drawing")]
    NoPart(String),
    /// Newton's method did not arrive.
    #[error("did not converge: residual {residual:.1e} after {iterations} iterations")]
    Diverged {
        /// Unbalanced load over load.
        residual: f64,
        /// Newton steps on the last mesh.
        iterations: usize,
    },
    /// The equations could not be factored.
    #[error("the equations on {unknowns} unknowns are not solvable in double precision")]
    Singular {
        /// Number of unknowns.
        unknowns: usize,
    },
    /// The drawing is too unlike the solved one to be solved on its mesh.
    #[error("the drawing differs from the solved one by more than sizes, or by too much")]
    Apart,
    /// The caller stopped it.
    #[error("stopped on request")]
    Cancelled,
}

impl SolveError {
    /// What would be right.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Drawing(error) => error.hint(),
            Self::Option(_) => "leave the option at its default",
            Self::NoPart(_) => "name a part that has a polarisation or a steel",
            Self::Diverged { .. } => "look for a kink in the magnetisation curve, or raise the iteration limit",
            Self::Singular { .. } => "check that sizes, polarisations and permeabilities are of a usual order",
            Self::Apart => "solve it by itself",
            Self::Cancelled => "start it again",
        }
    }
}

/// Is told of every Newton step, and stops the solve where it says so.
pub type Watch<'a> = &'a mut dyn FnMut(Progress) -> ControlFlow<()>;

/// Solves a drawing.
///
/// # Errors
/// [`SolveError`]: a drawing that cannot be solved, a part that is not there, no convergence.
pub fn solve(drawing: &Drawing, options: &Options) -> Result<Solution, SolveError> {
    solve_watched(drawing, options, &mut |_| ControlFlow::Continue(()))
}

/// Solves a drawing and tells `watch` about every Newton step; it may stop the solve.
///
/// # Errors
/// As [`solve`], and [`SolveError::Cancelled`].
pub fn solve_watched(drawing: &Drawing, options: &Options, watch: Watch<'_>) -> Result<Solution, SolveError> {
    let outline = outline::outline(drawing)?;
    Goal::new(drawing, &outline, options)?;
    let cut = size::pieces(&outline, &options.points, options.coarser)?;
    let space = Space::new(crate::mesh::build(drawing, &outline, &cut)?);
    let start = Start {
        u: vec![0.5 * drawing.applied; space.len()],
        space,
        structure: None,
        fresh: true,
    };
    refined(drawing, outline, start, options, watch)
}

/// A first mesh and the values at its nodes.
struct Start {
    space: Space,
    /// The equations on it, where they are known.
    structure: Option<Arc<Structure>>,
    u: Vec<f64>,
    /// Whether the values say nothing of the state of the materials.
    fresh: bool,
}

impl Solution {
    /// Goes on from this solution: its mesh is the first, and is refined until the options are met. What it is refined for may be
    /// another than before; [`Options::coarser`] and the size of elements beside wanted points are those of the first mesh.
    ///
    /// # Errors
    /// As [`solve_watched`].
    pub fn refined(&self, options: &Options, watch: Watch<'_>) -> Result<Self, SolveError> {
        let start = Start {
            space: self.field().space.clone(),
            structure: Some(Arc::clone(&self.field().structure)),
            u: self.field().u.clone(),
            fresh: false,
        };
        refined(self.drawing(), self.outline().clone(), start, options, watch)
    }
}

/// Solves on one mesh after the other.
fn refined(
    drawing: &Drawing,
    outline: Outline,
    start: Start,
    options: &Options,
    watch: Watch<'_>,
) -> Result<Solution, SolveError> {
    let goal = Goal::new(drawing, &outline, options)?;
    let Start {
        mut space,
        structure: mut known,
        mut u,
        mut fresh,
    } = start;
    let mut iterations = 0;
    let mut before: Vec<Reading> = Vec::new();
    for mesh in 0.. {
        let unknowns = space.len();
        let singular = |Singular| SolveError::Singular { unknowns };
        let exterior = Exterior::new(&space, drawing.applied);
        let structure = match known.take() {
            Some(known) => known,
            None => Arc::new(Structure::new(&space, &exterior).map_err(singular)?),
        };
        let system = System::new(drawing, &space, &exterior, &structure);
        let mut step = |iteration: usize, residual: f64| {
            let progress = Progress {
                mesh,
                unknowns,
                iterations: iterations + iteration,
                residual,
            };
            watch(progress).is_continue()
        };
        let ended = system
            .newton(&mut u, fresh, Stop::from(options), &mut step)
            .map_err(singular)?;
        fresh = false;
        let (ended, factor) = match ended {
            Newton::Stopped => return Err(SolveError::Cancelled),
            Newton::Ended(ended, None) => {
                return Err(SolveError::Diverged {
                    residual: ended.residual,
                    iterations: ended.iterations,
                });
            }
            Newton::Ended(ended, Some(factor)) => (ended, factor),
        };
        iterations += ended.iterations;
        let slots = Slots::new(&space);
        let means = slots.recover(&space, &u);
        let field = Field {
            space,
            exterior,
            structure: Arc::clone(&structure),
            u,
            slots,
            means,
        };
        let reading = goal.read(&field, &system);
        // Whoever is content with the first mesh asks for no estimate.
        let content = options.tolerance >= 1.0 && before.is_empty() && unknowns >= options.least_unknowns;
        let shares = if content {
            Vec::new()
        } else {
            goal.shares(&field, &factor, &reading).map_err(singular)?
        };
        let error_estimate = goal.estimate(&reading, &before, &shares);
        let enough = error_estimate <= options.tolerance && unknowns >= options.least_unknowns;
        if enough || unknowns >= options.most_unknowns {
            let figures = Figures {
                energy: reading.energy,
                iterations,
                residual: ended.residual,
                unknowns,
                error_estimate,
                stop: Stop::from(options),
            };
            return Ok(Solution::new(drawing.clone(), outline, field, figures));
        }
        let missing = options.least_unknowns as f64 / (GROWTH * unknowns as f64);
        let everywhere = missing.log(ROUND).floor().clamp(0.0, MOST_HALVINGS) as u8;
        // Once the estimate serves, as many are halved as the wanted unknowns need.
        let times = if error_estimate <= options.tolerance && everywhere == 0 {
            let wanted = options.least_unknowns.saturating_sub(unknowns) as f64;
            first_halved(&shares, 1 + (wanted / UNKNOWNS_OF_HALVING) as usize)
        } else {
            halvings(&shares).into_iter().map(|times| times + everywhere).collect()
        };
        before.push(reading);
        let mut finer = field.space.mesh.clone();
        refine(&mut finer, &times);
        let finer = Space::new(finer);
        u = carry(&field.space, &field.u, &finer);
        space = finer;
    }
    Err(SolveError::Cancelled)
}

/// Share of the estimated error whose triangles are halved.
const MARKED: f64 = 0.8;
/// Least share of the triangles that are.
const LEAST_MARKED: f64 = 0.12;
/// A triangle whose share is greater than that of the last marked one by this factor is halved once more, and so on.
const AGAIN: f64 = 6.0;
/// Most halvings at once.
const MOST_HALVINGS: f64 = 4.0;
/// Growth of the unknowns when all triangles are halved, and their neighbours for them.
const ROUND: f64 = 2.5;
/// Unknowns that come with the halving of a triangle, about: fewer than for one alone, since neighbours share them.
const UNKNOWNS_OF_HALVING: f64 = 2.75;
/// Growth of the unknowns that these halvings bring, about.
const GROWTH: f64 = 1.3;

/// Triangles by their shares, the greatest first.
fn by_share(shares: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..shares.len()).collect();
    order.sort_by(|&a, &b| shares[b].total_cmp(&shares[a]));
    order
}

/// Which triangles are to be halved, once each: so many of the greatest shares.
fn first_halved(shares: &[f64], count: usize) -> Vec<u8> {
    let mut times = vec![0; shares.len()];
    for &t in by_share(shares).iter().take(count) {
        times[t] = 1;
    }
    times
}

/// How often every triangle is to be halved: those with the greatest shares, until they hold enough of the sum.
fn halvings(shares: &[f64]) -> Vec<u8> {
    let order = by_share(shares);
    let wanted = MARKED * shares.iter().sum::<f64>();
    let least = (LEAST_MARKED * shares.len() as f64) as usize;
    let mut sum = 0.0;
    let marked = order.iter().enumerate().take_while(|&(k, &t)| {
        let more = sum < wanted || k < least;
        sum += shares[t];
        more
    });
    let count = marked.count();
    let threshold = count.checked_sub(1).map_or(f64::INFINITY, |last| shares[order[last]]);
    let mut times = vec![0; shares.len()];
    for &t in order.iter().take(count) {
        times[t] = 1 + (shares[t] / threshold).log(AGAIN).clamp(0.0, MOST_HALVINGS - 1.0) as u8;
    }
    times
}

/// Values at the nodes of a refined mesh.
fn carry(coarse: &Space, u: &[f64], fine: &Space) -> Vec<f64> {
    let mut carried = vec![0.0; fine.len()];
    for (t, nodes) in fine.nodes.iter().enumerate() {
        let parent = fine.mesh.parent[t] as usize;
        let values = coarse.values(parent, u);
        let corners = coarse.mesh.corners(parent);
        let own = fine.mesh.corners(t);
        for (&id, l) in nodes.iter().zip(NODES) {
            let p: Point = [0, 1].map(|i| l[0] * own[0][i] + l[1] * own[1][i] + l[2] * own[2][i]);
            let shapes = shapes(locate::barycentric(&corners, p));
            carried[id as usize] = shapes.iter().zip(values).map(|(n, v)| n * v).sum();
        }
    }
    carried
}
