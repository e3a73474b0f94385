//! Whether two bodies share space; bodies that only touch do not.
//!
//! Exact for balls against anything, for blocks turned any way, for discs and rings side by side, and for all that is turned about one axis.
//! Otherwise by points just within the surface of each that lie inside the other.

use crate::kind::{Kind, prepared};
use crate::placed::Placed;
use crate::solid::{Polarisation, Solid};
use numerics::vector::{Vector, cross, dot, length, scale, sub};

/// Bodies may reach into one another by this share of the smaller one's size, which rounding can do to touching faces.
const TOUCHING: f64 = 1e-7;

/// Axes whose directions differ by less than this are parallel; closer than this share of the size they are one.
const COAXIAL: f64 = 1e-9;

/// Steps along each side of a piece of surface where points are tried.
const SURVEY: i32 = 24;

/// Pairs of bodies that share space, by their indices; bodies that only touch are not among them.
#[must_use]
pub fn overlapping(bodies: &[Placed]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    for (first, a) in bodies.iter().enumerate() {
        for (second, b) in bodies.iter().enumerate().skip(first + 1) {
            if a.overlaps(b) {
                pairs.push((first, second));
            }
        }
    }
    pairs
}

impl Placed {
    /// Whether two bodies share space, by more than rounding: bodies that only touch do not.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        let ((here, mine), (there, theirs)) = (self.bounding_ball(), other.bounding_ball());
        let slack = TOUCHING * mine.min(theirs);
        if length(sub(here, there)) >= mine + theirs - slack {
            return false;
        }
        match (self.kind(), other.kind()) {
            (_, &Kind::Sphere { radius, .. }) => distance(self, other.centre()) < radius - slack,
            (&Kind::Sphere { radius, .. }, _) => distance(other, self.centre()) < radius - slack,
            (&Kind::Block { half: a, .. }, &Kind::Block { half: b, .. }) => blocks(self, a, other, b, slack),
            _ => turned(self, other, slack).unwrap_or_else(|| surveyed(self, other, slack)),
        }
    }
}

/// Distance of a point from the material of a body, m.
fn distance(body: &Placed, point: Vector) -> f64 {
    let p = body.to_body(point);
    let rho = p[0].hypot(p[1]);
    match body.kind() {
        Kind::Sphere { radius, .. } => (length(p) - radius).max(0.0),
        Kind::Block { half, .. } => {
            let beyond = [0, 1, 2].map(|i| (p[i].abs() - half[i]).max(0.0));
            length(beyond)
        }
        &Kind::Cylinder { outer, inner, half, .. } => {
            let beside = (rho - outer).max(inner - rho).max(0.0);
            beside.hypot((p[2].abs() - half).max(0.0))
        }
        Kind::Turned { body, .. } => {
            let profile = body.profile();
            if profile.contains(rho, p[2]) {
                0.0
            } else {
                profile.distance(rho, p[2])
            }
        }
        Kind::Arc { arc, .. } => arc.distance(p),
    }
}

/// Two blocks: no plane along a face or along an edge of each has them on its two sides.
fn blocks(a: &Placed, half_a: Vector, b: &Placed, half_b: Vector, slack: f64) -> bool {
    let axes = |body: &Placed| [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]].map(|axis| body.turn().out(axis));
    let (mine, theirs) = (axes(a), axes(b));
    let apart = sub(b.centre(), a.centre());
    let reach = |axes: &[Vector; 3], half: Vector, along: Vector| -> f64 {
        axes.iter().zip(half).map(|(&axis, h)| h * dot(axis, along).abs()).sum()
    };
    let separates = |along: Vector| {
        let size = length(along);
        // Edges that are parallel give no plane of their own.
        size > COAXIAL && {
            let along = scale(along, 1.0 / size);
            dot(apart, along).abs() >= reach(&mine, half_a, along) + reach(&theirs, half_b, along) - slack
        }
    };
    let crossed = mine.iter().flat_map(|&m| theirs.iter().map(move |&t| cross(m, t)));
    !mine.into_iter().chain(theirs).chain(crossed).any(separates)
}

/// Two bodies turned about one axis, or discs and rings with parallel axes; `None` for others.
fn turned(a: &Placed, b: &Placed, slack: f64) -> Option<bool> {
    let (mine, theirs) = (outline(a)?, outline(b)?);
    let up = |body: &Placed| body.turn().out([0.0, 0.0, 1.0]);
    let (axis, other) = (up(a), up(b));
    if length(cross(axis, other)) > COAXIAL {
        return None;
    }
    let apart = sub(b.centre(), a.centre());
    let rise = dot(apart, axis);
    let aside = length(sub(apart, scale(axis, rise)));
    let sense = dot(axis, other).signum();
    let theirs: Vec<[f64; 2]> = theirs.into_iter().map(|[r, z]| [r, rise + sense * z]).collect();
    if aside <= COAXIAL * a.ball().1.min(b.ball().1) {
        return Some(outlines_overlap(&mine, &theirs, slack));
    }
    let (
        &Kind::Cylinder { outer, inner, half, .. },
        &Kind::Cylinder {
            outer: o,
            inner: i,
            half: h,
            ..
        },
    ) = (a.kind(), b.kind())
    else {
        return None;
    };
    let clear = aside >= outer + o - slack || aside + outer <= i + slack || aside + o <= inner + slack;
    Some(!clear && rise.abs() < half + h - slack)
}

