//! The whole surface of a body, charged or not, in its own frame.

use std::f64::consts::PI;

use crate::shape::Shape;
use crate::solid::Solid;
use numerics::vector::{Vector, add, cross, dot, length, scale, sub};

/// A side is not taken as one panel if it is longer than this many times its width.
const OBLONG: f64 = 2.0;
/// A point nearer to a surface than this share of the clearance lies on it.
const ON_SURFACE: f64 = 1e-4;

/// A stretch of the outline of a turned body, counter-clockwise: the material is to its left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Meridian {
    /// A line from corner to corner, `[r, z]`.
    Straight([[f64; 2]; 2]),
    /// A part of a circle about the origin between two angles counted from the lower pole.
    Round { radius: f64, angles: [f64; 2] },
}

/// A place on a [`Meridian`].
pub(crate) struct Spot {
    /// Radius and height, m.
    pub(crate) place: [f64; 2],
    /// The way outwards.
    pub(crate) outwards: [f64; 2],
    /// Length by unit of the parameter, m.
    pub(crate) speed: f64,
}

impl Meridian {
    /// The place at `t` from 0 to 1.
    pub(crate) fn at(&self, t: f64) -> Spot {
        match *self {
            Self::Straight([a, b]) => {
                let run = [b[0] - a[0], b[1] - a[1]];
                let speed = run[0].hypot(run[1]);
                Spot {
                    place: [a[0] + t * run[0], a[1] + t * run[1]],
                    outwards: [run[1] / speed, -run[0] / speed],
                    speed,
                }
            }
            Self::Round { radius, angles: [a, b] } => {
                let (sin, cos) = (a + t * (b - a)).sin_cos();
                Spot {
                    place: [radius * sin, -radius * cos],
                    outwards: [sin, -cos],
                    speed: radius * (b - a),
                }
            }
        }
    }

    /// The part between two values of the parameter.
    pub(crate) fn part(&self, [from, to]: [f64; 2]) -> Self {
        match *self {
            Self::Straight(_) => Self::Straight([self.at(from).place, self.at(to).place]),
            Self::Round { radius, angles: [a, b] } => Self::Round {
                radius,
                angles: [a + from * (b - a), a + to * (b - a)],
            },
        }
    }

    /// Length, m.
    pub(crate) fn length(&self) -> f64 {
        self.at(0.5).speed
    }

    /// The parameter of the place nearest to a point `[r, z]`.
    pub(crate) fn nearest(&self, point: [f64; 2]) -> f64 {
        let free = match *self {
            Self::Straight([a, b]) => {
                let run = [b[0] - a[0], b[1] - a[1]];
                let square = run[0] * run[0] + run[1] * run[1];
                ((point[0] - a[0]) * run[0] + (point[1] - a[1]) * run[1]) / square
            }
            Self::Round { angles: [a, b], .. } => (point[0].atan2(-point[1]) - a) / (b - a),
        };
        free.clamp(0.0, 1.0)
    }

    /// The point itself, or one `least` off the meridian where it lies nearer than that; outside if it lies on it.
    pub(crate) fn cleared(&self, point: [f64; 2], least: f64) -> [f64; 2] {
        let Spot { place, outwards, .. } = self.at(self.nearest(point));
        let from = [point[0] - place[0], point[1] - place[1]];
        match further(
            from[0] * outwards[0] + from[1] * outwards[1],
            from[0].hypot(from[1]),
            least,
        ) {
            Some(by) => [point[0] + by * outwards[0], point[1] + by * outwards[1]],
            None => point,
        }
    }
}

/// How far to move a point outwards that lies `off` a surface and `away` from its nearest place, to be `least` off it.
fn further(off: f64, away: f64, least: f64) -> Option<f64> {
    let to = if off < -ON_SURFACE * least { -least } else { least };
    (away < least).then_some(to - off)
}

/// A piece of surface whose points are named by two numbers from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Facet {
    /// A parallelogram.
    Flat {
        corner: Vector,
        edges: [Vector; 2],
        outwards: Vector,
    },
    /// A meridian turned about the axis from one angle to another.
    Turned { meridian: Meridian, angles: [f64; 2] },
}

