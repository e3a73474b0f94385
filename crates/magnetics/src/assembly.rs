//! Bodies placed in space with parallel axes, and the field of them all.

use std::f64::consts::PI;
use std::sync::LazyLock;

use thiserror::Error;

use crate::body::{Body, BodyError, LARGEST_COORDINATE, within_reach};
use materials::MU_0;
use numerics::quadrature::unit_rule;

static EIGHT: LazyLock<[(f64, f64); 8]> = LazyLock::new(unit_rule);

/// Points around each circle of the average over a Hall element; exact for the harmonics below this one.
const AROUND: usize = 16;

/// Why a field cannot be given.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum FieldError {
    /// The field of a uniformly magnetised body grows without limit at the edge of its pole face.
    #[error("the field has no finite value at {point:?} m, on an edge of body {body}")]
    OnEdge {
        /// Index of the body.
        body: usize,
        /// The point asked for, m.
        point: [f64; 3],
    },
    /// The field jumps at a surface, so that it has no slope there.
    #[error("the field has no slope at {point:?} m, on the surface of body {body}")]
    OnSurface {
        /// Index of the body.
        body: usize,
        /// The point asked for, m.
        point: [f64; 3],
    },
    /// A body gives way to the field, and what that adds has no closed form to differentiate.
    #[error("slopes are known for rigid bodies only; body {body} has a recoil permeability above 1")]
    Permeable {
        /// Index of the body.
        body: usize,
    },
    /// A direction is not a number or has no length.
    #[error("a side must be a direction of finite length above 0, got {side:?}")]
    Side {
        /// What was given.
        side: [f64; 3],
    },
    /// A coordinate is not a number or too far away.
    #[error("coordinates must be finite and within {LARGEST_COORDINATE} m, got {point:?} m")]
    Point {
        /// The point asked for, m.
        point: [f64; 3],
    },
    /// The diameter of a Hall element is not a positive number.
    #[error("the diameter of the active area must be positive and below {LARGEST_COORDINATE} m, got {diameter} m")]
    Element {
        /// What was given, m.
        diameter: f64,
    },
    /// The caller asked the work to end.
    #[error("stopped on request")]
    Stopped,
}

impl FieldError {
    /// What to do about it, for a person.
    #[must_use]
    pub fn hint(&self) -> &'static str {
        match self {
            Self::Permeable { .. } => "leave the recoil permeability out",
            Self::OnEdge { .. } => {
                "move the point off the edge, or ask for the limit from a side; a real probe averages over its active area"
            }
            Self::OnSurface { .. } => "move the point off the surface",
            Self::Side { .. } => "give the direction in which the point is left, such as [0, 0, 1]",
            Self::Point { .. } => "check the unit: coordinates are read in metres here",
            Self::Stopped => "ask for fewer bodies or points",
            Self::Element { .. } => "Hall elements are commonly 0.1 mm to 2 mm across",
        }
    }
}

/// One or more magnets with parallel axes; at least one, all valid.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly(Vec<Body>);

impl Assembly {
    /// An assembly of valid bodies. They may touch; whether they overlap is not checked here.
    ///
    /// # Errors
    /// [`BodyError`] for the first body that is out of range, or if there is none.
    pub fn new(bodies: Vec<Body>) -> Result<Self, BodyError> {
        if bodies.is_empty() {
            return Err(BodyError::Empty);
        }
        for (index, body) in bodies.iter().enumerate() {
            body.validate(index)?;
        }
        Ok(Self(bodies))
    }

    /// The bodies, in the order given.
    #[must_use]
    pub fn bodies(&self) -> &[Body] {
        &self.0
    }

    /// Height of the uppermost face, m.
    #[must_use]
    pub fn top(&self) -> f64 {
        self.0.iter().map(Body::top).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Height of the lowest face, m.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.0.iter().map(Body::bottom).fold(f64::INFINITY, f64::min)
    }

    /// Magnetic dipole moment along `+z` of all bodies together, A m².
    #[must_use]
    pub fn moment(&self) -> f64 {
        self.0.iter().map(Body::moment).sum()
    }

    /// Flux density B at a point, T, outside and inside.
    ///
    /// On a pole face the component along `z` is continuous; where B jumps, on a side face, the limit from outside is given.
    /// Accuracy: 1e-10 relative to the magnitude of B, also at 1000 diameters.
    ///
    /// # Errors
    /// [`FieldError::OnEdge`] where the field diverges, [`FieldError::Point`] for coordinates out of range.
    pub fn flux_density(&self, point: [f64; 3]) -> Result<[f64; 3], FieldError> {
        if !within_reach(point) {
            return Err(FieldError::Point { point });
        }
        let mut sum = [0.0; 3];
        for (body, magnet) in self.0.iter().enumerate() {
            let part = magnet.flux_density(point).ok_or(FieldError::OnEdge { body, point })?;
            for (total, b) in sum.iter_mut().zip(part) {
                *total += b;
            }
        }
        Ok(sum)
    }

