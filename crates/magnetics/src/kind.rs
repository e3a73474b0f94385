//! What a body's field and charge need, in its own frame: one variant for each way to compute them.

use std::f64::consts::PI;
use std::sync::LazyLock;

use crate::arc::{Arc, ArcPolarisation};
use crate::cylinder::Side;
use crate::patch::Patch;
use crate::shape::Shape;
use crate::solid::{PlacedError, Polarisation, Solid};
use crate::turned::Turned;
use crate::{block, body, diametral, far, patch};
use numerics::quadrature::unit_rule;
use numerics::vector::{Vector, add, length, scale, sub};

static EIGHT: LazyLock<[(f64, f64); 8]> = LazyLock::new(unit_rule);

/// What the field of a body needs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Kind {
    Cylinder {
        outer: f64,
        inner: f64,
        half: f64,
        along: Vector,
    },
    Block {
        half: Vector,
        along: Vector,
    },
    Sphere {
        radius: f64,
        along: Vector,
    },
    Turned {
        body: Box<Turned>,
        along: f64,
    },
    Arc {
        arc: Arc,
        along: ArcPolarisation,
    },
}

impl Kind {
    /// Whether point dipoles serve far away; the others have forms of their own that keep their digits.
    pub(crate) fn wants_dipoles(&self) -> bool {
        match self {
            Self::Cylinder { along, .. } => along[0] != 0.0 || along[1] != 0.0,
            Self::Arc { .. } => true,
            Self::Block { .. } | Self::Sphere { .. } | Self::Turned { .. } => false,
        }
    }

    /// The charged pieces of the body, in its frame; a volume that is charged as `panels` groups of sections.
    pub(crate) fn patches(&self, panels: u8) -> Vec<Patch> {
        const TURN: [f64; 2] = [0.0, 2.0 * PI];
        match self {
            &Self::Cylinder {
                outer,
                inner,
                half,
                along,
            } => {
                let outline = [[inner, -half], [outer, -half], [outer, half], [inner, half]];
                patch::bands(&outline, TURN, ArcPolarisation::Uniform(along))
            }
            &Self::Block { half, along } => patch::block(half, along),
            &Self::Sphere { radius, along } => patch::ball(radius, along),
            Self::Turned { body, along } => {
                let along = ArcPolarisation::Uniform([0.0, 0.0, *along]);
                patch::bands(body.profile().corners(), TURN, along)
            }
            Self::Arc { arc, along } => patch::arc(arc, *along, panels),
        }
    }

    /// Whether a point lies strictly inside.
    pub(crate) fn contains(&self, p: Vector) -> bool {
        match self {
            Self::Cylinder { outer, inner, half, .. } => {
                let rho = p[0].hypot(p[1]);
                p[2].abs() < *half && rho < *outer && (rho > *inner || *inner == 0.0)
            }
            Self::Block { half, .. } => (0..3).all(|i| p[i].abs() < half[i]),
            Self::Sphere { radius, .. } => length(p) < *radius,
            Self::Turned { body, .. } => body.profile().contains(p[0].hypot(p[1]), p[2]),
            Self::Arc { arc, .. } => arc.contains(p),
        }
    }

    /// `B` and `μ0 H` at a point in the body's frame, T, by the forms that serve near it; `None` on an edge.
    pub(crate) fn fields(&self, p: Vector) -> Option<(Vector, Vector)> {
        let inside = self.contains(p);
        let within = |h: Vector, j: Vector| Some(if inside { (add(h, j), h) } else { (h, h) });
        match self {
            &Self::Cylinder {
                outer,
                inner,
                half,
                along,
            } => {
                let axial = if along[2] == 0.0 {
                    [0.0; 3]
                } else {
                    scale(body::turned(outer, inner, half, p)?, along[2])
                };
                let across = cylinder_across(outer, inner, half, [along[0], along[1]], p)?;
                if inside {
                    let b = add(add(axial, across), [along[0], along[1], 0.0]);
                    Some((b, add(across, add(axial, [0.0, 0.0, -along[2]]))))
                } else {
                    let b = add(axial, across);
                    Some((b, b))
                }
            }
            &Self::Block { half, along } => {
                let mut b = [0.0; 3];
                for (axis, j) in along.into_iter().enumerate() {
                    if j != 0.0 {
                        let from: [usize; 3] = std::array::from_fn(|i| (axis + 1 + i) % 3);
                        let part = block::field(from.map(|i| half[i]), from.map(|i| p[i]))?;
                        for (value, to) in part.into_iter().zip(from) {
                            b[to] += j * value;
                        }
                    }
                }
                Some((b, if inside { sub(b, along) } else { b }))
            }
            &Self::Sphere { radius, along } => {
                if inside {
                    within(scale(along, -1.0 / 3.0), along)
                } else {
                    let b = far::any_dipole(scale(along, 4.0 * PI / 3.0 * radius.powi(3)), p);
                    Some((b, b))
                }
            }
            Self::Turned { body, along } => {
                let rho = p[0].hypot(p[1]);
                let (radial, axial) = body.field(rho, p[2])?;
                let (cos, sin) = if rho == 0.0 {
                    (0.0, 0.0)
                } else {
                    (p[0] / rho, p[1] / rho)
                };
                within(scale([radial * cos, radial * sin, axial], *along), [0.0, 0.0, *along])
            }
            Self::Arc { arc, along } => {
                let h = arc.field(*along, p)?;
                let rho = p[0].hypot(p[1]);
                let j = match *along {
                    ArcPolarisation::Uniform(j) => j,
                    ArcPolarisation::Radial(j) => [j * p[0] / rho, j * p[1] / rho, 0.0],
                };
                within(h, j)
            }
        }
    }
}

