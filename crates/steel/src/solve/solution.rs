//! A solved drawing, to be asked.

use super::SolveError;
use super::force::{Displacement, Reach};
use super::goal::{Field, movable};
use super::locate::locate;
use super::space::{RULE, shapes};
use super::system::Stop;
use crate::drawing::{Drawing, Material};
use crate::mesh::outline::Outline;

/// Numbers of a solve.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Figures {
    pub(crate) energy: f64,
    pub(crate) iterations: usize,
    pub(crate) residual: f64,
    pub(crate) unknowns: usize,
    pub(crate) error_estimate: f64,
    /// When Newton's method ended, and will where it goes on from here.
    pub(crate) stop: Stop,
}

/// A solved drawing.
#[derive(Clone, Debug)]
pub struct Solution {
    drawing: Drawing,
    outline: Outline,
    field: Field,
    figures: Figures,
}

/// How far a steel part is saturated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// Greatest flux density in it, T.
    pub peak: f64,
    /// Root mean square flux density over its volume, T.
    pub mean: f64,
    /// Share of its volume above the knee of its curve, 0 to 1.
    pub share: f64,
}

/// A triangle of the mesh, for pictures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Triangle {
    /// Corners `[r, z]`, m.
    pub corners: [[f64; 2]; 3],
    /// Index of its part; `None` in the air between parts.
    pub part: Option<usize>,
    /// Flux density at its middle, T.
    pub flux_density: [f64; 2],
}

impl Solution {
    pub(crate) fn new(drawing: Drawing, outline: Outline, field: Field, figures: Figures) -> Self {
        Self {
            drawing,
            outline,
            field,
            figures,
        }
    }

    pub(crate) fn field(&self) -> &Field {
        &self.field
    }

    pub(crate) fn outline(&self) -> &Outline {
        &self.outline
    }

    pub(crate) fn stop(&self) -> Stop {
        self.figures.stop
    }

    /// Force along z on a part, N, by a virtual displacement that reaches through the air.
    ///
    /// # Errors
    /// [`SolveError::NoPart`] when no magnet or steel part has that name.
    pub fn force_on(&self, name: &str) -> Result<f64, SolveError> {
        self.force(name, Reach::Wide)
    }

    /// The same force by Maxwell's stress in the first layer of elements around the part: a second opinion that is less exact.
    ///
    /// # Errors
    /// As [`Self::force_on`].
    pub fn layer_force_on(&self, name: &str) -> Result<f64, SolveError> {
        self.force(name, Reach::Layer)
    }

    fn force(&self, name: &str, reach: Reach) -> Result<f64, SolveError> {
        let part = movable(&self.drawing, name)?;
        let Field { space, u, .. } = &self.field;
        Ok(Displacement::new(&self.drawing, &self.outline, space, part, reach).force(&self.drawing, space, u))
    }

    /// Flux density `[B_r, B_z]` at a point, T; on a wall that of the air beside it. Not finite for a point that is not.
    #[must_use]
    pub fn flux_density(&self, r: f64, z: f64) -> [f64; 2] {
        let mirror = if r < 0.0 { -1.0 } else { 1.0 };
        let [br, bz] = self.field.flux_density(&self.drawing, [r.abs(), z]);
        [mirror * br, bz]
    }

    /// Flux through the circle of radius `r` at height `z` over 2 pi, Wb: lines of equal value are lines of flux.
    #[must_use]
    pub fn psi(&self, r: f64, z: f64) -> f64 {
        let p = [r.abs(), z];
        let Field { space, exterior, u, .. } = &self.field;
        let u = match locate(&self.drawing, space, p) {
            Some((t, l)) => shapes(l).iter().zip(space.values(t, u)).map(|(n, v)| n * v).sum(),
            None => exterior.at(&exterior.amplitudes(u), p).0,
        };
        r * r * u
    }

