//! Field of a turned profile magnetised along its axis, for a polarisation of 1 T: the charge on its flat and conical faces.
//!
//! Flat faces in closed form; conical ones by one quadrature over rings of charge, each a complete elliptic integral,
//! with panels graded towards the point.

use std::f64::consts::PI;

use crate::far::{self, HIGHEST_ORDER, TURNED_REACH};
use crate::profile::Profile;
use numerics::elliptic::cel_lanes;
use numerics::number::Number;
use numerics::quadrature::{graded, unit_rule};

/// A point closer to a rim than this share of the body's size counts as on it.
const ON_RIM: f64 = 1e-13;

/// A point closer to a conical face than this share of the body's size is taken this far off, on the outer side.
const ON_CONE: f64 = 1e-11;

/// A turned profile prepared for its field.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Turned {
    profile: Profile,
    /// Height about which the moments are taken, m.
    middle: f64,
    /// Radius of the ball about the middle that holds the body, m.
    reach: f64,
    /// Moments of the charge over powers of the reach, by order.
    moments: [f64; HIGHEST_ORDER + 1],
}

impl Turned {
    pub(crate) fn new(profile: Profile) -> Self {
        let heights = profile.corners().iter().map(|c| c[1]);
        let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
        let middle = 0.5 * (low + high);
        let reach = profile
            .corners()
            .iter()
            .map(|c| c[0].hypot(c[1] - middle))
            .fold(0.0, f64::max);
        let mut moments = [0.0; HIGHEST_ORDER + 1];
        let rule: [(f64, f64); 10] = unit_rule();
        for [a, b] in profile.sides() {
            // Charge of a ring is its area seen from above: n_z ds = dr, outwards on the left-hand boundary.
            let run = a[0] - b[0];
            for (t, weight) in rule {
                let (r, z) = (
                    (a[0] + t * (b[0] - a[0])) / reach,
                    (a[1] + t * (b[1] - a[1]) - middle) / reach,
                );
                let square = r * r + z * z;
                // Charge over 4π, and r^l P_l by recurrence.
                let charge = 0.5 * r * weight * run / reach;
                let (mut below, mut here) = (1.0, z);
                for (order, moment) in moments.iter_mut().enumerate().skip(1) {
                    let l = order as f64;
                    *moment += charge * here;
                    (below, here) = (here, ((2.0 * l + 1.0) * z * here - l * square * below) / (l + 1.0));
                }
            }
        }
        Self {
            profile,
            middle,
            reach,
            moments,
        }
    }

    /// Height of the middle, m.
    pub(crate) fn middle(&self) -> f64 {
        self.middle
    }

    /// Radius of the ball about the middle that holds the body, m.
    pub(crate) fn reach(&self) -> f64 {
        self.reach
    }

    pub(crate) fn profile(&self) -> &Profile {
        &self.profile
    }

    /// `μ0 H` (radial, axial) in tesla at radius `rho` and height `z`; `None` on a rim, where the field diverges.
    ///
    /// On a face the limit from outside.
    pub(crate) fn field(&self, rho: f64, z: f64) -> Option<(f64, f64)> {
        if self.is_far(rho, z) {
            return Some(self.smooth(rho, z));
        }
        if self.is_on_rim([rho, z]) {
            return None;
        }
        let [rho, z] = self.off_cones([rho, z]);
        Some(self.smooth(rho, z))
    }

    fn is_far(&self, rho: f64, z: f64) -> bool {
        rho.hypot(z - self.middle) > TURNED_REACH * self.reach
    }

    /// [`Self::field`] off rims and conical faces, by multipoles or by the charge of the faces.
    pub(crate) fn smooth<T: Number>(&self, rho: T, z: T) -> (T, T) {
        if self.is_far(rho.first(), z.first()) {
            let rise = z - self.middle;
            let distance = (rho * rho + rise * rise).sqrt();
            let share = T::every(self.reach) / distance;
            let mut power = share * share;
            let scaled = self.moments.map(|moment| {
                let term = power * moment;
                power = power * share;
                term
            });
            return far::from_moments(&scaled, rise / distance, rho / distance);
        }
        let mut sum = (T::every(0.0), T::every(0.0));
        for [a, b] in self.profile.sides() {
            let run = a[0] - b[0];
            if run == 0.0 {
                continue;
            }
            let part = if a[1] == b[1] {
                let above = run > 0.0;
                let rise = z - a[1];
                let w = if rise.first().abs() <= self.profile.surface() {
                    rise - rise.first()
                } else {
                    rise
                };
                let (wide, narrow) = (disc(a[0], rho, w, above), disc(b[0], rho, w, above));
                // run > 0: an upper face from a in to b; run < 0: a lower one, from a out to b.
                (wide.0 - narrow.0, wide.1 - narrow.1)
            } else {
                cone(a, b, rho, z)
            };
            sum = (sum.0 + part.0, sum.1 + part.1);
        }
        sum
    }

