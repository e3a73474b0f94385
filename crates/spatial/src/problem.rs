//! What is solved: a grid, what its cells are made of, where the potential is held, and the field of windings.

use std::sync::Arc;

use materials::MU_0;
use steel::BhCurve;

use crate::grid::{GAUSS, Grid};

/// What a cell is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum Matter {
    /// Air, or a magnet with a straight recoil line.
    Straight {
        /// Permeability relative to vacuum.
        permeability: f64,
        /// Remanent polarisation along z, T.
        polarisation: f64,
    },
    /// Steel that follows a magnetisation curve.
    Steel(Arc<BhCurve>),
}

impl Matter {
    /// Air, or anything that is not magnetic.
    pub const AIR: Self = Self::Straight {
        permeability: 1.0,
        polarisation: 0.0,
    };
}

/// Points of each cell in which it is integrated: across as in a column, first below, then above.
pub(crate) const POINTS: usize = 8;

/// A magnetostatic problem: `H = T - grad phi` with the field `T` of windings, and `div B = 0`. Where the potential is held at 0 the field stands on the surface; the outer
/// faces of the grid that are not held are planes that no flux passes.
#[derive(Clone, Debug)]
pub struct Problem {
    pub(crate) grid: Grid,
    pub(crate) matters: Vec<Matter>,
    /// Index of what each cell is made of.
    pub(crate) made_of: Vec<u8>,
    /// Nodes at which the potential is held.
    pub(crate) held: Vec<bool>,
    /// Field of windings at the points of each cell, A/m; none where it is empty.
    pub(crate) windings: Vec<[[f64; 3]; POINTS]>,
}

impl Problem {
    /// A problem on a grid. `made_of` says which of the `matters` is about a place, `held` whether the potential is held there; both are asked before the grid is bent. What names
    /// no matter is taken as the first.
    #[must_use]
    pub fn new(
        grid: Grid,
        matters: Vec<Matter>,
        made_of: impl Fn([f64; 3]) -> usize,
        held: impl Fn([f64; 3]) -> bool,
    ) -> Self {
        let middle = |axis: usize, n: usize| 0.5 * (grid.lines(axis)[n] + grid.lines(axis)[n + 1]);
        let of_cell = every(grid.cells())
            .map(|[i, j, k]| {
                let found = made_of([middle(0, i), middle(1, j), middle(2, k)]);
                u8::try_from(found).map_or(0, |found| if usize::from(found) < matters.len() { found } else { 0 })
            })
            .collect();
        let of_node = every(grid.cells().map(|n| n + 1))
            .map(|[i, j, k]| held([grid.lines(0)[i], grid.lines(1)[j], grid.lines(2)[k]]))
            .collect();
        Self {
            grid,
            matters,
            made_of: of_cell,
            held: of_node,
            windings: Vec::new(),
        }
    }

    /// The same with the field of windings, A/m, whose curl is their current density, on a straight grid.
    #[must_use]
    pub fn with_windings(mut self, field: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        let grid = &self.grid;
        let point = |axis: usize, n: usize, upper: bool| {
            let [from, to] = [grid.lines(axis)[n], grid.lines(axis)[n + 1]];
            0.5 * (from + to) + 0.5 * (to - from) * if upper { GAUSS } else { -GAUSS }
        };
        self.windings = every(grid.cells())
            .map(|[i, j, k]| {
                std::array::from_fn(|p| {
                    field([
                        point(0, i, p % 2 == 1),
                        point(1, j, p / 2 % 2 == 1),
                        point(2, k, p >= 4),
                    ])
                })
            })
            .collect();
        self
    }

    /// The grid.
    #[must_use]
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Permeability, H/m, and remanent polarisation, T, of a cell; none of steel.
    pub(crate) fn straight(&self, cell: usize) -> Option<[f64; 2]> {
        match self.matters[usize::from(self.made_of[cell])] {
            Matter::Straight {
                permeability,
                polarisation,
            } => Some([MU_0 * permeability, polarisation]),
            Matter::Steel(_) => None,
        }
    }
}

/// Every index below these counts, the first axis fastest.
pub(crate) fn every([nx, ny, nz]: [usize; 3]) -> impl Iterator<Item = [usize; 3]> {
    (0..nz).flat_map(move |k| (0..ny).flat_map(move |j| (0..nx).map(move |i| [i, j, k])))
}
