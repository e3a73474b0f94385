//! A magnet on a plate of steel: its pull on two grids, and an estimate of the error.

use std::sync::Arc;

use steel::BhCurve;

use crate::grid::{Across, Grid};
use crate::lines::{Key, USUAL, graded};
use crate::problem::{Matter, Problem};
use crate::solve::{Solution, SolveError, solve};

/// The pole face of a magnet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Face {
    /// A rectangle with sides along x and y, m.
    Rectangle([f64; 2]),
    /// A circle of this diameter, m.
    Circle(f64),
}

impl Face {
    /// Half of its sizes along x and y, m.
    pub(crate) fn half(&self) -> [f64; 2] {
        match *self {
            Self::Rectangle(sides) => sides.map(|side| 0.5 * side),
            Self::Circle(diameter) => [0.5 * diameter; 2],
        }
    }
}

/// A magnet on a plate, the middle of one over that of the other.
#[derive(Clone, Debug, PartialEq)]
pub struct OnPlate {
    /// The magnet's pole face.
    pub face: Face,
    /// Its size along its polarisation, which stands on the plate, m.
    pub height: f64,
    /// Remanent polarisation, T.
    pub polarisation: f64,
    /// Recoil permeability relative to vacuum.
    pub permeability: f64,
    /// Air between magnet and plate, m. Contact is taken as a gap of [`LEAST_GAP`] of the face.
    pub gap: f64,
    /// Thickness of the plate, m.
    pub thickness: f64,
    /// Face of the plate, of the same form as the magnet's.
    pub plate: Face,
    /// Magnetisation curve of the plate.
    pub steel: Arc<BhCurve>,
}

/// A pull with an estimate of its error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// The pull, N: that of two grids, extrapolated.
    pub value: f64,
    /// Estimate of its relative error: how far the two grids are apart. It is no bound.
    pub error: f64,
    /// Unknowns of the finer grid.
    pub unknowns: usize,
}

/// Least gap over the shorter side of the face: a gap that small changes the pull by some thousandths.
pub const LEAST_GAP: f64 = 2e-4;
/// Distances of lines: at a rim over the gap, and within these parts of the shorter side; in the middle of the face over half its size.
const AT_RIM: f64 = 0.98;
const RIM: [f64; 2] = [0.0112, 0.07];
const IN_MIDDLE: f64 = 0.35;
/// The same at the outer box, over the room to it.
pub(crate) const AT_END: f64 = 0.7;
/// Growth of the distance of lines with the distance from what is fine.
pub(crate) const GROWTH: f64 = 0.56;
/// Size of the outer box over the largest size of the parts.
const BOX: f64 = 5.0;
/// Finenesses of the two grids, and by what their difference goes on beyond the finer: errors fall with the square of the size of cells.
const FINENESS: [usize; 2] = [USUAL, USUAL + 1];
const BEYOND: f64 = 0.8;
/// The same of shares on rough grids.
pub(crate) const ROUGH: [usize; 2] = [USUAL / 2, USUAL];
pub(crate) const ROUGH_BEYOND: f64 = 1.0 / 3.0;

impl OnPlate {
    /// Whether every size can be: finite and above zero, the gap not below zero.
    pub(crate) fn is_whole(&self) -> bool {
        let sizes = [self.face.half(), self.plate.half()].concat();
        let positive = |x: f64| x > 0.0 && x.is_finite();
        let same = matches!(
            (self.face, self.plate),
            (Face::Rectangle(_), Face::Rectangle(_)) | (Face::Circle(_), Face::Circle(_))
        );
        same && sizes
            .into_iter()
            .chain([self.height, self.thickness, self.permeability])
            .all(positive)
            && self.gap >= 0.0
            && self.gap.is_finite()
            && self.polarisation.is_finite()
    }

    pub(crate) fn least_gap(&self) -> f64 {
        self.gap.max(LEAST_GAP * self.short())
    }

    /// Shorter side of the face, m.
    fn short(&self) -> f64 {
        let [a, b] = self.face.half();
        2.0 * a.min(b)
    }

    /// Distance of lines at a rim, m.
    pub(crate) fn rim(&self) -> f64 {
        let short = self.short();
        (AT_RIM * self.least_gap()).clamp(RIM[0] * short, RIM[1] * short)
    }

    /// Room to the outer box, m.
    pub(crate) fn end(&self) -> f64 {
        let [a, b] = self.face.half();
        BOX * a.max(b).max(self.height + self.least_gap())
    }

    /// Lines along z, the face of the plate at 0.
    pub(crate) fn heights(&self, fineness: usize) -> Vec<f64> {
        let (gap, tall, short, end) = (self.least_gap(), self.height, self.short(), self.end());
        let up = [
            Key::new(-self.thickness - end, AT_END * end),
            Key::new(-self.thickness, (0.56 * self.thickness).min(0.14 * short)),
            Key::new(0.0, (0.56 * self.thickness).min(0.07 * short)),
            Key::new(gap, (1.4 * gap).clamp(RIM[0] * short, RIM[1] * short).min(0.28 * tall)),
            Key::new(gap + tall, (0.14 * short).min(0.28 * tall)),
            Key::new(gap + tall + end, AT_END * end),
        ];
        graded(&up, GROWTH, fineness)
    }

