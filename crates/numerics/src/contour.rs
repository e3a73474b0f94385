//! Level lines of a smooth function over a grid.

use std::collections::BTreeMap;

use rayon::prelude::*;

/// Values are met to this share of the step between levels.
const EXACT: f64 = 1e-4;

/// Most steps to meet a value between two places.
const MOST_STEPS: usize = 12;

/// A chord is halved until it is this near to its line, as a share of the grid's diagonal, and at most so often.
const STRAIGHT: f64 = 5e-4;
const MOST_HALVINGS: u32 = 4;

/// A point of a picture.
type Point = [f64; 2];

/// Side of a grid cell: the index of the node it starts from, and whether it goes across.
type Side = (usize, bool);

/// The level lines of `f` at `(k + 1/2) step` for all whole `k`, over the grid of these coordinates, which must rise.
///
/// Lines end on the border of the grid or close on themselves; those that pass between two nodes of the grid and back are not seen.
pub fn level_lines(xs: &[f64], zs: &[f64], step: f64, f: &(impl Fn(Point) -> f64 + Sync)) -> Vec<Vec<Point>> {
    let grid = Grid::new(xs, zs, step, f);
    let (low, high) = grid
        .values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), &v| (l.min(v), h.max(v)));
    let (first, last) = ((low / step - 0.5).ceil(), (high / step - 0.5).floor());
    if last < first || !(last - first).is_finite() {
        return Vec::new();
    }
    // A cast from f64 saturates; the caller's step bounds the count.
    (0..=(last - first) as usize)
        .into_par_iter()
        .flat_map_iter(|k| grid.lines((first + k as f64 + 0.5) * step))
        .collect()
}

struct Grid<'a, F> {
    xs: &'a [f64],
    zs: &'a [f64],
    /// Row by row.
    values: Vec<f64>,
    f: &'a F,
    exact: f64,
    straight: f64,
}

impl<'a, F: Fn(Point) -> f64 + Sync> Grid<'a, F> {
    fn new(xs: &'a [f64], zs: &'a [f64], step: f64, f: &'a F) -> Self {
        let values = zs
            .par_iter()
            .flat_map_iter(|&z| xs.iter().map(move |&x| f([x, z])))
            .collect();
        let span = |c: &[f64]| c.last().zip(c.first()).map_or(0.0, |(last, first)| last - first);
        Self {
            xs,
            zs,
            values,
            f,
            exact: EXACT * step,
            straight: STRAIGHT * span(xs).hypot(span(zs)),
        }
    }

    fn place(&self, node: usize) -> Point {
        let wide = self.xs.len();
        [
            self.xs.get(node % wide).copied().unwrap_or_default(),
            self.zs.get(node / wide).copied().unwrap_or_default(),
        ]
    }

    fn value(&self, node: usize) -> f64 {
        self.values.get(node).copied().unwrap_or(f64::NAN)
    }

    /// All lines of one level.
    fn lines(&self, level: f64) -> Vec<Vec<Point>> {
        let mut joined: BTreeMap<Side, Vec<Side>> = BTreeMap::new();
        let wide = self.xs.len();
        for row in 0..self.zs.len().saturating_sub(1) {
            for column in 0..wide.saturating_sub(1) {
                let node = row * wide + column;
                for (a, b) in self.within(node, wide, level) {
                    joined.entry(a).or_default().push(b);
                    joined.entry(b).or_default().push(a);
                }
            }
        }
        let mut lines = Vec::new();
        // Lines from border to border first, then those that close.
        while let Some((&start, _)) = joined
            .iter()
            .find(|(_, next)| next.len() == 1)
            .or_else(|| joined.iter().next())
        {
            let mut sides = vec![start];
            let mut at = start;
            while let Some(next) = joined.get_mut(&at).and_then(Vec::pop) {
                if let Some(back) = joined.get_mut(&next)
                    && let Some(index) = back.iter().position(|&side| side == at)
                {
                    back.swap_remove(index);
                }
                sides.push(next);
                at = next;
            }
            joined.retain(|_, next| !next.is_empty());
            lines.push(self.drawn(&sides, level));
        }
        lines
    }

    /// The pieces of a level line in the cell from a node: pairs of its sides.
    fn within(&self, node: usize, wide: usize, level: f64) -> Vec<(Side, Side)> {
        let [a, b, c, d] = [node, node + 1, node + wide + 1, node + wide];
        let above = [a, b, c, d].map(|corner| self.value(corner) > level);
        let sides = [(a, true), (b, false), (d, true), (a, false)];
        let crossed: Vec<Side> = (0..4)
            .filter(|&i| above[i] != above[(i + 1) % 4])
            .map(|i| sides[i])
            .collect();
        match crossed[..] {
            [one, other] => vec![(one, other)],
            [bottom, right, top, left] => {
                let ([x0, z0], [x1, z1]) = (self.place(a), self.place(c));
                let middle = (self.f)([0.5 * (x0 + x1), 0.5 * (z0 + z1)]) > level;
                if middle == above[0] {
                    vec![(bottom, right), (top, left)]
                } else {
                    vec![(bottom, left), (right, top)]
                }
            }
            _ => Vec::new(),
        }
    }