    /// Flux through the circle of radius `r` at height `z`, Wb.
    #[must_use]
    pub fn flux(&self, r: f64, z: f64) -> f64 {
        std::f64::consts::TAU * self.psi(r, z)
    }

    /// Energy of the field in all space, J: that of magnets is counted from their remanence, that of steel is the integral of H dB. Its derivative by the place of a part
    /// is the force against the displacement. Of an applied field the part without the parts is left out.
    #[must_use]
    pub fn energy(&self) -> f64 {
        self.figures.energy
    }

    /// How far a steel part is saturated; `None` when no steel part has that name.
    #[must_use]
    pub fn saturation(&self, name: &str) -> Option<Saturation> {
        let part = self.drawing.find(name)?;
        let Material::Steel(curve) = &self.drawing.parts.get(part)?.material else {
            return None;
        };
        let knee = curve.knee();
        let (mut peak, mut square, mut above, mut volume) = (0.0f64, 0.0, 0.0, 0.0);
        for t in self.triangles_of(part) {
            for (l, weight) in RULE {
                let at = self.field.space.at(t, l);
                let [br, bz] = self.field.slots.at(&self.field.means, t, l);
                let b = br.hypot(bz);
                let measure = weight * at.area * at.r;
                peak = peak.max(b);
                square += measure * b * b;
                above += if b >= knee { measure } else { 0.0 };
                volume += measure;
            }
        }
        Some(Saturation {
            peak,
            mean: (square / volume).sqrt(),
            share: above / volume,
        })
    }

    /// Share of a magnet's volume whose field is past the knee of its curve, 0 to 1; `None` when no magnet with a knee has that name.
    #[must_use]
    pub fn past_knee(&self, name: &str) -> Option<f64> {
        let part = self.drawing.find(name)?;
        let Material::Kneed { curve, downwards } = &self.drawing.parts.get(part)?.material else {
            return None;
        };
        let sign = if *downwards { -1.0 } else { 1.0 };
        let knee = curve.knee();
        let (mut past, mut volume) = (0.0, 0.0);
        for t in self.triangles_of(part) {
            for (l, weight) in RULE {
                let at = self.field.space.at(t, l);
                let [_, bz] = self.field.slots.at(&self.field.means, t, l);
                let measure = weight * at.area * at.r;
                past += if curve.at_flux_density(sign * bz).field > knee {
                    measure
                } else {
                    0.0
                };
                volume += measure;
            }
        }
        Some(past / volume)
    }

    /// The mesh with the flux density on it.
    pub fn triangles(&self) -> impl Iterator<Item = Triangle> + '_ {
        let mesh = &self.field.space.mesh;
        (0..mesh.triangles.len()).map(|t| {
            let region = mesh.region[t] as usize;
            Triangle {
                corners: mesh.corners(t),
                part: (region < self.drawing.parts.len()).then_some(region),
                flux_density: self.field.slots.at(&self.field.means, t, [1.0 / 3.0; 3]),
            }
        })
    }

    /// The drawing that was solved.
    #[must_use]
    pub fn drawing(&self) -> &Drawing {
        &self.drawing
    }

    /// Unbalanced load over load on the last mesh.
    #[must_use]
    pub fn residual(&self) -> f64 {
        self.figures.residual
    }

    /// Newton steps over all meshes.
    #[must_use]
    pub fn iterations(&self) -> usize {
        self.figures.iterations
    }

    /// Unknowns of the last mesh.
    #[must_use]
    pub fn unknowns(&self) -> usize {
        self.figures.unknowns
    }

    /// Estimated relative error of what the mesh was refined for.
    #[must_use]
    pub fn error_estimate(&self) -> f64 {
        self.figures.error_estimate
    }

    fn triangles_of(&self, part: usize) -> impl Iterator<Item = usize> + '_ {
        let regions = self.field.space.mesh.region.iter().enumerate();
        regions
            .filter(move |&(_, &region)| region as usize == part)
            .map(|(t, _)| t)
    }
}
