//! Symmetric positive definite systems by conjugate gradients with a multigrid of aggregates.
//!
//! Unknowns that are coupled most are joined in pairs, these in pairs again: flat cells and steel beside air are joined along what couples them, whatever way they lie.
//! Each coarse system is solved by two steps of the same method (Notay's K-cycle: Electronic Transactions on Numerical Analysis 37, 123-146, 2010; from memory).

use faer::linalg::solvers::{Llt, Solve};
use faer::{Mat, Side};

/// A sparse symmetric matrix, all its entries by rows.
#[derive(Clone, Debug, Default)]
pub(crate) struct Matrix {
    pub(crate) starts: Vec<u32>,
    pub(crate) columns: Vec<u32>,
    pub(crate) values: Vec<f64>,
}

impl Matrix {
    pub(crate) fn size(&self) -> usize {
        self.starts.len().saturating_sub(1)
    }

    fn row(&self, i: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let range = self.starts[i] as usize..self.starts[i + 1] as usize;
        self.columns[range.clone()]
            .iter()
            .zip(&self.values[range])
            .map(|(&column, &value)| (column as usize, value))
    }

    /// The matrix times a vector.
    pub(crate) fn times(&self, x: &[f64], y: &mut [f64]) {
        for (i, y) in y.iter_mut().enumerate() {
            *y = self.row(i).map(|(j, value)| value * x[j]).sum();
        }
    }

    fn diagonal(&self, i: usize) -> f64 {
        self.row(i).find(|&(j, _)| j == i).map_or(0.0, |(_, value)| value)
    }
}

/// The matrix is not positive definite.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Singular;

/// Times that unknowns are joined in pairs from one level to the next.
const PAIRINGS: usize = 2;
/// Share of the strongest coupling of an unknown below which it is not joined.
const WEAK: f64 = 0.25;
/// Unknowns that are solved for directly.
const FEW: usize = 250;
/// Residual over the one before, of a coarse system, at which one step is enough.
const ENOUGH: f64 = 0.25;

#[derive(Debug)]
struct Level {
    matrix: Matrix,
    inverse: Vec<f64>,
    /// Unknown of the next level that each belongs to.
    joined: Vec<u32>,
}

/// Levels of ever fewer unknowns.
#[derive(Debug)]
pub(crate) struct Multigrid {
    levels: Vec<Level>,
    last: Llt<f64>,
}

/// Vectors of a level that a cycle needs.
#[derive(Default)]
struct Room {
    residual: Vec<f64>,
    right: Vec<f64>,
    found: [Vec<f64>; 2],
    images: [Vec<f64>; 2],
}

impl Multigrid {
    /// The levels below a matrix.
    pub(crate) fn new(matrix: Matrix) -> Result<Self, Singular> {
        let (mut matrix, mut levels) = (matrix, Vec::new());
        while matrix.size() > FEW {
            let inverse: Vec<f64> = (0..matrix.size()).map(|i| 1.0 / matrix.diagonal(i)).collect();
            if !inverse.iter().all(|d| d.is_finite() && *d > 0.0) {
                return Err(Singular);
            }
            let (mut joined, mut count) = pairs(&matrix);
            let mut coarse = joint(&matrix, &joined, count);
            for _ in 1..PAIRINGS {
                let (again, fewer) = pairs(&coarse);
                for to in &mut joined {
                    *to = again[*to as usize];
                }
                coarse = joint(&coarse, &again, fewer);
                count = fewer;
            }
            if count >= matrix.size() {
                return Err(Singular);
            }
            levels.push(Level {
                matrix: std::mem::replace(&mut matrix, coarse),
                inverse,
                joined,
            });
        }
        let size = matrix.size();
        let mut dense = Mat::zeros(size, size);
        for i in 0..size {
            for (j, value) in matrix.row(i) {
                dense[(i, j)] = value;
            }
        }
        let last = dense.llt(Side::Lower).map_err(|_| Singular)?;
        Ok(Self { levels, last })
    }

    /// Solves for a right side until the residual is `tolerance` of it, or after `most` steps; with the number of steps.
    pub(crate) fn solve(&self, matrix: &Matrix, right: &[f64], tolerance: f64, most: usize) -> (Vec<f64>, usize) {
        let mut rooms: Vec<Room> = self.levels.iter().map(|_| Room::default()).collect();
        let size = right.len();
        let (mut x, mut r) = (vec![0.0; size], right.to_vec());
        let (mut z, mut p, mut image, mut before) =
            (vec![0.0; size], vec![0.0; size], vec![0.0; size], vec![0.0; size]);
        let wanted = tolerance * norm(right);
        let mut old = 0.0;
        for step in 0..most {
            if norm(&r) <= wanted {
                return (x, step);
            }
            self.cycle(0, &r, &mut z, &mut rooms);
            let now = dot(&z, &r);
            let share = if step == 0 { 0.0 } else { (now - dot(&z, &before)) / old };
            for (p, z) in p.iter_mut().zip(&z) {
                *p = z + share * *p;
            }
            old = now;
            matrix.times(&p, &mut image);
            let length = dot(&p, &r) / dot(&p, &image);
            before.copy_from_slice(&r);
            for (((x, r), p), image) in x.iter_mut().zip(&mut r).zip(&p).zip(&image) {
                *x += length * p;
                *r -= length * image;
            }
        }
        (x, most)
    }

