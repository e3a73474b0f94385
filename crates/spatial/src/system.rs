//! The equations of a problem: trilinear elements for the potential, and the tangent of steel.

use rayon::prelude::*;
use steel::BhCurve;

use crate::grid::{CORNERS, Column, GAUSS};
use crate::multigrid::Matrix;
use crate::problem::{Matter, POINTS, Problem, every};

/// Nodes of a cell.
const NODES: usize = 2 * CORNERS;
/// Marks a node that is no unknown.
const HELD: u32 = u32::MAX;

/// A cell of steel.
struct SteelCell<'a> {
    nodes: [u32; NODES],
    column: usize,
    height: f64,
    curve: &'a BhCurve,
    windings: [[f64; 3]; POINTS],
}

/// What a cell of steel adds to the equations.
struct Added {
    matrix: [[f64; NODES]; NODES],
    slope: [f64; NODES],
}

/// Equations of a problem.
pub(crate) struct System<'a> {
    problem: &'a Problem,
    pub(crate) columns: Vec<Column>,
    /// Unknown of each node.
    unknowns: Vec<u32>,
    steel: Vec<SteelCell<'a>>,
    /// For each unknown where the entries of its row for the 27 nodes around it stand.
    slots: Vec<[u32; 27]>,
    /// The matrix of everything but steel.
    straight: Matrix,
    right: Vec<f64>,
}

impl<'a> System<'a> {
    pub(crate) fn new(problem: &'a Problem) -> Self {
        let grid = &problem.grid;
        let [nx, ny, _] = grid.cells();
        let columns = (0..ny).flat_map(|j| (0..nx).map(move |i| grid.column(i, j))).collect();
        let mut system = Self {
            problem,
            columns,
            unknowns: Vec::new(),
            steel: Vec::new(),
            slots: Vec::new(),
            straight: Matrix::default(),
            right: Vec::new(),
        };
        system.number();
        system.fill();
        system
    }

    /// Number of unknowns.
    pub(crate) fn size(&self) -> usize {
        self.slots.len()
    }

    /// Whether it has no steel, so that one step solves it.
    pub(crate) fn is_straight(&self) -> bool {
        self.steel.is_empty()
    }

    /// Numbers the unknowns and lays out their rows.
    fn number(&mut self) {
        let grid = &self.problem.grid;
        let counts = grid.cells().map(|n| n + 1);
        let mut count = 0;
        self.unknowns = self
            .problem
            .held
            .iter()
            .map(|&held| {
                let unknown = if held { HELD } else { count };
                count += u32::from(!held);
                unknown
            })
            .collect();
        let matrix = &mut self.straight;
        matrix.starts.push(0);
        for node in every(counts) {
            if self.unknowns[grid.node(node)] == HELD {
                continue;
            }
            let mut slots = [HELD; 27];
            for (slot, offset) in slots.iter_mut().zip(every([3; 3])) {
                let there: [usize; 3] = std::array::from_fn(|axis| (node[axis] + offset[axis]).wrapping_sub(1));
                if (0..3).all(|axis| there[axis] < counts[axis]) {
                    let unknown = self.unknowns[grid.node(there)];
                    if unknown != HELD {
                        *slot = matrix.columns.len() as u32;
                        matrix.columns.push(unknown);
                    }
                }
            }
            self.slots.push(slots);
            matrix.starts.push(matrix.columns.len() as u32);
        }
        matrix.values = vec![0.0; matrix.columns.len()];
        self.right = vec![0.0; self.slots.len()];
    }