    /// Whether the point lies on an edge of a charged face. The middle of a flat end face is a corner of the section, but no
    /// edge of the body; the tip of a cone is one.
    fn is_on_rim(&self, point: [f64; 2]) -> bool {
        let near = |corner: [f64; 2]| (corner[0] - point[0]).hypot(corner[1] - point[1]) <= ON_RIM * self.reach;
        self.profile.sides().any(|[a, b]| {
            let flat = a[1] == b[1];
            let bare = a[0] == b[0];
            let is_edge = |corner: [f64; 2]| !(corner[0] == 0.0 && (flat || bare));
            [a, b].into_iter().any(|corner| is_edge(corner) && near(corner))
        })
    }

    /// The point itself, or a point just outside a conical face that it lies on.
    fn off_cones(&self, point: [f64; 2]) -> [f64; 2] {
        let least = ON_CONE * self.reach;
        for [a, b] in self.profile.sides() {
            if a[0] == b[0] || a[1] == b[1] {
                continue;
            }
            let (u, side) = ([b[0] - a[0], b[1] - a[1]], (b[0] - a[0]).hypot(b[1] - a[1]));
            let outwards = [u[1] / side, -u[0] / side];
            let from = [point[0] - a[0], point[1] - a[1]];
            let along = (from[0] * u[0] + from[1] * u[1]) / side;
            let off = from[0] * outwards[0] + from[1] * outwards[1];
            if off.abs() < least && along > 0.0 && along < side {
                // Inside stays inside; on the face means outside.
                let to = if off < -self.profile.surface() { -least } else { least };
                return [point[0] + (to - off) * outwards[0], point[1] + (to - off) * outwards[1]];
            }
        }
        point
    }
}

/// Field of a disc of unit charge, a height `w` below the point; on its plane the limit from above or below.
fn disc<T: Number>(radius: f64, rho: T, w: T, from_above: bool) -> (T, T) {
    if radius == 0.0 {
        return (T::every(0.0), T::every(0.0));
    }
    let at = w.first();
    let side = if at > 0.0 || (at == 0.0 && from_above) {
        1.0
    } else {
        -1.0
    };
    let one = T::every(1.0);
    let (sum, apart) = (rho + radius, -rho + radius);
    let reach = (sum * sum + w * w).sqrt();
    let kc = (apart * apart + w * w).sqrt() / reach;
    let gamma = apart / sum;
    if gamma.first() == 0.0 {
        let [radial, first] = cel_lanes([kc; 2], [one; 2], [one; 2], [-one, one]);
        return (
            radial / reach * (-radius / PI),
            w / reach * first * (-0.5 / PI) + 0.25 * side,
        );
    }
    let [radial, axial] = cel_lanes([kc; 2], [one, gamma * gamma], [one; 2], [-one, gamma]);
    let inside = if apart.first() > 0.0 { 0.5 * side } else { 0.0 };
    (
        radial / reach * (-radius / PI),
        w / reach * axial / sum * (-radius / PI) + inside,
    )
}