/// Corners of the half section of a turned body.
fn outline(body: &Placed) -> Option<Vec<[f64; 2]>> {
    match body.kind() {
        &Kind::Cylinder { outer, inner, half, .. } => {
            Some(vec![[inner, -half], [outer, -half], [outer, half], [inner, half]])
        }
        Kind::Turned { body, .. } => Some(body.profile().corners().to_vec()),
        Kind::Block { .. } | Kind::Sphere { .. } | Kind::Arc { .. } => None,
    }
}

/// Two simple outlines in the half plane: a side of one passes through a side of the other, or a place just within one lies inside the other.
fn outlines_overlap(a: &[[f64; 2]], b: &[[f64; 2]], slack: f64) -> bool {
    let sides = |outline: &[[f64; 2]]| -> Vec<[[f64; 2]; 2]> {
        outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .map(|(&p, &q)| [p, q])
            .collect()
    };
    let (mine, theirs) = (sides(a), sides(b));
    let off = |[p, q]: [[f64; 2]; 2], at: [f64; 2]| {
        let u = [q[0] - p[0], q[1] - p[1]];
        (u[0] * (at[1] - p[1]) - u[1] * (at[0] - p[0])) / u[0].hypot(u[1])
    };
    let through = |side: [[f64; 2]; 2], other: [[f64; 2]; 2]| {
        let [p, q] = other.map(|at| off(side, at));
        p.min(q) < -slack && p.max(q) > slack
    };
    if mine
        .iter()
        .any(|&m| theirs.iter().any(|&t| through(m, t) && through(t, m)))
    {
        return true;
    }
    let inside = |sides: &[[[f64; 2]; 2]], at: [f64; 2]| {
        let crossed = sides.iter().filter(|[p, q]| {
            (p[1] > at[1]) != (q[1] > at[1]) && at[0] < p[0] + (at[1] - p[1]) / (q[1] - p[1]) * (q[0] - p[0])
        });
        crossed.count() % 2 == 1
    };
    let nudged = |sides: &[[[f64; 2]; 2]]| -> Vec<[f64; 2]> {
        let from_middle = |[p, q]: &[[f64; 2]; 2]| {
            let (u, middle) = ([q[0] - p[0], q[1] - p[1]], [0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])]);
            let step = 2.0 * slack / u[0].hypot(u[1]);
            [
                [middle[0] - step * u[1], middle[1] + step * u[0]],
                [middle[0] + step * u[1], middle[1] - step * u[0]],
            ]
        };
        sides.iter().flat_map(from_middle).collect()
    };
    let shared = |at: [f64; 2]| inside(&mine, at) && inside(&theirs, at);
    nudged(&mine).into_iter().chain(nudged(&theirs)).any(shared)
}