    fn grid(&self, fineness: usize) -> Grid {
        let (face, plate) = (self.face.half(), self.plate.half());
        let (rim, end) = (self.rim(), self.end());
        let across = |axis: usize| {
            let (face, plate) = (face[axis], plate[axis]);
            let far = (face + end).max(plate + 0.5 * end);
            let mut keys = vec![
                Key::new(0.0, IN_MIDDLE * face),
                Key::new(face, rim),
                Key::new(far, AT_END * end),
            ];
            let off = (plate - face).abs();
            if off > 1e-6 * face {
                let key = Key::new(plate, (0.42 * off).max(rim));
                keys.insert(if plate < face { 1 } else { 2 }, key);
            }
            graded(&keys, GROWTH, fineness)
        };
        let form = match self.face {
            Face::Rectangle(_) => Across::Straight,
            Face::Circle(diameter) => Across::Round(0.5 * diameter),
        };
        Grid::new([across(0), across(1), self.heights(fineness)], form)
    }

    /// The problem on a grid of a fineness; on an ideal plate the potential is held at its face.
    fn problem(&self, grid: Grid, ideal: bool) -> Problem {
        let gap = self.least_gap();
        let magnet = Matter::Straight {
            permeability: self.permeability,
            polarisation: self.polarisation,
        };
        let matters = vec![Matter::AIR, magnet, Matter::Steel(Arc::clone(&self.steel))];
        let (face, plate) = (self.face.half(), self.plate.half());
        let within = |[x, y]: [f64; 2], half: [f64; 2]| x < half[0] && y < half[1];
        let ends: [f64; 3] = std::array::from_fn(|axis| grid.lines(axis).last().copied().unwrap_or_default());
        let bottom = grid.lines(2)[0];
        Problem::new(
            grid,
            matters,
            |[x, y, z]| {
                if z > gap && z < gap + self.height && within([x, y], face) {
                    1
                } else if !ideal && z < 0.0 && z > -self.thickness && within([x, y], plate) {
                    2
                } else {
                    0
                }
            },
            |[x, y, z]| x >= ends[0] || y >= ends[1] || z >= ends[2] || z <= bottom || (ideal && z <= 0.0),
        )
    }

    /// Pull of a solution, N.
    fn pull_of(&self, solution: &Solution) -> f64 {
        4.0 * solution.pull_across([0.0, self.least_gap()])
    }

    /// Its pull on the plate.
    ///
    /// # Errors
    /// [`SolveError`]: [`SolveError::Sizes`] where a size is none.
    pub fn pull(&self) -> Result<Pull, SolveError> {
        self.on_two_grids(false)
    }

    /// Its pull on a plate without end that the field stands on, as thick ideal steel.
    ///
    /// # Errors
    /// As [`Self::pull`].
    pub fn ideal_pull(&self) -> Result<Pull, SolveError> {
        self.on_two_grids(true)
    }

    /// Its pull on the plate over that of a magnet of the same sizes on thick ideal steel, both on the same two grids, rougher than those of [`Self::pull`]: most of
    /// what a coarse grid does wrong about the magnet is in both.
    ///
    /// # Errors
    /// As [`Self::pull`].
    pub fn share_of_ideal(&self, of: &Self) -> Result<Pull, SolveError> {
        if !(self.is_whole() && of.is_whole()) {
            return Err(SolveError::Sizes);
        }
        let mut problems = Vec::new();
        for fineness in ROUGH {
            let grid = self.grid(fineness);
            problems.extend([self.problem(grid.clone(), false), of.problem(grid, true)]);
        }
        let mut solutions: Vec<Solution> = Vec::new();
        for (index, problem) in problems.iter().enumerate() {
            let near = index.checked_sub(2).and_then(|before| solutions.get(before));
            solutions.push(solve(problem, near)?);
        }
        let pulls: Vec<f64> = solutions.iter().map(|solution| self.pull_of(solution)).collect();
        let [coarse, fine] = [pulls[0] / pulls[1], pulls[2] / pulls[3]];
        Ok(beyond(coarse, fine, ROUGH_BEYOND, solutions[2].unknowns()))
    }

    fn on_two_grids(&self, ideal: bool) -> Result<Pull, SolveError> {
        if !self.is_whole() {
            return Err(SolveError::Sizes);
        }
        let [coarse, fine] = FINENESS.map(|fineness| self.problem(self.grid(fineness), ideal));
        let first = solve(&coarse, None)?;
        let second = solve(&fine, Some(&first))?;
        let [coarse, fine] = [&first, &second].map(|solution| self.pull_of(solution));
        Ok(beyond(coarse, fine, BEYOND, second.unknowns()))
    }
}

