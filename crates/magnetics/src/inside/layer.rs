//! A layer of cells across the axis, and the field of its charged faces over the cells of another.

use std::f64::consts::PI;

use pulp::{Simd, WithSimd};

use super::Detail;
use crate::shape::Shape;
use numerics::elliptic::cel_ends;
use numerics::number::{ARCH, Lanes, Number, WIDTH, two};

/// The two points of Gauss's rule on 0 to 1, of equal weight.
const GAUSS: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];

/// The cells of one layer.
pub(super) enum Layer {
    /// Rings between these radii.
    Rings(Vec<f64>),
    /// Bricks in the quarter of a block, between these edges from its middle; their mirror images go with them.
    Bricks(Vec<f64>, Vec<f64>),
}

/// Edges from 0 to `span` that lie closer together towards the far end.
pub(super) fn towards_end(span: f64, parts: usize) -> Vec<f64> {
    (0..=parts)
        .map(|k| span * (0.5 * PI * k as f64 / parts as f64).sin())
        .collect()
}

/// Edges from 0 to `span` that lie closer together towards both ends.
pub(super) fn towards_both_ends(span: f64, parts: usize) -> Vec<f64> {
    (0..=parts)
        .map(|k| 0.5 * span * (1.0 - (PI * k as f64 / parts as f64).cos()))
        .collect()
}

fn evenly(from: f64, to: f64, parts: usize) -> Vec<f64> {
    (0..=parts)
        .map(|k| from + (to - from) * k as f64 / parts as f64)
        .collect()
}

impl Layer {
    /// The layer of a body that is no sphere.
    pub(super) fn of(solid: &Shape, detail: Detail) -> Self {
        let parts = |coarse, fine| if detail == Detail::Coarse { coarse } else { fine };
        match *solid {
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                ..
            } => Self::Rings(evenly(0.5 * inner_diameter, 0.5 * outer_diameter, parts(4, 10))),
            Shape::Block { length, width, .. } => Self::Bricks(
                towards_end(0.5 * length, parts(3, 5)),
                towards_end(0.5 * width, parts(3, 5)),
            ),
            ref round => Self::Rings(towards_end(0.5 * round.widest(), parts(4, 10))),
        }
    }

    /// The edges across and aside.
    pub(super) fn into_edges(self) -> (Vec<f64>, Vec<f64>) {
        match self {
            Self::Rings(radii) => {
                let outer = radii.last().copied().unwrap_or_default();
                (radii, vec![0.0, outer])
            }
            Self::Bricks(x, y) => (x, y),
        }
    }

    /// Share of the layer's area in each of its cells.
    pub(super) fn areas(&self) -> Vec<f64> {
        let parts: Vec<f64> = match self {
            Self::Rings(radii) => radii.windows(2).map(|r| (r[1] - r[0]) * (r[1] + r[0])).collect(),
            Self::Bricks(x, y) => y
                .windows(2)
                .flat_map(|y| x.windows(2).map(move |x| (x[1] - x[0]) * (y[1] - y[0])))
                .collect(),
        };
        let all: f64 = parts.iter().sum();
        parts.iter().map(|part| part / all).collect()
    }

    /// Field at every cell of layers with these edges along the axis from every other, demagnetising positive, for 1 T over `μ0`:
    /// rows by the cell that feels. The mirror is given by its distance below the first edge, and the sign of the image.
    pub(super) fn factors(&self, along: &[f64], (distance, sign): (f64, f64)) -> Vec<f64> {
        let cells = self.areas().len();
        let levels = along.len() - 1;
        let count = cells * levels;
        let mut factors = vec![0.0; count * count];
        // A charged face at `node` is the top of the level below it and the bottom of the level above it.
        let mut add = |at: usize, node: usize, sheet: &[f64], weight: f64| {
            for (source_level, side) in [(node, 1.0), (node.wrapping_sub(1), -1.0)] {
                if source_level >= levels {
                    continue;
                }
                for target in 0..cells {
                    let row = (target * levels + at) * count;
                    for source in 0..cells {
                        factors[row + source * levels + source_level] += weight * side * sheet[target * cells + source];
                    }
                }
            }
        };
        let spots: Vec<(usize, f64)> = along
            .windows(2)
            .enumerate()
            .flat_map(|(at, level)| GAUSS.map(|t| (at, level[0] + t * (level[1] - level[0]))))
            .collect();
        let over = |&(_, z): &(usize, f64)| along.iter().map(move |&edge| [z - edge, z + edge + 2.0 * distance]);
        let above: Vec<f64> = spots.iter().flat_map(over).flatten().collect();
        let sheets = self.sheets(&above);
        let mut sheets = sheets.chunks(cells * cells);
        for (at, _) in spots {
            for node in 0..along.len() {
                // The image is upside down: its top is its bottom.
                for weight in [0.5, -0.5 * sign] {
                    add(at, node, sheets.next().unwrap_or_default(), weight);
                }
            }
        }
        factors
    }

    /// Field along the axis of the faces of all cells, charged with 1 T, at each height above them: mean over each cell (rows) from
    /// each face, over `μ0`, one height after the other. It is a solid angle in parts of the whole.
    fn sheets(&self, above: &[f64]) -> Vec<f64> {
        let cells = self.areas().len();
        let mut sheets = vec![0.0; above.len() * cells * cells];
        ARCH.dispatch(ByLanes {
            layer: self,
            above,
            sheets: &mut sheets,
        });
        sheets
    }
}

