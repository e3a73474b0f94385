//! Arc segments: a part of a ring, magnetised along one direction or radially.

use std::f64::consts::PI;

use crate::shape::{LARGEST_SIZE, SMALLEST_SIZE, ShapeError};
use numerics::dual::Dual;
use numerics::number::{Number, Scalar};
use numerics::quadrature::graded;
use numerics::vector::Vector;

/// A point closer to an edge than this share of the outer radius counts as on it.
const ON_EDGE: f64 = 1e-12;

/// A point closer to a face than this share of the outer radius is taken this far off it, on the outer side.
const ON_FACE: f64 = 1e-10;

/// Points closer to a face than this share of the outer radius lie on it.
const ON_SURFACE: f64 = 1e-13;

/// Longest panel of the quadrature, rad.
const WIDEST_PANEL: f64 = 0.8;

/// A segment of a ring, its middle on `+x`, its axis along `z`, its middle height at the origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arc {
    /// Outer diameter, m.
    pub outer_diameter: f64,
    /// Inner diameter, m.
    pub inner_diameter: f64,
    /// Opening angle, rad, above 0 and at most a full turn.
    pub angle: f64,
    /// Height along the axis, m.
    pub thickness: f64,
}

/// How an arc is magnetised, T.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum ArcPolarisation {
    /// Along one direction everywhere.
    Uniform(Vector),
    /// Away from the axis everywhere.
    Radial(f64),
}

impl Arc {
    /// Check that every size is in range and that the parts fit.
    ///
    /// # Errors
    /// [`ShapeError`] for the first that does not.
    pub fn validate(&self) -> Result<(), ShapeError> {
        for (size, value) in [
            ("outer diameter", self.outer_diameter),
            ("inner diameter", self.inner_diameter),
            ("thickness", self.thickness),
        ] {
            if !(SMALLEST_SIZE..=LARGEST_SIZE).contains(&value) {
                return Err(ShapeError::Size { size, value });
            }
        }
        if self.inner_diameter >= self.outer_diameter {
            return Err(ShapeError::Hole {
                outer: self.outer_diameter,
                inner: self.inner_diameter,
            });
        }
        if !(1e-3..=2.0 * PI).contains(&self.angle) {
            return Err(ShapeError::Angle { value: self.angle });
        }
        Ok(())
    }

