//! How long the sides of elements may be: walls, axis and outer circle cut into pieces that grow away from corners and thin places.

use super::outline::Outline;
use super::plane::{Point, distance, middle, minus, to_segment};
use crate::drawing::DrawingError;

/// Size of elements at a sharp corner, as a share of the shortest wall or gap beside it.
const AT_CORNER: f64 = 0.1;
/// Growth of the size with the distance from where it is prescribed.
pub(crate) const GROWTH: f64 = 0.8;
/// Longest piece of a wall beside a gap or a thin plate, in widths of it.
const ALONG_THIN: f64 = 5.0;
/// Turn of the outline, degrees, from which a corner counts as sharp.
const SHARP: f64 = 25.0;
/// Radius of the meshed ball over the reach of the parts.
const BALL: f64 = 1.35;
/// Longest piece of axis or circle over the radius of the ball.
const COARSEST: f64 = 0.6;
/// Most pieces that are taken before a drawing is called too narrow.
const MOST_PIECES: usize = 8_000;

/// Points and the pieces between them that every mesh must have as sides.
#[derive(Clone, Debug)]
pub(crate) struct Pieces {
    /// The points; those of the outline come first.
    pub(crate) points: Vec<Point>,
    /// Pieces of walls, axis and circle as pairs of points.
    pub(crate) pieces: Vec<[usize; 2]>,
    /// Radius of the meshed ball.
    pub(crate) radius: f64,
}

impl Pieces {
    /// The ends of a piece.
    pub(crate) fn ends(&self, piece: [usize; 2]) -> [Point; 2] {
        piece.map(|id| self.points.get(id).copied().unwrap_or_default())
    }
}

/// A place where the size is prescribed; it grows from there.
#[derive(Clone, Copy, Debug)]
struct Spot {
    at: Point,
    size: f64,
}

/// Cuts the walls of an outline, its axis and the circle around it; beside the points `wanted` elements are small too. At
/// corners and thin places elements are `coarser` times as large as they are usually.
pub(crate) fn pieces(outline: &Outline, wanted: &[Point], coarser: f64) -> Result<Pieces, DrawingError> {
    let radius = BALL * outline.reach;
    let spots = spots(outline, wanted, radius, coarser);
    let mut cut = Cutter {
        points: outline.corners.clone(),
        pieces: Vec::new(),
        spots,
        coarsest: COARSEST * radius,
    };
    for (index, &wall) in outline.walls.iter().enumerate() {
        let thin = |p: Point| coarser * ALONG_THIN * thickness(outline, index, p);
        cut.straight(wall, &thin)?;
    }
    // The axis, with the corners on it as stops.
    let mut stops: Vec<usize> = (0..outline.corners.len())
        .filter(|&id| cut.points[id][0] == 0.0)
        .collect();
    let poles = [outline.centre - radius, outline.centre + radius].map(|z| {
        cut.points.push([0.0, z]);
        cut.points.len() - 1
    });
    stops.extend(poles);
    stops.sort_by(|&i, &j| cut.points[i][1].total_cmp(&cut.points[j][1]));
    for pair in stops.windows(2) {
        if let &[a, b] = pair {
            cut.straight([a, b], &|_| f64::INFINITY)?;
        }
    }
    cut.circle(poles, outline.centre, radius);
    let mut pieces = Pieces {
        points: cut.points,
        pieces: cut.pieces,
        radius,
    };
    balance(&mut pieces, outline.centre)?;
    Ok(pieces)
}

/// Sharp corners and wanted points with their sizes.
fn spots(outline: &Outline, wanted: &[Point], radius: f64, coarser: f64) -> Vec<Spot> {
    let at = |id: usize| outline.corners.get(id).copied().unwrap_or_default();
    let mut spots = Vec::new();
    for id in 0..outline.corners.len() {
        let here = at(id);
        let arms: Vec<Point> = outline
            .walls
            .iter()
            .filter(|wall| wall.contains(&id))
            .map(|&[a, b]| minus(at(if a == id { b } else { a }), here))
            .collect();
        if !sharp(here, &arms) {
            continue;
        }
        let shortest = arms.iter().map(|d| d[0].hypot(d[1])).fold(f64::INFINITY, f64::min);
        let nearest = outline
            .walls
            .iter()
            .filter(|wall| !wall.contains(&id))
            .map(|&[a, b]| to_segment(here, at(a), at(b)))
            .fold(shortest, f64::min);
        spots.push(Spot {
            at: here,
            size: coarser * AT_CORNER * nearest,
        });
    }
    for &p in wanted {
        if distance(p, [0.0, outline.centre]) < radius {
            let near = outline
                .walls
                .iter()
                .map(|&[a, b]| to_segment(p, at(a), at(b)))
                .fold(f64::INFINITY, f64::min);
            let size = (0.25 * near).max(2e-3 * radius).min(0.1 * radius);
            spots.push(Spot { at: p, size });
        }
    }
    spots
}

