//! Two equal magnets that face each other and attract, with the spot or the area in the middle between them.

use magnetics::profile::Profile;
use magnetics::{Shape, Solid};

use super::single::sides;
use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece, UP};
use crate::family::Family;
use crate::wish::{Goal, Wish};

/// Smallest hole and thinnest wall of a ring, m; common practice, no source.
const LEAST_HOLE: f64 = 1e-3;
/// Narrowest face over the base.
const NARROWEST: f64 = 0.1;

/// The widths that the gap may have, m: fixed, or whatever leaves room for the area and for magnets.
pub(crate) fn gaps(wish: &Wish) -> Option<[f64; 2]> {
    let room = wish.space.height - 4.0 * THINNEST;
    match wish.goal {
        Goal::Gap { gap, .. } if room > gap => Some([gap, gap]),
        Goal::Even { distance, .. } => {
            let least = (2.0 * distance).max(4.0 * THINNEST);
            (room > least).then_some([least, room])
        }
        _ => None,
    }
}

pub(super) fn free(family: Family, wish: &Wish) -> Option<usize> {
    let [low, high] = gaps(wish)?;
    let spacing = usize::from(high > low);
    let wide = wish.space.diameter() > 4.0 * LEAST_HOLE;
    match family {
        Family::FacingDiscs => Some(2 + spacing),
        Family::FacingRings => (wide && spacing == 1).then_some(4),
        Family::FacingBlocks => Some(3 + spacing),
        Family::FacingTapers => (wide && spacing == 0).then_some(3),
        _ => None,
    }
}

pub(super) fn draft(family: Family, wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let [low, high] = gaps(wish)?;
    let gap = if high > low { shares.size(low, high)? } else { low };
    let most = 0.5 * (space.height - gap);
    let [lower, upper] = match family {
        Family::FacingDiscs => {
            let diameter = shares.across("diameter", 2.0 * THINNEST, space)?;
            let thickness = shares.chosen("thickness", THINNEST, most)?;
            [
                Solid::Plain(Shape::Disc { diameter, thickness }),
                Solid::Plain(Shape::Disc { diameter, thickness }),
            ]
        }
        Family::FacingRings => {
            let outer = shares.across("outer diameter", 4.0 * LEAST_HOLE, space)?;
            let hole = shares.chosen("hole", LEAST_HOLE, outer - 2.0 * LEAST_HOLE)?;
            let thickness = shares.chosen("thickness", THINNEST, most)?;
            let ring = Solid::Plain(Shape::Ring {
                outer_diameter: outer,
                inner_diameter: hole,
                thickness,
            });
            [ring.clone(), ring]
        }
        Family::FacingBlocks => {
            let [longest, _] = sides(&space.across, 0.0);
            let length = shares.chosen("length", space.narrowest(2.0 * THINNEST, longest), longest)?;
            let [_, widest] = sides(&space.across, length);
            let width = shares.chosen("width", THINNEST, widest)?;
            let thickness = shares.chosen("thickness", THINNEST, most)?;
            let block = Solid::Plain(Shape::Block {
                length,
                width,
                thickness,
            });
            [block.clone(), block]
        }
        _ => {
            let base = shares.across("base diameter", 4.0 * THINNEST, space)?;
            let top = shares.part_of("top diameter", base, [NARROWEST, 0.98])?;
            let thickness = shares.chosen("thickness", THINNEST, most)?;
            [
                Solid::Turned(Profile::frustum(base, top, thickness).ok()?),
                Solid::Turned(Profile::frustum(top, base, thickness).ok()?),
            ]
        }
    };
    shares.given("gap", gap);
    let mut lower = Piece::new(lower, UP, [0.0; 3]);
    let away = 0.5 * gap + lower.half_sizes()[2];
    lower.centre[2] = -away;
    Some(Draft {
        family,
        sizes: shares.taken(),
        magnets: vec![lower, Piece::new(upper, UP, [0.0, 0.0, away])],
        steel: Vec::new(),
    })
}
