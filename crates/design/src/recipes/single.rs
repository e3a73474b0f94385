//! One magnet: a disc, a ring, a block.

use magnetics::{Shape, Solid};

use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece, UP};
use crate::family::Family;
use crate::wish::{Area, Goal, Wish};

/// Smallest hole and thinnest wall of a ring, m; common practice, no source.
const LEAST_HOLE: f64 = 1e-3;

pub(super) fn free(family: Family, wish: &Wish) -> Option<usize> {
    if !matches!(wish.goal, Goal::Reach { .. } | Goal::Hold { .. } | Goal::Even { .. }) {
        return None;
    }
    match family {
        Family::Disc => Some(2),
        Family::Ring => (wish.space.diameter() > 4.0 * LEAST_HOLE).then_some(3),
        Family::Block => Some(3),
        _ => None,
    }
}

pub(super) fn draft(family: Family, wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let solid = match family {
        Family::Disc => {
            let diameter = shares.across("diameter", 2.0 * THINNEST, space)?;
            let thickness = shares.chosen("thickness", THINNEST, space.height)?;
            Shape::Disc { diameter, thickness }
        }
        Family::Ring => {
            let outer = shares.across("outer diameter", 4.0 * LEAST_HOLE, space)?;
            let hole = shares.chosen("hole", LEAST_HOLE, outer - 2.0 * LEAST_HOLE)?;
            let thickness = shares.chosen("thickness", THINNEST, space.height)?;
            Shape::Ring {
                outer_diameter: outer,
                inner_diameter: hole,
                thickness,
            }
        }
        _ => {
            let [most, _] = sides(&space.across, 0.0);
            let length = shares.chosen("length", space.narrowest(2.0 * THINNEST, most), most)?;
            let [_, most] = sides(&space.across, length);
            let width = shares.chosen("width", THINNEST, most)?;
            let thickness = shares.chosen("thickness", THINNEST, space.height)?;
            Shape::Block {
                length,
                width,
                thickness,
            }
        }
    };
    let centre = [0.0, 0.0, -0.5 * solid.height()];
    Some(Draft {
        family,
        sizes: shares.taken(),
        magnets: vec![Piece::new(Solid::Plain(solid), UP, centre)],
        steel: Vec::new(),
    })
}

/// The longest length along `x`, m, and the widest width along `y` at a length.
pub(super) fn sides(across: &Area, length: f64) -> [f64; 2] {
    match *across {
        Area::Box(sides) => sides,
        // The corners lie on the circle; a block at least a tenth as wide as long.
        Area::Round(diameter) => [
            diameter * 0.995,
            (diameter * diameter - length * length)
                .max(0.01 * diameter * diameter)
                .sqrt(),
        ],
    }
}
