//! Outlines of bodies cut by a plane, for pictures.
//!
//! The surface of a body is covered with triangles (exactly for blocks, 360 to the turn for round bodies, so that outlines lie within 4e-5 of the radius)
//! and each triangle is cut by the plane; the pieces are chained to closed outlines.

use std::collections::HashMap;
use std::f64::consts::PI;

use crate::placed::Placed;
use crate::plane::Plane;
use crate::shape::Shape;
use crate::solid::{Polarisation, Solid};
use numerics::vector::{Vector, add, scale, sub};

/// Sides of the polygon that stands for a full turn.
const AROUND: usize = 360;

/// Points nearer to the plane than this share of the body's size count as lying on its upper side.
const NUDGE: f64 = 1e-9;

/// Closed outlines of a body in the plane, m; none where the plane passes it by. The last point is not the first again.
#[must_use]
pub fn outlines(body: &Placed, plane: &Plane) -> Vec<Vec<[f64; 2]>> {
    let mesh = surface(body.solid());
    let points: Vec<Vector> = mesh.points.iter().map(|p| body.to_space(*p)).collect();
    let least = NUDGE * body.bounding_ball().1;
    let heights: Vec<f64> = points
        .iter()
        .map(|p| {
            let height = plane.height(*p);
            if height.abs() < least { least } else { height }
        })
        .collect();
    let value = |i: usize| {
        (
            points.get(i).copied().unwrap_or_default(),
            heights.get(i).copied().unwrap_or_default(),
        )
    };
    // Each side of a triangle that passes through the plane, by its ends, leads to the other sides that share its triangles.
    let mut chained: HashMap<(usize, usize), Vec<(usize, usize)>> = HashMap::new();
    for triangle in &mesh.triangles {
        let [a, b, c] = *triangle;
        let cut: Vec<(usize, usize)> = [(a, b), (b, c), (c, a)]
            .into_iter()
            .filter(|(i, j)| value(*i).1.is_sign_positive() != value(*j).1.is_sign_positive())
            .map(|(i, j)| (i.min(j), i.max(j)))
            .collect();
        if let [one, other] = cut[..] {
            chained.entry(one).or_default().push(other);
            chained.entry(other).or_default().push(one);
        }
    }
    let place = |(i, j): (usize, usize)| {
        let ((p, from), (q, to)) = (value(i), value(j));
        plane.place(add(p, scale(sub(q, p), from / (from - to))))
    };
    let mut sides: Vec<(usize, usize)> = chained.keys().copied().collect();
    sides.sort_unstable();
    let mut outlines = Vec::new();
    for start in sides {
        let mut outline = Vec::new();
        let mut at = start;
        while let Some(next) = chained.get_mut(&at).and_then(Vec::pop) {
            outline.push(place(at));
            // The way back is used up with the way there.
            if let Some(back) = chained.get_mut(&next)
                && let Some(k) = back.iter().position(|side| *side == at)
            {
                back.swap_remove(k);
            }
            at = next;
        }
        if outline.len() > 2 {
            outlines.push(outline);
        }
    }
    outlines
}

/// The direction of a body's polarisation in the plane, T; that of the middle of an arc where it runs radially.
#[must_use]
pub fn direction(body: &Placed, plane: &Plane) -> [f64; 2] {
    let local = match body.polarisation() {
        Polarisation::Along(j) => j,
        Polarisation::Radial(j) => [j, 0.0, 0.0],
    };
    plane.part(body.turn().out(local))
}

/// Triangles over the points of a surface, in the body's frame.
struct Mesh {
    points: Vec<Vector>,
    triangles: Vec<[usize; 3]>,
}

impl Mesh {
    fn quad(&mut self, [a, b, c, d]: [usize; 4]) {
        self.triangles.extend([[a, b, c], [a, c, d]]);
    }
}