    /// Adds up what is straight, and notes the cells of steel.
    fn fill(&mut self) {
        let problem = self.problem;
        let grid = &problem.grid;
        let width = grid.cells()[0];
        let across: Vec<[[[f64; CORNERS]; CORNERS]; 2]> = self.columns.iter().map(integrals).collect();
        for (cell, [i, j, k]) in every(grid.cells()).enumerate() {
            let nodes = std::array::from_fn(|a| self.unknowns[grid.node([i + a % 2, j + a / 2 % 2, k + a / CORNERS])]);
            let height = grid.lines(2)[k + 1] - grid.lines(2)[k];
            let column = i + width * j;
            let windings = problem.windings.get(cell).copied().unwrap_or_default();
            let Some([permeability, polarisation]) = problem.straight(cell) else {
                if let Matter::Steel(curve) = &problem.matters[usize::from(problem.made_of[cell])] {
                    self.steel.push(SteelCell {
                        nodes,
                        column,
                        height,
                        curve,
                        windings,
                    });
                }
                continue;
            };
            let [stiff, mass] = &across[column];
            let matrix: [[f64; NODES]; NODES] = std::array::from_fn(|a| {
                std::array::from_fn(|b| {
                    let same = a / CORNERS == b / CORNERS;
                    let (a, b) = (a % CORNERS, b % CORNERS);
                    let [along, up] = if same {
                        [height / 3.0, 1.0]
                    } else {
                        [height / 6.0, -1.0]
                    };
                    permeability * (stiff[a][b] * along + mass[a][b] * up / height)
                })
            });
            scatter(&self.slots, &mut self.straight.values, &nodes, &matrix);
            if polarisation != 0.0 || !problem.windings.is_empty() {
                for (p, applied) in windings.iter().enumerate() {
                    let (slopes, volume) = point(&self.columns[column], height, p);
                    let source = [applied[0], applied[1], applied[2]].map(|h| permeability * h);
                    let source = [source[0], source[1], source[2] + polarisation];
                    for (slope, &node) in slopes.iter().zip(&nodes) {
                        if node != HELD {
                            self.right[node as usize] += volume * inner(slope, &source);
                        }
                    }
                }
            }
        }
    }

    /// Matrix and slope of the energy at potentials of the unknowns.
    pub(crate) fn tangent(&self, potential: &[f64]) -> (Matrix, Vec<f64>) {
        let mut matrix = self.straight.clone();
        let mut slope = self.straight_slope(potential);
        let added: Vec<Added> = self.steel.par_iter().map(|cell| self.add(cell, potential)).collect();
        for (cell, added) in self.steel.iter().zip(&added) {
            scatter(&self.slots, &mut matrix.values, &cell.nodes, &added.matrix);
            for (&node, more) in cell.nodes.iter().zip(added.slope) {
                if node != HELD {
                    slope[node as usize] += more;
                }
            }
        }
        (matrix, slope)
    }

    /// Slope of the energy of everything but steel.
    pub(crate) fn straight_slope(&self, potential: &[f64]) -> Vec<f64> {
        let mut slope = vec![0.0; potential.len()];
        self.straight.times(potential, &mut slope);
        for (slope, right) in slope.iter_mut().zip(&self.right) {
            *slope -= right;
        }
        slope
    }

    /// Slope of the energy of steel at a potential, along a direction.
    pub(crate) fn steel_slope(&self, potential: &[f64], direction: &[f64]) -> f64 {
        // Summed in order, so that every run gives the same.
        let slopes: Vec<f64> = self
            .steel
            .par_iter()
            .map(|cell| {
                let (here, along) = (
                    cell.nodes.map(|n| value(n, potential)),
                    cell.nodes.map(|n| value(n, direction)),
                );
                (0..POINTS)
                    .map(|p| {
                        let (slopes, volume) = point(&self.columns[cell.column], cell.height, p);
                        let field = field(&slopes, &here, &cell.windings[p]);
                        let change = field_of(&slopes, &along);
                        let (secant, _, _) = permeability(cell.curve, &field);
                        volume * secant * inner(&field, &change)
                    })
                    .sum()
            })
            .collect();
        slopes.iter().sum()
    }

    fn add(&self, cell: &SteelCell, potential: &[f64]) -> Added {
        let here = cell.nodes.map(|n| value(n, potential));
        let mut added = Added {
            matrix: [[0.0; NODES]; NODES],
            slope: [0.0; NODES],
        };
        for p in 0..POINTS {
            let (slopes, volume) = point(&self.columns[cell.column], cell.height, p);
            let field = field(&slopes, &here, &cell.windings[p]);
            let (secant, tangent, along) = permeability(cell.curve, &field);
            let lead = slopes.map(|slope| inner(&along, &slope));
            for (a, slope) in slopes.iter().enumerate() {
                added.slope[a] -= volume * secant * inner(&field, slope);
                let steeper = volume * (tangent - secant) * lead[a];
                let flat = slope.map(|s| volume * secant * s);
                for ((entry, other), along) in added.matrix[a].iter_mut().zip(&slopes).zip(&lead).take(a + 1) {
                    *entry += inner(&flat, other) + steeper * along;
                }
            }
        }
        for a in 0..NODES {
            for b in 0..a {
                added.matrix[b][a] = added.matrix[a][b];
            }
        }
        added
    }