/// Whether the outline turns sharply where these arms meet. On the axis a wall at a right angle to it goes on straight on the other side.
fn sharp(here: Point, arms: &[Point]) -> bool {
    let limit = SHARP.to_radians().cos();
    let turn = |a: Point, b: Point| -(a[0] * b[0] + a[1] * b[1]) / (a[0].hypot(a[1]) * b[0].hypot(b[1]));
    match *arms {
        [a] if here[0] == 0.0 => turn(a, [-a[0], a[1]]) < limit,
        [a, b] if here[0] > 0.0 => turn(a, b) < limit,
        _ => true,
    }
}

/// Distance from a point on a wall to the nearest wall that it does not meet, or twice that to the axis.
fn thickness(outline: &Outline, wall: usize, p: Point) -> f64 {
    let Some(&ends) = outline.walls.get(wall) else {
        return f64::INFINITY;
    };
    let at = |id: usize| outline.corners.get(id).copied().unwrap_or_default();
    let hole = if ends.iter().all(|&id| at(id)[0] > 0.0) {
        2.0 * p[0]
    } else {
        f64::INFINITY
    };
    outline
        .walls
        .iter()
        .filter(|other| !other.iter().any(|id| ends.contains(id)))
        .map(|&[a, b]| to_segment(p, at(a), at(b)))
        .fold(hole, f64::min)
}

struct Cutter {
    points: Vec<Point>,
    pieces: Vec<[usize; 2]>,
    spots: Vec<Spot>,
    coarsest: f64,
}

impl Cutter {
    fn size(&self, p: Point) -> f64 {
        self.spots
            .iter()
            .map(|spot| spot.size + GROWTH * distance(p, spot.at))
            .fold(self.coarsest, f64::min)
    }

    /// Cuts a straight line into halves until every piece is short enough.
    fn straight(&mut self, line: [usize; 2], limit: &dyn Fn(Point) -> f64) -> Result<(), DrawingError> {
        let mut open = vec![line];
        while let Some([a, b]) = open.pop() {
            let (p, q) = (self.points[a], self.points[b]);
            let m = middle(p, q);
            if distance(p, q) <= self.size(m).min(limit(m)) {
                self.pieces.push([a, b]);
                continue;
            }
            if self.pieces.len() + open.len() > MOST_PIECES {
                return Err(DrawingError::Narrow { r: m[0], z: m[1] });
            }
            self.points.push(m);
            let id = self.points.len() - 1;
            open.extend([[id, b], [a, id]]);
        }
        Ok(())
    }

    fn circle(&mut self, poles: [usize; 2], centre: f64, radius: f64) {
        let count = (std::f64::consts::PI * radius / self.coarsest).ceil().max(8.0) as usize;
        let mut last = poles[0];
        for k in 1..count {
            let (sin, cos) = (std::f64::consts::PI * k as f64 / count as f64).sin_cos();
            self.points.push([radius * sin, centre - radius * cos]);
            self.pieces.push([last, self.points.len() - 1]);
            last = self.points.len() - 1;
        }
        self.pieces.push([last, poles[1]]);
    }
}

/// Cuts pieces that are much longer than their neighbourhood.
fn balance(cut: &mut Pieces, centre: f64) -> Result<(), DrawingError> {
    loop {
        let spans: Vec<(Point, f64, [Point; 2])> = cut
            .pieces
            .iter()
            .map(|&piece| {
                let [a, b] = cut.ends(piece);
                (middle(a, b), distance(a, b), [a, b])
            })
            .collect();
        let mut changed = false;
        let mut next = Vec::with_capacity(cut.pieces.len());
        for (&[i, j], &(m, length, [a, b])) in cut.pieces.iter().zip(&spans) {
            let allowed = 1.6
                * length.min(
                    spans
                        .iter()
                        .filter(|other| other.1 < length)
                        .map(|&(_, other, [c, d])| other + GROWTH * to_segment(m, c, d))
                        .fold(f64::INFINITY, f64::min),
                );
            if length <= allowed {
                next.push([i, j]);
                continue;
            }
            changed = true;
            let on_circle = [a, b]
                .iter()
                .all(|&p| distance(p, [0.0, centre]) >= cut.radius * (1.0 - 1e-9))
                && (a[0] > 0.0 || b[0] > 0.0);
            cut.points.push(if on_circle {
                onto_circle(m, centre, cut.radius)
            } else {
                m
            });
            let id = cut.points.len() - 1;
            next.extend([[i, id], [id, j]]);
        }
        cut.pieces = next;
        if !changed {
            return Ok(());
        }
        if cut.pieces.len() > MOST_PIECES {
            let m = spans
                .iter()
                .min_by(|x, y| x.1.total_cmp(&y.1))
                .map_or([0.0; 2], |x| x.0);
            return Err(DrawingError::Narrow { r: m[0], z: m[1] });
        }
    }
}

/// The point of the circle in the direction of `p` from its centre.
pub(crate) fn onto_circle(p: Point, centre: f64, radius: f64) -> Point {
    let d = [p[0], p[1] - centre];
    let scale = radius / d[0].hypot(d[1]);
    [d[0] * scale, centre + d[1] * scale]
}