impl Facet {
    /// The point, the way outwards and the area by unit of the two numbers.
    pub(crate) fn at(&self, u: f64, v: f64) -> (Vector, Vector, f64) {
        match *self {
            Self::Flat {
                corner,
                edges: [a, b],
                outwards,
            } => (
                add(corner, add(scale(a, u), scale(b, v))),
                outwards,
                length(cross(a, b)),
            ),
            Self::Turned {
                meridian,
                angles: [from, to],
            } => {
                let spot = meridian.at(u);
                let (sin, cos) = (from + v * (to - from)).sin_cos();
                let around = |[r, z]: [f64; 2]| [r * cos, r * sin, z];
                let area = spot.speed * spot.place[0] * (to - from);
                (around(spot.place), around(spot.outwards), area)
            }
        }
    }

    /// The part between two values of each number.
    pub(crate) fn part(&self, u: [f64; 2], v: [f64; 2]) -> Self {
        match *self {
            Self::Flat {
                corner,
                edges: [a, b],
                outwards,
            } => Self::Flat {
                corner: add(corner, add(scale(a, u[0]), scale(b, v[0]))),
                edges: [scale(a, u[1] - u[0]), scale(b, v[1] - v[0])],
                outwards,
            },
            Self::Turned {
                meridian,
                angles: [from, to],
            } => Self::Turned {
                meridian: meridian.part(u),
                angles: [from + v[0] * (to - from), from + v[1] * (to - from)],
            },
        }
    }

    /// The point itself, or one `least` off the facet where it lies nearer than that; outside if it lies on it.
    pub(crate) fn cleared(&self, point: Vector, least: f64) -> Vector {
        match *self {
            Self::Flat {
                corner,
                edges,
                outwards,
            } => {
                let from = sub(point, corner);
                let within = edges.map(|edge| dot(from, edge) / dot(edge, edge));
                let nearest = within.map(|t| t.clamp(0.0, 1.0));
                let foot = add(scale(edges[0], nearest[0]), scale(edges[1], nearest[1]));
                let away = length(sub(from, foot));
                further(dot(from, outwards), away, least).map_or(point, |by| add(point, scale(outwards, by)))
            }
            Self::Turned {
                meridian,
                angles: [from, to],
            } => {
                let rho = point[0].hypot(point[1]);
                let turned = (point[1].atan2(point[0]) - 0.5 * (from + to)).rem_euclid(2.0 * PI);
                if turned.min(2.0 * PI - turned) * rho > 0.5 * (to - from) * rho + least {
                    return point;
                }
                let [r, z] = meridian.cleared([rho, point[2]], least);
                if rho == 0.0 {
                    [r, 0.0, z]
                } else {
                    [point[0] * r / rho, point[1] * r / rho, z]
                }
            }
        }
    }

    /// In parts that are no more than [`OBLONG`] times as long as wide, or as the radius: on a longer one the field at the ends would be
    /// missed.
    pub(crate) fn compact(&self) -> Vec<Self> {
        let whole = [0.0, 1.0];
        let parts = |ratio: f64| {
            let count = (ratio / OBLONG).ceil().max(1.0);
            (0..count as usize).map(move |k| [k as f64 / count, (k + 1) as f64 / count])
        };
        match self {
            Self::Flat { .. } => match self.sides() {
                [a, b] if a > b => parts(a / b).map(|u| self.part(u, whole)).collect(),
                [a, b] => parts(b / a).map(|v| self.part(whole, v)).collect(),
            },
            Self::Turned { meridian, .. } => {
                let radius = [0.0, 0.5, 1.0]
                    .map(|t| meridian.at(t).place[0])
                    .into_iter()
                    .fold(0.0, f64::max);
                parts(meridian.length() / radius).map(|u| self.part(u, whole)).collect()
            }
        }
    }

