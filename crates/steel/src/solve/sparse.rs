//! Symmetric positive definite systems: pattern once, factors as often as the values change.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::linalg::cholesky::llt::factor::LltRegularization;
use faer::sparse::linalg::cholesky::{
    CholeskySymbolicParams, LltRef, SymbolicCholesky, SymmetricOrdering, factorize_symbolic_cholesky,
};
use faer::sparse::{SparseColMatRef, SymbolicSparseColMatRef};
use faer::{Conj, MatMut, Par, Side, Spec};

/// The matrix could not be factored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Singular;

/// Where the entries of a symmetric matrix stand: its lower triangle by columns.
#[derive(Debug)]
pub(crate) struct Pattern {
    starts: Vec<u32>,
    rows: Vec<u32>,
    symbolic: SymbolicCholesky<u32>,
}

impl Pattern {
    /// A pattern of all pairs within each group of unknowns. Returns it with the position of every pair of every group, in the order of [`pairs`].
    pub(crate) fn new<G: AsRef<[u32]>>(size: usize, groups: &[G]) -> Result<(Self, Vec<u32>), Singular> {
        let mut counts = vec![0u32; size + 1];
        for group in groups {
            for (i, j) in pairs(group.as_ref()) {
                counts[i.min(j) as usize + 1] += 1;
            }
        }
        for k in 0..size {
            counts[k + 1] += counts[k];
        }
        let total = counts[size] as usize;
        let mut fill = counts.clone();
        let mut entries = vec![(0u32, 0u32); total];
        let mut index = 0u32;
        for group in groups {
            for (i, j) in pairs(group.as_ref()) {
                let slot = &mut fill[i.min(j) as usize];
                entries[*slot as usize] = (i.max(j), index);
                *slot += 1;
                index += 1;
            }
        }
        let mut positions = vec![0u32; total];
        let mut starts = Vec::with_capacity(size + 1);
        let mut rows: Vec<u32> = Vec::with_capacity(total / 2);
        for column in 0..size {
            starts.push(rows.len() as u32);
            let (from, to) = (counts[column] as usize, counts[column + 1] as usize);
            let entries = &mut entries[from..to];
            entries.sort_unstable();
            let mut last = u32::MAX;
            for &(row, index) in entries.iter() {
                if row != last {
                    rows.push(row);
                    last = row;
                }
                positions[index as usize] = rows.len() as u32 - 1;
            }
        }
        starts.push(rows.len() as u32);
        let matrix = SymbolicSparseColMatRef::new_checked(size, size, &starts, None, &rows);
        let symbolic = factorize_symbolic_cholesky(
            matrix,
            Side::Lower,
            SymmetricOrdering::Amd,
            CholeskySymbolicParams::default(),
        )
        .map_err(|_| Singular)?;
        Ok((Self { starts, rows, symbolic }, positions))
    }

    /// Number of unknowns.
    pub(crate) fn size(&self) -> usize {
        self.starts.len() - 1
    }

    /// Number of entries of the lower triangle.
    pub(crate) fn entries(&self) -> usize {
        self.rows.len()
    }

    /// The matrix of these values times a vector.
    pub(crate) fn times(&self, values: &[f64], x: &[f64]) -> Vec<f64> {
        let mut y = vec![0.0; x.len()];
        for (column, range) in self.starts.windows(2).enumerate() {
            let (from, to) = (range[0] as usize, range[1] as usize);
            let mut sum = 0.0;
            for (&row, value) in self.rows[from..to].iter().zip(&values[from..to]) {
                let row = row as usize;
                if row != column {
                    y[row] += value * x[column];
                }
                sum += value * x[row];
            }
            y[column] += sum;
        }
        y
    }

    /// Factors the matrix of these values.
    pub(crate) fn factor(&self, values: &[f64]) -> Result<Factor<'_>, Singular> {
        let mut factor = vec![0.0; self.symbolic.len_val()];
        let size = self.size();
        let matrix = SparseColMatRef::new(
            SymbolicSparseColMatRef::new_checked(size, size, &self.starts, None, &self.rows),
            values,
        );
        let scratch = self
            .symbolic
            .factorize_numeric_llt_scratch::<f64>(Par::Seq, Spec::default());
        let mut memory = MemBuffer::try_new(scratch).map_err(|_| Singular)?;
        self.symbolic
            .factorize_numeric_llt(
                &mut factor,
                matrix,
                Side::Lower,
                LltRegularization::default(),
                Par::Seq,
                MemStack::new(&mut memory),
                Spec::default(),
            )
            .map_err(|_| Singular)?;
        Ok(Factor { pattern: self, factor })
    }
}

/// Pairs of a group, each once.
pub(crate) fn pairs(group: &[u32]) -> impl Iterator<Item = (u32, u32)> + '_ {
    group
        .iter()
        .enumerate()
        .flat_map(|(k, &i)| group.iter().take(k + 1).map(move |&j| (i, j)))
}

/// A factored matrix.
#[derive(Debug)]
pub(crate) struct Factor<'a> {
    pattern: &'a Pattern,
    factor: Vec<f64>,
}

impl Factor<'_> {
    /// Solves for a right side, in place.
    pub(crate) fn solve(&self, x: &mut [f64]) -> Result<(), Singular> {
        let symbolic = &self.pattern.symbolic;
        let mut memory =
            MemBuffer::try_new(symbolic.solve_in_place_scratch::<f64>(1, Par::Seq)).map_err(|_| Singular)?;
        let size = x.len();
        LltRef::new(symbolic, &self.factor).solve_in_place_with_conj(
            Conj::No,
            MatMut::from_column_major_slice_mut(x, size, 1),
            Par::Seq,
            MemStack::new(&mut memory),
        );
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn solution_multiplied_back_gives_the_right_side() {
        let groups: [&[u32]; 4] = [&[0, 3, 2], &[1, 2], &[4, 1, 3], &[0, 1, 2, 3, 4]];
        let (pattern, positions) = Pattern::new(5, &groups).unwrap();
        assert_eq!(pattern.entries(), 15);
        let mut values = vec![0.0; pattern.entries()];
        let all = groups.iter().flat_map(|g| pairs(g));
        for (index, ((i, j), at)) in all.zip(positions).enumerate() {
            values[at as usize] += if i == j { 10.0 } else { 0.1 * index as f64 };
        }
        let right = [1.0, -2.0, 3.0, 0.5, 4.0];
        let mut x = right;
        pattern.factor(&values).unwrap().solve(&mut x).unwrap();
        for (got, wanted) in pattern.times(&values, &x).iter().zip(right) {
            assert!((got - wanted).abs() <= 1e-12);
        }
    }

    #[test]
    fn a_matrix_that_is_not_positive_is_refused() {
        let (pattern, _) = Pattern::new(2, &[[0, 1]]).unwrap();
        assert!(pattern.factor(&[1.0, 2.0, 1.0]).is_err());
    }
}
