//! Grids of hexahedra: lines along three axes, straight or bent so that squares become circles.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// How a grid lies across z.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Across {
    /// Along x and y as they are.
    Straight,
    /// Square rings about the axis become circles, fully from this radius on, m. Both axes need the same lines, from 0.
    Round(f64),
}

/// A grid of hexahedra.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    lines: [Vec<f64>; 3],
    /// Places of the nodes of one layer, m.
    places: Vec<[f64; 2]>,
}

/// Corners of a cell across z, counted along x, then y.
pub(crate) const CORNERS: usize = 4;

/// What an integral over a column of cells needs of its cross-section: for each of four points the slopes and values of its corners' functions, and the area that it stands for.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Column {
    pub(crate) slopes: [[[f64; 2]; CORNERS]; 4],
    pub(crate) values: [[f64; CORNERS]; 4],
    pub(crate) areas: [f64; 4],
}

/// Distance of the points of Gauss from the middle of an interval from -1 to 1.
pub(crate) const GAUSS: f64 = 0.577_350_269_189_625_8;

impl Grid {
    /// A grid of these lines along x, y and z, m; each must rise and have at least two.
    #[must_use]
    pub fn new(lines: [Vec<f64>; 3], across: Across) -> Self {
        let mut places = Vec::with_capacity(lines[0].len() * lines[1].len());
        for &y in &lines[1] {
            places.extend(lines[0].iter().map(|&x| bent(across, x, y)));
        }
        Self { lines, places }
    }

    /// The lines along an axis before bending, m.
    #[must_use]
    pub fn lines(&self, axis: usize) -> &[f64] {
        &self.lines[axis]
    }

    /// Number of cells along the axes.
    #[must_use]
    pub fn cells(&self) -> [usize; 3] {
        self.lines.each_ref().map(|lines| lines.len() - 1)
    }

    /// Number of nodes.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.lines.iter().map(Vec::len).product()
    }

    /// Index of the node at these lines.
    pub(crate) fn node(&self, [i, j, k]: [usize; 3]) -> usize {
        i + self.lines[0].len() * (j + self.lines[1].len() * k)
    }

    /// Cross-section of the column of cells there.
    pub(crate) fn column(&self, i: usize, j: usize) -> Column {
        let width = self.lines[0].len();
        let corner = |a: usize| self.places[i + a % 2 + width * (j + a / 2)];
        let mut column = Column::default();
        for q in 0..4 {
            let [u, v] = [q % 2, q / 2].map(|s| if s == 0 { -GAUSS } else { GAUSS });
            let (mut local, mut jacobian) = ([[0.0; 2]; CORNERS], [[0.0; 2]; 2]);
            for (a, local) in local.iter_mut().enumerate() {
                let [su, sv] = [a % 2, a / 2].map(|s| if s == 0 { -1.0 } else { 1.0 });
                column.values[q][a] = 0.25 * (1.0 + su * u) * (1.0 + sv * v);
                *local = [0.25 * su * (1.0 + sv * v), 0.25 * sv * (1.0 + su * u)];
                for (row, slope) in jacobian.iter_mut().zip(*local) {
                    for (entry, x) in row.iter_mut().zip(corner(a)) {
                        *entry += slope * x;
                    }
                }
            }
            let [[xu, yu], [xv, yv]] = jacobian;
            let area = xu * yv - yu * xv;
            column.areas[q] = area;
            column.slopes[q] = local.map(|[du, dv]| [(yv * du - yu * dv) / area, (xu * dv - xv * du) / area]);
        }
        column
    }
}

fn bent(across: Across, x: f64, y: f64) -> [f64; 2] {
    let Across::Round(radius) = across else { return [x, y] };
    let ring = x.max(y);
    if ring <= 0.0 {
        return [x, y];
    }
    let angle = if x >= y {
        FRAC_PI_4 * y / x
    } else {
        FRAC_PI_2 - FRAC_PI_4 * x / y
    };
    let round = (ring / radius).min(1.0);
    let (sin, cos) = angle.sin_cos();
    [(x, cos), (y, sin)].map(|(straight, turned)| (1.0 - round) * straight + round * ring * turned)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(grid: &Grid, most: usize) -> f64 {
        (0..most)
            .flat_map(|j| (0..most).map(move |i| (i, j)))
            .map(|(i, j)| grid.column(i, j).areas.iter().sum::<f64>())
            .sum()
    }

    #[test]
    fn a_bent_square_has_the_area_of_a_circle() {
        let lines: Vec<f64> = (0..=40).map(|k| 0.05 * f64::from(k)).collect();
        let grid = Grid::new([lines.clone(), lines, vec![0.0, 1.0]], Across::Round(1.0));
        // A polygon of 80 sides over the full turn at the 20th ring: its share of the circle is sin(a) / a.
        let turn = std::f64::consts::TAU / 160.0;
        assert!((area(&grid, 20) - FRAC_PI_4 * turn.sin() / turn).abs() <= 1e-9);
        for j in 0..40 {
            for i in 0..40 {
                assert!(grid.column(i, j).areas.iter().all(|&a| a > 0.0), "{i} {j}");
            }
        }
    }

    #[test]
    fn slopes_are_those_of_linear_functions() {
        let lines = vec![0.0, 0.4, 1.0, 1.7];
        let grid = Grid::new([lines.clone(), lines, vec![0.0, 1.0]], Across::Round(1.0));
        let column = grid.column(1, 2);
        for q in 0..4 {
            let mut sums = [[0.0; 2]; 2];
            for a in 0..CORNERS {
                let place = grid.places[1 + a % 2 + 4 * (2 + a / 2)];
                for (row, slope) in sums.iter_mut().zip(column.slopes[q][a]) {
                    for (sum, x) in row.iter_mut().zip(place) {
                        *sum += slope * x;
                    }
                }
            }
            for (r, row) in sums.iter().enumerate() {
                for (c, sum) in row.iter().enumerate() {
                    assert!((sum - f64::from(u8::from(r == c))).abs() <= 1e-12);
                }
            }
        }
    }
}