    /// Lengths along the two numbers through the middle, m.
    pub(crate) fn sides(&self) -> [f64; 2] {
        match self {
            Self::Flat { edges: [a, b], .. } => [length(*a), length(*b)],
            Self::Turned {
                meridian,
                angles: [from, to],
            } => [meridian.length(), meridian.at(0.5).place[0] * (to - from)],
        }
    }
}

/// The outline of a turned body; `None` for any other.
pub(crate) fn outline(solid: &Solid) -> Option<Vec<Meridian>> {
    let around = |corners: &[[f64; 2]]| {
        corners
            .iter()
            .zip(corners.iter().cycle().skip(1))
            .filter(|(a, b)| a[0] > 0.0 || b[0] > 0.0)
            .map(|(&a, &b)| Meridian::Straight([a, b]))
            .collect()
    };
    let cylinder = |outer: f64, inner: f64, h: f64| around(&[[inner, -h], [outer, -h], [outer, h], [inner, h]]);
    Some(match solid {
        Solid::Plain(Shape::Disc { diameter, thickness }) => cylinder(0.5 * diameter, 0.0, 0.5 * thickness),
        Solid::Plain(Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        }) => cylinder(0.5 * outer_diameter, 0.5 * inner_diameter, 0.5 * thickness),
        Solid::Plain(Shape::Sphere { diameter }) => vec![Meridian::Round {
            radius: 0.5 * diameter,
            angles: [0.0, PI],
        }],
        Solid::Turned(profile) => around(profile.corners()),
        Solid::Plain(Shape::Block { .. }) | Solid::Arc(_) => return None,
    })
}

/// The surface of any body in facets, turned ones in eighths of a turn.
pub(crate) fn facets(solid: &Solid) -> Vec<Facet> {
    let turned = |meridians: &[Meridian], [from, to]: [f64; 2]| {
        let parts = (4.0 * (to - from) / PI).ceil().max(1.0);
        let step = (to - from) / parts;
        let mut all = Vec::new();
        for &meridian in meridians {
            all.extend((0..parts as usize).map(|k| Facet::Turned {
                meridian,
                angles: [from + step * k as f64, from + step * (k + 1) as f64],
            }));
        }
        all
    };
    match solid {
        Solid::Plain(Shape::Block {
            length,
            width,
            thickness,
        }) => block([0.5 * length, 0.5 * width, 0.5 * thickness]),
        Solid::Arc(arc) => {
            let ([inner, outer], half, span) = (arc.radii(), 0.5 * arc.thickness, 0.5 * arc.angle);
            let ends = [[inner, -half], [outer, -half], [outer, half], [inner, half]];
            let sides: Vec<_> = (0..4)
                .map(|k| Meridian::Straight([ends[k], ends[(k + 1) % 4]]))
                .collect();
            let mut all = turned(&sides, [-span, span]);
            if !arc.closed() {
                for sign in [-1.0, 1.0] {
                    let (sin, cos) = (sign * span).sin_cos();
                    all.push(Facet::Flat {
                        corner: [inner * cos, inner * sin, -half],
                        edges: [
                            [(outer - inner) * cos, (outer - inner) * sin, 0.0],
                            [0.0, 0.0, 2.0 * half],
                        ],
                        outwards: [-sin * sign, cos * sign, 0.0],
                    });
                }
            }
            all
        }
        other => outline(other).map_or_else(Vec::new, |meridians| turned(&meridians, [0.0, 2.0 * PI])),
    }
}

fn block(half: Vector) -> Vec<Facet> {
    let unit = |i: usize, by: f64| std::array::from_fn(|k| if k == i { by } else { 0.0 });
    (0..3)
        .flat_map(|axis| [(axis, -1.0), (axis, 1.0)])
        .map(|(axis, sign)| {
            let (second, third) = ((axis + 1) % 3, (axis + 2) % 3);
            let mut corner = half.map(|h| -h);
            corner[axis] = sign * half[axis];
            Facet::Flat {
                corner,
                edges: [unit(second, 2.0 * half[second]), unit(third, 2.0 * half[third])],
                outwards: unit(axis, sign),
            }
        })
        .collect()
}