/// What two grids tend to.
pub(crate) fn beyond(coarse: f64, fine: f64, share: f64, unknowns: usize) -> Pull {
    let value = fine + share * (fine - coarse);
    Pull {
        value,
        error: ((fine - coarse) / value).abs(),
        unknowns,
    }
}

#[cfg(test)]
mod tests {
    use magnetics::{Shape, StackPull};
    use steel::SteelTable;

    use super::*;

    fn block(sides: [f64; 2], height: f64, gap: f64) -> OnPlate {
        OnPlate {
            face: Face::Rectangle(sides.map(|side| side * 1e-3)),
            height: height * 1e-3,
            polarisation: 1.3,
            permeability: 1.0,
            gap: gap * 1e-3,
            thickness: 1e-3,
            plate: Face::Rectangle(sides.map(|side| (side + 60.0) * 1e-3)),
            steel: Arc::clone(&SteelTable::builtin().unwrap().curve("team13").unwrap().curve),
        }
    }

    /// Pull by the mirror image in closed form, N.
    fn mirror(block: &OnPlate) -> f64 {
        let Face::Rectangle([length, width]) = block.face else {
            panic!("a block")
        };
        let shape = Shape::Block {
            length,
            width,
            thickness: block.height,
        };
        let pull = StackPull::new(&shape, 0.0, 1, block.polarisation).unwrap();
        pull.plate_pull(block.gap).unwrap()
    }

    /// Errors fall with the square of the size of cells, against the mirror image in closed form.
    #[test]
    fn errors_fall_with_the_square_of_the_size_of_cells() {
        let block = block([20.0, 10.0], 5.0, 1.0);
        let [coarse, fine] = [2, 4].map(|fineness| {
            let problem = block.problem(block.grid(fineness), true);
            block.pull_of(&solve(&problem, None).unwrap()) / mirror(&block) - 1.0
        });
        let order = (coarse / fine).log2();
        assert!((1.6..=2.4).contains(&order), "{coarse} {fine}: {order}");
    }

    /// Twice the grid changes a pull by no more than was estimated.
    #[test]
    fn the_estimate_covers_what_a_finer_grid_changes() {
        for (sides, height, gap) in [([20.0, 10.0], 5.0, 1.0), ([10.0, 10.0], 3.0, 0.2)] {
            let block = block(sides, height, gap);
            let told = block.pull().unwrap();
            let [coarse, fine] = [2, 4].map(|fineness| {
                let problem = block.problem(block.grid(fineness), false);
                block.pull_of(&solve(&problem, None).unwrap())
            });
            let better = fine + (fine - coarse) / 3.0;
            assert!(told.error <= 0.02, "{told:?}");
            assert!((told.value / better - 1.0).abs() <= told.error, "{told:?} {better}");
        }
    }

    #[test]
    fn ideal_steel_pulls_like_the_mirror_image() {
        for (sides, height, gap) in [
            ([20.0, 10.0], 5.0, 1.0),
            ([100.0, 10.0], 5.0, 0.1),
            ([10.0, 10.0], 1.0, 0.2),
            ([30.0, 10.0], 2.0, 3.0),
            ([10.0, 10.0], 20.0, 0.0),
        ] {
            let block = block(sides, height, gap);
            let (got, wanted) = (block.ideal_pull().unwrap().value, mirror(&block));
            assert!(
                (got / wanted - 1.0).abs() <= 0.01,
                "{sides:?} {height} {gap}: {got} {wanted}"
            );
        }
    }

    #[test]
    fn a_size_that_is_none_is_refused() {
        let good = block([20.0, 10.0], 5.0, 1.0);
        for bad in [
            OnPlate {
                height: 0.0,
                ..good.clone()
            },
            OnPlate {
                gap: -1e-3,
                ..good.clone()
            },
            OnPlate {
                thickness: f64::NAN,
                ..good.clone()
            },
            OnPlate {
                permeability: f64::INFINITY,
                ..good.clone()
            },
            OnPlate {
                face: Face::Rectangle([0.0, 0.01]),
                ..good.clone()
            },
            OnPlate {
                plate: Face::Circle(0.05),
                ..good.clone()
            },
        ] {
            assert_eq!(bad.pull(), Err(SolveError::Sizes));
            assert_eq!(bad.share_of_ideal(&good), Err(SolveError::Sizes));
            assert_eq!(good.share_of_ideal(&bad), Err(SolveError::Sizes));
        }
    }

    /// The share of ideal steel on rough grids is the pull over the mirror image.
    #[test]
    fn a_share_on_rough_grids_is_that_of_fine_ones() {
        for (sides, height, gap) in [([20.0, 10.0], 5.0, 0.1), ([30.0, 10.0], 3.0, 1.0)] {
            let block = block(sides, height, gap);
            let (rough, fine) = (block.share_of_ideal(&block).unwrap().value, block.pull().unwrap().value);
            assert!(
                (rough * mirror(&block) / fine - 1.0).abs() <= 0.005,
                "{sides:?}: {rough} {fine}"
            );
        }
    }
}
