//! The mesh of a drawing moved along with its walls, for a drawing that differs in sizes only.
//!
//! The corners go to their new places, the points of walls keep their share of the way between them, and every other point
//! goes with the walls near it. The circle and the axis stay what they are.

use super::Mesh;
use super::outline::Outline;
use super::plane::{Point, distance, minus, to_segment};

/// Points nearer to a wall than this share of the reach lie on it.
const ON: f64 = 1e-8;
/// The least share of its area that a triangle keeps.
const LEAST_AREA: f64 = 0.05;

/// The mesh of `from` with its points moved to fit `to`; `None` where the walls of the two are not joined in the same way, or a
/// triangle would be squeezed or turned over.
pub(crate) fn moved(mesh: &Mesh, from: &Outline, to: &Outline) -> Option<Mesh> {
    if from.walls != to.walls || from.corners.len() != to.corners.len() {
        return None;
    }
    let shift = |id: usize| Some(minus(*to.corners.get(id)?, *from.corners.get(id)?));
    let shifts: Vec<Point> = (0..from.corners.len()).map(shift).collect::<Option<_>>()?;
    let known: Vec<[Option<f64>; 2]> = mesh
        .points
        .iter()
        .map(|&p| prescribed(p, mesh, from, &shifts))
        .collect();
    let by = spread(mesh, &known);
    let mut out = mesh.clone();
    for (p, by) in out.points.iter_mut().zip(by) {
        *p = [p[0] + by[0], p[1] + by[1]];
    }
    let keeps = |t: usize| out.double_area(t) >= LEAST_AREA * mesh.double_area(t);
    (0..mesh.triangles.len()).all(keeps).then_some(out)
}

/// How a point must move across and along the axis, as far as that is prescribed.
fn prescribed(p: Point, mesh: &Mesh, from: &Outline, shifts: &[Point]) -> [Option<f64>; 2] {
    let same = ON * from.reach;
    if let Some((_, by)) = from.corners.iter().zip(shifts).find(|(c, _)| distance(p, **c) <= same) {
        return by.map(Some);
    }
    let at = |id: usize| from.corners.get(id).copied().unwrap_or_default();
    let of = |id: usize| shifts.get(id).copied().unwrap_or_default();
    if let Some(&[a, b]) = from.walls.iter().find(|&&[a, b]| to_segment(p, at(a), at(b)) <= same) {
        let t = distance(at(a), p) / distance(at(a), at(b));
        let (d, e) = (of(a), of(b));
        return [0, 1].map(|i| Some(d[i] + t * (e[i] - d[i])));
    }
    if distance(p, [0.0, mesh.centre]) >= mesh.radius * (1.0 - ON) {
        return [Some(0.0); 2];
    }
    [(p[0] <= 0.0).then_some(0.0), None]
}

/// Spreads what is prescribed over all points: everywhere the mean of all that is, weighed by the inverse fourth power of the
/// distance. Small elements beside a wall then move with it as if they were rigid, and what gives way lies between.
fn spread(mesh: &Mesh, known: &[[Option<f64>; 2]]) -> Vec<Point> {
    let given: Vec<(Point, Point)> = known
        .iter()
        .zip(&mesh.points)
        .filter_map(|(by, &p)| match *by {
            [Some(across), Some(along)] => Some((p, [across, along])),
            _ => None,
        })
        .collect();
    known
        .iter()
        .zip(&mesh.points)
        .map(|(by, &p)| {
            if let [Some(across), Some(along)] = *by {
                return [across, along];
            }
            let (mut sum, mut whole) = ([0.0; 2], 0.0);
            for &(q, by) in &given {
                let d = minus(p, q);
                let square = d[0] * d[0] + d[1] * d[1];
                let weight = 1.0 / (square * square);
                sum = [sum[0] + weight * by[0], sum[1] + weight * by[1]];
                whole += weight;
            }
            [0, 1].map(|i| by[i].unwrap_or(sum[i] / whole))
        })
        .collect()
}
