//! Closed forms for the load of one placed body on another, where there are any.

use std::f64::consts::PI;

use crate::body::Body;
use crate::force;
use crate::placed::Placed;
use crate::shape::Shape;
use crate::solid::{Polarisation, Solid};
use materials::MU_0;
use numerics::vector::{Turn, Vector, cross, dot, length, scale, sub};

/// Axes that differ by less than this, in radians, are parallel.
const PARALLEL: f64 = 1e-12;

/// A force in closed form; the torque too where that is known.
pub(crate) struct Closed {
    pub(crate) force: Vector,
    pub(crate) torque: Option<Vector>,
}

/// The load on `on` from `source` in closed form; `None` where there is none.
pub(crate) fn closed_form(on: &Placed, source: &Placed) -> Option<Closed> {
    if let (Solid::Plain(Shape::Sphere { .. }), Solid::Plain(Shape::Sphere { .. })) = (on.solid(), source.solid()) {
        return Some(spheres(on, source));
    }
    let (mine, theirs) = (upright(on)?, upright(source)?);
    // Everything in the frame of the source.
    let axis = theirs.turn.back(mine.turn.out([0.0, 0.0, 1.0]));
    let sign = if axis[2] < 0.0 { -1.0 } else { 1.0 };
    if axis[0].hypot(axis[1]) > PARALLEL {
        return None;
    }
    let body = Body {
        shape: theirs.shape,
        polarisation: theirs.polarisation,
        centre: [0.0; 3],
    };
    let centre = theirs.turn.back(sub(on.centre(), source.centre()));
    let moving = Body {
        shape: mine.shape,
        polarisation: sign * mine.polarisation,
        centre,
    };
    match (mine.shape, theirs.shape) {
        (
            Shape::Block {
                length,
                width,
                thickness,
            },
            Shape::Block { .. },
        ) => {
            let side = theirs.turn.back(mine.turn.out([1.0, 0.0, 0.0]));
            let shape = if side[1].abs() <= PARALLEL {
                mine.shape
            } else if side[0].abs() <= PARALLEL {
                Shape::Block {
                    length: width,
                    width: length,
                    thickness,
                }
            } else {
                return None;
            };
            let force = force::block_force(&Body { shape, ..moving }, &body).ok()?;
            Some(Closed {
                force: theirs.turn.out(force),
                torque: None,
            })
        }
        (Shape::Disc { .. } | Shape::Ring { .. }, Shape::Disc { .. } | Shape::Ring { .. }) => {
            let axial = force::axial_force(&[moving], &[body]).ok()?;
            Some(Closed {
                force: theirs.turn.out([0.0, 0.0, axial]),
                torque: Some([0.0; 3]),
            })
        }
        _ => None,
    }
}

/// A disc, ring or block magnetised along one of its axes, in a frame where that axis is `z`.
struct Upright {
    shape: Shape,
    polarisation: f64,
    turn: Turn,
}

fn upright(body: &Placed) -> Option<Upright> {
    let (Solid::Plain(shape), Polarisation::Along(j)) = (body.solid(), body.polarisation()) else {
        return None;
    };
    let along: Vec<usize> = (0..3).filter(|&i| j[i] != 0.0).collect();
    let &[axis] = along.as_slice() else {
        return None;
    };
    match *shape {
        Shape::Block {
            length,
            width,
            thickness,
        } => {
            let sides = [length, width, thickness];
            Some(Upright {
                shape: Shape::Block {
                    length: sides[(axis + 1) % 3],
                    width: sides[(axis + 2) % 3],
                    thickness: sides[axis],
                },
                polarisation: j[axis],
                turn: body.turn().led_by(axis),
            })
        }
        Shape::Disc { .. } | Shape::Ring { .. } if axis == 2 => Some(Upright {
            shape: *shape,
            polarisation: j[2],
            turn: *body.turn(),
        }),
        _ => None,
    }
}

/// Two spheres act as dipoles at their centres.
fn spheres(on: &Placed, source: &Placed) -> Closed {
    let (mine, theirs) = (on.moment(), source.moment());
    let offset = sub(on.centre(), source.centre());
    let r = length(offset);
    let n = scale(offset, 1.0 / r);
    let (m, t) = (dot(mine, n), dot(theirs, n));
    let strength = 3.0 * MU_0 / (4.0 * PI * r.powi(4));
    let force = [0, 1, 2].map(|i| strength * (mine[i] * t + theirs[i] * m + n[i] * (dot(mine, theirs) - 5.0 * m * t)));
    let field = [0, 1, 2].map(|i| MU_0 / (4.0 * PI * r.powi(3)) * (3.0 * t * n[i] - theirs[i]));
    Closed {
        force,
        torque: Some(cross(mine, field)),
    }
}
