//! Gradients of the flux density, by automatic differentiation.

use crate::assembly::FieldError;
use crate::body::within_reach;
use crate::kind::Kind;
use crate::placed::Placed;
use crate::scene::Scene;
use crate::turned::Turned;
use crate::{block, cylinder, diametral};
use numerics::dual::Dual;
use numerics::number::Number;
use numerics::vector::{Vector, add, dot, length, scale, sub};

/// Closer to the axis, or to the radius of the curved side, than this share of the radius, the mean of two points this far off serves.
const BESIDE: f64 = 1e-6;

/// Points on a surface or an edge by less than this share of the body's size have no gradient.
const ON_SURFACE: f64 = 1e-12;

/// The gradient of B: `rows[i][j]` is the slope of component `i` along coordinate `j`, T/m.
pub type Gradient = [[f64; 3]; 3];

impl Scene {
    /// Gradient of B at a point, T/m, for bodies of any form.
    ///
    /// Automatic derivatives of the closed forms and, for cones and arcs, of what is summed; of multipoles and point dipoles far away. 1e-8 relative.
    ///
    /// # Errors
    /// [`FieldError`] on surfaces and edges, where the field jumps or diverges, and for coordinates out of range.
    pub fn gradient(&self, point: [f64; 3]) -> Result<Gradient, FieldError> {
        if !within_reach(point) {
            return Err(FieldError::Point { point });
        }
        if let Some(body) = self.bodies().iter().position(|body| body.susceptibility() > 0.0) {
            return Err(FieldError::Permeable { body });
        }
        if self.is_stopped() {
            return Err(FieldError::Stopped);
        }
        let mut sum = [[0.0; 3]; 3];
        for (body, placed) in self.bodies().iter().enumerate() {
            let part = of_body(placed, placed.to_body(point)).ok_or(FieldError::OnSurface { body, point })?;
            // Rows and columns both turn with the body.
            let turned = part.map(|row| placed.turn().out(row));
            for (j, axis) in [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]
                .into_iter()
                .enumerate()
            {
                let column = placed.turn().out(turned.map(|row| dot(row, axis)));
                for (row, value) in sum.iter_mut().zip(column) {
                    row[j] += value;
                }
            }
        }
        Ok(sum)
    }
}

/// In the body's frame; `None` on a surface.
fn of_body(body: &Placed, p: Vector) -> Option<Gradient> {
    let (middle, reach) = body.ball();
    let dipoles_serve = !matches!(body.kind(), Kind::Turned { .. });
    if dipoles_serve && length(sub(p, middle)) > body.far_from() {
        return Some(body.dipoles().iter().fold([[0.0; 3]; 3], |sum, &(place, moment)| {
            plus(sum, of_dipole(moment, sub(p, place)))
        }));
    }
    let near = ON_SURFACE * reach;
    match body.kind() {
        &Kind::Sphere { radius, along } => {
            let r = length(p);
            if (r - radius).abs() <= near {
                None
            } else if r < radius {
                Some([[0.0; 3]; 3])
            } else {
                Some(of_dipole(
                    scale(along, 4.0 * std::f64::consts::PI / 3.0 * radius.powi(3)),
                    p,
                ))
            }
        }
        &Kind::Block { half, along } => {
            let beyond = [0, 1, 2].map(|i| p[i].abs() - half[i]);
            if beyond.iter().any(|b| b.abs() <= near) && beyond.iter().all(|&b| b <= near) {
                return None;
            }
            let folded = [0, 1, 2].map(|i| Dual::coordinate(p[i], i).abs());
            let mut rows = [[0.0; 3]; 3];
            for (axis, j) in along.into_iter().enumerate() {
                if j != 0.0 {
                    let from = [(axis + 1) % 3, (axis + 2) % 3, axis];
                    let part = block::smooth(from.map(|i| half[i]), from.map(|i| folded[i]));
                    for (k, to) in from.into_iter().enumerate() {
                        let about = |c: f64| if c < 0.0 { -1.0 } else { 1.0 };
                        let sign = if k == 2 { 1.0 } else { about(p[to]) * about(p[axis]) };
                        rows[to] = add(rows[to], scale(part[k].slopes, sign * j));
                    }
                }
            }
            Some(rows)
        }
        &Kind::Cylinder { outer, inner, half, .. } => {
            let rho = p[0].hypot(p[1]);
            let level = |radius: f64| radius > 0.0 && (rho - radius).abs() <= near;
            if p[2].abs() <= half + near && (level(outer) || level(inner)) {
                return None;
            }
            if (p[2].abs() - half).abs() <= near && rho <= outer + near && rho >= inner - near {
                return None;
            }
            let beside = BESIDE * if inner > 0.0 { inner } else { outer };
            let side = |radius: f64| radius > 0.0 && (rho - radius).abs() < 1e-3 * beside;
            if rho >= beside && !side(outer) && !side(inner) {
                return of_cylinder(body.kind(), p);
            }
            let out = if rho == 0.0 {
                [beside, 0.0, 0.0]
            } else {
                [p[0] / rho * beside, p[1] / rho * beside, 0.0]
            };
            let (one, other) = (
                of_cylinder(body.kind(), add(p, out))?,
                of_cylinder(body.kind(), sub(p, out))?,
            );
            Some(plus(one, other).map(|row| scale(row, 0.5)))
        }
        Kind::Turned { body, along } => of_turned(body, p, near).map(|rows| rows.map(|row| scale(row, *along))),
        Kind::Arc { arc, along } => arc.slopes(*along, p, near),
    }
}

