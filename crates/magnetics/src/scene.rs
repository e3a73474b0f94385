//! Any number of placed bodies, and the field of them all.

use std::f64::consts::PI;
use std::sync::Arc;

use rayon::prelude::*;

use crate::assembly::FieldError;
use crate::body::{LARGEST_COORDINATE, within_reach};
use crate::many;
use crate::placed::Placed;
use crate::recoil_solve::{SettleError, Settled};
use materials::MU_0;
use numerics::quadrature::adaptive;
use numerics::stop::Stop;
use numerics::vector::{Vector, add, length, scale};

/// Points times bodies from which sharing them among cores is worth its cost.
const WORTH_SHARING: usize = 4096;

/// Points that one core takes at a time.
const CHUNK: usize = 1024;

/// Error that each panel of the mean over an element aims at, as a share of the largest field on it.
const AIM: f64 = 1e-7;

/// A point on an edge is replaced by one this share of the element beside it.
const BESIDE: f64 = 1e-9;

/// The active area of a Hall element, lying across `z`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Element {
    /// Round, with its diameter in metres.
    Disc {
        /// Diameter, m.
        diameter: f64,
    },
    /// Square, its sides along `x` and `y`, in metres.
    Square {
        /// Side, m.
        side: f64,
    },
}

/// Placed bodies, whose fields add up. They may touch; [`overlapping`](crate::overlap::overlapping) tells which share space.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    bodies: Vec<Placed>,
    settled: Option<Arc<Settled>>,
    stop: Stop,
}

/// Two scenes are equal if their bodies are; what may end their work is not of them.
impl PartialEq for Scene {
    fn eq(&self, other: &Self) -> bool {
        (&self.bodies, &self.settled) == (&other.bodies, &other.settled)
    }
}

impl Scene {
    /// A scene of these bodies, rigid until it is [`Self::settled`]; with none the field is zero everywhere.
    #[must_use]
    pub fn new(bodies: Vec<Placed>) -> Self {
        Self {
            bodies,
            settled: None,
            stop: Stop::new(),
        }
    }

    /// The same scene, whose work ends with [`FieldError::Stopped`] or [`SettleError::Stopped`] once the flag is set.
    #[must_use]
    pub fn until(self, stop: &Stop) -> Self {
        Self {
            stop: stop.clone(),
            ..self
        }
    }

    /// The same scene with the recoil permeabilities of its bodies heeded: each in its own field and that of all others.
    /// `B`, `H` and their means then include it, outside and inside. It costs nothing where all are rigid.
    ///
    /// A surface-charge solve, good to 1e-5 of the polarisation where all bodies are turned ones on one axis and polarised along it,
    /// 4e-4 otherwise, times `μ_rec - 1`. A few milliseconds for a disc, a fraction of a second for a block.
    ///
    /// # Errors
    /// [`SettleError`] for bodies that overlap or are too many.
    pub fn settled(self) -> Result<Self, SettleError> {
        let settled = Settled::new(&self.bodies, &self.stop)?.map(Arc::new);
        Ok(Self { settled, ..self })
    }

    /// Whether the work on it is to end.
    pub(crate) fn is_stopped(&self) -> bool {
        self.stop.is_set()
    }

    /// The bodies, in the order given.
    #[must_use]
    pub fn bodies(&self) -> &[Placed] {
        &self.bodies
    }

    /// The bodies whose charge has a closed form.
    fn rigid(&self) -> &[Placed] {
        self.settled.as_ref().map_or(&self.bodies, |settled| settled.rigid())
    }

    /// Flux density B at a point, T, outside and inside; on a surface the limit from outside.
    ///
    /// Accuracy: 1e-10 relative to its magnitude, 1e-8 within a micrometre of an edge and on the faces of arcs and cones.
    ///
    /// # Errors
    /// [`FieldError::OnEdge`] where the field diverges, [`FieldError::Point`] for coordinates out of range.
    pub fn flux_density(&self, point: [f64; 3]) -> Result<[f64; 3], FieldError> {
        Ok(self.both(point)?.0)
    }

    /// Magnetic field strength H at a point, A/m; on a surface the limit from outside.
    ///
    /// # Errors
    /// As [`Self::flux_density`].
    pub fn field_strength(&self, point: [f64; 3]) -> Result<[f64; 3], FieldError> {
        Ok(scale(self.both(point)?.1, 1.0 / MU_0))
    }

    /// A quantity at each point, on all cores where there are many; the first point without a value stops it, with its index.
    ///
    /// # Errors
    /// Index and error of a point without a value, the first of them.
    pub fn at_all<T: Send, E: Send>(
        &self,
        points: &[[f64; 3]],
        quantity: impl Fn(&Self, [f64; 3]) -> Result<T, E> + Sync,
    ) -> Result<Vec<T>, (usize, E)> {
        let one = |(index, &point): (usize, &Vector)| quantity(self, point).map_err(|error| (index, error));
        if points.len() * self.bodies.len().max(1) < WORTH_SHARING {
            points.iter().enumerate().map(one).collect()
        } else {
            points.par_iter().enumerate().map(one).collect()
        }
    }

