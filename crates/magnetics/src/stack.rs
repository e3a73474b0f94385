//! Plated pieces stacked along their axis.

use crate::assembly::Assembly;
use crate::body::{Body, check_polarisation};
use crate::shape::{MOST_PIECES, Shape, ShapeError};

/// `pieces` equal magnets stacked along `z`, attracting one another.
///
/// `nominal` is the shape with its coating, `plating` the coating a side in metres: each piece is magnet over its nominal size
/// less twice the plating, and pieces stand one nominal height apart. The plated bottom face lies at `z = 0`, the axis is `x = y = 0`.
/// Without plating the pieces join into one solid (spheres excepted), so that no edge remains between them.
///
/// # Errors
/// [`ShapeError`] if the shape, the plating, the number of pieces or the polarisation is out of range.
pub fn stack(nominal: &Shape, plating: f64, pieces: usize, polarisation: f64) -> Result<Assembly, ShapeError> {
    let Prepared { magnet, pieces, pitch } = prepare(nominal, plating, pieces, polarisation)?;
    let bodies = (0..pieces)
        .map(|piece| Body {
            shape: magnet,
            polarisation,
            centre: [0.0, 0.0, (piece as f64 + 0.5) * pitch],
        })
        .collect();
    Assembly::new(bodies).map_err(|error| match error {
        crate::BodyError::Shape { source, .. } => source,
        crate::BodyError::Centre { .. } | crate::BodyError::Empty => ShapeError::Pieces {
            pieces,
            most: MOST_PIECES,
        },
    })
}

/// A checked stack: the magnet inside the coating, how many, and how far apart.
pub(crate) struct Prepared {
    pub(crate) magnet: Shape,
    pub(crate) pieces: usize,
    pub(crate) pitch: f64,
}

/// Check the input of a stack and join unplated pieces into one solid.
pub(crate) fn prepare(nominal: &Shape, plating: f64, pieces: usize, polarisation: f64) -> Result<Prepared, ShapeError> {
    nominal.validate()?;
    check_polarisation(polarisation)?;
    if !(1..=MOST_PIECES).contains(&pieces) {
        return Err(ShapeError::Pieces {
            pieces,
            most: MOST_PIECES,
        });
    }
    let magnet = nominal.shrunk(plating)?;
    let pitch = nominal.height();
    if plating == 0.0
        && let Some(solid) = magnet.with_height(pitch * pieces as f64)
    {
        return Ok(Prepared {
            magnet: solid,
            pieces: 1,
            pitch: pitch * pieces as f64,
        });
    }
    Ok(Prepared { magnet, pieces, pitch })
}
