//! The charged surfaces of a body, cut into pieces over which forces are summed.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::arc::{Arc, ArcPolarisation};
use numerics::quadrature::unit_rule;
use numerics::vector::{Vector, add, cross, length, scale};

static SIX: LazyLock<[(f64, f64); 6]> = LazyLock::new(unit_rule);

/// A piece of surface, each point of it named by two numbers from 0 to 1, in the body's frame.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Patch {
    /// A side of a counter-clockwise outline, turned about the axis through a part of a turn.
    Band {
        side: [[f64; 2]; 2],
        angles: [f64; 2],
        polarisation: ArcPolarisation,
    },
    /// A parallelogram with its charge density, T, and the way outwards.
    Flat {
        corner: Vector,
        edges: [Vector; 2],
        charge: f64,
        outwards: Vector,
    },
    /// An eighth part in height of a ball's surface.
    Ball {
        radius: f64,
        heights: [f64; 2],
        angles: [f64; 2],
        polarisation: Vector,
    },
}

impl Patch {
    /// The point, its charge by unit of the two numbers, T m², and the way outwards.
    pub(crate) fn at(&self, u: f64, v: f64) -> (Vector, f64, Vector) {
        match *self {
            Self::Band {
                side: [a, b],
                angles: [from, to],
                polarisation,
            } => {
                let run = [b[0] - a[0], b[1] - a[1]];
                let (r, z) = (a[0] + u * run[0], a[1] + u * run[1]);
                let (sin, cos) = (from + v * (to - from)).sin_cos();
                let radial = match polarisation {
                    ArcPolarisation::Uniform(j) => j[0] * cos + j[1] * sin,
                    ArcPolarisation::Radial(j) => j,
                };
                let along = match polarisation {
                    ArcPolarisation::Uniform(j) => j[2],
                    ArcPolarisation::Radial(_) => 0.0,
                };
                let charge = (radial * run[1] - along * run[0]) * r * (to - from);
                let size = run[0].hypot(run[1]);
                let (out, up) = (run[1] / size, -run[0] / size);
                ([r * cos, r * sin, z], charge, [out * cos, out * sin, up])
            }
            Self::Flat {
                corner,
                edges,
                charge,
                outwards,
            } => {
                let point = add(corner, add(scale(edges[0], u), scale(edges[1], v)));
                (point, charge * length(cross(edges[0], edges[1])), outwards)
            }
            Self::Ball {
                radius,
                heights: [low, high],
                angles: [from, to],
                polarisation: j,
            } => {
                let c = low + u * (high - low);
                let s = (1.0 - c * c).sqrt();
                let (sin, cos) = (from + v * (to - from)).sin_cos();
                let normal = [s * cos, s * sin, c];
                let density = j[0] * normal[0] + j[1] * normal[1] + j[2] * normal[2];
                let area = radius * radius * (high - low) * (to - from);
                (scale(normal, radius), density * area, normal)
            }
        }
    }
}

/// The sides of an outline, turned through `angles`, in four or more parts.
pub(crate) fn bands(outline: &[[f64; 2]], angles: [f64; 2], polarisation: ArcPolarisation) -> Vec<Patch> {
    let parts = (2.0 * (angles[1] - angles[0]) / PI).ceil().max(1.0);
    let step = (angles[1] - angles[0]) / parts;
    let mut patches = Vec::new();
    for (a, b) in outline.iter().zip(outline.iter().cycle().skip(1)) {
        let charged = match polarisation {
            ArcPolarisation::Uniform(j) => {
                (a[0] != b[0] && j[2] != 0.0) || (a[1] != b[1] && (j[0] != 0.0 || j[1] != 0.0))
            }
            ArcPolarisation::Radial(_) => a[1] != b[1],
        };
        if !charged || (a[0] == 0.0 && b[0] == 0.0) {
            continue;
        }
        for part in 0..parts as usize {
            let from = angles[0] + step * part as f64;
            patches.push(Patch::Band {
                side: [*a, *b],
                angles: [from, from + step],
                polarisation,
            });
        }
    }
    patches
}

/// The six faces of a block, those that are charged.
pub(crate) fn block(half: Vector, along: Vector) -> Vec<Patch> {
    let mut patches = Vec::new();
    for axis in 0..3 {
        if along[axis] == 0.0 {
            continue;
        }
        for sign in [-1.0, 1.0] {
            let (second, third) = ((axis + 1) % 3, (axis + 2) % 3);
            let unit = |i: usize, by: f64| std::array::from_fn(|k| if k == i { by } else { 0.0 });
            let mut corner = half.map(|h| -h);
            corner[axis] = sign * half[axis];
            patches.push(Patch::Flat {
                corner,
                edges: [unit(second, 2.0 * half[second]), unit(third, 2.0 * half[third])],
                charge: sign * along[axis],
                outwards: unit(axis, sign),
            });
        }
    }
    patches
}

/// The surface of a ball.
pub(crate) fn ball(radius: f64, polarisation: Vector) -> Vec<Patch> {
    (0..8)
        .map(|k| Patch::Ball {
            radius,
            heights: if k < 4 { [-1.0, 0.0] } else { [0.0, 1.0] },
            angles: [0.5 * PI * f64::from(k % 4), 0.5 * PI * f64::from(k % 4 + 1)],
            polarisation,
        })
        .collect()
}

/// The surfaces of an arc; where it is magnetised radially, its charged volume as upright sections, six to each of `panels` equal parts.
pub(crate) fn arc(arc: &Arc, polarisation: ArcPolarisation, panels: u8) -> Vec<Patch> {
    let ([inner, outer], half, span) = (arc.radii(), 0.5 * arc.thickness, 0.5 * arc.angle);
    let outline = [[inner, -half], [outer, -half], [outer, half], [inner, half]];
    let mut patches = bands(&outline, [-span, span], polarisation);
    let section = |phi: f64, charge: f64, outwards: f64| {
        let (sin, cos) = phi.sin_cos();
        Patch::Flat {
            corner: [inner * cos, inner * sin, -half],
            edges: [
                [(outer - inner) * cos, (outer - inner) * sin, 0.0],
                [0.0, 0.0, 2.0 * half],
            ],
            charge,
            outwards: [-sin * outwards, cos * outwards, 0.0],
        }
    };
    match polarisation {
        ArcPolarisation::Uniform(j) if !arc.closed() => {
            for sign in [-1.0, 1.0] {
                let (sin, cos) = (sign * span).sin_cos();
                let charge = sign * (j[1] * cos - j[0] * sin);
                if charge != 0.0 {
                    patches.push(section(sign * span, charge, sign));
                }
            }
        }
        ArcPolarisation::Uniform(_) => {}
        ArcPolarisation::Radial(j) => {
            let width = 1.0 / f64::from(panels);
            for panel in 0..panels {
                patches.extend(SIX.iter().map(|&(t, weight)| {
                    let place = (f64::from(panel) + t) * width;
                    section(span * (2.0 * place - 1.0), -j * weight * width * arc.angle, 0.0)
                }));
            }
        }
    }
    patches
}