    /// Volume, m³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let [inner, outer] = self.radii();
        0.5 * self.angle * (outer - inner) * (outer + inner) * self.thickness
    }

    pub(crate) fn radii(&self) -> [f64; 2] {
        [0.5 * self.inner_diameter, 0.5 * self.outer_diameter]
    }

    /// Centre and radius of a ball that holds the arc.
    pub(crate) fn ball(&self) -> (Vector, f64) {
        let [inner, outer] = self.radii();
        let span = 0.5 * self.angle.min(PI);
        let middle = if self.angle >= PI {
            0.0
        } else {
            0.5 * (inner * span.cos() + outer)
        };
        let corner = |r: f64| (r * span.cos() - middle).hypot(r * span.sin());
        let across = if self.angle >= PI {
            outer
        } else {
            corner(outer).max(corner(inner)).max(outer - middle)
        };
        ([middle, 0.0, 0.0], across.hypot(0.5 * self.thickness))
    }

    /// Height of the lowest point when the body's axes rise by `up`.
    pub(crate) fn lowest(&self, up: Vector) -> f64 {
        let [inner, outer] = self.radii();
        let span = 0.5 * self.angle.min(2.0 * PI);
        let rise = |phi: f64| up[0] * phi.cos() + up[1] * phi.sin();
        // The steepest way down, if the arc goes there, and both ends.
        let steepest = (-up[1]).atan2(-up[0]);
        let ways = [steepest.clamp(-span, span), -span, span].map(rise);
        let least = ways
            .into_iter()
            .map(|rise| (rise * inner).min(rise * outer))
            .fold(f64::INFINITY, f64::min);
        least - 0.5 * self.thickness * up[2].abs()
    }

    /// Whether the arc closes to a ring.
    pub(crate) fn closed(&self) -> bool {
        self.angle >= 2.0 * PI
    }

    /// How far a point lies beyond the nearer curved face, the nearer flat face and the nearer end, m; negative on the material's side.
    fn beyond(&self, p: Vector) -> [f64; 3] {
        let [inner, outer] = self.radii();
        let rho = p[0].hypot(p[1]);
        let turned = if self.closed() {
            f64::NEG_INFINITY
        } else {
            rho * (p[1].atan2(p[0]).abs() - 0.5 * self.angle)
        };
        [
            (rho - outer).max(inner - rho),
            p[2].abs() - 0.5 * self.thickness,
            turned,
        ]
    }

    /// Distance of a point from the material, m.
    pub(crate) fn distance(&self, p: Vector) -> f64 {
        let [inner, outer] = self.radii();
        let (rho, turned) = (p[0].hypot(p[1]), p[1].atan2(p[0]).abs());
        let over = (p[2].abs() - 0.5 * self.thickness).max(0.0);
        let beyond = turned - 0.5 * self.angle;
        if self.closed() || beyond <= 0.0 {
            return (rho - outer).max(inner - rho).max(0.0).hypot(over);
        }
        // Seen from the nearer end: along its radius and off its plane.
        let along = rho * beyond.cos();
        (along - outer)
            .max(inner - along)
            .max(0.0)
            .hypot(rho * beyond.sin())
            .hypot(over)
    }

    /// Whether a point lies strictly inside.
    pub(crate) fn contains(&self, p: Vector) -> bool {
        self.beyond(p).iter().all(|&b| b < -ON_SURFACE * self.radii()[1])
    }

    /// `μ0 H` in tesla; `None` on an edge, where the field diverges. On a face the limit from outside.
    pub(crate) fn field(&self, polarisation: ArcPolarisation, p: Vector) -> Option<Vector> {
        Some(self.smooth(polarisation, self.off_faces(p)?, |value, _| value))
    }

    /// Slopes of B, T/m, by row; `None` within `near` metres of the surface.
    ///
    /// Inside a radially magnetised arc the slope of `J / μ0` across the sections and that of H at the section through the point cancel,
    /// so that the slopes of the strips serve everywhere.
    pub(crate) fn slopes(&self, polarisation: ArcPolarisation, p: Vector, near: f64) -> Option<[Vector; 3]> {
        let beyond = self.beyond(p);
        if beyond.iter().any(|b| b.abs() <= near) && beyond.iter().all(|&b| b <= near) {
            return None;
        }
        let field = self.smooth(polarisation, p, |value, slopes| Dual { value, slopes });
        Some(field.map(|component| component.slopes))
    }

    /// `μ0 H` in tesla off the faces; `number` makes a coordinate from its value and its slopes along x, y and z.
    ///
    /// One quadrature over the angle of strips whose fields are elementary, graded towards the point; the ends in closed form.
    fn smooth<T: Scalar>(&self, polarisation: ArcPolarisation, p: Vector, number: impl Fn(f64, Vector) -> T) -> [T; 3] {
        let [inner, outer] = self.radii();
        let half = 0.5 * self.thickness;
        let (rho, azimuth) = (p[0].hypot(p[1]), p[1].atan2(p[0]));
        // Seen from the angle `phi` of a strip, `turned` away from the point.
        let seen = |phi: f64, turned: f64| {
            let (sin, cos) = phi.sin_cos();
            let fall = 2.0 * rho * (0.5 * turned).sin().powi(2);
            let along = |value: f64| number(value, [cos, sin, 0.0]);
            Seen {
                beyond: [along(rho - inner - fall), along(rho - outer - fall)],
                along: along(rho * turned.cos()),
                across: number(-rho * turned.sin(), [-sin, cos, 0.0]),
                z: number(p[2], [0.0, 0.0, 1.0]),
            }
        };
        let outwards = |phi: f64, [along, across, up]: [T; 3]| {
            let (sin, cos) = phi.sin_cos();
            [along * cos - across * sin, along * sin + across * cos, up]
        };
        let strip = |turned: f64| {
            let phi = azimuth + turned;
            let q = seen(phi, turned);
            let walls = |charge: f64| {
                plus(
                    times(q.wall(1, half), charge * outer),
                    times(q.wall(0, half), -charge * inner),
                )
            };
            let local = match polarisation {
                ArcPolarisation::Uniform(j) => {
                    let mut sum = walls(j[0] * phi.cos() + j[1] * phi.sin());
                    if j[2] != 0.0 {
                        sum = plus(sum, times(q.spoke(half), j[2]));
                        sum = plus(sum, times(q.spoke(-half), -j[2]));
                    }
                    sum
                }
                // The divergence leaves the volume charged with -J / r.
                ArcPolarisation::Radial(j) => plus(walls(j), times(q.plate(half), -j)),
            };
            outwards(phi, local)
        };
        // Distance in the half plane of the point from the outline of the section, on which all strips end.
        let section = {
            let (beyond, over) = ((inner - rho).max(rho - outer), p[2].abs() - half);
            if beyond <= 0.0 && over <= 0.0 {
                beyond.max(over).abs()
            } else {
                beyond.max(0.0).hypot(over.max(0.0))
            }
        };
        let distance = |a: f64, b: f64| {
            // Panels end at the point's own angle; a whole turn away the point is met again.
            let (left, right) = (a.abs().min(2.0 * PI - a.abs()), b.abs().min(2.0 * PI - b.abs()));
            let chord = 2.0 * (rho * inner).sqrt() * (0.5 * left.min(right)).sin();
            (section.hypot(chord) / outer).min(WIDEST_PANEL)
        };
        let span = 0.5 * self.angle;
        let (from, to) = if self.closed() {
            (-PI, PI)
        } else {
            (-span - azimuth, span - azimuth)
        };
        let middle = 0.0_f64.clamp(from, to);
        let mut sum = plus(
            graded(from, middle, &distance, &mut |turned| strip(turned)),
            graded(middle, to, &distance, &mut |turned| strip(turned)),
        );
        if let (ArcPolarisation::Uniform(j), false) = (polarisation, self.closed()) {
            for end in [-span, span] {
                let charge = (j[1] * end.cos() - j[0] * end.sin()) * end.signum();
                let plate = seen(end, end - azimuth).plate(half);
                sum = plus(sum, outwards(end, times(plate, charge)));
            }
        }
        times(sum, 0.25 / PI)
    }

    /// The point itself, or one just outside a face that it lies on; `None` on an edge.
    fn off_faces(&self, p: Vector) -> Option<Vector> {
        let [inner, outer] = self.radii();
        let (rho, azimuth) = (p[0].hypot(p[1]), p[1].atan2(p[0]));
        let beyond = self.beyond(p);
        let edge = ON_EDGE * outer;
        let on = beyond.iter().filter(|b| b.abs() <= edge).count();
        if on >= 2 && beyond.iter().all(|&b| b <= edge) {
            return None;
        }
        let face = ON_FACE * outer;
        let near = (0..3).find(|&i| beyond[i].abs() < face && beyond.iter().all(|&b| b < face));
        let Some(i) = near else {
            return Some(p);
        };
        let to = if beyond[i] < -ON_SURFACE * outer { -face } else { face };
        let step = to - beyond[i];
        Some(match i {
            0 => {
                let grown = rho + if rho - outer > inner - rho { step } else { -step };
                [p[0] * grown / rho, p[1] * grown / rho, p[2]]
            }
            1 => [p[0], p[1], p[2] + step.copysign(step * p[2])],
            _ => {
                let (sin, cos) = (azimuth + step / rho * azimuth.signum()).sin_cos();
                [rho * cos, rho * sin, p[2]]
            }
        })
    }
}

