//! A stack of plated pieces of one item as a magnet: its forces and its field.

use magnetics::recoil_correction::{Effect, RecoilCorrection};
use magnetics::{Assembly, Shape, ShapeError, StackField, StackPull, demag, recoil, stack};
use materials::MU_0;
use steel::pull_law::Equivalent;
use uncertainty::NotFinite;

use crate::not_computable::NotComputable;

/// Equal plated pieces, one on the other, with the polarisation that their shape leaves them.
///
/// Lengths in metres, measured from the plated outside.
#[derive(Clone, Copy, Debug)]
pub struct Stacked {
    outer: Shape,
    plating: f64,
    pieces: u32,
    joint: f64,
    factor: f64,
    polarisation: f64,
    recoil_permeability: f64,
}

impl Stacked {
    /// Stacks `pieces` of the outer shape, of remanence `br` (T, at temperature), with a coating on every side.
    ///
    /// # Errors
    /// [`ShapeError`] where sizes are out of range or the coating leaves no magnet.
    pub fn new(outer: Shape, plating: f64, pieces: u32, br: f64, recoil_permeability: f64) -> Result<Self, ShapeError> {
        outer.validate()?;
        let magnet = outer.shrunk(plating)?;
        let factor = demag::of_stack(&magnet, pieces as usize)?;
        let polarisation = recoil::effective_polarisation(br, recoil_permeability, factor)
            .map_err(|_| ShapeError::Polarisation { value: br, most: 2.0 })?;
        Ok(Self {
            outer,
            plating,
            pieces,
            joint: 0.0,
            factor,
            polarisation,
            recoil_permeability,
        })
    }

    /// The same with so much air in each joint, m, for its field.
    #[must_use]
    pub fn with_joints(self, joint: f64) -> Self {
        Self { joint, ..self }
    }

    /// Effective polarisation, T.
    pub fn polarisation(&self) -> f64 {
        self.polarisation
    }

    /// Outer sizes of one piece, plating included.
    pub fn outer(&self) -> Shape {
        self.outer
    }

    /// Plating a side, m.
    pub fn plating(&self) -> f64 {
        self.plating
    }

    /// Magnetometric demagnetising factor of the stack.
    pub fn demagnetising_factor(&self) -> f64 {
        self.factor
    }

    /// Magnetic moment, A m².
    pub fn moment(&self) -> f64 {
        let volume = self.outer.shrunk(self.plating).map_or(0.0, |s| s.volume());
        volume * f64::from(self.pieces) * self.polarisation / MU_0
    }

    /// The stack prepared for forces at many gaps.
    ///
    /// # Errors
    /// [`ShapeError`] where its sizes are out of range.
    pub fn pull(&self) -> Result<StackPull, ShapeError> {
        StackPull::new(&self.outer, self.plating, self.pieces as usize, self.polarisation)
    }

    /// The stack prepared for its field at many points.
    ///
    /// # Errors
    /// [`ShapeError`] where its sizes are out of range.
    pub fn field(&self) -> Result<StackField, ShapeError> {
        let magnet = self.outer.shrunk(self.plating)?;
        let pitch = self.outer.height() + self.joint;
        StackField::spaced(magnet, self.pieces as usize, pitch, self.plating, self.polarisation)
    }

    /// The disc or ring that stands for it on steel, with its pieces taken as one.
    ///
    /// # Errors
    /// [`ShapeError`] where the coating leaves no magnet.
    pub fn equivalent(&self) -> Result<Equivalent, ShapeError> {
        Ok(Equivalent::of(&self.as_one()?))
    }

    /// What recoil that is not even does to a use of it, with its pieces taken as one.
    ///
    /// # Errors
    /// [`ShapeError`] where the coating leaves no magnet.
    pub fn recoil_correction(&self, effect: Effect) -> Result<RecoilCorrection, ShapeError> {
        Ok(RecoilCorrection::new(
            &self.as_one()?,
            self.factor,
            self.recoil_permeability,
            effect,
        ))
    }

    /// One magnet of its height, or one ball of it.
    fn as_one(&self) -> Result<Shape, ShapeError> {
        let magnet = self.outer.shrunk(self.plating)?;
        let joints = f64::from(self.pieces.saturating_sub(1)) * self.joint;
        let height = f64::from(self.pieces) * self.outer.height() + joints - 2.0 * self.plating;
        Ok(magnet.with_height(height).unwrap_or(magnet))
    }

