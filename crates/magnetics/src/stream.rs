//! The stream function of bodies turned about one axis: the flux through circles across that axis.
//!
//! Its level lines are the lines of flux, and equal steps between them mean equal flux.

use crate::far;
use crate::kind::Kind;
use crate::placed::Placed;
use crate::profile::Profile;
use crate::scene::Scene;
use crate::sheet;
use numerics::elliptic::cel_lanes;
use numerics::quadrature::graded;
use numerics::vector::{Vector, cross, dot, length, scale, sub};

/// Axes whose directions differ by less than this are parallel; places off the axis by less than this share of a body's size lie on it.
const COAXIAL: f64 = 1e-9;

/// A scene whose bodies are all turned about one axis and magnetised along it.
#[derive(Clone, Debug)]
pub struct Stream {
    origin: Vector,
    axis: Vector,
    parts: Vec<Part>,
}

/// One body, seen along the axis.
#[derive(Clone, Debug)]
struct Part {
    form: Form,
    /// Height of its own origin, m.
    height: f64,
    /// 1 if its own axis is that of all, -1 if it is turned over.
    sense: f64,
    /// Polarisation along the axis of all, T.
    polarisation: f64,
}

#[derive(Clone, Debug)]
enum Form {
    Ring { outer: f64, inner: f64, half: f64 },
    Ball { radius: f64 },
    Profile(Profile),
}

impl Stream {
    /// The stream function of a scene; `None` unless every body is turned about one common axis and magnetised along it.
    #[must_use]
    pub fn new(scene: &Scene) -> Option<Self> {
        let first = scene.bodies().first()?;
        let (origin, axis) = (first.centre(), direction(first)?);
        let parts = scene
            .bodies()
            .iter()
            .map(|body| Part::new(body, origin, axis))
            .collect::<Option<Vec<_>>>()?;
        Some(Self { origin, axis, parts })
    }

    /// A point on the axis and its direction.
    #[must_use]
    pub fn axis(&self) -> ([f64; 3], [f64; 3]) {
        (self.origin, self.axis)
    }

    /// Flux of B, Wb, along the axis through a circle about it, of that radius and at that height above the point on the axis, m.
    ///
    /// Closed form but for conical faces, which are summed by quadrature; 1e-12 of the largest flux through any body.
    #[must_use]
    pub fn flux(&self, radius: f64, height: f64) -> f64 {
        self.parts.iter().map(|part| part.flux(radius, height)).sum()
    }

    /// [`Self::flux`] through the circle that goes through a point.
    #[must_use]
    pub fn at(&self, point: [f64; 3]) -> f64 {
        let from = sub(point, self.origin);
        let height = dot(from, self.axis);
        self.flux(length(sub(from, scale(self.axis, height))), height)
    }

    /// The most flux that the section of any body at its middle height carries, Wb.
    pub(crate) fn most(&self) -> f64 {
        let carried = |part: &Part| {
            let corners = part.corners();
            let heights = corners.iter().map(|c| c[1]);
            let (low, high) = heights.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| (l.min(z), h.max(z)));
            let middle = 0.5 * (low + high);
            let (mut inner, mut outer) = (f64::INFINITY, 0.0_f64);
            for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                if a[1] != b[1] && (a[1] - middle) * (b[1] - middle) <= 0.0 {
                    let r = a[0] + (middle - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
                    (inner, outer) = (inner.min(r), outer.max(r));
                }
            }
            (self.flux(outer, middle) - self.flux(inner.min(outer), middle)).abs()
        };
        self.parts.iter().map(carried).fold(0.0, f64::max)
    }

    /// Corners of the outlines of all bodies, as radius and height.
    pub(crate) fn corners(&self) -> Vec<[f64; 2]> {
        self.parts.iter().flat_map(Part::corners).collect()
    }
}

/// The axis of a body, in space; `None` if it has none along which it is magnetised.
fn direction(body: &Placed) -> Option<Vector> {
    match body.kind() {
        Kind::Cylinder { along, .. } if along[0] != 0.0 || along[1] != 0.0 => None,
        Kind::Cylinder { .. } | Kind::Turned { .. } => Some(body.turn().out([0.0, 0.0, 1.0])),
        Kind::Sphere { along, .. } => {
            let strength = length(*along);
            Some(if strength == 0.0 {
                [0.0, 0.0, 1.0]
            } else {
                body.turn().out(scale(*along, 1.0 / strength))
            })
        }
        Kind::Block { .. } | Kind::Arc { .. } => None,
    }
}

