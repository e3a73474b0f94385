//! The bodies of an arrangement: where each piece of the shelf stands, and which way its north pole points.

use magnetics::{Shape, Solid};
use numerics::vector::Vector;

use super::{Line, Plate, Shelf, Taken};
use crate::draft::{Dimension, Draft, Piece, SteelPart, UP};
use crate::family::Family;

/// Downwards.
const DOWN: Vector = [0.0, 0.0, -1.0];
/// Along `x`.
const RIGHT: Vector = [1.0, 0.0, 0.0];
/// Against `x`.
const LEFT: Vector = [-1.0, 0.0, 0.0];

/// One arrangement of pieces of a shelf.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pick {
    /// Its family.
    pub family: Family,
    /// The magnets by their index: from the bottom up, or from left to right.
    pub pieces: Vec<usize>,
    /// The back-plate by its index.
    pub plate: Option<usize>,
    /// Whether blocks lie with their width along `x` rather than their length.
    pub turned: bool,
    /// Width of the gap of a facing pair, m.
    pub gap: f64,
}

impl Pick {
    /// A pick of these pieces as they lie on the shelf.
    pub(super) fn new(family: Family, pieces: Vec<usize>) -> Self {
        Self {
            family,
            pieces,
            plate: None,
            turned: false,
            gap: 0.0,
        }
    }

    /// The pick as it is made: the outsides with the plating on, or the magnets inside it. `None` where plating leaves no magnet.
    pub(super) fn draft(&self, shelf: &Shelf, bare: bool) -> Option<Draft> {
        let along = directions(self.family, self.pieces.len());
        let mut standing: Vec<Piece> = Vec::with_capacity(self.pieces.len());
        for (&index, &along) in self.pieces.iter().zip(&along) {
            standing.push(self.standing(shelf, index, along)?);
        }
        self.place(&mut standing);
        if bare {
            for (piece, &index) in standing.iter_mut().zip(&self.pieces) {
                let plating = shelf.pieces.get(index)?.plating;
                if let Solid::Plain(shape) = &piece.solid {
                    piece.solid = Solid::Plain(shape.shrunk(plating).ok()?);
                }
            }
        }
        let steel = match self.plate {
            Some(index) => vec![behind(shelf.plates.get(index)?, self.lowest(shelf)?)],
            None => Vec::new(),
        };
        let sizes = if self.family.is_around() {
            vec![Dimension {
                what: "gap",
                value: self.gap,
            }]
        } else {
            Vec::new()
        };
        Some(Draft {
            family: self.family,
            sizes,
            magnets: standing,
            steel,
        })
    }

    /// A piece at the origin with its pole that way.
    fn standing(&self, shelf: &Shelf, index: usize, along: Vector) -> Option<Piece> {
        let shape = match shelf.pieces.get(index)?.shape {
            Shape::Block {
                length,
                width,
                thickness,
            } => {
                let [a, b] = if self.turned { [width, length] } else { [length, width] };
                let lies = along[2] == 0.0;
                Shape::Block {
                    length: if lies { thickness } else { a },
                    width: b,
                    thickness: if lies { a } else { thickness },
                }
            }
            round => round,
        };
        Some(Piece::new(Solid::Plain(shape), along, [0.0; 3]))
    }

    /// Moves pieces to where they belong, by their outsides.
    fn place(&self, standing: &mut [Piece]) {
        if self.family.is_around() {
            for (piece, side) in standing.iter_mut().zip([-1.0, 1.0]) {
                piece.centre[2] = side * (0.5 * self.gap + piece.half_sizes()[2]);
            }
        } else if is_row(self.family) {
            let mut from = -standing.iter().map(|piece| piece.half_sizes()[0]).sum::<f64>();
            for piece in standing {
                let [x, _, z] = piece.half_sizes();
                piece.centre = [from + x, 0.0, -z];
                from += 2.0 * x;
            }
        } else {
            let mut top = 0.0;
            for piece in standing.iter_mut().rev() {
                let half = piece.half_sizes()[2];
                piece.centre[2] = top - half;
                top -= 2.0 * half;
            }
        }
    }

    /// The lowest place of the lowest magnet, plating included, m.
    fn lowest(&self, shelf: &Shelf) -> Option<f64> {
        let heights = self
            .pieces
            .iter()
            .map(|&index| Some(shelf.pieces.get(index)?.shape.height()));
        heights.sum::<Option<f64>>().map(|height| -height)
    }

    /// What it takes from the shelf; `None` where it is not offered.
    pub(super) fn lines(&self, shelf: &Shelf) -> Option<Vec<Line>> {
        let mut kinds: Vec<usize> = Vec::new();
        for &index in &self.pieces {
            if !kinds.contains(&index) {
                kinds.push(index);
            }
        }
        let magnets = kinds.into_iter().map(|index| {
            let count = self.pieces.iter().filter(|&&other| other == index).count();
            let offer = &shelf.pieces.get(index)?.offer;
            let bought = *offer.bought.get(count - 1)?;
            let taken = Taken::Magnet(index);
            Some(Line { taken, count, bought })
        });
        let plate = self.plate.map(|index| {
            let bought = *shelf.plates.get(index)?.offer.bought.first()?;
            let taken = Taken::Plate(index);
            Some(Line {
                taken,
                count: 1,
                bought,
            })
        });
        magnets.chain(plate).collect()
    }
}

/// Whether the pieces of a family stand side by side.
pub(super) fn is_row(family: Family) -> bool {
    matches!(
        family,
        Family::Opposed | Family::Focused | Family::HalbachRow | Family::AlternatingRow
    )
}

/// Which way each north pole points.
fn directions(family: Family, count: usize) -> Vec<Vector> {
    match family {
        Family::Opposed => vec![RIGHT, LEFT],
        Family::Focused => vec![RIGHT, UP, LEFT],
        Family::HalbachRow => vec![DOWN, RIGHT, UP, LEFT, DOWN],
        Family::AlternatingRow => [UP, DOWN].into_iter().cycle().take(count).collect(),
        _ => vec![UP; count],
    }
}

/// A plate whose front is at a height, m.
fn behind(plate: &Plate, lowest: f64) -> SteelPart {
    let ([low, high], radius) = ([lowest - plate.thickness, lowest], 0.5 * plate.diameter);
    SteelPart {
        name: "back-plate",
        profile: vec![[0.0, low], [radius, low], [radius, high], [0.0, high]],
    }
}