    /// Pull on a thick plate of ideal steel across a gap, N.
    ///
    /// # Errors
    /// [`NotComputable`] where its sizes are out of range or the gap is no length.
    pub fn plate_pull(&self, gap: f64) -> Result<f64, NotComputable> {
        Ok(self.pull()?.plate_pull(gap)?)
    }

    /// Attraction or repulsion of two such stacks across a gap, N.
    ///
    /// # Errors
    /// As [`Self::plate_pull`].
    pub fn pair_force(&self, gap: f64) -> Result<f64, NotComputable> {
        Ok(self.pull()?.pair_attraction(gap)?)
    }

    /// The pieces in space: the plated bottom at z = 0, the axis along z.
    ///
    /// # Errors
    /// [`ShapeError`] where its sizes are out of range.
    pub fn assembly(&self) -> Result<Assembly, ShapeError> {
        stack(&self.outer, self.plating, self.pieces as usize, self.polarisation)
    }

    /// Radial and axial flux density (T) at `off_axis` from the axis (along the length of a block), `distance` above the
    /// plated top. On an edge, where it has no value, that a nanometre further out.
    ///
    /// # Errors
    /// [`NotComputable`] where its sizes are out of range.
    pub fn flux_density(&self, off_axis: f64, distance: f64) -> Result<[f64; 2], NotComputable> {
        flux_density(&self.field()?, off_axis, distance)
    }
}

/// As [`Stacked::flux_density`], of a stack that is prepared already.
pub(crate) fn flux_density(field: &StackField, off_axis: f64, distance: f64) -> Result<[f64; 2], NotComputable> {
    if off_axis == 0.0 {
        return Ok([0.0, field.on_axis(distance)]);
    }
    let at = |x: f64| field.flux_density(x, distance);
    Ok(at(off_axis).or_else(|| at(off_axis + 1e-9)).ok_or(NotFinite)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn disc() -> Shape {
        Shape::Disc {
            diameter: 10e-3,
            thickness: 5e-3,
        }
    }

    /// Bare disc D10 L5, Br 1 T, gap 1 mm on an ideal plate: 7.6027 N; computed by two routes (Bessel integral, and the
    /// closed form of Robertson, Cazzolato and Zander, IEEE Trans. Magn. 47(8), 2045-2049, 2011).
    #[test]
    fn a_bare_rigid_disc_pulls_as_published_forms_say() {
        let s = Stacked::new(disc(), 0.0, 1, 1.0, 1.0).unwrap();
        assert!((s.plate_pull(1e-3).unwrap() - 7.6027).abs() <= 1e-4);
        assert!((s.pair_force(1e-3).unwrap() - 11.242024755).abs() <= 1e-8);
    }

    #[test]
    fn plating_adds_to_every_gap_and_recoil_lowers_the_polarisation() {
        let bare = Stacked::new(disc(), 0.0, 1, 1.2, 1.05).unwrap();
        let plated = Stacked::new(disc(), 20e-6, 1, 1.2, 1.05).unwrap();
        assert!(plated.plate_pull(0.0).unwrap() < bare.plate_pull(0.0).unwrap());
        assert!(plated.flux_density(0.0, 0.0).unwrap()[1] < bare.flux_density(0.0, 0.0).unwrap()[1]);
        assert!((bare.polarisation() - 1.2 / (1.0 + 0.05 * bare.demagnetising_factor())).abs() <= 1e-12);
    }

    #[test]
    fn plated_pieces_are_weaker_than_one_solid_piece_of_their_height() {
        let solid = Stacked::new(disc(), 20e-6, 1, 1.3, 1.05).unwrap();
        let thin = Shape::Disc {
            diameter: 10e-3,
            thickness: 2.5e-3,
        };
        let two = Stacked::new(thin, 20e-6, 2, 1.3, 1.05).unwrap();
        assert!(two.plate_pull(0.0).unwrap() < solid.plate_pull(0.0).unwrap());
        assert!(two.flux_density(0.0, 0.0).unwrap()[1] < solid.flux_density(0.0, 0.0).unwrap()[1]);
        assert!(two.moment() < solid.moment());
    }

    #[test]
    fn a_coating_thicker_than_the_magnet_is_an_error() {
        assert!(Stacked::new(disc(), 3e-3, 1, 1.2, 1.05).is_err());
    }
}
