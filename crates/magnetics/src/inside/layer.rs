//! A layer of cells across the axis, and the field of its charged faces over the cells of another.

use std::f64::consts::PI;

use super::Detail;
use crate::elliptic::cel_ends;
use crate::shape::Shape;

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
        for (at, level) in along.windows(2).enumerate() {
            for t in GAUSS {
                let z = level[0] + t * (level[1] - level[0]);
                for (node, &edge) in along.iter().enumerate() {
                    let (own, image) = self.sheets([z - edge, z + edge + 2.0 * distance]);
                    add(at, node, &own, 0.5);
                    // The image is upside down: its top is its bottom.
                    add(at, node, &image, -0.5 * sign);
                }
            }
        }
        factors
    }

    /// Field along the axis of the faces of all cells, charged with 1 T, at a height of each of `above` over them: mean over
    /// each cell (rows) from each face, over `μ0`. It is a solid angle in parts of the whole.
    fn sheets(&self, above: [f64; 2]) -> (Vec<f64>, Vec<f64>) {
        match self {
            Self::Rings(radii) => rings(radii, above),
            Self::Bricks(x, y) => (bricks(x, y, above[0]), bricks(x, y, above[1])),
        }
    }
}

fn rings(radii: &[f64], above: [f64; 2]) -> (Vec<f64>, Vec<f64>) {
    let cells = radii.len() - 1;
    let (mut first, mut second) = (vec![0.0; cells * cells], vec![0.0; cells * cells]);
    for (target, span) in radii.windows(2).enumerate() {
        let (low, high) = (span[0] * span[0], span[1] * span[1]);
        for t in GAUSS {
            let rho = (low + t * (high - low)).sqrt();
            let mut inner = [0.0; 2];
            for (edge, &radius) in radii.iter().enumerate() {
                let outer = disc_angle(radius, rho, above);
                if edge > 0 {
                    first[target * cells + edge - 1] += 0.5 * (outer[0] - inner[0]);
                    second[target * cells + edge - 1] += 0.5 * (outer[1] - inner[1]);
                }
                inner = outer;
            }
        }
    }
    (first, second)
}

/// Solid angle of a disc seen from `rho` off its axis and each of `above` over it, in parts of the whole, with the sign of `above`.
///
/// The parts of a cylinder's field that belong to its two ends (Derby and Olbert, Am. J. Phys. 78, 229-235, 2010, from memory).
fn disc_angle(radius: f64, rho: f64, above: [f64; 2]) -> [f64; 2] {
    if radius == 0.0 {
        return [0.0; 2];
    }
    let (sum, outside) = (radius + rho, radius - rho);
    let reach = above.map(|w| w.hypot(sum));
    let modulus = |i: usize| above[i].hypot(outside) / reach[i];
    let ends = cel_ends([modulus(0), modulus(1)], outside / sum);
    let within = if outside > 0.0 { 0.5 } else { 0.0 };
    std::array::from_fn(|i| {
        let end = above[i] / reach[i] * ends[i].1 * radius / PI / sum;
        within * above[i].signum() - end
    })
}

fn bricks(x: &[f64], y: &[f64], above: f64) -> Vec<f64> {
    let (px, py) = (to_corners(x), to_corners(y));
    let (nx, ny) = (px.len(), py.len());
    let mut out = vec![0.0; nx * ny * nx * ny];
    let mut corner = vec![0.0; (2 * nx + 1) * (2 * ny + 1)];
    let width = 2 * ny + 1;
    for (ty, dys) in py.iter().enumerate() {
        for (tx, dxs) in px.iter().enumerate() {
            for (i, &dx) in dxs.iter().enumerate() {
                for (j, &dy) in dys.iter().enumerate() {
                    let r = (dx * dx + dy * dy + above * above).sqrt();
                    corner[i * width + j] = (dx * dy / (above * r)).atan() / (4.0 * PI);
                }
            }
            let face = |i: usize, j: usize| {
                let at = i * width + j;
                corner[at + width + 1] - corner[at + 1] - corner[at + width] + corner[at]
            };
            let row = (ty * nx + tx) * nx * ny;
            for sy in 0..ny {
                for sx in 0..nx {
                    // The brick in all four quarters.
                    let ([left, right], [near, far]) = ([nx - sx - 1, nx + sx], [ny - sy - 1, ny + sy]);
                    out[row + sy * nx + sx] = face(left, near) + face(left, far) + face(right, near) + face(right, far);
                }
            }
        }
    }
    out
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
        let sum: f64 = bricks(&[0.0, 1e-6, 1.0], &[0.0, 1e-6, 1.0], 1.0).iter().take(4).sum();
        assert!((sum - 1.0 / 6.0).abs() <= 1e-6, "{sum}");
    }
}
