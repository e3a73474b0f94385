//! Newton's method on the energy of a problem, and what a solution tells.

use materials::MU_0;
use thiserror::Error;

use crate::grid::Grid;
use crate::multigrid::{Multigrid, dot};
use crate::problem::{Matter, POINTS, Problem, every};
use crate::system::{System, at_height, field_of, permeability, point};

/// Why there is no solution.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum SolveError {
    /// A size that is none.
    #[error(
        "face, height, thickness and permeability must be finite and above zero, the gap not below zero, and magnet and plate both rectangles or both circles"
    )]
    Sizes,
    /// Lines that do not rise, cells without volume, or matter without permeability.
    #[error(
        "the equations have no solution: a cell has no volume or no permeability, or the potential is held nowhere"
    )]
    Singular,
    /// Newton's method did not arrive.
    #[error(
        "no solution after {0} steps of Newton's method: the last one still changed the energy by more than {TOLERANCE:e} of it"
    )]
    Astray(usize),
}

/// Part of the energy that a last step may gain.
const TOLERANCE: f64 = 1e-9;
/// Steps after which it is given up.
const MOST_STEPS: usize = 60;
/// Residual of the equations of a step, over that before; of a problem without steel, which is solved in one.
const LINEAR: [f64; 2] = [1e-2, 1e-9];
/// Steps of conjugate gradients for one of Newton's.
const MOST_LINEAR: usize = 200;
/// Slope along a step, over that at its start, at which its length is good enough, and halvings at most.
const FLAT: f64 = 0.2;
const MOST_HALVINGS: usize = 12;

/// A solved problem.
#[derive(Clone, Debug)]
pub struct Solution<'a> {
    problem: &'a Problem,
    /// Potential of each node, A.
    potential: Vec<f64>,
    unknowns: usize,
}

/// Solves a problem, from the solution of the same on another grid where one is at hand.
///
/// # Errors
/// [`SolveError`].
pub fn solve<'a>(problem: &'a Problem, near: Option<&Solution>) -> Result<Solution<'a>, SolveError> {
    let system = System::new(problem);
    let mut potential = match near {
        Some(near) => system.of_unknowns(&near.on(&problem.grid)),
        None => vec![0.0; system.size()],
    };
    let straight = system.is_straight();
    for _ in 0..MOST_STEPS {
        let (matrix, slope) = system.tangent(&potential);
        let right: Vec<f64> = slope.iter().map(|s| -s).collect();
        let grid = Multigrid::new(matrix.clone()).map_err(|_| SolveError::Singular)?;
        let (direction, _) = grid.solve(&matrix, &right, LINEAR[usize::from(straight)], MOST_LINEAR);
        let gain = dot(&right, &direction);
        if !gain.is_finite() {
            return Err(SolveError::Singular);
        }
        let length = if straight {
            1.0
        } else {
            length(&system, &potential, &direction, -gain)
        };
        for (potential, change) in potential.iter_mut().zip(&direction) {
            *potential += length * change;
        }
        let mut image = vec![0.0; potential.len()];
        matrix.times(&potential, &mut image);
        if straight || gain <= TOLERANCE * dot(&potential, &image) {
            return Ok(Solution {
                problem,
                potential: system.of_nodes(&potential),
                unknowns: system.size(),
            });
        }
    }
    Err(SolveError::Astray(MOST_STEPS))
}

/// How far to go along a direction so that the energy is nearly least: its slope rises along the way, from `at_start`.
fn length(system: &System, potential: &[f64], direction: &[f64], at_start: f64) -> f64 {
    let straight = dot(&system.straight_slope(potential), direction);
    let whole: Vec<f64> = potential.iter().zip(direction).map(|(p, d)| p + d).collect();
    let bend = dot(&system.straight_slope(&whole), direction) - straight;
    let slope = |t: f64| {
        let there: Vec<f64> = potential.iter().zip(direction).map(|(p, d)| p + t * d).collect();
        straight + t * bend + system.steel_slope(&there, direction)
    };
    let at_end = slope(1.0);
    if at_end <= FLAT * at_start.abs() {
        return 1.0;
    }
    let (mut low, mut high) = ((0.0, at_start), (1.0, at_end));
    for _ in 0..MOST_HALVINGS {
        let even = 0.5 * (low.0 + high.0);
        let straight = low.0 - low.1 * (high.0 - low.0) / (high.1 - low.1);
        let next = 0.5 * (even + straight);
        let there = slope(next);
        if there.abs() <= FLAT * at_start.abs() {
            return next;
        }
        if there > 0.0 {
            high = (next, there);
        } else {
            low = (next, there);
        }
    }
    if low.0 > 0.0 { low.0 } else { high.0 }
}