    /// One cycle: an approximate solution of a level.
    fn cycle(&self, level: usize, right: &[f64], x: &mut [f64], rooms: &mut [Room]) {
        let Some(here) = self.levels.get(level) else {
            let solved = self.last.solve(Mat::from_fn(right.len(), 1, |i, _| right[i]));
            for (i, x) in x.iter_mut().enumerate() {
                *x = solved[(i, 0)];
            }
            return;
        };
        let Some((room, below)) = rooms.split_first_mut() else {
            return;
        };
        let matrix = &here.matrix;
        // Forwards from nothing.
        for i in 0..x.len() {
            let range = matrix.starts[i] as usize..matrix.starts[i + 1] as usize;
            let mut sum = right[i];
            for (&j, &value) in matrix.columns[range.clone()].iter().zip(&matrix.values[range]) {
                if j as usize >= i {
                    break;
                }
                sum -= value * x[j as usize];
            }
            x[i] = sum * here.inverse[i];
        }
        // What is left is what the entries after the diagonal make.
        room.residual.resize(x.len(), 0.0);
        for (i, residual) in room.residual.iter_mut().enumerate() {
            let range = matrix.starts[i] as usize..matrix.starts[i + 1] as usize;
            let mut sum = 0.0;
            for (&j, &value) in matrix.columns[range.clone()].iter().zip(&matrix.values[range]).rev() {
                if j as usize <= i {
                    break;
                }
                sum -= value * x[j as usize];
            }
            *residual = sum;
        }
        let fewer = here.joined.iter().max().map_or(0, |&most| most as usize + 1);
        room.right.clear();
        room.right.resize(fewer, 0.0);
        for (&to, residual) in here.joined.iter().zip(&room.residual) {
            room.right[to as usize] += residual;
        }
        for vector in room.found.iter_mut().chain(&mut room.images) {
            vector.resize(fewer, 0.0);
        }
        let Room {
            right: coarse,
            found: [first, second],
            images: [image, other],
            ..
        } = room;
        self.cycle(level + 1, coarse, first, below);
        if let Some(next) = self.levels.get(level + 1) {
            next.matrix.times(first, image);
            let (rho, alpha, whole) = (dot(first, image), dot(first, coarse), norm(coarse));
            let share = if rho > 0.0 { alpha / rho } else { 0.0 };
            for (right, image) in coarse.iter_mut().zip(image.iter()) {
                *right -= share * image;
            }
            let mut shares = [share, 0.0];
            if norm(coarse) > ENOUGH * whole {
                self.cycle(level + 1, coarse, second, below);
                next.matrix.times(second, other);
                let (gamma, beta, alpha) = (dot(second, image), dot(second, other), dot(second, coarse));
                let rest = beta - gamma * gamma / rho;
                if rest > 0.0 && rho > 0.0 {
                    shares = [share - gamma * alpha / (rho * rest), alpha / rest];
                }
            } else {
                second.fill(0.0);
            }
            for (first, second) in first.iter_mut().zip(second.iter()) {
                *first = shares[0] * *first + shares[1] * second;
            }
        }
        for (x, &to) in x.iter_mut().zip(&here.joined) {
            *x += first[to as usize];
        }
        // Backwards.
        for i in (0..x.len()).rev() {
            let mut sum = right[i];
            for (j, value) in matrix.row(i) {
                sum -= value * x[j];
            }
            x[i] += sum * here.inverse[i];
        }
    }
}

/// Sum of the products of two vectors.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn norm(a: &[f64]) -> f64 {
    dot(a, a).sqrt()
}

/// Pairs of unknowns that are coupled most: to which pair each belongs, and their number. What finds nobody joins the pair of its strongest neighbour.
fn pairs(matrix: &Matrix) -> (Vec<u32>, usize) {
    const FREE: u32 = u32::MAX;
    let size = matrix.size();
    let mut joined = vec![FREE; size];
    let mut count = 0;
    for i in 0..size {
        if joined[i] != FREE {
            continue;
        }
        let (mut strongest, mut free) = ((0.0, i), (0.0, i));
        for (j, value) in matrix.row(i) {
            if j != i && value < strongest.0 {
                strongest = (value, j);
            }
            if j != i && joined[j] == FREE && value < free.0 {
                free = (value, j);
            }
        }
        if free.0 < WEAK * strongest.0 {
            (joined[i], joined[free.1]) = (count, count);
            count += 1;
        } else if strongest.0 < 0.0 && joined[strongest.1] != FREE {
            joined[i] = joined[strongest.1];
        } else {
            joined[i] = count;
            count += 1;
        }
    }
    (joined, count as usize)
}