/// The sheets of a layer, many heights at a time, compiled once for every kind of vector unit.
struct ByLanes<'a> {
    layer: &'a Layer,
    above: &'a [f64],
    sheets: &'a mut [f64],
}

impl WithSimd for ByLanes<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, _: S) {
        let Some(pairs) = self.sheets.len().checked_div(self.above.len()) else {
            return;
        };
        let mut group = vec![[Lanes::every(0.0); 2]; pairs];
        let groups = self
            .above
            .chunks(2 * WIDTH)
            .zip(self.sheets.chunks_mut(2 * WIDTH * pairs));
        for (above, sheets) in groups {
            // Lanes to spare are given any height but none.
            let mut heights = [Lanes::every(1.0); 2];
            for (k, &height) in above.iter().enumerate() {
                heights[k / WIDTH].0[k % WIDTH] = height;
            }
            match self.layer {
                Layer::Rings(radii) => rings(radii, heights, &mut group),
                Layer::Bricks(x, y) => bricks(x, y, heights, &mut group),
            }
            for (k, sheet) in sheets.chunks_mut(pairs).enumerate() {
                for (value, lanes) in sheet.iter_mut().zip(&group) {
                    *value = lanes[k / WIDTH].0[k % WIDTH];
                }
            }
        }
    }
}

#[inline(always)]
fn rings<T: Number>(radii: &[f64], above: [T; 2], sheet: &mut [[T; 2]]) {
    let cells = radii.len() - 1;
    for (span, row) in radii.windows(2).zip(sheet.chunks_mut(cells)) {
        let (low, high) = (span[0] * span[0], span[1] * span[1]);
        row.fill([T::every(0.0); 2]);
        for t in GAUSS {
            let rho = (low + t * (high - low)).sqrt();
            let mut inner = disc_angle(radii[0], rho, above);
            for (mean, &radius) in row.iter_mut().zip(&radii[1..]) {
                let outer = disc_angle(radius, rho, above);
                for i in 0..2 {
                    mean[i] = mean[i] + (outer[i] - inner[i]) * 0.5;
                }
                inner = outer;
            }
        }
    }
}

/// Solid angle of a disc seen from `rho` off its axis and each of `above` over it, in parts of the whole, with the sign of `above`.
///
/// The parts of a cylinder's field that belong to its two ends (Derby and Olbert, Am. J. Phys. 78, 229-235, 2010, from memory).
#[inline(always)]
fn disc_angle<T: Number>(radius: f64, rho: f64, above: [T; 2]) -> [T; 2] {
    if radius == 0.0 {
        return [T::every(0.0); 2];
    }
    let (sum, outside) = (radius + rho, radius - rho);
    let away = |w: T, across: f64| (w * w + across * across).sqrt();
    let reach = two(above, |w| away(w, sum));
    let modulus = |i: usize| away(above[i], outside) / reach[i];
    let ends = cel_ends([modulus(0), modulus(1)], T::every(outside / sum));
    let within = T::every(if outside > 0.0 { 0.5 } else { 0.0 });
    let seen = |i: usize| {
        let end = above[i] / reach[i] * ends[i].1 * (radius / PI / sum);
        T::choose(above[i], within, -within) - end
    };
    [seen(0), seen(1)]
}