/// `μ0 H` of a ring magnetised across its axis.
fn cylinder_across(outer: f64, inner: f64, half: f64, j: [f64; 2], p: Vector) -> Option<Vector> {
    let strength = j[0].hypot(j[1]);
    if strength == 0.0 {
        return Some([0.0; 3]);
    }
    let rho = p[0].hypot(p[1]);
    let (cos, sin) = if rho == 0.0 {
        (j[0] / strength, j[1] / strength)
    } else {
        (p[0] / rho, p[1] / rho)
    };
    let [mut radial, mut tangential, mut axial] = diametral::field(outer, half, rho, p[2], Side::Outer)?;
    if inner > 0.0 {
        let hole = diametral::field(inner, half, rho, p[2], Side::Inner)?;
        radial -= hole[0];
        tangential -= hole[1];
        axial -= hole[2];
    }
    // Cosine and sine of the angle from the polarisation to the point, times its strength.
    let (with, off) = (j[0] * cos + j[1] * sin, j[0] * sin - j[1] * cos);
    let (radial, tangential) = (radial * with, tangential * off);
    Some([
        radial * cos - tangential * sin,
        radial * sin + tangential * cos,
        axial * with,
    ])
}

/// Prepare a body of that form and polarisation.
pub(crate) fn prepared(solid: &Solid, polarisation: Polarisation) -> Result<Kind, PlacedError> {
    if let (Solid::Arc(arc), Polarisation::Radial(j)) = (solid, polarisation) {
        return Ok(Kind::Arc {
            arc: *arc,
            along: ArcPolarisation::Radial(j),
        });
    }
    let Polarisation::Along(along) = polarisation else {
        return Err(PlacedError::Radial);
    };
    Ok(match solid {
        Solid::Plain(Shape::Disc { diameter, thickness }) => Kind::Cylinder {
            outer: 0.5 * diameter,
            inner: 0.0,
            half: 0.5 * thickness,
            along,
        },
        Solid::Plain(Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        }) => Kind::Cylinder {
            outer: 0.5 * outer_diameter,
            inner: 0.5 * inner_diameter,
            half: 0.5 * thickness,
            along,
        },
        Solid::Plain(Shape::Block {
            length,
            width,
            thickness,
        }) => Kind::Block {
            half: [0.5 * length, 0.5 * width, 0.5 * thickness],
            along,
        },
        Solid::Plain(Shape::Sphere { diameter }) => Kind::Sphere {
            radius: 0.5 * diameter,
            along,
        },
        Solid::Turned(profile) => {
            if along[0] != 0.0 || along[1] != 0.0 {
                return Err(PlacedError::Across { polarisation: along });
            }
            Kind::Turned {
                body: Box::new(Turned::new(profile.clone())),
                along: along[2],
            }
        }
        Solid::Arc(arc) => Kind::Arc {
            arc: *arc,
            along: ArcPolarisation::Uniform(along),
        },
    })
}

/// Point dipoles at the nodes of a product rule over the volume, for bodies without multipoles of their own.
pub(crate) fn dipoles(kind: &Kind) -> Vec<(Vector, Vector)> {
    let (outer, inner, half) = match kind {
        &Kind::Cylinder { outer, inner, half, .. } => (outer, inner, half),
        Kind::Arc { arc, .. } => {
            let [inner, outer] = arc.radii();
            (outer, inner, 0.5 * arc.thickness)
        }
        &Kind::Block { half, along } => {
            let nodes = |h: f64| {
                EIGHT
                    .iter()
                    .map(move |&(t, weight)| (h * (2.0 * t - 1.0), 2.0 * h * weight))
            };
            let mut dipoles = Vec::with_capacity(512);
            for (x, wx) in nodes(half[0]) {
                for (y, wy) in nodes(half[1]) {
                    dipoles.extend(nodes(half[2]).map(|(z, wz)| ([x, y, z], scale(along, wx * wy * wz))));
                }
            }
            return dipoles;
        }
        &Kind::Sphere { radius, along } => return vec![([0.0; 3], scale(along, 4.0 * PI / 3.0 * radius.powi(3)))],
        Kind::Turned { .. } => return Vec::new(),
    };
    // Angles and weights that sum to the opening: equal steps around a full turn, Gauss in three parts of an arc.
    let angles: Vec<(f64, f64)> = match kind {
        Kind::Arc { arc, .. } if !arc.closed() => (0..3)
            .flat_map(|part| {
                let step = arc.angle / 3.0;
                EIGHT
                    .iter()
                    .map(move |&(t, weight)| (step * (t + f64::from(part) - 1.5), step * weight))
            })
            .collect(),
        _ => (0..24).map(|k| (PI / 12.0 * (f64::from(k) + 0.5), PI / 12.0)).collect(),
    };
    let mut dipoles = Vec::with_capacity(64 * angles.len());
    let (low, span) = (inner * inner, (outer - inner) * (outer + inner));
    for &(t, wr) in EIGHT.iter() {
        let r = (low + t * span).sqrt();
        for &(phi, angle) in &angles {
            for &(s, wz) in EIGHT.iter() {
                let volume = wr * 0.5 * span * angle * wz * 2.0 * half;
                let (sin, cos) = phi.sin_cos();
                let j = match kind {
                    Kind::Cylinder { along, .. }
                    | Kind::Arc {
                        along: ArcPolarisation::Uniform(along),
                        ..
                    } => *along,
                    Kind::Arc {
                        along: ArcPolarisation::Radial(j),
                        ..
                    } => [j * cos, j * sin, 0.0],
                    _ => [0.0; 3],
                };
                dipoles.push(([r * cos, r * sin, half * (2.0 * s - 1.0)], scale(j, volume)));
            }
        }
    }
    dipoles
}
