//! What happens inside a magnet: its own field everywhere, what part of it is past the knee, and what heat takes permanently.
//!
//! The body is cut into cells, each with its own polarisation along the axis. The field that every cell feels from every other is
//! that of the charge on their faces, in closed form ([`layer`]), averaged over the cell. A cell then settles on its curve or its
//! recoil line ([`materials::curve`]); all cells together settle by turns, which converges, for the energy of the whole is convex.
//!
//! What faces the body is a mirror: thick steel, or an equal magnet that attracts or repels ([`Facing`]).
//! Left out: the polarisation across the axis, which is turned reversibly and by some per cent near rims only, and reversal beyond
//! the coercivity, for which a cell counts as empty. Balls are taken as uniform, each at its mean field.

mod heat;
mod layer;

pub use heat::{Heated, highest_celsius};

use crate::shape::{MOST_PIECES, Shape, ShapeError};
use layer::Layer;
use materials::MU_0;
use materials::curve::Curve;

/// What lies below the lower face of the body, along its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Facing {
    /// Nothing: the body is alone in air.
    Nothing,
    /// A thick plate of ideal steel, `gap` metres away; real steel helps less.
    Steel {
        /// Distance from the face, m.
        gap: f64,
    },
    /// An equal body that attracts, `gap` metres away.
    Attracting {
        /// Distance between the faces, m.
        gap: f64,
    },
    /// An equal body turned over, like pole to like pole, `gap` metres away.
    Opposing {
        /// Distance between the faces, m.
        gap: f64,
    },
}

impl Facing {
    /// Distance of the mirror plane from the face, and the sign of the image; none where the body is alone.
    fn mirror(self) -> Option<(f64, f64)> {
        match self {
            Self::Nothing => None,
            Self::Steel { gap } => Some((gap, 1.0)),
            Self::Attracting { gap } => Some((0.5 * gap, 1.0)),
            Self::Opposing { gap } => Some((0.5 * gap, -1.0)),
        }
    }
}

/// How finely a body is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// For ranking: losses within 0.5 % of the flux.
    Coarse,
    /// For showing: losses within 0.1 % of the flux, and a map.
    Fine,
}

/// Where the cells of a body are, m: from the axis outwards (a block: from the middle along its length, and along its width), and
/// along the axis from the lower face.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    /// Edges across; for a ring from its hole, otherwise from the axis.
    pub across: Vec<f64>,
    /// Edges along the width of a block from its middle; a single span for turned bodies.
    pub aside: Vec<f64>,
    /// Edges along the axis from the lower face, or from the middle of a halved body; a single ball each for spheres.
    pub along: Vec<f64>,
    /// Whether the cells are those of the upper half, the lower one being its mirror image: so for a body that is alone.
    pub halved: bool,
}

/// A body cut into cells, with the field that each feels from all.
#[derive(Clone, Debug)]
pub struct Inside {
    cells: Cells,
    /// Share of the volume of each cell.
    shares: Vec<f64>,
    /// Field at cell `i` from the polarisation of cell `j`, demagnetising positive, in `J / μ0`: rows by `i`.
    factors: Vec<f64>,
    /// One piece of it, loose and alone in air as it was before; `None` for a piece that still is.
    loose: Option<Box<Inside>>,
}

/// What the cells of a body have settled at. Cells are numbered along the axis fastest, then across, then aside.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// Demagnetising field of each cell, A/m.
    pub field: Vec<f64>,
    /// Share of the remanence that each cell still has.
    pub retained: Vec<f64>,
    /// Mean polarisation, T.
    pub polarisation: f64,
    /// Share of the volume whose field is past the knee.
    pub past_knee: f64,
    /// Largest demagnetising field, A/m.
    pub worst: f64,
}

/// An equal body so many heights away is as good as none.
const FAR: f64 = 1e6;

/// Sweeps over all cells after which they have surely settled.
const MOST_SWEEPS: usize = 400;

/// Cells have settled when none has moved by more than this share of the remanence in a sweep.
const SETTLED: f64 = 1e-6;

