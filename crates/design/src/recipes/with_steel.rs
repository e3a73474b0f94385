//! Magnets that carry steel: a pole tip, a back-plate, a cup, a closed yoke around a pair.

use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece, SteelPart};
use crate::family::Family;
use crate::wish::{Goal, Wish};

/// Thinnest steel that is turned, m; common practice, no source.
const THINNEST_STEEL: f64 = 1e-3;
/// Room between the rim of a magnet and the wall of a cup, over the diameter, at least and at most.
const ROOM: [f64; 2] = [0.02, 0.4];

pub(super) fn free(family: Family, wish: &Wish) -> Option<usize> {
    let space = &wish.space;
    let (goal, count, across, along) = match family {
        Family::PoleTip => (
            matches!(wish.goal, Goal::Reach { .. }),
            4,
            4.0 * THINNEST,
            4.0 * THINNEST,
        ),
        Family::BackPlate => (
            matches!(wish.goal, Goal::Hold { .. }),
            4,
            4.0 * THINNEST,
            THINNEST + THINNEST_STEEL,
        ),
        Family::Cup => (
            matches!(wish.goal, Goal::Hold { .. }),
            5,
            4.0 * THINNEST + 4.0 * THINNEST_STEEL,
            THINNEST + THINNEST_STEEL,
        ),
        Family::Yoke => {
            let gap = match wish.goal {
                Goal::Gap { gap, .. } => Some(gap),
                _ => None,
            };
            (
                gap.is_some(),
                4,
                8.0 * THINNEST + 4.0 * THINNEST_STEEL,
                gap.unwrap_or(0.0) + 4.0 * THINNEST + 2.0 * THINNEST_STEEL,
            )
        }
        _ => return None,
    };
    (goal && space.diameter() > across && space.height > along).then_some(count)
}

pub(super) fn draft(family: Family, wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    match family {
        Family::PoleTip => pole_tip(wish, shares),
        Family::BackPlate => back_plate(wish, shares),
        Family::Cup => cup(wish, shares),
        Family::Yoke => yoke(wish, shares),
        _ => None,
    }
}

/// A disc below a cut cone of steel whose narrow end is at the face.
fn pole_tip(wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let diameter = shares.across("diameter", 4.0 * THINNEST, space)?;
    let end = shares.part_of("end of the tip", diameter, [0.1, 1.0])?;
    let height = shares.size(4.0 * THINNEST, space.height)?;
    let tip = shares.part_of("height of the tip", height, [0.05, 0.6])?;
    let thickness = shares.note("thickness", height - tip);
    let height = tip + thickness;
    let profile = vec![[0.0, -tip], [0.5 * diameter, -tip], [0.5 * end, 0.0], [0.0, 0.0]];
    Some(Draft {
        family: Family::PoleTip,
        sizes: shares.taken(),
        magnets: vec![Piece::disc(diameter, thickness, -height)],
        steel: vec![SteelPart {
            name: "pole tip",
            profile,
        }],
    })
}

/// A disc with a plate behind it.
fn back_plate(wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let diameter = shares.across("diameter", 4.0 * THINNEST, space)?;
    let plate = shares.chosen("diameter of the plate", diameter, space.diameter())?;
    let steel = shares.size(THINNEST_STEEL, (0.6 * space.height).min(space.height - THINNEST))?;
    let thickness = shares.chosen("thickness", THINNEST, space.height - steel)?;
    let steel = shares.note("thickness of the plate", steel);
    let [low, high] = [-(thickness + steel), -thickness];
    Some(Draft {
        family: Family::BackPlate,
        sizes: shares.taken(),
        magnets: vec![Piece::disc(diameter, thickness, -thickness)],
        steel: vec![SteelPart {
            name: "back-plate",
            profile: vec![[0.0, low], [0.5 * plate, low], [0.5 * plate, high], [0.0, high]],
        }],
    })
}

/// A disc in a cup whose rim is level with its face.
fn cup(wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let space = &wish.space;
    let least = 4.0 * THINNEST + 4.0 * THINNEST_STEEL;
    let outer = shares.across("outer diameter of the cup", least, space)?;
    let wall = shares.size(THINNEST_STEEL, 0.25 * outer)?;
    let inner = outer - 2.0 * wall;
    let diameter = inner / (1.0 + shares.part(ROOM[0], ROOM[1])?);
    let floor = shares.size(THINNEST_STEEL, (0.6 * space.height).min(space.height - THINNEST))?;
    let thickness = shares.size(THINNEST, space.height - floor)?;
    let inner = shares.note("inner diameter of the cup", inner);
    let floor = shares.note("floor of the cup", floor);
    let diameter = shares.note("diameter", diameter);
    let thickness = shares.note("thickness", thickness);
    let (a, b) = (0.5 * inner, 0.5 * outer);
    let bottom = -(thickness + floor);
    Some(Draft {
        family: Family::Cup,
        sizes: shares.taken(),
        magnets: vec![Piece::disc(diameter, thickness, -thickness)],
        steel: vec![SteelPart {
            name: "cup",
            profile: vec![
                [0.0, bottom],
                [b, bottom],
                [b, 0.0],
                [a, 0.0],
                [a, -thickness],
                [0.0, -thickness],
            ],
        }],
    })
}

/// Two discs on the floors of a closed shell. Where the gap must be reached from the side, the shell is cut open there, which costs a little.
fn yoke(wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let Goal::Gap { gap, .. } = wish.goal else {
        return None;
    };
    let space = &wish.space;
    let least = 8.0 * THINNEST + 4.0 * THINNEST_STEEL;
    let outer = shares.across("outer diameter of the yoke", least, space)?;
    let room = 0.5 * (space.height - gap);
    let wall = shares.chosen("wall of the yoke", THINNEST_STEEL, (0.2 * outer).min(room - THINNEST))?;
    let inner = outer - 2.0 * wall;
    let diameter = shares.part_of("diameter", inner, [0.2, 0.9])?;
    let thickness = shares.chosen("thickness", THINNEST, (room - wall).max(THINNEST))?;
    shares.given("gap", gap);
    let face = 0.5 * gap;
    let floor = face + thickness;
    let (a, b) = (0.5 * inner, 0.5 * outer);
    let top = floor + wall;
    Some(Draft {
        family: Family::Yoke,
        sizes: shares.taken(),
        magnets: vec![
            Piece::disc(diameter, thickness, -floor),
            Piece::disc(diameter, thickness, face),
        ],
        steel: vec![SteelPart {
            name: "yoke",
            profile: vec![
                [0.0, -top],
                [b, -top],
                [b, top],
                [0.0, top],
                [0.0, floor],
                [a, floor],
                [a, -floor],
                [0.0, -floor],
            ],
        }],
    })
}