impl Part {
    fn new(body: &Placed, origin: Vector, axis: Vector) -> Option<Self> {
        let own = direction(body)?;
        let from = sub(body.centre(), origin);
        let height = dot(from, axis);
        let ball = matches!(body.kind(), Kind::Sphere { .. });
        let unpolarised = matches!(body.kind(), Kind::Sphere { along, .. } if length(*along) == 0.0);
        let parallel = length(cross(own, axis)) <= COAXIAL || unpolarised;
        let on_axis = length(sub(from, scale(axis, height))) <= COAXIAL * body.ball().1;
        if !(parallel && on_axis) {
            return None;
        }
        let sense = if dot(own, axis) < 0.0 { -1.0 } else { 1.0 };
        let (form, polarisation) = match body.kind() {
            &Kind::Cylinder {
                outer,
                inner,
                half,
                along,
            } => (Form::Ring { outer, inner, half }, along[2]),
            &Kind::Sphere { radius, along } => (Form::Ball { radius }, length(along)),
            Kind::Turned { body, along } => (Form::Profile(body.profile().clone()), *along),
            Kind::Block { .. } | Kind::Arc { .. } => return None,
        };
        Some(Self {
            form,
            height,
            sense: if ball { 1.0 } else { sense },
            polarisation: sense * polarisation,
        })
    }

    fn flux(&self, radius: f64, height: f64) -> f64 {
        if radius == 0.0 {
            return 0.0;
        }
        // A body turned over has the flux of the upright one at the mirrored height.
        let z = self.sense * (height - self.height);
        let unit = match &self.form {
            &Form::Ring { outer, inner, half } => sheet::flux_of_ring([outer, inner], half, radius, z),
            &Form::Ball { radius: own } => far::flux_of_ball(own, radius, z),
            Form::Profile(profile) => profile.sides().map(|side| wall(side, radius, z)).sum(),
        };
        self.polarisation * unit
    }

    fn corners(&self) -> Vec<[f64; 2]> {
        let own = match &self.form {
            &Form::Ring { outer, inner, half } => {
                vec![[inner, -half], [outer, -half], [outer, half], [inner, half]]
            }
            &Form::Ball { radius } => vec![[0.0, -radius], [radius, 0.0], [0.0, radius]],
            Form::Profile(profile) => profile.corners().to_vec(),
        };
        own.into_iter()
            .map(|[r, z]| [r, self.height + self.sense * z])
            .collect()
    }
}

