//! The quick path to the field of a stack, for ranking many candidates.

use crate::body::Body;
use crate::shape::{MOST_PIECES, Shape, ShapeError};
use crate::stack::{Prepared, prepare};

/// A stack of equal plated pieces, prepared for many points. Building it and asking it allocate nothing.
#[derive(Clone, Copy, Debug)]
pub struct StackField {
    /// One piece, centred on the origin.
    piece: Body,
    pieces: usize,
    pitch: f64,
    /// Height of the plated top above the centre of the uppermost piece, m.
    top: f64,
}

impl StackField {
    /// Prepare a stack as [`crate::stack()`] would build it: `nominal` with coating, `plating` a side in metres,
    /// effective `polarisation` in tesla.
    ///
    /// # Errors
    /// [`ShapeError`] if the shape, the plating, the number of pieces or the polarisation is out of range.
    pub fn new(nominal: &Shape, plating: f64, pieces: usize, polarisation: f64) -> Result<Self, ShapeError> {
        let Prepared { magnet, pieces, pitch } = prepare(nominal, plating, pieces, polarisation)?;
        let piece = Body {
            shape: magnet,
            polarisation,
            centre: [0.0; 3],
        };
        Ok(Self {
            piece,
            pieces,
            pitch,
            top: 0.5 * magnet.height() + plating,
        })
    }

    /// Pieces of bare `magnet` on one axis with their centres `pitch` apart, the uppermost face `above` metres below
    /// where distances start; `above` may be negative. For pieces whose joints and faces are fitted.
    ///
    /// # Errors
    /// [`ShapeError`] if the shape, the number of pieces or the polarisation is out of range.
    pub fn spaced(magnet: Shape, pieces: usize, pitch: f64, above: f64, polarisation: f64) -> Result<Self, ShapeError> {
        let Prepared { magnet, .. } = prepare(&magnet, 0.0, 1, polarisation)?;
        if !(1..=MOST_PIECES).contains(&pieces) {
            return Err(ShapeError::Pieces {
                pieces,
                most: MOST_PIECES,
            });
        }
        let piece = Body {
            shape: magnet,
            polarisation,
            centre: [0.0; 3],
        };
        Ok(Self {
            piece,
            pieces,
            pitch,
            top: 0.5 * magnet.height() + above,
        })
    }

    /// Whether the pieces are the same all around their axis.
    #[must_use]
    pub fn is_turned(&self) -> bool {
        !matches!(self.piece.shape, Shape::Block { .. })
    }

    /// Heights of a point `distance` above the plated top over the centre of every piece, m.
    fn heights(&self, distance: f64) -> impl Iterator<Item = f64> {
        let (first, pitch) = (self.top + distance, self.pitch);
        (0..self.pieces).map(move |k| first + k as f64 * pitch)
    }

    /// Flux density along the axis, T, on it, `distance` metres above the plated top; exact at any distance.
    #[must_use]
    pub fn on_axis(&self, distance: f64) -> f64 {
        self.heights(distance).map(|z| self.piece.on_axis(z)).sum()
    }

    /// Radial and axial flux density, T, at `off_axis` metres from the axis (along the length of a block), `distance`
    /// above the plated top; `None` on an edge, where it diverges. Accuracy 1e-10 relative.
    #[must_use]
    pub fn flux_density(&self, off_axis: f64, distance: f64) -> Option<[f64; 2]> {
        self.heights(distance).try_fold([0.0; 2], |[radial, axial], z| {
            let [x, _, z] = self.piece.flux_density([off_axis, 0.0, z])?;
            Some([radial + x, axial + z])
        })
    }

    /// Axial flux density, T, at `across` metres from the axis (along length and width of a block), `distance` above the
    /// plated top; `None` on an edge. Accuracy 1e-10 relative.
    #[must_use]
    pub fn axial(&self, across: [f64; 2], distance: f64) -> Option<f64> {
        let [x, y] = across;
        self.heights(distance)
            .try_fold(0.0, |sum, z| Some(sum + self.piece.flux_density([x, y, z])?[2]))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn shapes() -> impl Strategy<Value = Shape> {
        let size = || 2e-3..20e-3_f64;
        prop_oneof![
            (size(), size()).prop_map(|(diameter, thickness)| Shape::Disc { diameter, thickness }),
            (size(), 0.2..0.7_f64, size()).prop_map(|(outer_diameter, part, thickness)| Shape::Ring {
                outer_diameter,
                inner_diameter: part * outer_diameter,
                thickness
            }),
            (size(), size(), size()).prop_map(|(length, width, thickness)| Shape::Block {
                length,
                width,
                thickness
            }),
            size().prop_map(|diameter| Shape::Sphere { diameter }),
        ]
    }

    proptest! {
        /// The same field as that of the bodies in space, which is checked against independent values.
        #[test]
        fn equals_the_assembly(
            shape in shapes(),
            plating in prop_oneof![Just(0.0), 5e-6..50e-6_f64],
            pieces in 1..9_usize,
            off_axis in 0.0..20e-3_f64,
            distance in 0.0..50e-3_f64,
        ) {
            let quick = StackField::new(&shape, plating, pieces, 1.3).unwrap();
            let slow = crate::stack(&shape, plating, pieces, 1.3).unwrap();
            let top = shape.height() * pieces as f64;
            let axial = slow.axial_flux_density(distance + plating).unwrap();
            prop_assert!((quick.on_axis(distance) - axial).abs() <= 1e-12);
            if let Ok(b) = slow.flux_density([off_axis, 0.0, top + distance]) {
                let [radial, along] = quick.flux_density(off_axis, distance).unwrap();
                prop_assert_eq!(quick.axial([off_axis, 0.0], distance), Some(along));
                let magnet = shape.shrunk(plating).unwrap();
                let spaced = StackField::spaced(magnet, pieces, shape.height(), plating, 1.3).unwrap();
                prop_assert!((spaced.axial([off_axis, 0.0], distance).unwrap() - along).abs() <= 1e-10);
                prop_assert!((radial - b[0]).abs() <= 1e-10 && (along - b[2]).abs() <= 1e-10, "{radial} {along} {b:?}");
            }
        }
    }

    #[test]
    fn edges_have_no_value_and_bad_sizes_are_refused() {
        let disc = Shape::Disc {
            diameter: 10e-3,
            thickness: 5e-3,
        };
        assert_eq!(
            StackField::new(&disc, 0.0, 1, 1.0).unwrap().flux_density(5e-3, 0.0),
            None
        );
        assert!(StackField::new(&disc, 3e-3, 1, 1.0).is_err());
        assert!(StackField::new(&disc, 0.0, 0, 1.0).is_err());
    }
}