fn plus<T: Number>(a: [T; 3], b: [T; 3]) -> [T; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

fn times<T: Number>(a: [T; 3], by: f64) -> [T; 3] {
    [a[0] * by, a[1] * by, a[2] * by]
}

/// `asinh(b / q) - asinh(a / q)` without cancellation for `a`, `b` of one sign.
pub(crate) fn lift<T: Scalar>(a: T, b: T, q: T) -> T {
    let negative = |t: T| t.first() < 0.0;
    if (a * b).first() > 0.0 {
        let (ra, rb) = ((a * a + q * q).sqrt(), (b * b + q * q).sqrt());
        // ln((b + rb) / (a + ra)), mirrored for negative a and b.
        let (low, high) = if negative(a) {
            (rb - b, ra - a)
        } else {
            (a + ra, b + rb)
        };
        return ((high - low) / low).ln_1p();
    }
    let arc = |t: T| {
        let size = (t.abs() / q).asinh();
        if negative(t) { -size } else { size }
    };
    arc(b) - arc(a)
}

/// A point as seen from one angle of an arc; each field of a strip there is along the radius, across it and up.
struct Seen<T> {
    /// How far it lies beyond the inner and the outer radius, along the radius.
    beyond: [T; 2],
    along: T,
    across: T,
    z: T,
}

impl<T: Scalar> Seen<T> {
    /// `∫ dz' (q - source) / |q - source|³` over an upright line at the inner (0) or outer (1) radius.
    fn wall(&self, which: usize, half: f64) -> [T; 3] {
        let along = self.beyond[which];
        let s2 = along * along + self.across * self.across;
        let (top, bottom) = (self.z - half, self.z + half);
        let (r_top, r_bottom) = ((s2 + top * top).sqrt(), (s2 + bottom * bottom).sqrt());
        let ends = if (top * bottom).first() > 0.0 {
            (top + bottom) * (2.0 * half) / (r_top * r_bottom * (bottom * r_top + top * r_bottom))
        } else {
            (bottom / r_bottom - top / r_top) / s2
        };
        let up = (bottom - top) * (bottom + top) / (r_top * r_bottom * (r_top + r_bottom));
        [along * ends, self.across * ends, up]
    }

    /// `∫ r dr (q - source) / |q - source|³` over a line along the radius at that height.
    fn spoke(&self, height: f64) -> [T; 3] {
        let w = self.z - height;
        let s2 = self.across * self.across + w * w;
        let (near, far) = (-self.beyond[0], -self.beyond[1]);
        let (r_near, r_far) = ((near * near + s2).sqrt(), (far * far + s2).sqrt());
        // 1 / D and t / D between the ends, the latter also over s².
        let inverse = (near - far) * (near + far) / (r_near * r_far * (r_near + r_far));
        let (slope, over) = if (near * far).first() > 0.0 {
            let over = (far - near) * (far + near) / (r_near * r_far * (far * r_near + near * r_far));
            (s2 * over, over)
        } else {
            let slope = far / r_far - near / r_near;
            (slope, slope / s2)
        };
        let off = self.along * over - inverse;
        [
            slope + self.along * inverse - lift(near, far, s2.sqrt()),
            self.across * off,
            w * off,
        ]
    }

    /// `∫∫ dr dz' (q - source) / |q - source|³` over the upright section; on its plane the part across is zero.
    fn plate(&self, half: f64) -> [T; 3] {
        let (top, bottom) = (self.z - half, self.z + half);
        let [far, near] = self.beyond;
        let v = self.across;
        let beside = |w: T| (v * v + w * w).sqrt();
        let up = lift(near, far, beside(top)) - lift(near, far, beside(bottom));
        let along = lift(top, bottom, beside(near)) - lift(top, bottom, beside(far));
        let angle = |u: T, w: T| (u * w).atan2(v.abs() * (u * u + v * v + w * w).sqrt());
        let across = angle(far, bottom) - angle(far, top) - angle(near, bottom) + angle(near, top);
        let across = match v.first() {
            0.0 => across - across.first(),
            v if v < 0.0 => -across,
            _ => across,
        };
        [along, across, up]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cylinder::{self, Side};
    use crate::diametral;
    use numerics::vector::{add, length, scale, sub};

    const RING: Arc = Arc {
        outer_diameter: 0.02,
        inner_diameter: 0.01,
        angle: 2.0 * PI,
        thickness: 0.005,
    };

    /// `μ0 H` of the ring by closed forms.
    fn ring(j: Vector, p: Vector) -> Vector {
        let (rho, phi) = (p[0].hypot(p[1]), p[1].atan2(p[0]));
        let (across, turned) = (j[0].hypot(j[1]), phi - j[1].atan2(j[0]));
        let mut sum = [0.0; 3];
        for (radius, side, sign) in [(0.01, Side::Outer, 1.0), (0.005, Side::Inner, -1.0)] {
            let [a, b, c] = diametral::field(radius, 0.0025, rho, p[2], side).expect("off the rim");
            let (r, z) = cylinder::flux_density(radius, 0.0025, rho, p[2], side).expect("off the rim");
            let local = [
                across * a * turned.cos() + j[2] * r,
                across * b * turned.sin(),
                across * c * turned.cos() + j[2] * z,
            ];
            sum = add(
                sum,
                scale(
                    [
                        local[0] * phi.cos() - local[1] * phi.sin(),
                        local[0] * phi.sin() + local[1] * phi.cos(),
                        local[2],
                    ],
                    sign,
                ),
            );
        }
        if RING.contains(p) {
            sub(sum, [0.0, 0.0, j[2]])
        } else {
            sum
        }
    }

    #[test]
    fn a_closed_arc_is_a_ring() {
        let j = [0.7, -0.4, 0.9];
        for p in [
            [0.003, 0.004, 0.006],
            [0.013, -0.002, 0.001],
            [0.001, 0.0005, 0.0],
            [0.0, -0.0075, 0.001],
            [-0.00999, 0.0, 0.003],
            [0.01, 0.002, 0.0025001],
            [0.0, 0.0, 0.001],
            [0.03, 0.04, -0.02],
            [-0.01, 0.0, 0.001],
        ] {
            let (got, expected) = (
                RING.field(ArcPolarisation::Uniform(j), p).expect("off the edges"),
                ring(j, p),
            );
            let error = length(sub(got, expected)) / length(expected);
            assert!(error <= 1e-9, "{p:?}: {got:?} {expected:?} {error:e}");
            let on_face = p == [-0.01, 0.0, 0.001];
            assert!(on_face || error <= 2e-11, "{p:?}: {error:e}");
        }
    }

    #[test]
    fn segments_add_up() {
        let part = Arc {
            angle: PI / 3.0,
            ..RING
        };
        let p: Vector = [0.004, 0.0081, 0.0031];
        let turn = |v: Vector, by: f64| {
            [
                v[0] * by.cos() - v[1] * by.sin(),
                v[0] * by.sin() + v[1] * by.cos(),
                v[2],
            ]
        };
        let j = [0.7, -0.4, 0.9];
        let (mut uniform, mut radial) = ([0.0; 3], [0.0; 3]);
        for k in 0..6 {
            let by = f64::from(k) * PI / 3.0;
            let field = |polarisation| turn(part.field(polarisation, turn(p, -by)).expect("off the edges"), by);
            uniform = add(uniform, field(ArcPolarisation::Uniform(turn(j, -by))));
            radial = add(radial, field(ArcPolarisation::Radial(1.0)));
        }
        assert!(length(sub(uniform, ring(j, p))) <= 1e-12);
        let whole = RING.field(ArcPolarisation::Radial(1.0), p).expect("off the edges");
        assert!(length(sub(radial, whole)) <= 1e-12, "{radial:?} {whole:?}");
    }

    #[test]
    fn edges_have_no_field() {
        let part = Arc { angle: 1.0, ..RING };
        let at = |r: f64, phi: f64, z: f64| {
            part.field(
                ArcPolarisation::Uniform([1.0, 0.0, 0.0]),
                [r * phi.cos(), r * phi.sin(), z],
            )
        };
        assert_eq!(at(0.01, 0.2, 0.0025), None);
        assert_eq!(at(0.005, -0.5, 0.001), None);
        assert_eq!(at(0.007, 0.5, -0.0025), None);
        assert!(at(0.01, 0.2, 0.001).is_some() && at(0.01, 0.6, 0.0025).is_some());
    }
}