/// Off the axis and off the level of the curved sides.
fn of_cylinder(kind: &Kind, p: Vector) -> Option<Gradient> {
    let &Kind::Cylinder {
        outer,
        inner,
        half,
        along,
    } = kind
    else {
        return None;
    };
    let [x, y, z] = [0, 1, 2].map(|i| Dual::coordinate(p[i], i));
    let rho = (x * x + y * y).sqrt();
    let (cos, sin) = (x / rho, y / rho);
    let mut sum = [Dual::every(0.0); 3];
    for (radius, sign) in [(outer, 1.0), (inner, -1.0)] {
        if radius == 0.0 {
            continue;
        }
        let (radial, axial) = cylinder::smooth(radius, half, rho, z);
        let mut part = [radial * cos * along[2], radial * sin * along[2], axial * along[2]];
        if along[0] != 0.0 || along[1] != 0.0 {
            // Cosine and sine of the angle from the polarisation to the point, times its strength.
            let (with, off) = (cos * along[0] + sin * along[1], sin * along[0] - cos * along[1]);
            let (r, t) = diametral::smooth(radius, half, rho, z);
            let (r, t) = (r * with, t * off);
            part = [
                part[0] + r * cos - t * sin,
                part[1] + r * sin + t * cos,
                part[2] + radial * with,
            ];
        }
        for (total, part) in sum.iter_mut().zip(part) {
            *total = *total + part * sign;
        }
    }
    Some(sum.map(|component| component.slopes))
}

/// Of a turned profile at 1 T.
fn of_turned(body: &Turned, p: Vector, near: f64) -> Option<Gradient> {
    let (rho, z) = (p[0].hypot(p[1]), p[2]);
    if body.profile().distance(rho, z) <= near {
        return None;
    }
    let at = |rho: f64| {
        let (radial, axial) = body.smooth(Dual::coordinate(rho, 0), Dual::coordinate(z, 1));
        [
            radial.slopes[0],
            radial.slopes[1],
            axial.slopes[0],
            axial.slopes[1],
            radial.value / rho,
        ]
    };
    let beside = BESIDE * body.reach();
    // Level with a corner the closed form of a flat face has a removable singularity.
    let level = |corner: &[f64; 2]| corner[0] > 0.0 && (rho - corner[0]).abs() < 1e-3 * beside;
    let [rr, rz, zr, zz, over] = if body.profile().corners().iter().any(level) {
        let (one, other) = (at(rho - beside), at(rho + beside));
        std::array::from_fn(|i| 0.5 * (one[i] + other[i]))
    } else {
        at(rho)
    };
    // The radial part falls off as the radius towards the axis.
    let over = if rho < beside { rr } else { over };
    let (cos, sin) = if rho == 0.0 {
        (1.0, 0.0)
    } else {
        (p[0] / rho, p[1] / rho)
    };
    let mixed = (rr - over) * cos * sin;
    Some([
        [rr * cos * cos + over * sin * sin, mixed, rz * cos],
        [mixed, rr * sin * sin + over * cos * cos, rz * sin],
        [zr * cos, zr * sin, zz],
    ])
}

/// Gradient of the field of a point dipole with polarisation times volume `moment`, T m³.
fn of_dipole(moment: Vector, p: Vector) -> Gradient {
    let r2 = dot(p, p);
    let strength = 3.0 / (4.0 * std::f64::consts::PI * r2 * r2 * r2.sqrt());
    let along = dot(moment, p);
    std::array::from_fn(|i| {
        std::array::from_fn(|j| {
            let same = if i == j { along } else { 0.0 };
            strength * (moment[i] * p[j] + moment[j] * p[i] + same - 5.0 * along * p[i] * p[j] / r2)
        })
    })
}

fn plus(a: Gradient, b: Gradient) -> Gradient {
    [add(a[0], b[0]), add(a[1], b[1]), add(a[2], b[2])]
}