    /// The points where a line crosses these sides, and between them as many as make it smooth.
    fn drawn(&self, sides: &[Side], level: f64) -> Vec<Point> {
        let wide = self.xs.len();
        let mut line: Vec<Point> = Vec::with_capacity(2 * sides.len());
        for &(node, across) in sides {
            let other = if across { node + 1 } else { node + wide };
            let point = self.met(
                level,
                (self.place(node), self.value(node)),
                (self.place(other), self.value(other)),
            );
            if let Some(&last) = line.last() {
                self.bend(level, last, point, MOST_HALVINGS, &mut line);
            }
            line.push(point);
        }
        line
    }

    /// Points between two of a line, where it is not straight.
    fn bend(&self, level: f64, from: Point, to: Point, left: u32, line: &mut Vec<Point>) {
        let chord = [to[0] - from[0], to[1] - from[1]];
        let reach = 0.25;
        if left == 0 || chord[0].hypot(chord[1]) < self.straight {
            return;
        }
        let middle = [0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])];
        let off = |by: f64| [middle[0] - by * chord[1], middle[1] + by * chord[0]];
        let ends = [off(-reach), off(reach)].map(|p| (p, (self.f)(p)));
        if (ends[0].1 > level) == (ends[1].1 > level) {
            return;
        }
        let point = self.met(level, ends[0], ends[1]);
        if (point[0] - middle[0]).hypot(point[1] - middle[1]) < self.straight {
            return;
        }
        self.bend(level, from, point, left - 1, line);
        line.push(point);
        self.bend(level, point, to, left - 1, line);
    }

    /// Where the level is met between two places on either side of it: false position with the Illinois weights.
    fn met(&self, level: f64, (mut p, at_p): (Point, f64), (mut q, at_q): (Point, f64)) -> Point {
        let (mut under, mut over) = (at_p - level, at_q - level);
        let mut last = 0;
        for _ in 0..MOST_STEPS {
            let share = under / (under - over);
            let m = [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
            let value = (self.f)(m) - level;
            if value.abs() <= self.exact {
                return m;
            }
            if (value > 0.0) == (over > 0.0) {
                (q, over) = (m, value);
                if last == 1 {
                    under *= 0.5;
                }
                last = 1;
            } else {
                (p, under) = (m, value);
                if last == -1 {
                    over *= 0.5;
                }
                last = -1;
            }
        }
        let share = under / (under - over);
        [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(from: f64, to: f64, count: usize) -> Vec<f64> {
        (0..=count)
            .map(|k| from + (to - from) * k as f64 / count as f64)
            .collect()
    }

    #[test]
    fn circles_close_and_lie_on_their_level() {
        let c = even(-1.0, 1.0, 15);
        let lines = level_lines(&c, &c, 0.2, &|[x, z]: Point| x * x + z * z);
        // Levels 0.1 to 0.9 close within the square; those beyond are four corner pieces each.
        let closed: Vec<_> = lines.iter().filter(|l| l.first() == l.last()).collect();
        assert_eq!(closed.len(), 5);
        assert_eq!(lines.len() - closed.len(), 4 * 5);
        for line in lines {
            let level = line[0][0].powi(2) + line[0][1].powi(2);
            for pair in line.windows(2) {
                let middle = [0.5 * (pair[0][0] + pair[1][0]), 0.5 * (pair[0][1] + pair[1][1])];
                let off = (middle[0].hypot(middle[1]) - level.sqrt()).abs();
                assert!(
                    off <= 2e-3 && (pair[1][0].hypot(pair[1][1]) - level.sqrt()).abs() <= 1e-4,
                    "{off}"
                );
            }
        }
    }

    #[test]
    fn a_saddle_keeps_its_branches_apart() {
        let c = even(-1.0, 1.0, 5);
        let lines = level_lines(&c, &c, 0.1, &|[x, z]: Point| x * z);
        for line in lines {
            assert!(line.iter().all(|p| (p[0] > 0.0) == (line[0][0] > 0.0)), "{line:?}");
        }
    }

    #[test]
    fn nothing_to_draw() {
        let c = even(0.0, 1.0, 3);
        assert!(level_lines(&c, &c, 1.0, &|_| 0.2).is_empty());
        assert!(level_lines(&c, &c, 1.0, &|_| f64::NAN).is_empty());
        assert!(level_lines(&[], &[], 1.0, &|_| 0.5).is_empty());
    }
}
