//! Magnets that narrow towards the face: discs of falling diameter, and a cut cone on a cylinder.

use magnetics::Solid;
use magnetics::profile::Profile;

use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece, UP};
use crate::family::Family;
use crate::wish::{Goal, Wish};

/// Narrowest face over the base.
const NARROWEST: f64 = 0.1;

pub(super) fn free(family: Family, wish: &Wish) -> Option<usize> {
    let serves = matches!(wish.goal, Goal::Reach { .. }) && wish.space.height > 6.0 * THINNEST;
    match family {
        Family::Stepped => serves.then_some(6),
        Family::Taper => serves.then_some(4),
        _ => None,
    }
}

pub(super) fn draft(family: Family, wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let mut magnets = Vec::new();
    let base = shares.across("base diameter", 4.0 * THINNEST, space)?;
    let height = shares.size(6.0 * THINNEST, space.height)?;
    if family == Family::Stepped {
        let middle = base * shares.part(NARROWEST, 1.0)?;
        let top = middle * shares.part(NARROWEST, 1.0)?;
        let above = (height - 2.0 * THINNEST) * shares.part(0.05, 0.9)? + 2.0 * THINNEST;
        let cap = THINNEST + (above - 2.0 * THINNEST) * shares.part(0.1, 0.9)?;
        let below = (height - above).max(THINNEST);
        let step = above - cap;
        let middle = shares.note("middle diameter", middle);
        let top = shares.note("top diameter", top);
        let below = shares.note("base thickness", below);
        let step = shares.note("middle thickness", step);
        let cap = shares.note("top thickness", cap);
        magnets.push(Piece::disc(base, below, -(cap + step + below)));
        magnets.push(Piece::disc(middle, step, -(cap + step)));
        magnets.push(Piece::disc(top, cap, -cap));
    } else {
        let top = shares.part_of("top diameter", base, [NARROWEST, 0.98])?;
        let cone = THINNEST + (height - 2.0 * THINNEST) * shares.part(0.02, 1.0)?;
        let below = (height - cone).max(THINNEST);
        let cone = shares.note("height of the cone", cone);
        let below = shares.note("height of the cylinder", below);
        let frustum = Profile::frustum(base, top, cone).ok()?;
        magnets.push(Piece::disc(base, below, -(cone + below)));
        magnets.push(Piece::new(Solid::Turned(frustum), UP, [0.0, 0.0, -0.5 * cone]));
    }
    Some(Draft {
        family,
        sizes: shares.taken(),
        magnets,
        steel: Vec::new(),
    })
}