impl Inside {
    /// A body or a straight stack of `pieces` of them taken as one solid, facing something.
    ///
    /// # Errors
    /// [`ShapeError`] if the shape, the number of pieces or the gap is out of range.
    pub fn new(shape: &Shape, pieces: usize, facing: Facing, detail: Detail) -> Result<Self, ShapeError> {
        shape.validate()?;
        if !(1..=MOST_PIECES).contains(&pieces) {
            return Err(ShapeError::Pieces {
                pieces,
                most: MOST_PIECES,
            });
        }
        let mirror = facing.mirror();
        if let Some((distance, _)) = mirror
            && !(distance >= 0.0 && distance.is_finite())
        {
            return Err(ShapeError::Size {
                size: "gap",
                value: distance,
            });
        }
        let loose = match (pieces, mirror) {
            (1, None) => None,
            // With the same cells.
            (1, Some(_)) => Some(Self::made(shape, 1, Some((FAR * shape.height(), 1.0)), detail)),
            _ => Some(Self::made(shape, 1, None, detail)),
        };
        Ok(Self {
            loose: loose.map(Box::new),
            ..Self::made(shape, pieces, mirror, detail)
        })
    }

    fn made(shape: &Shape, pieces: usize, mirror: Option<(f64, f64)>, detail: Detail) -> Self {
        match shape.with_height(shape.height() * pieces as f64) {
            Some(solid) => Self::cut(&solid, mirror, detail),
            None => Self::balls(shape.height(), pieces, mirror),
        }
    }

    /// Equal balls in a row, each uniform: a third of its own polarisation, and the others' dipole fields.
    fn balls(diameter: f64, pieces: usize, mirror: Option<(f64, f64)>) -> Self {
        let place = |k: usize| (k as f64 + 0.5) * diameter;
        let dipole = |distance: f64| -(diameter / distance).powi(3) / 12.0;
        let mut factors = Vec::with_capacity(pieces * pieces);
        for i in 0..pieces {
            for j in 0..pieces {
                let own = if i == j {
                    1.0 / 3.0
                } else {
                    dipole((place(i) - place(j)).abs())
                };
                let image = mirror.map_or(0.0, |(distance, sign)| {
                    sign * dipole(place(i) + place(j) + 2.0 * distance)
                });
                factors.push(own + image);
            }
        }
        Self {
            cells: Cells {
                across: vec![0.0, 0.5 * diameter],
                aside: vec![0.0, 0.5 * diameter],
                along: (0..=pieces).map(|k| k as f64 * diameter).collect(),
                halved: false,
            },
            shares: vec![1.0 / pieces as f64; pieces],
            factors,
            loose: None,
        }
    }

    fn cut(solid: &Shape, mirror: Option<(f64, f64)>, detail: Detail) -> Self {
        let layer = Layer::of(solid, detail);
        let levels = if detail == Detail::Coarse { 6 } else { 10 };
        // Alone, the halves of a body mirror each other: the upper one is enough.
        let halved = mirror.is_none();
        let (height, along) = if halved {
            let height = 0.5 * solid.height();
            (height, layer::towards_end(height, levels / 2))
        } else {
            (solid.height(), layer::towards_both_ends(solid.height(), levels))
        };
        let factors = layer.factors(&along, mirror.unwrap_or((0.0, 1.0)));
        let mut shares = Vec::new();
        for area in layer.areas() {
            shares.extend(along.windows(2).map(|w| area * (w[1] - w[0]) / height));
        }
        let (across, aside) = layer.into_edges();
        Self {
            cells: Cells {
                across,
                aside,
                along,
                halved,
            },
            shares,
            factors,
            loose: None,
        }
    }

    /// Where the cells are.
    #[must_use]
    pub fn cells(&self) -> &Cells {
        &self.cells
    }

    /// Share of the volume in each cell.
    #[must_use]
    pub fn shares(&self) -> &[f64] {
        &self.shares
    }

    /// Demagnetising factor of each cell for a uniform polarisation: the field that a rigid body feels there, in `J / μ0`.
    #[must_use]
    pub fn local_factors(&self) -> Vec<f64> {
        self.factors
            .chunks(self.shares.len())
            .map(|row| row.iter().sum())
            .collect()
    }

