//! A magnet on a plate that ends beside it or below it, or that carries equal magnets beside it.

use crate::grid::{Across, Grid};
use crate::lines::{Key, graded};
use crate::on_plate::{AT_END, Face, GROWTH, OnPlate, Pull, ROUGH, ROUGH_BEYOND, beyond};
use crate::problem::{Matter, Problem};
use crate::solve::{Solution, SolveError, solve};

/// What is on one side of a magnet along x; distances are from its middle, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Side {
    /// The plate goes on, as wide as the plate of the magnet.
    Plate,
    /// The straight edge of the plate; below zero the middle stands beside the plate.
    Edge(f64),
    /// The middle of an equal magnet, poles alike. With one on either side the row has no end.
    Alike(f64),
    /// The middle of an equal magnet, poles the other way round. With one on either side the row has no end.
    Alternating(f64),
}

/// A magnet on a plate with what is beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Beside {
    /// The magnet on its plate, which is as wide along y as said there.
    pub on: OnPlate,
    /// What is beside it towards lower and higher x.
    pub sides: [Side; 2],
}

/// Lines over half of a face, at the usual fineness: the rim of a round one passes between them everywhere.
const OVER_FACE: u32 = 6;
/// Parts in which the share of a cell that a round magnet fills is told.
const SHARES: usize = 200;
/// Points along each side of a cell by which that share is found.
const POINTS: u32 = 16;
/// Place of steel among the matters; of air is 0, and of the magnet's shares follow.
const STEEL: usize = 1;

impl Beside {
    /// Pull of the magnet over that on a plate without end of ideal steel, with the same neighbours, both on the same two grids.
    ///
    /// # Errors
    /// [`SolveError`]: [`SolveError::Sizes`] where a size is none or magnets overlap.
    pub fn share_of_ideal(&self) -> Result<Pull, SolveError> {
        self.over(self, true)
    }

    /// Pull of the magnet near edges over that in the middle of its plate, both on the same two grids.
    ///
    /// # Errors
    /// As [`Self::share_of_ideal`]; where a magnet is beside it, since those grids end between the two.
    pub fn share_of_middle(&self) -> Result<Pull, SolveError> {
        if self
            .sides
            .iter()
            .any(|side| matches!(side, Side::Alike(_) | Side::Alternating(_)))
        {
            return Err(SolveError::Sizes);
        }
        let middle = Self {
            sides: [Side::Plate; 2],
            ..self.clone()
        };
        self.over(&middle, false)
    }

    /// Pull of the magnet with its like neighbours over that with neighbours of the other pole in their places, both on the same
    /// two grids.
    ///
    /// # Errors
    /// As [`Self::share_of_ideal`].
    pub fn share_of_alternating(&self) -> Result<Pull, SolveError> {
        let turned = self.sides.map(|side| match side {
            Side::Alike(pitch) => Side::Alternating(pitch),
            other => other,
        });
        let alternating = Self {
            sides: turned,
            ..self.clone()
        };
        self.over(&alternating, false)
    }

    fn over(&self, of: &Self, ideal: bool) -> Result<Pull, SolveError> {
        if !self.is_whole() {
            return Err(SolveError::Sizes);
        }
        let mut shares = Vec::new();
        for fineness in ROUGH {
            let grid = self.grid(fineness);
            let problems = [self.problem(grid.clone(), false), of.problem(grid, ideal)];
            let [pull, whole] = problems.each_ref().map(|problem| solve(problem, None));
            let (pull, whole) = (pull?, whole?);
            shares.push((self.pull_of(&pull) / self.pull_of(&whole), pull.unknowns()));
        }
        let [(coarse, _), (fine, unknowns)] = shares[..] else {
            return Err(SolveError::Sizes);
        };
        Ok(beyond(coarse, fine, ROUGH_BEYOND, unknowns))
    }

    fn is_whole(&self) -> bool {
        let [half, _] = self.on.face.half();
        let apart = |side: &Side| match *side {
            Side::Plate => true,
            Side::Edge(at) => at.is_finite() && at > -half,
            Side::Alike(pitch) | Side::Alternating(pitch) => pitch.is_finite() && pitch >= 2.0 * half,
        };
        self.on.is_whole() && self.sides.iter().all(apart)
    }