#[inline(always)]
fn bricks<T: Number>(x: &[f64], y: &[f64], above: [T; 2], sheet: &mut [[T; 2]]) {
    let (px, py) = (to_corners(x), to_corners(y));
    let (nx, ny) = (px.len(), py.len());
    let mut corner = vec![[T::every(0.0); 2]; (2 * nx + 1) * (2 * ny + 1)];
    let width = 2 * ny + 1;
    for (ty, dys) in py.iter().enumerate() {
        for (tx, dxs) in px.iter().enumerate() {
            for (i, &dx) in dxs.iter().enumerate() {
                for (j, &dy) in dys.iter().enumerate() {
                    corner[i * width + j] = two(above, |w| {
                        let r = (w * w + (dx * dx + dy * dy)).sqrt();
                        let angle = T::every(dx * dy).atan2(w.abs() * r) * (0.25 / PI);
                        T::choose(w, angle, -angle)
                    });
                }
            }
            let face = |i: usize, j: usize, k: usize| {
                let at = i * width + j;
                corner[at + width + 1][k] - corner[at + 1][k] - corner[at + width][k] + corner[at][k]
            };
            let row = (ty * nx + tx) * nx * ny;
            for sy in 0..ny {
                for sx in 0..nx {
                    // The brick in all four quarters.
                    let ([left, right], [near, far]) = ([nx - sx - 1, nx + sx], [ny - sy - 1, ny + sy]);
                    let all = |k: usize| {
                        face(left, near, k) + face(left, far, k) + face(right, near, k) + face(right, far, k)
                    };
                    sheet[row + sy * nx + sx] = [all(0), all(1)];
                }
            }
        }
    }
}

/// From the middle of every part to every edge and its mirror image, rising.
fn to_corners(edges: &[f64]) -> Vec<Vec<f64>> {
    let all: Vec<f64> = edges
        .iter()
        .skip(1)
        .rev()
        .map(|e| -e)
        .chain(edges.iter().copied())
        .collect();
    edges
        .windows(2)
        .map(|w| all.iter().map(|e| e - 0.5 * (w[0] + w[1])).collect())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On the axis the solid angle of a disc is `(1 - w / √(w² + R²)) / 2` of the whole.
    #[test]
    fn a_disc_is_seen_from_its_axis_and_beside_it() {
        let got = disc_angle(3.0, 1e-9, [4.0, -4.0]);
        assert!((got[0] - 0.1).abs() <= 1e-9 && (got[1] + 0.1).abs() <= 1e-9, "{got:?}");
        assert!((disc_angle(3.0, 1.0, [1e-9, 1.0])[0] - 0.5).abs() <= 1e-8);
        assert!(disc_angle(3.0, 5.0, [1e-9, 1.0])[0].abs() <= 1e-8);
        // Far away any disc is its area over the square of the distance, times the cosine.
        let far = disc_angle(1.0, 300.0, [400.0, 400.0])[0];
        let expected = PI * 0.8 / 500.0_f64.powi(2) / (4.0 * PI);
        assert!((far / expected - 1.0).abs() <= 1e-5, "{far} {expected}");
    }

    /// From the middle of a cube each face fills a sixth of the view.
    #[test]
    fn a_square_is_seen_from_the_middle_of_its_cube() {
        let mut sheet = [[0.0; 2]; 16];
        bricks(&[0.0, 1e-6, 1.0], &[0.0, 1e-6, 1.0], [1.0, -1.0], &mut sheet);
        for (k, sign) in [1.0, -1.0].into_iter().enumerate() {
            let sum: f64 = sheet[..4].iter().map(|angle| angle[k]).sum();
            assert!((sum - sign / 6.0).abs() <= 1e-6, "{sum}");
        }
    }
}