    /// Potentials of all nodes from those of the unknowns.
    pub(crate) fn of_nodes(&self, potential: &[f64]) -> Vec<f64> {
        self.unknowns.iter().map(|&node| value(node, potential)).collect()
    }

    /// Potentials of the unknowns from those of all nodes.
    pub(crate) fn of_unknowns(&self, potential: &[f64]) -> Vec<f64> {
        let free = self.unknowns.iter().zip(potential);
        free.filter(|(unknown, _)| **unknown != HELD)
            .map(|(_, value)| *value)
            .collect()
    }
}

/// Value of a node from those of the unknowns; 0 where it is held.
fn value(node: u32, potential: &[f64]) -> f64 {
    potential.get(node as usize).copied().unwrap_or_default()
}

/// Integrals across z of a column: of the products of the slopes, and of the values.
fn integrals(column: &Column) -> [[[f64; CORNERS]; CORNERS]; 2] {
    let mut sums = [[[0.0; CORNERS]; CORNERS]; 2];
    for ((slopes, values), area) in column.slopes.iter().zip(&column.values).zip(column.areas) {
        for pair in 0..CORNERS * CORNERS {
            let (a, b) = (pair / CORNERS, pair % CORNERS);
            sums[0][a][b] += area * (slopes[a][0] * slopes[b][0] + slopes[a][1] * slopes[b][1]);
            sums[1][a][b] += area * values[a] * values[b];
        }
    }
    sums
}

/// Slopes of the functions of a cell's nodes at one of its points, and the volume that it stands for.
pub(crate) fn point(column: &Column, height: f64, p: usize) -> ([[f64; 3]; NODES], f64) {
    let (q, upper) = (p % 4, p >= 4);
    let share = 0.5 * (1.0 + if upper { GAUSS } else { -GAUSS });
    let slopes = at_height(column, q, height, share);
    (slopes, 0.5 * height * column.areas[q])
}

/// Slopes of the functions of a cell's nodes over a point of its column, at a share of its height.
pub(crate) fn at_height(column: &Column, q: usize, height: f64, share: f64) -> [[f64; 3]; NODES] {
    std::array::from_fn(|a| {
        let (corner, upper) = (a % CORNERS, a >= CORNERS);
        let (value, slope) = if upper {
            (share, 1.0 / height)
        } else {
            (1.0 - share, -1.0 / height)
        };
        let [x, y] = column.slopes[q][corner];
        [x * value, y * value, column.values[q][corner] * slope]
    })
}

/// `-grad phi` of these potentials.
pub(crate) fn field_of(slopes: &[[f64; 3]; NODES], potential: &[f64]) -> [f64; 3] {
    let mut field = [0.0; 3];
    for (slope, value) in slopes.iter().zip(potential) {
        for (field, slope) in field.iter_mut().zip(slope) {
            *field -= slope * value;
        }
    }
    field
}

fn field(slopes: &[[f64; 3]; NODES], potential: &[f64], windings: &[f64; 3]) -> [f64; 3] {
    let field = field_of(slopes, potential);
    std::array::from_fn(|axis| field[axis] + windings[axis])
}

/// Secant and tangent permeability of steel in a field, H/m, and the field's direction.
pub(crate) fn permeability(curve: &BhCurve, field: &[f64; 3]) -> (f64, f64, [f64; 3]) {
    let strength = inner(field, field).sqrt();
    let at = curve.at_field(strength);
    if strength > 0.0 {
        (at.b / strength, at.slope, field.map(|h| h / strength))
    } else {
        (at.slope, at.slope, [0.0; 3])
    }
}

fn inner(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn scatter(slots: &[[u32; 27]], values: &mut [f64], nodes: &[u32; NODES], matrix: &[[f64; NODES]; NODES]) {
    for (a, &node) in nodes.iter().enumerate() {
        if node == HELD {
            continue;
        }
        let row = &slots[node as usize];
        for (b, &other) in nodes.iter().enumerate() {
            if other != HELD {
                let step = |bit: usize| 1 + (b >> bit & 1) - (a >> bit & 1);
                values[row[step(0) + 3 * step(1) + 9 * step(2)] as usize] += matrix[a][b];
            }
        }
    }
}