    /// Magnetic field strength H at a point, A/m: `B / μ0` outside, `(B - J) / μ0` inside a body.
    ///
    /// On a surface the limit from outside is given.
    ///
    /// # Errors
    /// As [`Self::flux_density`].
    pub fn field_strength(&self, point: [f64; 3]) -> Result<[f64; 3], FieldError> {
        let [x, y, z] = self.flux_density(point)?;
        let polarisation: f64 = self
            .0
            .iter()
            .filter(|body| body.contains(point))
            .map(|body| body.polarisation)
            .sum();
        Ok([x / MU_0, y / MU_0, (z - polarisation) / MU_0])
    }

    /// Flux density along `z` on the axis, T, at `distance` metres above the uppermost face; negative distances reach inside.
    ///
    /// The axis is that of the body with the uppermost face. Closed form for bodies on that axis, without loss of digits at any distance.
    ///
    /// # Errors
    /// [`FieldError::Point`] for a distance out of range; [`FieldError::OnEdge`] if a body off the axis has an edge there.
    pub fn axial_flux_density(&self, distance: f64) -> Result<f64, FieldError> {
        let (x, y, top) = self.axis();
        let point = [x, y, top + distance];
        if !within_reach(point) {
            return Err(FieldError::Point { point });
        }
        let mut sum = 0.0;
        for (body, magnet) in self.0.iter().enumerate() {
            sum += if magnet.centre[0] == x && magnet.centre[1] == y {
                magnet.on_axis(0.5 * magnet.shape.height() + (top - magnet.top()) + distance)
            } else {
                magnet.flux_density(point).ok_or(FieldError::OnEdge { body, point })?[2]
            };
        }
        Ok(sum)
    }

    /// Mean of the flux density along `z` over a round Hall element, T: `distance` metres above the uppermost face,
    /// centred on the axis, `diameter` metres across its active area.
    ///
    /// Closed form, as flux over area, for discs, rings and spheres on one axis; otherwise [`Self::mean_flux_density_over_disc`].
    ///
    /// # Errors
    /// As [`Self::mean_flux_density_over_disc`].
    pub fn axial_mean_flux_density(&self, distance: f64, diameter: f64) -> Result<f64, FieldError> {
        let (x, y, top) = self.axis();
        check_element(diameter)?;
        let centre = [x, y, top + distance];
        if !within_reach(centre) {
            return Err(FieldError::Point { point: centre });
        }
        let radius = 0.5 * diameter;
        match self.flux_through_circle(radius, centre[2]) {
            Some(flux) => Ok(flux / (PI * radius * radius)),
            None => self.mean_flux_density_over_disc(centre, diameter),
        }
    }

    /// Flux of B through a circle across the axis, Wb, of the given radius and at height `z`, in closed form;
    /// its level lines are the lines of flux.
    ///
    /// `None` if a body is a block or not on the axis of the body with the uppermost face, or if `radius` is negative or a number is not finite.
    #[must_use]
    pub fn flux_through_circle(&self, radius: f64, z: f64) -> Option<f64> {
        if !(radius >= 0.0 && within_reach([radius, 0.0, z])) {
            return None;
        }
        if radius == 0.0 {
            return Some(0.0);
        }
        let (x, y, _) = self.axis();
        self.0
            .iter()
            .map(|body| {
                let on_axis = body.centre[0] == x && body.centre[1] == y;
                on_axis
                    .then(|| body.flux_through_circle(radius, z - body.centre[2]))
                    .flatten()
            })
            .sum()
    }

    /// Mean of the flux density along `z` over a round Hall element lying across `z`, T, with its centre and diameter in metres.
    ///
    /// Quadrature with 8 circles of 16 points: 1e-9 while the element is no larger than half its distance to the nearest edge;
    /// a percent or so when it straddles one.
    ///
    /// # Errors
    /// [`FieldError::Element`] for a diameter out of range; otherwise as [`Self::flux_density`].
    pub fn mean_flux_density_over_disc(&self, centre: [f64; 3], diameter: f64) -> Result<f64, FieldError> {
        check_element(diameter)?;
        let mut sum = 0.0;
        for &(area, weight) in EIGHT.iter() {
            let radius = 0.5 * diameter * area.sqrt();
            for step in 0..AROUND {
                // Half a step off the axes, where edges of blocks are likely to lie.
                let (sin, cos) = (2.0 * PI * (step as f64 + 0.5) / AROUND as f64).sin_cos();
                let point = [centre[0] + radius * cos, centre[1] + radius * sin, centre[2]];
                sum += weight * self.flux_density(point)?[2];
            }
        }
        Ok(sum / AROUND as f64)
    }

    /// Position of the axis of the body with the uppermost face, and the height of that face, m.
    fn axis(&self) -> (f64, f64, f64) {
        self.0.iter().fold((0.0, 0.0, f64::NEG_INFINITY), |best, body| {
            if body.top() > best.2 {
                (body.centre[0], body.centre[1], body.top())
            } else {
                best
            }
        })
    }
}

fn check_element(diameter: f64) -> Result<(), FieldError> {
    if diameter > 0.0 && diameter <= LARGEST_COORDINATE {
        Ok(())
    } else {
        Err(FieldError::Element { diameter })
    }
}