/// Flux through a circle of the bound current on one side of an outline, at 1 T.
fn wall([a, b]: [[f64; 2]; 2], radius: f64, z: f64) -> f64 {
    let rise = b[1] - a[1];
    if rise == 0.0 || (a[0] == 0.0 && b[0] == 0.0) {
        return 0.0;
    }
    if a[0] == b[0] {
        let flux = sheet::flux_of_ring([a[0], 0.0], 0.5 * rise.abs(), radius, z - 0.5 * (a[1] + b[1]));
        return flux * rise.signum();
    }
    let u = [b[0] - a[0], rise];
    let side = u[0].hypot(u[1]);
    let along = ((radius - a[0]) * u[0] + (z - a[1]) * u[1]) / (side * side);
    let nearest = along.clamp(0.0, 1.0);
    let off = [radius - a[0] - nearest * u[0], z - a[1] - nearest * u[1]];
    let distance = |from: f64, to: f64| {
        let t = (along - nearest).clamp(from, to);
        (off[0] - t * u[0]).hypot(off[1] - t * u[1]) / side
    };
    // Flux through the circle of a loop of 1 A over μ0: Maxwell's mutual inductance.
    let mut loops = |t: f64| {
        let (apart, w) = (off[0] - t * u[0], off[1] - t * u[1]);
        let r = radius - apart;
        let far = (radius + r).hypot(w);
        let [ends] = cel_lanes([apart.hypot(w) / far], [1.0], [-1.0], [1.0]);
        [2.0 * radius * r / far * ends]
    };
    let [below] = graded(-nearest, 0.0, &distance, &mut loops);
    let [above] = graded(0.0, 1.0 - nearest, &distance, &mut loops);
    rise * (below + above)
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::shape::Shape;
    use crate::solid::{Polarisation, Solid};
    use numerics::vector::add;

    fn scene(bodies: Vec<(Solid, f64, [f64; 3], [f64; 3])>) -> Scene {
        let placed = |(solid, j, centre, turn): (Solid, f64, [f64; 3], [f64; 3])| {
            Placed::new(solid, Polarisation::Along([0.0, 0.0, j]), centre, turn).expect("valid")
        };
        Scene::new(bodies.into_iter().map(placed).collect())
    }

    /// The slopes of the flux are the field times the circumference.
    #[test]
    fn slopes_are_the_field() {
        let sunk = Solid::Turned(Profile::countersunk(0.02, 0.0045, 0.009, 0.0022, 0.005).expect("valid"));
        let frustum = Solid::Turned(Profile::frustum(0.02, 0.01, 0.008).expect("valid"));
        let ring = Solid::Plain(Shape::Ring {
            outer_diameter: 0.012,
            inner_diameter: 0.004,
            thickness: 0.003,
        });
        let ball = Solid::Plain(Shape::Sphere { diameter: 0.008 });
        // About an axis that leans, one body turned over.
        let lean = [0.0, 0.4, 0.0];
        let axis = [0.4_f64.sin(), 0.0, 0.4_f64.cos()];
        let over = [0.0, 0.4 + PI, 0.0];
        let up = |h: f64| scale(axis, h);
        let scene = scene(vec![
            (sunk, 1.2, up(0.0), lean),
            (frustum, 1.0, up(0.012), over),
            (ring, -0.7, up(-0.01), lean),
            (ball, 0.9, up(0.03), over),
        ]);
        let stream = Stream::new(&scene).expect("turned about one axis");
        let out = [axis[2], 0.0, -axis[0]];
        for (rho, h) in [
            (0.007, 0.001),
            (0.003, 0.0018),
            (0.006, 0.011),
            (0.002, 0.029),
            (0.02, -0.02),
            (0.0051, -0.0104),
        ] {
            let point = |r: f64, h: f64| add(scale(out, r), scale(axis, h));
            let flux = |r: f64, h: f64| stream.at(point(r, h));
            let step = 2e-6;
            let slope = |f: &dyn Fn(f64) -> f64| (f(-2.0) - 8.0 * f(-1.0) + 8.0 * f(1.0) - f(2.0)) / (12.0 * step);
            let b = scene.flux_density(point(rho, h)).expect("off the rims");
            let (radial, axial) = (dot(b, out), dot(b, axis));
            let around = 2.0 * PI * rho;
            let (dr, dh) = (slope(&|k| flux(rho + k * step, h)), slope(&|k| flux(rho, h + k * step)));
            assert!(
                (dr - around * axial).abs() <= 1e-8 * around,
                "{rho} {h}: {dr} {}",
                around * axial
            );
            assert!(
                (dh + around * radial).abs() <= 1e-8 * around,
                "{rho} {h}: {dh} {}",
                around * radial
            );
        }
    }

    #[test]
    fn bodies_off_one_axis_have_none() {
        let disc = Solid::Plain(Shape::Disc {
            diameter: 0.01,
            thickness: 0.005,
        });
        let at = |centre, turn| (disc.clone(), 1.0, centre, turn);
        assert!(Stream::new(&scene(vec![at([0.0; 3], [0.0; 3]), at([0.001, 0.0, 0.02], [0.0; 3])])).is_none());
        assert!(
            Stream::new(&scene(vec![
                at([0.0; 3], [0.0; 3]),
                at([0.0, 0.0, 0.02], [0.1, 0.0, 0.0])
            ]))
            .is_none()
        );
        assert!(Stream::new(&Scene::default()).is_none());
        assert!(Stream::new(&scene(vec![at([0.0; 3], [0.0; 3]), at([0.0, 0.0, 0.02], [0.0; 3])])).is_some());
    }
}