/// The matrix of joined unknowns.
fn joint(matrix: &Matrix, joined: &[u32], count: usize) -> Matrix {
    let mut firsts = vec![0u32; count + 1];
    for &to in joined {
        firsts[to as usize + 1] += 1;
    }
    for k in 0..count {
        firsts[k + 1] += firsts[k];
    }
    let (mut members, mut fill) = (vec![0u32; joined.len()], firsts.clone());
    for (i, &to) in joined.iter().enumerate() {
        members[fill[to as usize] as usize] = i as u32;
        fill[to as usize] += 1;
    }
    let mut coarse = Matrix {
        starts: vec![0],
        ..Matrix::default()
    };
    let mut sums = vec![0.0; count];
    let mut seen = vec![u32::MAX; count];
    let mut row: Vec<u32> = Vec::new();
    for k in 0..count {
        row.clear();
        for &i in &members[firsts[k] as usize..firsts[k + 1] as usize] {
            for (j, value) in matrix.row(i as usize) {
                let to = joined[j] as usize;
                if seen[to] != k as u32 {
                    seen[to] = k as u32;
                    sums[to] = 0.0;
                    row.push(to as u32);
                }
                sums[to] += value;
            }
        }
        row.sort_unstable();
        coarse.values.extend(row.iter().map(|&to| sums[to as usize]));
        coarse.columns.extend_from_slice(&row);
        coarse.starts.push(coarse.columns.len() as u32);
    }
    coarse
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Differences on a grid with couplings of such strengths along its axes.
    fn differences(n: usize, strengths: impl Fn(usize, usize, usize) -> [f64; 3]) -> Matrix {
        let at = |i: usize, j: usize, k: usize| i + n * (j + n * k);
        let mut rows: Vec<std::collections::BTreeMap<usize, f64>> = vec![Default::default(); n * n * n];
        for k in 0..n {
            for j in 0..n {
                for i in 0..n {
                    let [x, y, z] = strengths(i, j, k);
                    let here = at(i, j, k);
                    *rows[here].entry(here).or_default() += 1e-6;
                    for (strength, there) in [
                        (x, (i + 1 < n).then(|| at(i + 1, j, k))),
                        (y, (j + 1 < n).then(|| at(i, j + 1, k))),
                        (z, (k + 1 < n).then(|| at(i, j, k + 1))),
                    ] {
                        *rows[here].entry(here).or_default() += strength;
                        if let Some(there) = there {
                            *rows[there].entry(there).or_default() += strength;
                            *rows[here].entry(there).or_default() -= strength;
                            *rows[there].entry(here).or_default() -= strength;
                        }
                    }
                }
            }
        }
        let mut matrix = Matrix {
            starts: vec![0],
            ..Matrix::default()
        };
        for row in rows {
            for (column, value) in row {
                matrix.columns.push(column as u32);
                matrix.values.push(value);
            }
            matrix.starts.push(matrix.columns.len() as u32);
        }
        matrix
    }

    #[test]
    fn flat_cells_and_steel_beside_air_take_few_steps() {
        let plain = differences(16, |_, _, _| [1.0; 3]);
        let flat = differences(16, |_, _, _| [1e-3, 1.0, 1e3]);
        let steel = differences(16, |i, j, k| {
            if i < 8 && j > 4 && k == 7 {
                [2000.0; 3]
            } else {
                [1.0, 1.0, 0.01]
            }
        });
        for matrix in [plain, flat, steel] {
            let right: Vec<f64> = (0..matrix.size()).map(|i| (i as f64 * 0.7).sin()).collect();
            let (x, steps) = Multigrid::new(matrix.clone()).unwrap().solve(&matrix, &right, 1e-8, 60);
            assert!(steps <= 17, "{steps}");
            let mut back = vec![0.0; right.len()];
            matrix.times(&x, &mut back);
            let off: Vec<f64> = back.iter().zip(&right).map(|(a, b)| a - b).collect();
            assert!(norm(&off) <= 1.01e-8 * norm(&right), "{}", norm(&off) / norm(&right));
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_is_refused() {
        let matrix = differences(8, |_, _, _| [-1.0; 3]);
        assert!(Multigrid::new(matrix).is_err());
    }
}