fn surface(solid: &Solid) -> Mesh {
    match solid {
        Solid::Plain(Shape::Block {
            length,
            width,
            thickness,
        }) => block([0.5 * length, 0.5 * width, 0.5 * thickness]),
        Solid::Plain(Shape::Disc { diameter, thickness }) => turned(&rectangle(0.0, 0.5 * diameter, *thickness)),
        Solid::Plain(Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        }) => turned(&rectangle(0.5 * inner_diameter, 0.5 * outer_diameter, *thickness)),
        Solid::Plain(Shape::Sphere { diameter }) => {
            let half = AROUND / 2;
            let corner = |k: usize| {
                let (sin, cos) = (PI * k as f64 / half as f64).sin_cos();
                [0.5 * diameter * sin, -0.5 * diameter * cos]
            };
            turned(&(0..=half).map(corner).collect::<Vec<_>>())
        }
        Solid::Turned(profile) => turned(profile.corners()),
        Solid::Arc(arc) => {
            let [inner, outer] = arc.radii();
            let profile = rectangle(inner, outer, arc.thickness);
            if arc.angle >= 2.0 * PI {
                return turned(&profile);
            }
            let steps = ((AROUND as f64 * arc.angle / (2.0 * PI)).ceil() as usize).max(2);
            let mut mesh = swept(&profile, [-0.5 * arc.angle, 0.5 * arc.angle], steps, false);
            mesh.quad([0, 1, 2, 3]);
            let last = 4 * steps;
            mesh.quad([last, last + 1, last + 2, last + 3]);
            mesh
        }
    }
}

fn rectangle(inner: f64, outer: f64, thickness: f64) -> [[f64; 2]; 4] {
    let half = 0.5 * thickness;
    [[inner, -half], [outer, -half], [outer, half], [inner, half]]
}

fn block(half: Vector) -> Mesh {
    let sign = |bit: usize, k: usize| if k >> bit & 1 == 1 { 1.0 } else { -1.0 };
    let mut mesh = Mesh {
        points: (0..8)
            .map(|k| [sign(0, k) * half[0], sign(1, k) * half[1], sign(2, k) * half[2]])
            .collect(),
        triangles: Vec::new(),
    };
    for quad in [
        [0, 1, 3, 2],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 3, 7, 6],
        [0, 2, 6, 4],
        [1, 3, 7, 5],
    ] {
        mesh.quad(quad);
    }
    mesh
}

fn turned(profile: &[[f64; 2]]) -> Mesh {
    swept(profile, [0.0, 2.0 * PI], AROUND, true)
}

