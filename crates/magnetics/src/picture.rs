//! Pictures in a plane: the plane, the part of it that is drawn, and maps of the flux density.

use rayon::prelude::*;
use thiserror::Error;

use crate::assembly::FieldError;
use crate::body::{LARGEST_COORDINATE, within_reach};
use crate::scene::Scene;
use crate::vector::{Vector, add, cross, dot, length, scale, sub};

/// Most cells of a map.
pub const MOST_CELLS: usize = 4_000_000;

/// Directions of a plane must differ by at least this, as the sine of their angle.
const LEAST_ANGLE: f64 = 1e-6;

/// The middle of a cell that lies on an edge is looked at this share of the cell beside it.
const BESIDE: f64 = 1e-3;

/// A plane in space with its own coordinates, both in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    origin: Vector,
    across: Vector,
    up: Vector,
}

/// The part of a plane that is drawn, in its coordinates, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Least coordinate across.
    pub left: f64,
    /// Largest coordinate across.
    pub right: f64,
    /// Least coordinate upwards.
    pub bottom: f64,
    /// Largest coordinate upwards.
    pub top: f64,
}

/// Why a picture cannot be drawn.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum PictureError {
    /// The directions of the plane are not numbers, without length, or along one line.
    #[error("a plane needs its origin within {LARGEST_COORDINATE} m and two directions that differ")]
    Plane,
    /// The window is empty or not finite.
    #[error("the window must have its right beyond its left and its top above its bottom, got {0:?}")]
    Window(Window),
    /// There are no cells or too many.
    #[error("a map must have 1 to {MOST_CELLS} cells, got {columns} by {rows}")]
    Cells {
        /// Cells across.
        columns: usize,
        /// Cells upwards.
        rows: usize,
    },
    /// The field cannot be given.
    #[error(transparent)]
    Field(#[from] FieldError),
}

impl Plane {
    /// The plane `y = 0`, seen from `-y`: `x` across, `z` up.
    pub const FRONT: Self = Self {
        origin: [0.0; 3],
        across: [1.0, 0.0, 0.0],
        up: [0.0, 0.0, 1.0],
    };

    /// The plane through `origin` (metres) that holds the directions `across` and `up`, of any length; `up` is made square to `across`.
    ///
    /// # Errors
    /// [`PictureError::Plane`] for directions that do not span a plane, or an origin out of range.
    pub fn new(origin: [f64; 3], across: [f64; 3], up: [f64; 3]) -> Result<Self, PictureError> {
        let unit = |v: Vector| {
            let size = length(v);
            (size > 0.0 && size.is_finite()).then(|| scale(v, 1.0 / size))
        };
        let spanned = || {
            let (across, up) = (unit(across)?, unit(up)?);
            let square = sub(up, scale(across, dot(up, across)));
            (length(square) > LEAST_ANGLE).then_some(())?;
            let up = unit(square)?;
            within_reach(origin).then_some(Self { origin, across, up })
        };
        spanned().ok_or(PictureError::Plane)
    }

    /// The point in space of plane coordinates, m.
    #[must_use]
    pub fn point(&self, [x, z]: [f64; 2]) -> [f64; 3] {
        add(self.origin, add(scale(self.across, x), scale(self.up, z)))
    }

    /// The direction that points out of the picture, towards who looks at it.
    #[must_use]
    pub fn normal(&self) -> [f64; 3] {
        cross(self.across, self.up)
    }

    /// Coordinates across, up and out of the plane of a point in space.
    pub(crate) fn coordinates(&self, point: Vector) -> Vector {
        self.parts(sub(point, self.origin))
    }

    /// A vector's parts across, up and out of the plane.
    pub(crate) fn parts(&self, v: Vector) -> Vector {
        [dot(v, self.across), dot(v, self.up), dot(v, self.normal())]
    }
}

impl Window {
    /// Check that it is not empty and within reach.
    ///
    /// # Errors
    /// [`PictureError::Window`] otherwise.
    pub fn validate(&self) -> Result<(), PictureError> {
        let limits = -LARGEST_COORDINATE..=LARGEST_COORDINATE;
        let sides = [self.left, self.right, self.bottom, self.top];
        if self.right > self.left && self.top > self.bottom && sides.iter().all(|c| limits.contains(c)) {
            Ok(())
        } else {
            Err(PictureError::Window(*self))
        }
    }

    pub(crate) fn contains(&self, [x, z]: [f64; 2]) -> bool {
        (self.left..=self.right).contains(&x) && (self.bottom..=self.top).contains(&z)
    }

    pub(crate) fn diagonal(&self) -> f64 {
        (self.right - self.left).hypot(self.top - self.bottom)
    }
}

/// The flux density in the middles of the cells of a window.
#[derive(Clone, Debug, PartialEq)]
pub struct Map {
    /// Cells across.
    pub columns: usize,
    /// Cells upwards.
    pub rows: usize,
    /// Components of B across, up and out of the plane, T, row by row from the bottom, each from the left.
    pub flux_densities: Vec<[f64; 3]>,
}