/// Points over the surface of each, just within it, that lie inside the other.
fn surveyed(a: &Placed, b: &Placed, slack: f64) -> bool {
    let reaches = |a: &Placed, b: &Placed| {
        // Charged along every direction, so that every face has its piece; upright sides of turned profiles have the ends of their neighbours.
        let along = match a.solid() {
            Solid::Turned(_) => [0.0, 0.0, 1.0],
            _ => [1.0; 3],
        };
        let whole = prepared(a.solid(), Polarisation::Along(along));
        let surface = whole.map(|whole| whole.patches(1)).unwrap_or_default();
        let step = |i: i32| f64::from(i) / f64::from(SURVEY);
        surface.iter().any(|patch| {
            (0..=SURVEY).any(|i| {
                (0..=SURVEY).any(|j| {
                    let (place, _, outwards) = patch.at(step(i), step(j));
                    let point = a.to_space(sub(place, scale(outwards, slack)));
                    b.contains(point) && a.contains(point)
                })
            })
        })
    };
    reaches(a, b) || reaches(b, a)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::arc::Arc;
    use crate::profile::Profile;
    use crate::shape::Shape;

    fn placed(solid: Solid, centre: Vector, turn: Vector) -> Placed {
        Placed::new(solid, Polarisation::Along([0.0, 0.0, 1.0]), centre, turn).expect("valid")
    }

    fn block(centre: Vector, turn: Vector) -> Placed {
        let shape = Shape::Block {
            length: 0.02,
            width: 0.01,
            thickness: 0.005,
        };
        placed(Solid::Plain(shape), centre, turn)
    }

    fn ring(outer_diameter: f64, inner_diameter: f64, centre: Vector, turn: Vector) -> Placed {
        let shape = Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness: 0.005,
        };
        placed(Solid::Plain(shape), centre, turn)
    }

    fn disc(diameter: f64, centre: Vector, turn: Vector) -> Placed {
        let shape = Shape::Disc {
            diameter,
            thickness: 0.005,
        };
        placed(Solid::Plain(shape), centre, turn)
    }

    /// Both ways round, just touching and just overlapping.
    fn touch(make: impl Fn(f64) -> (Placed, Placed)) {
        for (shift, expected) in [(0.0, false), (1e-6, true), (-1e-6, false)] {
            let (a, b) = make(shift);
            assert_eq!(
                (a.overlaps(&b), b.overlaps(&a)),
                (expected, expected),
                "{shift} {a:?} {b:?}"
            );
        }
    }

    #[test]
    fn touching_is_not_overlapping() {
        let turn = [0.0, 0.0, PI / 4.0];
        touch(|s| (block([0.0; 3], [0.0; 3]), block([0.001, 0.002, 0.005 - s], [0.0; 3])));
        // A corner against a face, an edge across an edge.
        let reach = (0.01 + 0.005) / 2.0_f64.sqrt();
        touch(|s| (block([0.0; 3], [0.0; 3]), block([0.01 + reach - s, 0.0, 0.0], turn)));
        let up = 0.5 * (0.01 + 0.005) / 2.0_f64.sqrt();
        let (one, other) = ([PI / 4.0, 0.0, 0.0], [0.0, PI / 4.0, 0.0]);
        let long = 0.5 * (0.02 + 0.005) / 2.0_f64.sqrt();
        touch(|s| (block([0.0; 3], one), block([0.0, 0.0, up + long - s], other)));
        // Side by side, one in the hole of the other, coaxial and not, and one above the other.
        touch(|s| {
            (
                disc(0.01, [0.0; 3], [0.0; 3]),
                disc(0.006, [0.008 - s, 0.0, 0.001], [0.0; 3]),
            )
        });
        touch(|s| {
            (
                ring(0.03, 0.012, [0.0; 3], [0.0; 3]),
                disc(0.012 + 2.0 * s, [0.0; 3], [PI, 0.0, 0.0]),
            )
        });
        touch(|s| {
            (
                ring(0.03, 0.012, [0.0; 3], [0.0; 3]),
                disc(0.006, [0.003 + s, 0.0, 0.0], [0.0; 3]),
            )
        });
        touch(|s| {
            (
                ring(0.03, 0.012, [0.0; 3], [0.0; 3]),
                ring(0.02, 0.01, [0.0, 0.0, 0.005 - s], [0.0; 3]),
            )
        });
        // A cone in its sink.
        let sunk = Profile::countersunk(0.02, 0.0045, 0.009, 0.00225, 0.005).expect("valid");
        let plug = Profile::new(&[[0.0, 0.00025], [0.00225, 0.00025], [0.0045, 0.0025], [0.0, 0.0025]]).expect("valid");
        touch(|s| {
            (
                placed(Solid::Turned(sunk.clone()), [0.0; 3], [0.0; 3]),
                placed(Solid::Turned(plug.clone()), [0.0, 0.0, -2.0 * s], [0.0; 3]),
            )
        });
        // A ball on a face, in a hole, against the end of an arc.
        let ball = |centre| placed(Solid::Plain(Shape::Sphere { diameter: 0.008 }), centre, [0.0; 3]);
        touch(|s| (block([0.0; 3], turn), ball([0.0, 0.0, 0.0065 - s])));
        touch(|s| (ring(0.03, 0.012, [0.0; 3], [0.0; 3]), ball([0.002 + s, 0.0, 0.0])));
        let arc = Arc {
            outer_diameter: 0.04,
            inner_diameter: 0.03,
            angle: PI,
            thickness: 0.01,
        };
        touch(|s| {
            (
                placed(Solid::Arc(arc), [0.0; 3], [0.0; 3]),
                ball([-0.004 + s, 0.0175, 0.0]),
            )
        });
    }

    #[test]
    fn the_same_body_twice_overlaps_itself() {
        for body in [
            block([0.0; 3], [0.1, 0.2, 0.3]),
            ring(0.02, 0.01, [0.0; 3], [0.5, 0.0, 0.0]),
            placed(
                Solid::Arc(Arc {
                    outer_diameter: 0.04,
                    inner_diameter: 0.03,
                    angle: 1.0,
                    thickness: 0.01,
                }),
                [0.0; 3],
                [0.0; 3],
            ),
        ] {
            assert!(body.overlaps(&body.clone()));
        }
    }

    #[test]
    fn leaning_bodies_are_surveyed() {
        let lean = [0.3, 0.0, 0.0];
        assert!(disc(0.02, [0.0; 3], [0.0; 3]).overlaps(&disc(0.02, [0.0, 0.0, 0.007], lean)));
        assert!(!disc(0.02, [0.0; 3], [0.0; 3]).overlaps(&disc(0.02, [0.0, 0.0, 0.009], lean)));
        assert!(block([0.0; 3], lean).overlaps(&disc(0.002, [0.0; 3], [0.0; 3])));
    }
}