    /// Flux density B at each point, T, as [`Self::flux_density`] gives it, on the vector units of the processor and on all cores.
    ///
    /// # Errors
    /// Index and [`FieldError`] of the first point without a value.
    pub fn flux_densities(&self, points: &[[f64; 3]]) -> Result<Vec<[f64; 3]>, (usize, FieldError)> {
        let mut sums = vec![[0.0; 3]; points.len()];
        let share = |(chunk, (points, sums)): (usize, (&[Vector], &mut [Vector]))| {
            let first = chunk * CHUNK;
            if let Some(index) = points.iter().position(|&point| !within_reach(point)) {
                let point = points.get(index).copied().unwrap_or_default();
                return Err((first + index, FieldError::Point { point }));
            }
            for (body, placed) in self.rigid().iter().enumerate() {
                if self.is_stopped() {
                    return Err((first, FieldError::Stopped));
                }
                many::add_flux_densities(placed, points, sums).map_err(|index| {
                    let point = points.get(index).copied().unwrap_or_default();
                    (first + index, FieldError::OnEdge { body, point })
                })?;
            }
            if let Some(settled) = &self.settled {
                for (index, (&point, sum)) in points.iter().zip(sums).enumerate() {
                    if self.is_stopped() {
                        return Err((first + index, FieldError::Stopped));
                    }
                    *sum = if self.bodies.iter().any(|body| body.contains(point)) {
                        self.both(point).map_err(|error| (first + index, error))?.0
                    } else {
                        add(*sum, settled.field(point))
                    };
                }
            }
            Ok(())
        };
        if points.len() * self.bodies.len().max(1) < WORTH_SHARING {
            points
                .chunks(CHUNK)
                .zip(sums.chunks_mut(CHUNK))
                .enumerate()
                .try_for_each(share)?;
        } else {
            points
                .par_chunks(CHUNK)
                .zip(sums.par_chunks_mut(CHUNK))
                .enumerate()
                .map(share)
                .collect::<Result<(), _>>()?;
        }
        Ok(sums)
    }

    /// B and `μ0 H`, T.
    pub(crate) fn both(&self, point: Vector) -> Result<(Vector, Vector), FieldError> {
        if !within_reach(point) {
            return Err(FieldError::Point { point });
        }
        if self.is_stopped() {
            return Err(FieldError::Stopped);
        }
        let mut sum = ([0.0; 3], [0.0; 3]);
        for (body, placed) in self.rigid().iter().enumerate() {
            let (b, h) = placed.fields(point).ok_or(FieldError::OnEdge { body, point })?;
            sum = (add(sum.0, b), add(sum.1, h));
        }
        Ok(self.settled.as_ref().map_or(sum, |settled| settled.with(point, sum)))
    }

    /// Mean of B over the active area of a Hall element centred at `point`, T.
    ///
    /// Adaptive along strips and across them, so that an element may straddle faces and edges, where B jumps or diverges: 1e-6 of the largest B on it,
    /// 1e-10 where it is smaller than its distance to the nearest of them.
    ///
    /// # Errors
    /// [`FieldError::Element`] for a size out of range; otherwise as [`Self::flux_density`].
    pub fn mean_flux_density(&self, point: [f64; 3], element: Element) -> Result<[f64; 3], FieldError> {
        let (Element::Disc { diameter: size } | Element::Square { side: size }) = element;
        if !(size > 0.0 && size <= LARGEST_COORDINATE) {
            return Err(FieldError::Element { diameter: size });
        }
        let half = 0.5 * size;
        let at = |x: f64, y: f64| {
            let place = |off: f64| add(point, [half * x + off, half * y + 0.7 * off, 0.0]);
            // An edge has no area: beside it will do.
            let beside = |_| self.flux_density(place(BESIDE * half));
            self.flux_density(place(0.0)).or_else(beside)
        };
        let mut largest = 0.0_f64;
        for [x, y] in [[0.01, 0.02], [0.5, 0.1], [-0.5, 0.2], [0.1, 0.5], [0.2, -0.5]] {
            largest = largest.max(length(at(x, y)?));
        }
        let strip = |x: f64, reach: f64| adaptive(-reach, reach, 0.1 * AIM * largest, &mut |y| at(x, y));
        match element {
            Element::Square { .. } => {
                let sum = adaptive(-1.0, 1.0, AIM * largest, &mut |x| strip(x, 1.0))?;
                Ok(scale(sum, 0.25))
            }
            Element::Disc { .. } => {
                let sum = adaptive(-0.5 * PI, 0.5 * PI, AIM * largest, &mut |angle| {
                    let (x, reach) = angle.sin_cos();
                    Ok(scale(strip(x, reach)?, reach))
                })?;
                Ok(scale(sum, 1.0 / PI))
            }
        }
    }
}
