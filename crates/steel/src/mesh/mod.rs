//! Triangles of the half section, with the part each belongs to.

mod build;
mod moved;
pub(crate) mod outline;
pub(crate) mod plane;
mod refine;
pub(crate) mod size;

pub(crate) use build::build;
pub(crate) use moved::moved;
use plane::Point;
pub(crate) use refine::refine;

/// No neighbour.
pub(crate) const NONE: u32 = u32::MAX;

/// A conforming mesh of the half disc about `[0, centre]`.
#[derive(Clone, Debug)]
pub(crate) struct Mesh {
    pub(crate) points: Vec<Point>,
    /// Corners, anticlockwise.
    pub(crate) triangles: Vec<[u32; 3]>,
    /// Across the side opposite to each corner.
    pub(crate) neighbours: Vec<[u32; 3]>,
    /// Index of the part; the number of parts stands for the air between them.
    pub(crate) region: Vec<u16>,
    /// Triangle of the mesh before the last refinement that holds this one.
    pub(crate) parent: Vec<u32>,
    pub(crate) centre: f64,
    pub(crate) radius: f64,
}

impl Mesh {
    /// A mesh of these triangles, which must be anticlockwise, all in one region.
    pub(crate) fn new(points: Vec<Point>, triangles: Vec<[u32; 3]>, centre: f64, radius: f64) -> Self {
        let mut sides: Vec<([u32; 2], u32, u8)> = Vec::with_capacity(3 * triangles.len());
        for (t, tri) in triangles.iter().enumerate() {
            for k in 0..3u8 {
                let [a, b] = side(tri, k);
                sides.push(([a.min(b), a.max(b)], t as u32, k));
            }
        }
        sides.sort_unstable();
        let mut neighbours = vec![[NONE; 3]; triangles.len()];
        for pair in sides.windows(2) {
            if let &[(e, t, k), (f, u, l)] = pair
                && e == f
            {
                neighbours[t as usize][k as usize] = u;
                neighbours[u as usize][l as usize] = t;
            }
        }
        let count = triangles.len();
        Self {
            points,
            triangles,
            neighbours,
            region: vec![0; count],
            parent: (0..count as u32).collect(),
            centre,
            radius,
        }
    }

    /// Corners of a triangle.
    pub(crate) fn corners(&self, t: usize) -> [Point; 3] {
        self.triangles[t].map(|id| self.points[id as usize])
    }

    /// Twice the area of a triangle.
    pub(crate) fn double_area(&self, t: usize) -> f64 {
        let [a, b, c] = self.corners(t);
        plane::double_area(a, b, c)
    }

    /// Whether side `k` of triangle `t` lies on the outer circle.
    pub(crate) fn on_circle(&self, t: usize, k: u8) -> bool {
        let [a, b] = side(&self.triangles[t], k);
        self.neighbours[t][k as usize] == NONE && (self.points[a as usize][0] > 0.0 || self.points[b as usize][0] > 0.0)
    }
}

/// Ends of the side opposite to corner `k`, anticlockwise.
pub(crate) fn side(tri: &[u32; 3], k: u8) -> [u32; 2] {
    let [a, b, c] = *tri;
    match k {
        0 => [b, c],
        1 => [c, a],
        _ => [a, b],
    }
}
