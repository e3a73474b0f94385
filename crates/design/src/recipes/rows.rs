//! Rows of blocks along `x`: two that oppose, three and five that turn a quarter from one to the next, and poles that alternate.

use magnetics::{Shape, Solid};
use numerics::vector::Vector;

use super::single::sides;
use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece, UP};
use crate::family::Family;
use crate::wish::{Goal, Wish};

const DOWN: Vector = [0.0, 0.0, -1.0];
const RIGHT: Vector = [1.0, 0.0, 0.0];
const LEFT: Vector = [-1.0, 0.0, 0.0];

pub(super) fn free(family: Family, wish: &Wish) -> Option<usize> {
    let (reach, hold) = match wish.goal {
        Goal::Reach { .. } => (true, false),
        Goal::Hold { .. } => (false, true),
        _ => (false, false),
    };
    let [length, _] = sides(&wish.space.across, 0.0);
    if length < 12.0 * THINNEST {
        return None;
    }
    match family {
        Family::Opposed => reach.then_some(3),
        Family::Focused => reach.then_some(4),
        Family::HalbachRow => (reach || hold).then_some(3),
        Family::AlternatingRow => hold.then_some(3),
        _ => None,
    }
}

/// Poles of an alternating row.
const POLES: usize = 4;

pub(super) fn draft(family: Family, wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let [most, _] = sides(&space.across, 0.0);
    let length = shares.size(space.narrowest(12.0 * THINNEST, most), most)?;
    let [_, most] = sides(&space.across, length);
    let depth = shares.size(2.0 * THINNEST, most)?;
    let height = shares.size(THINNEST, space.height)?;
    let pieces: Vec<(f64, Vector)> = match family {
        Family::Opposed => {
            let half = shares.note("length of a block", 0.5 * length);
            vec![(half, RIGHT), (half, LEFT)]
        }
        Family::Focused => {
            let middle = shares.part_of("length of the middle block", length, [0.05, 0.9])?;
            let side = shares.note("length of a side block", 0.5 * (length - middle));
            vec![(side, RIGHT), (middle, UP), (side, LEFT)]
        }
        Family::HalbachRow => {
            let one = shares.note("length of a block", length / 5.0);
            [DOWN, RIGHT, UP, LEFT, DOWN].map(|along| (one, along)).to_vec()
        }
        _ => {
            let one = shares.note("length of a block", length / POLES as f64);
            [UP, DOWN]
                .into_iter()
                .cycle()
                .take(POLES)
                .map(|along| (one, along))
                .collect()
        }
    };
    let depth = shares.note("width", depth);
    let height = shares.note("height", height);
    let mut from = -0.5 * pieces.iter().map(|(long, _)| long).sum::<f64>();
    let magnets = pieces
        .into_iter()
        .map(|(long, along)| {
            let solid = Solid::Plain(Shape::Block {
                length: long,
                width: depth,
                thickness: height,
            });
            let centre = [from + 0.5 * long, 0.0, -0.5 * height];
            from += long;
            Piece::new(solid, along, centre)
        })
        .collect();
    Some(Draft {
        family,
        sizes: shares.taken(),
        magnets,
        steel: Vec::new(),
    })
}