impl Map {
    /// Magnitudes of B in the same order, T.
    #[must_use]
    pub fn magnitudes(&self) -> Vec<f64> {
        self.flux_densities.iter().map(|&b| length(b)).collect()
    }
}

/// The flux density over a window of a plane, on all cores; a cell whose middle lies on an edge takes the value beside it.
///
/// # Errors
/// [`PictureError`] for a window or a number of cells out of range.
pub fn map(scene: &Scene, plane: &Plane, window: Window, columns: usize, rows: usize) -> Result<Map, PictureError> {
    window.validate()?;
    if !(1..=MOST_CELLS).contains(&columns.saturating_mul(rows)) {
        return Err(PictureError::Cells { columns, rows });
    }
    let cell = [
        (window.right - window.left) / columns as f64,
        (window.top - window.bottom) / rows as f64,
    ];
    let place = |column: usize, row: usize, off: f64| {
        plane.point([
            window.left + cell[0] * (column as f64 + 0.5 + off),
            window.bottom + cell[1] * (row as f64 + 0.5 + 0.6 * off),
        ])
    };
    let fields = (0..rows)
        .into_par_iter()
        .map(|row| {
            let points: Vec<Vector> = (0..columns).map(|column| place(column, row, 0.0)).collect();
            if let Ok(fields) = scene.flux_densities(&points) {
                return Ok(fields);
            }
            (0..columns)
                .map(|column| {
                    let beside = |_| scene.flux_density(place(column, row, BESIDE));
                    scene.flux_density(place(column, row, 0.0)).or_else(beside)
                })
                .collect::<Result<Vec<_>, _>>()
        })
        .collect::<Result<Vec<_>, FieldError>>()?;
    Ok(Map {
        columns,
        rows,
        flux_densities: fields.into_iter().flatten().map(|b| plane.parts(b)).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::placed::{Placed, Polarisation, Solid};
    use crate::shape::Shape;

    fn block() -> Scene {
        let solid = Solid::Plain(Shape::Block {
            length: 0.02,
            width: 0.01,
            thickness: 0.005,
        });
        Scene::new(vec![
            Placed::new(
                solid,
                Polarisation::Along([0.3, 0.0, 1.2]),
                [0.001, 0.0, 0.0],
                [0.2, 0.1, 0.0],
            )
            .expect("valid"),
        ])
    }

    #[test]
    fn a_map_holds_the_field_in_its_cells() {
        let plane = Plane::new([0.0, 0.002, 0.0], [1.0, 1.0, 0.0], [0.0, 0.3, 1.0]).expect("spans");
        let window = Window {
            left: -0.02,
            right: 0.03,
            bottom: -0.01,
            top: 0.02,
        };
        let map = map(&block(), &plane, window, 5, 3).expect("in range");
        assert_eq!(map.flux_densities.len(), 15);
        let at = plane.point([0.025, 0.005]);
        let expected = block().flux_density(at).expect("off edges");
        let got = map.flux_densities[5 + 4];
        assert!((length(got) - length(expected)).abs() <= 1e-15 && map.magnitudes()[9] == length(got));
        assert!((got[2] - dot(expected, plane.normal())).abs() <= 1e-15);
        assert!(dot(plane.normal(), [1.0, 1.0, 0.0]).abs() <= 1e-15);
    }

    #[test]
    fn a_cell_on_an_edge_takes_the_value_beside_it() {
        let solid = Solid::Plain(Shape::Disc {
            diameter: 0.01,
            thickness: 0.005,
        });
        let along = Polarisation::Along([0.0, 0.0, 1.0]);
        let scene = Scene::new(vec![Placed::new(solid, along, [0.0; 3], [0.0; 3]).expect("valid")]);
        let window = Window {
            left: 0.0,
            right: 0.01,
            bottom: 0.0,
            top: 0.005,
        };
        let map = map(&scene, &Plane::FRONT, window, 1, 1).expect("in range");
        assert!(map.magnitudes()[0].is_finite() && map.magnitudes()[0] > 0.5);
    }

    #[test]
    fn odd_pictures_are_refused() {
        assert_eq!(
            Plane::new([0.0; 3], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]),
            Err(PictureError::Plane)
        );
        assert_eq!(
            Plane::new([0.0; 3], [f64::NAN, 0.0, 0.0], [0.0, 0.0, 1.0]),
            Err(PictureError::Plane)
        );
        assert_eq!(
            Plane::new([1e9, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]),
            Err(PictureError::Plane)
        );
        let window = Window {
            left: 0.0,
            right: f64::NAN,
            bottom: 0.0,
            top: 1.0,
        };
        assert!(matches!(
            map(&block(), &Plane::FRONT, window, 3, 3),
            Err(PictureError::Window(_))
        ));
        let window = Window { right: 1.0, ..window };
        for (columns, rows) in [(0, 3), (usize::MAX, 2)] {
            assert!(matches!(
                map(&block(), &Plane::FRONT, window, columns, rows),
                Err(PictureError::Cells { .. })
            ));
        }
    }
}