/// Field of the conical face from corner `a` to corner `b`.
fn cone<T: Number>(a: [f64; 2], b: [f64; 2], rho: T, z: T) -> (T, T) {
    let u = [b[0] - a[0], b[1] - a[1]];
    let side = u[0].hypot(u[1]);
    let along = ((rho.first() - a[0]) * u[0] + (z.first() - a[1]) * u[1]) / (side * side);
    // Counted from the nearest place, so that close to the face no digits of the distance are lost.
    let nearest = along.clamp(0.0, 1.0);
    let off = [rho - a[0] - nearest * u[0], z - a[1] - nearest * u[1]];
    let at = off.map(Number::first);
    let distance = |from: f64, to: f64| {
        let t = (along - nearest).clamp(from, to);
        (at[0] - t * u[0]).hypot(at[1] - t * u[1]) / side
    };
    let one = T::every(1.0);
    let mut ring = |t: f64| {
        let (apart, w) = (off[0] - t * u[0], off[1] - t * u[1]);
        let r = (rho - apart).first();
        let sum = rho + r;
        let far2 = sum * sum + w * w;
        let near2 = apart * apart + w * w;
        let kc2 = near2 / far2;
        let [radial, axial] = cel_lanes([kc2.sqrt(); 2], [kc2; 2], [sum, one], [apart, one]);
        let scale = T::every(r / PI) / (far2 * far2.sqrt());
        [scale * radial, scale * w * axial]
    };
    let below = graded(-nearest, 0.0, &distance, &mut ring);
    let above = graded(0.0, 1.0 - nearest, &distance, &mut ring);
    // n_z ds = -u_r dt on the outer side of a counter-clockwise outline.
    ((below[0] + above[0]) * -u[0], (below[1] + above[1]) * -u[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cylinder::{self, Side};

    fn relative(got: (f64, f64), expected: (f64, f64)) -> f64 {
        (got.0 - expected.0).hypot(got.1 - expected.1) / expected.0.hypot(expected.1)
    }

    #[test]
    fn a_rectangle_is_a_cylinder_near_and_far() {
        let profile = Profile::new(&[[0.0, -0.005], [0.005, -0.005], [0.005, 0.005], [0.0, 0.005]]).expect("valid");
        let body = Turned::new(profile);
        for (rho, z) in [
            (0.0, 0.006),
            (0.0025, 0.006),
            (0.005, 0.006),
            (0.0075, 0.0),
            (0.02, 0.03),
            (0.005001, 0.005),
        ] {
            let expected = cylinder::flux_density(0.005, 0.005, rho, z, Side::Outer).expect("off the rim");
            let got = body.field(rho, z).expect("off the rim");
            assert!(relative(got, expected) <= 1e-11, "{rho} {z}: {got:?} {expected:?}");
        }
        for (rho, z) in [(0.06, 0.03), (6.0, 8.0)] {
            let expected = far::turned(0.0, 25e-6, 0.005, rho, z);
            let got = body.field(rho, z).expect("far");
            assert!(relative(got, expected) <= 1e-13, "{rho} {z}: {got:?} {expected:?}");
        }
        assert_eq!(body.field(0.005, 0.005), None);
    }

    /// A corner of the section on the axis is the middle of an end face where the face is flat there, and no edge: H is
    /// the limit from outside, and jumps by the polarisation to that from inside. At the tip of a cone the field grows without limit.
    #[test]
    fn corners_on_the_axis_have_the_limit_from_both_sides() {
        let section = |corners: &[[f64; 2]]| Profile::new(corners).expect("valid");
        let flat = [
            section(&[[0.0, -0.005], [0.005, -0.005], [0.005, 0.005], [0.0, 0.005]]),
            Profile::frustum(0.02, 0.01, 0.008).expect("valid"),
            section(&[[0.0, 0.0], [0.01, 0.0], [0.01, 0.004], [0.006, 0.007], [0.0, 0.007]]),
            // Closed by a face on the axis itself, and with a corner in the middle of that face.
            section(&[[0.0, 0.002], [0.0, 0.0], [0.01, 0.0], [0.01, 0.004], [0.0, 0.004]]),
        ];
        for profile in flat {
            let body = Turned::new(profile.clone());
            for corner in profile.corners().iter().filter(|c| c[0] == 0.0) {
                let z = corner[1];
                let [low, here, high] = [z - 1e-9, z, z + 1e-9].map(|z| body.field(0.0, z).expect("no edge").1);
                let jump = high - low;
                // Out of an end face H jumps by the polarisation; on the axis within nothing jumps.
                assert!(
                    jump.abs() <= 1e-6 || (jump.abs() - 1.0).abs() <= 1e-6,
                    "{profile:?} {z}: {jump}"
                );
                let outside = if jump.abs() <= 1e-6 || z > body.middle() {
                    high
                } else {
                    low
                };
                assert!((here - outside).abs() <= 1e-6, "{profile:?} {z}: {here} {low} {high}");
            }
        }
        let cone = Turned::new(section(&[[0.0, 0.0], [0.01, 0.0], [0.0, 0.01]]));
        assert_eq!(cone.field(0.0, 0.01), None);
        assert!(cone.field(0.0, 0.0).is_some());
    }

    #[test]
    fn multipoles_meet_the_faces() {
        for profile in [
            Profile::frustum(0.02, 0.01, 0.008).expect("valid"),
            Profile::countersunk(0.02, 0.0045, 0.009, 0.0022, 0.005).expect("valid"),
        ] {
            let body = Turned::new(profile);
            for angle in [0.0_f64, 0.4, 1.2, 2.0, 3.0] {
                let at = |r: f64| body.field(r * angle.sin(), r * angle.cos()).expect("far");
                let edge = TURNED_REACH * body.reach;
                let (near, far) = (at(edge * (1.0 - 1e-13)), at(edge * (1.0 + 1e-13)));
                assert!(relative(near, far) <= 1e-11, "{angle}: {near:?} {far:?}");
            }
        }
    }

    #[test]
    fn a_conical_face_carries_its_jump() {
        let body = Turned::new(Profile::frustum(0.02, 0.01, 0.008).expect("valid"));
        // Middle of the slant face; outward normal (0.008, 0.005) / |..|.
        let length = 0.008_f64.hypot(0.005);
        let normal = [0.008 / length, 0.005 / length];
        let at = |off: f64| {
            body.field(0.0075 + off * normal[0], off * normal[1])
                .expect("off the rim")
        };
        let (out, on, within) = (at(1e-9), at(0.0), at(-1e-9));
        let along = |h: (f64, f64)| h.0 * normal[0] + h.1 * normal[1];
        assert!((along(out) - along(within) - normal[1]).abs() <= 1e-6);
        assert!((along(on) - along(out)).abs() <= 1e-6);
    }
}