/// A closed profile swept about the axis; column by column, each with a point for every corner.
fn swept(profile: &[[f64; 2]], [from, to]: [f64; 2], steps: usize, closed: bool) -> Mesh {
    let corners = profile.len();
    let columns = if closed { steps } else { steps + 1 };
    let mut mesh = Mesh {
        points: Vec::with_capacity(columns * corners),
        triangles: Vec::with_capacity(2 * steps * corners),
    };
    for column in 0..columns {
        let (sin, cos) = (from + (to - from) * column as f64 / steps as f64).sin_cos();
        mesh.points.extend(profile.iter().map(|[r, z]| [r * cos, r * sin, *z]));
    }
    for step in 0..steps {
        let (here, there) = (step * corners, (step + 1) % columns * corners);
        for k in 0..corners {
            let next = (k + 1) % corners;
            // A side on the axis bounds nothing.
            let on_axis = |i: usize| profile.get(i).is_some_and(|[r, _]| *r == 0.0);
            if on_axis(k) && on_axis(next) {
                continue;
            }
            mesh.quad([here + k, here + next, there + next, there + k]);
        }
    }
    mesh
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arc::Arc;

    fn area(outline: &[[f64; 2]]) -> f64 {
        let n = outline.len();
        let twice: f64 = (0..n)
            .map(|k| {
                let (p, q) = (outline[k], outline[(k + 1) % n]);
                p[0] * q[1] - p[1] * q[0]
            })
            .sum();
        (twice / 2.0).abs()
    }

    fn placed(solid: Solid, centre: Vector, rotation: Vector) -> Placed {
        Placed::new(solid, Polarisation::Along([0.0, 0.0, 1.0]), centre, rotation).expect("in range")
    }

    fn close(got: f64, want: f64, share: f64) {
        assert!((got - want).abs() <= share * want.abs(), "got {got}, want {want}");
    }

    #[test]
    fn a_disc_is_a_rectangle_from_the_side_and_a_circle_from_above() {
        let disc = Solid::Plain(Shape::Disc {
            diameter: 0.02,
            thickness: 0.005,
        });
        let body = placed(disc, [0.1, 0.2, 0.3], [0.0; 3]);
        let side = outlines(&body, &Plane::xz(0.2));
        assert_eq!(side.len(), 1);
        close(area(&side[0]), 0.02 * 0.005, 1e-6);
        let above = outlines(&body, &Plane::xy(0.301));
        assert_eq!(above.len(), 1);
        close(area(&above[0]), PI * 1e-4, 1e-4);
        assert!(outlines(&body, &Plane::xz(0.25)).is_empty());
    }

    #[test]
    fn a_ring_shows_two_walls_or_two_circles() {
        let ring = Solid::Plain(Shape::Ring {
            outer_diameter: 0.02,
            inner_diameter: 0.01,
            thickness: 0.005,
        });
        let body = placed(ring, [0.0; 3], [0.0; 3]);
        let side = outlines(&body, &Plane::xz(0.0));
        assert_eq!(side.len(), 2);
        for wall in &side {
            close(area(wall), 0.005 * 0.005, 1e-6);
        }
        assert_eq!(outlines(&body, &Plane::xy(0.0)).len(), 2);
    }

    #[test]
    fn a_block_turned_by_an_eighth_is_cut_through_its_diagonal() {
        let block = Solid::Plain(Shape::Block {
            length: 0.01,
            width: 0.01,
            thickness: 0.02,
        });
        let body = placed(block, [0.0; 3], [0.0, 0.0, PI / 4.0]);
        let side = outlines(&body, &Plane::xz(0.0));
        assert_eq!(side.len(), 1);
        close(area(&side[0]), 0.01 * 2f64.sqrt() * 0.02, 1e-6);
    }

    /// Cut in its own face the block counts as lying on one side: an outline or none, never a broken one.
    #[test]
    fn a_plane_in_a_face_gives_whole_outlines() {
        let block = Solid::Plain(Shape::Block {
            length: 0.01,
            width: 0.01,
            thickness: 0.02,
        });
        let body = placed(block, [0.0; 3], [0.0; 3]);
        for y in [-0.005, 0.005] {
            for outline in outlines(&body, &Plane::xz(y)) {
                close(area(&outline), 0.01 * 0.02, 1e-6);
            }
        }
    }

    #[test]
    fn an_arc_and_a_sphere_keep_their_areas() {
        let arc = Arc {
            outer_diameter: 0.04,
            inner_diameter: 0.03,
            angle: PI / 3.0,
            thickness: 0.01,
        };
        let above = outlines(&placed(Solid::Arc(arc), [0.0; 3], [0.0; 3]), &Plane::xy(0.0));
        assert_eq!(above.len(), 1);
        close(area(&above[0]), 0.5 * PI / 3.0 * (4e-4 - 2.25e-4), 1e-4);
        let sphere = Solid::Plain(Shape::Sphere { diameter: 0.01 });
        let cut = outlines(&placed(sphere, [0.0; 3], [0.3, 0.2, 0.1]), &Plane::yz(0.003));
        assert_eq!(cut.len(), 1);
        close(area(&cut[0]), PI * (0.005f64.powi(2) - 0.003f64.powi(2)), 1e-3);
    }
}