    /// What is left of the remanence of every cell after its piece was magnetised and lay loose and alone in air, at room
    /// temperature with that curve; `None` for a piece that still does, which is fresh from saturation.
    ///
    /// The pieces of a stack have in every column of cells the mean over the height of a loose one.
    fn loose(&self, room: &Curve) -> Option<Vec<f64>> {
        let one = self.loose.as_ref()?;
        let state = one.settle(room, None);
        if state.retained.len() == self.shares.len() && one.cells.along == self.cells.along {
            return Some(state.retained);
        }
        let height = one.cells.along.last()? - one.cells.along.first()?;
        let spans: Vec<f64> = one.cells.along.windows(2).map(|w| (w[1] - w[0]) / height).collect();
        let levels = self.cells.along.len() - 1;
        let columns = state.retained.chunks(spans.len()).map(|column| {
            let mean: f64 = column.iter().zip(&spans).map(|(r, span)| r * span).sum();
            std::iter::repeat_n(mean, levels)
        });
        Some(columns.flatten().collect())
    }

    /// What the cells settle at when the build is put together and to use, at room temperature with that curve: its pieces were
    /// magnetised and lay loose and alone in air before.
    #[must_use]
    pub fn as_delivered(&self, room: &Curve) -> State {
        self.settle_from(room, self.loose(room).as_deref())
    }

    /// What the cells settle at on a curve, from saturation or from the state that they were in `before`.
    #[must_use]
    pub fn settle(&self, curve: &Curve, before: Option<&State>) -> State {
        self.settle_from(curve, before.map(|state| state.retained.as_slice()))
    }

    /// The same from what every cell has left of its remanence.
    fn settle_from(&self, curve: &Curve, left: Option<&[f64]>) -> State {
        let count = self.shares.len();
        let mut retained: Vec<f64> = left.map_or_else(|| vec![1.0; count], <[f64]>::to_vec);
        let limit = retained.clone();
        let mut field: Vec<f64> = self
            .local_factors()
            .iter()
            .map(|n| n * curve.remanence() / MU_0)
            .collect();
        let mut j: Vec<f64> = retained
            .iter()
            .zip(&field)
            .map(|(&r, &h)| curve.recoiled(r, h))
            .collect();
        for _ in 0..MOST_SWEEPS {
            let mut moved = 0.0_f64;
            for (i, row) in self.factors.chunks(count).enumerate() {
                let own = row[i];
                let all: f64 = row.iter().zip(&j).map(|(n, j)| n * j).sum();
                let (h, kept) = curve.settle_near(own, (all - own * j[i]) / MU_0, limit[i], field[i]);
                let next = curve.recoiled(kept, h);
                moved = moved.max((next - j[i]).abs());
                (field[i], retained[i], j[i]) = (h, kept, next);
            }
            if moved <= SETTLED * curve.remanence() {
                break;
            }
        }
        let mean = |of: &dyn Fn(usize) -> f64| self.shares.iter().enumerate().map(|(i, share)| share * of(i)).sum();
        let knee = curve.knee();
        State {
            polarisation: mean(&|i| j[i]),
            past_knee: mean(&|i| f64::from(u8::from(field[i] > knee))),
            worst: field.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            field,
            retained,
        }
    }
}

/// A bound on the demagnetising field anywhere in a body, in `Br / μ0`: it stands at the middle of the face, where half comes
/// from the charge there and the rest from the solid angle of the other face; an opposing magnet adds that of its own.
///
/// For rings the hole is filled, which adds; for spheres and straight stacks of them it is that of the single ball.
#[must_use]
pub fn worst_factor(shape: &Shape, pieces: usize, facing: Facing) -> f64 {
    let height = shape.height() * pieces as f64;
    let seen = |distance: f64| match *shape {
        Shape::Block { length, width, .. } => {
            let (a, b) = (0.5 * length, 0.5 * width);
            ((a * b) / (distance * (a * a + b * b + distance * distance).sqrt())).atan() / std::f64::consts::PI
        }
        ref round => {
            let radius = 0.5 * round.widest();
            0.5 * (1.0 - distance / distance.hypot(radius))
        }
    };
    let own = match shape {
        Shape::Sphere { .. } => 1.0 / 3.0,
        _ => 0.5 + seen(height),
    };
    own + match facing {
        Facing::Opposing { gap } => seen(gap),
        _ => 0.0,
    }
}

#[cfg(test)]
mod tests;