    fn grid(&self, fineness: usize) -> Grid {
        let (on, end, rim) = (&self.on, self.on.end(), self.on.rim());
        let over = |half: f64| {
            (0..OVER_FACE)
                .map(move |k| Key::new(half * f64::from(k) / f64::from(OVER_FACE), half / f64::from(OVER_FACE)))
        };
        let (face, plate) = (on.face.half(), on.plate.half());
        // From the middle outwards: the rim, the end of the plate, the outer box.
        let arm = |face: f64, plate: f64| {
            let far = (face + end).max(plate + 0.5 * end);
            let mut keys: Vec<Key> = over(face).collect();
            keys.extend([
                Key::new(face, rim),
                Key::new(plate, (0.42 * (plate - face).abs()).max(rim)),
                Key::new(far, AT_END * end),
            ]);
            keys
        };
        let mut along: Vec<Key> = Vec::new();
        for (side, sign) in self.sides.iter().zip([-1.0, 1.0]) {
            let mut keys = arm(face[0], plate[0]);
            match *side {
                Side::Plate => {}
                Side::Edge(at) => keys.push(Key::new(at, (0.42 * (at - face[0]).abs()).clamp(rim, 2.0 * rim))),
                Side::Alike(pitch) | Side::Alternating(pitch) => {
                    let middle = 0.5 * pitch;
                    keys.retain(|key| key.at < middle);
                    keys.push(Key::new(middle, (0.42 * (middle - face[0])).max(rim)));
                }
            }
            along.extend(keys.iter().map(|key| Key::new(sign * key.at, key.size)));
        }
        let sizes = [face[0], face[1]];
        let [along, aside] = [along, arm(face[1], plate[1])];
        let lines = |keys: Vec<Key>, face: f64| graded(&in_order(keys, 0.02 * face), GROWTH, fineness);
        Grid::new(
            [lines(along, sizes[0]), lines(aside, sizes[1]), on.heights(fineness)],
            Across::Straight,
        )
    }

    fn problem(&self, grid: Grid, ideal: bool) -> Problem {
        let on = &self.on;
        let share = |part: usize| Matter::Straight {
            permeability: on.permeability,
            polarisation: on.polarisation * part as f64 / SHARES as f64,
        };
        let mut matters = vec![Matter::AIR, Matter::Steel(on.steel.clone())];
        matters.extend((1..=SHARES).map(share));
        let (gap, plate) = (on.least_gap(), on.plate.half());
        let ends: [[f64; 2]; 3] = std::array::from_fn(|axis| {
            let lines = grid.lines(axis);
            [lines[0], lines.last().copied().unwrap_or_default()]
        });
        let end_of = |side: Side| if let Side::Edge(at) = side { at } else { plate[0] };
        let steel = [-end_of(self.sides[0]), end_of(self.sides[1])];
        let free = self.sides.map(|side| matches!(side, Side::Alike(_)));
        let cells = [0, 1].map(|axis| grid.lines(axis).to_vec());
        let made_of = |[x, y, z]: [f64; 3]| {
            if z > gap && z < gap + on.height {
                match (SHARES as f64 * filled(&on.face, &cells, [x, y])).round() as usize {
                    0 => 0,
                    part => STEEL + part,
                }
            } else if !ideal && z < 0.0 && z > -on.thickness && x > steel[0] && x < steel[1] && y < plate[1] {
                STEEL
            } else {
                0
            }
        };
        Problem::new(grid, matters, made_of, |[x, y, z]| {
            let [[left, right], [_, wide], [bottom, top]] = ends;
            (x <= left && !free[0])
                || (x >= right && !free[1])
                || y >= wide
                || z >= top
                || z <= bottom
                || (ideal && z <= 0.0)
        })
    }

    /// Pull of a solution, N.
    fn pull_of(&self, solution: &Solution) -> f64 {
        2.0 * solution.pull_across([0.0, self.on.least_gap()])
    }
}

/// Keys that rise; of those closer than `least` the first is kept, with the lesser distance of lines.
fn in_order(mut keys: Vec<Key>, least: f64) -> Vec<Key> {
    keys.sort_by(|a, b| a.at.total_cmp(&b.at));
    keys.dedup_by(|later, first| {
        let close = later.at - first.at < least;
        if close {
            first.size = first.size.min(later.size);
        }
        close
    });
    keys
}

/// Share of the cell about a place that a face fills.
fn filled(face: &Face, lines: &[Vec<f64>; 2], place: [f64; 2]) -> f64 {
    let half = face.half();
    let Face::Circle(_) = face else {
        return f64::from(u8::from(place[0].abs() < half[0] && place[1].abs() < half[1]));
    };
    let [xs, ys] = [0, 1].map(|axis| {
        let at = lines[axis].partition_point(|&line| line <= place[axis]);
        let (from, to) = (lines[axis][at - 1], lines[axis][at]);
        move |k: u32| from + (to - from) * (f64::from(k) + 0.5) / f64::from(POINTS)
    });
    let inside = (0..POINTS * POINTS).filter(|k| xs(k % POINTS).hypot(ys(k / POINTS)) < half[0]);
    inside.count() as f64 / f64::from(POINTS * POINTS)
}