impl Solution<'_> {
    /// Number of unknowns.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.unknowns
    }

    /// Force along z, N, by which what is above a layer of air pulls what is below, within the grid; a quarter has a quarter of it. The layer reaches between two heights at which there
    /// are lines: Maxwell's stress averaged over it is the slope of the energy of the grid as the layer is stretched.
    #[must_use]
    pub fn pull_across(&self, [from, to]: [f64; 2]) -> f64 {
        let grid = &self.problem.grid;
        let [nx, ..] = grid.cells();
        let columns = self.columns();
        let mut sum = 0.0;
        for [i, j, k] in every(grid.cells()) {
            let (low, high) = (grid.lines(2)[k], grid.lines(2)[k + 1]);
            let middle = 0.5 * (low + high);
            if middle < from || middle > to {
                continue;
            }
            let here = self.of_cell([i, j, k]);
            for p in 0..POINTS {
                let (slopes, volume) = point(&columns[i + nx * j], high - low, p);
                let [x, y, z] = field_of(&slopes, &here);
                sum += volume * 0.5 * MU_0 * (z * z - x * x - y * y);
            }
        }
        sum / (to - from)
    }

    /// Mean flux density, T, in a box given by its low and high ends along the axes, m, on a straight grid.
    #[must_use]
    pub fn mean_flux_density(&self, ends: [[f64; 2]; 3]) -> [f64; 3] {
        let grid = &self.problem.grid;
        let [nx, ..] = grid.cells();
        let columns = self.columns();
        let (mut sums, mut whole) = ([0.0; 3], 0.0);
        for (cell, place) in every(grid.cells()).enumerate() {
            let overlap = |axis: usize| {
                let [low, high] = [grid.lines(axis)[place[axis]], grid.lines(axis)[place[axis] + 1]];
                let [from, to] = ends[axis];
                ((high.min(to) - low.max(from)) / (high - low)).max(0.0)
            };
            let share = overlap(0) * overlap(1) * overlap(2);
            if share == 0.0 {
                continue;
            }
            let [i, j, k] = place;
            let height = grid.lines(2)[k + 1] - grid.lines(2)[k];
            let here = self.of_cell(place);
            for q in 0..4 {
                let column = &columns[i + nx * j];
                let weight = share * height * column.areas[q];
                let slopes = at_height(column, q, height, 0.5);
                let mut field = field_of(&slopes, &here);
                if let Some(windings) = self.problem.windings.get(cell) {
                    for (axis, field) in field.iter_mut().enumerate() {
                        *field += 0.5 * (windings[q][axis] + windings[q + 4][axis]);
                    }
                }
                let flux = match &self.problem.matters[usize::from(self.problem.made_of[cell])] {
                    Matter::Straight {
                        permeability,
                        polarisation,
                    } => {
                        let [x, y, z] = field.map(|h| MU_0 * permeability * h);
                        [x, y, z + polarisation]
                    }
                    Matter::Steel(curve) => {
                        let (secant, _, _) = permeability(curve, &field);
                        field.map(|h| secant * h)
                    }
                };
                whole += weight;
                for (sum, b) in sums.iter_mut().zip(flux) {
                    *sum += weight * b;
                }
            }
        }
        sums.map(|sum| sum / whole)
    }

    fn columns(&self) -> Vec<crate::grid::Column> {
        let [nx, ny, _] = self.problem.grid.cells();
        let column = |j: usize| (0..nx).map(move |i| self.problem.grid.column(i, j));
        (0..ny).flat_map(column).collect()
    }

    /// Potentials of the nodes of a cell.
    fn of_cell(&self, [i, j, k]: [usize; 3]) -> [f64; 8] {
        let grid = &self.problem.grid;
        std::array::from_fn(|a| self.potential[grid.node([i + a % 2, j + a / 2 % 2, k + a / 4])])
    }

    /// Its potential at the nodes of another grid, between its lines by shares.
    fn on(&self, grid: &Grid) -> Vec<f64> {
        let places: [Vec<(usize, f64)>; 3] = std::array::from_fn(|axis| {
            let lines = self.problem.grid.lines(axis);
            let find = |&x: &f64| {
                let cell = lines.partition_point(|&line| line <= x).clamp(1, lines.len() - 1) - 1;
                let share = (x - lines[cell]) / (lines[cell + 1] - lines[cell]);
                (cell, share.clamp(0.0, 1.0))
            };
            grid.lines(axis).iter().map(find).collect()
        });
        every(grid.cells().map(|n| n + 1))
            .map(|[i, j, k]| {
                let at = [places[0][i], places[1][j], places[2][k]];
                let values = self.of_cell(at.map(|(cell, _)| cell));
                values
                    .iter()
                    .enumerate()
                    .map(|(a, value)| {
                        let weight: f64 = (0..3)
                            .map(|axis| {
                                if a >> axis & 1 == 1 {
                                    at[axis].1
                                } else {
                                    1.0 - at[axis].1
                                }
                            })
                            .product();
                        weight * value
                    })
                    .sum()
            })
            .collect()
    }
}
