//! Which arrangements the pieces of a shelf could make for a wish, before it is known what they do.

use std::collections::BTreeMap;

use magnetics::Shape;

use super::assemble::Pick;
use super::{Offer, Shelf};
use crate::family::Family;
use crate::recipes;
use crate::wish::{Area, Goal, Wish};

/// Most pieces of one kind in a build.
pub const MOST_ALIKE: usize = 5;
/// Most magnets of a shelf that are looked at for one family, evenly over their sizes.
pub const MOST_PIECES: usize = 4000;
/// Most of one material that stacks are made of: the number of stacks goes with its third power.
const MOST_STACKED: usize = 40;
/// Most pieces of a stack.
const MOST_HIGH: usize = 3;
/// Sides of a block within this share of each other are one.
const SAME: f64 = 0.01;
/// By how much what fills a space may be narrower than it: pieces are sold in whole sizes.
const NEARLY: f64 = 0.02;
/// Diameter of a back-plate over that of its magnet, at least and at most.
const PLATES: [f64; 2] = [0.8, 1.6];

/// The arrangements of a family that fit the space of a wish and are on hand at least once.
pub(super) fn picks(wish: &Wish, family: Family, shelf: &Shelf) -> Vec<Pick> {
    let pieces = distinct(shelf);
    let alone = |wanted: fn(&Shape) -> bool| -> Vec<usize> {
        let of_form = |&index: &usize| shelf.pieces.get(index).is_some_and(|piece| wanted(&piece.shape));
        thinned(pieces.iter().copied().filter(of_form).collect(), MOST_PIECES)
    };
    let discs = || alone(|shape| matches!(shape, Shape::Disc { .. }));
    let rings = || alone(|shape| matches!(shape, Shape::Ring { .. }));
    let blocks = || alone(|shape| matches!(shape, Shape::Block { .. }));
    let equal = |pieces: Vec<usize>, count: usize| -> Vec<Pick> {
        let pick = |index| Pick::new(family, vec![index; count]);
        pieces.into_iter().map(pick).collect()
    };
    let found = match family {
        Family::Disc => equal(discs(), 1),
        Family::Ring => equal(rings(), 1),
        Family::Block => both_ways(equal(blocks(), 1)),
        Family::Stepped => stacks(shelf, alone(|shape| !matches!(shape, Shape::Block { .. }))),
        Family::Opposed => both_ways(equal(blocks(), 2)),
        Family::AlternatingRow => both_ways(equal(blocks(), 4)),
        Family::Focused => square_seen(shelf, equal(blocks(), 3)),
        Family::HalbachRow => square_seen(shelf, equal(blocks(), MOST_ALIKE)),
        Family::FacingDiscs => equal(discs(), 2),
        Family::FacingRings => equal(rings(), 2),
        Family::FacingBlocks => both_ways(equal(blocks(), 2)),
        Family::BackPlate => backed(shelf, &discs()),
        Family::Taper | Family::PoleTip | Family::Cup | Family::FacingTapers | Family::Yoke | Family::Coupling => {
            Vec::new()
        }
    };
    let with_gap = |mut pick: Pick| {
        pick.gap = match wish.goal {
            Goal::Gap { gap, .. } => gap,
            // The least there may be, until the best is looked for.
            Goal::Even { .. } if family.is_around() => recipes::gaps(wish)?[0],
            _ => 0.0,
        };
        Some(pick)
    };
    found
        .into_iter()
        .filter_map(with_gap)
        .filter(|pick| fits(pick, wish, shelf) && on_hand(pick, shelf) != Some(0))
        .collect()
}

/// For how many builds there are pieces; `None` where the shelf does not say.
pub(super) fn on_hand(pick: &Pick, shelf: &Shelf) -> Option<u64> {
    let of = |offer: &Offer, count: usize| offer.on_hand.map(|pieces| pieces / count.max(1) as u64);
    let magnets = pick.pieces.iter().filter_map(|index| {
        let count = pick.pieces.iter().filter(|other| *other == index).count();
        of(&shelf.pieces.get(*index)?.offer, count)
    });
    let plate = pick.plate.and_then(|index| of(&shelf.plates.get(index)?.offer, 1));
    magnets.chain(plate).min()
}

/// Whether its outsides lie within the space, and fill it where that is asked.
fn fits(pick: &Pick, wish: &Wish, shelf: &Shelf) -> bool {
    let Some(draft) = pick.draft(shelf, false) else {
        return false;
    };
    let space = &wish.space;
    let [x, _] = draft.reach();
    let width = match space.across {
        Area::Round(diameter) => diameter,
        Area::Box([length, _]) => length,
    };
    recipes::fits(&draft, space) && (!space.filled || 2.0 * x >= (1.0 - NEARLY) * width)
}

/// The magnets of a shelf by stuff and size, of those that are alike the one that costs least for a lot; those of which there is none are left out.
fn distinct(shelf: &Shelf) -> Vec<usize> {
    // Tenths of a micrometre: what is written down as one size is one.
    let key = |index: usize| -> Option<(usize, u8, [i64; 4])> {
        let piece = shelf.pieces.get(index)?;
        let (kind, [a, b, c]) = match piece.shape {
            Shape::Disc { diameter, thickness } => (0, [diameter, 0.0, thickness]),
            Shape::Ring {
                outer_diameter,
                inner_diameter,
                thickness,
            } => (1, [outer_diameter, inner_diameter, thickness]),
            Shape::Block {
                length,
                width,
                thickness,
            } => (2, [length, width, thickness]),
            Shape::Sphere { .. } => return None,
        };
        Some((
            piece.stuff,
            kind,
            [a, b, c, piece.plating].map(|size| (size * 1e7).round() as i64),
        ))
    };
    let mut cheapest: BTreeMap<(usize, u8, [i64; 4]), usize> = BTreeMap::new();
    for (index, piece) in shelf.pieces.iter().enumerate() {
        let Some(key) = key(index).filter(|_| piece.offer.on_hand != Some(0)) else {
            continue;
        };
        let price = |index: usize| {
            let bought = shelf.pieces.get(index).and_then(|piece| piece.offer.bought.first());
            let sum = bought.and_then(super::Bought::sum);
            (sum.is_none(), sum)
        };
        let best = cheapest.entry(key).or_insert(index);
        if price(index) < price(*best) {
            *best = index;
        }
    }
    cheapest.into_values().collect()
}

/// At most so many of a list, evenly over it.
fn thinned(list: Vec<usize>, most: usize) -> Vec<usize> {
    let count = list.len();
    if count <= most {
        return list;
    }
    (0..most).filter_map(|k| list.get(k * count / most).copied()).collect()
}

/// Each with the length of its blocks along `x`, and with their width, where these differ.
fn both_ways(picks: Vec<Pick>) -> Vec<Pick> {
    let turned = |pick: &Pick| Pick {
        turned: true,
        ..pick.clone()
    };
    picks.into_iter().flat_map(|pick| [turned(&pick), pick]).collect()
}

/// Of blocks that stand and lie in one row those that are as high lying as standing.
fn square_seen(shelf: &Shelf, picks: Vec<Pick>) -> Vec<Pick> {
    let square = |pick: &Pick| {
        let shape = pick
            .pieces
            .first()
            .and_then(|&index| shelf.pieces.get(index))
            .map(|piece| piece.shape);
        let Some(Shape::Block {
            length,
            width,
            thickness,
        }) = shape
        else {
            return false;
        };
        let side = if pick.turned { width } else { length };
        (side / thickness - 1.0).abs() <= SAME
    };
    both_ways(picks).into_iter().filter(square).collect()
}

/// Stacks of two and three pieces of one material, none wider than the one below.
fn stacks(shelf: &Shelf, pieces: Vec<usize>) -> Vec<Pick> {
    let mut by_stuff: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for index in pieces {
        if let Some(piece) = shelf.pieces.get(index) {
            by_stuff.entry(piece.stuff).or_default().push(index);
        }
    }
    let width = |index: usize| shelf.pieces.get(index).map_or(0.0, |piece| piece.shape.widest());
    let mut stacks = Vec::new();
    for of_one in by_stuff.into_values() {
        let of_one = thinned(of_one, MOST_STACKED);
        let mut standing: Vec<Vec<usize>> = of_one.iter().map(|&index| vec![index]).collect();
        for _ in 1..MOST_HIGH {
            standing = standing
                .iter()
                .flat_map(|below| {
                    let widest = below.last().map_or(0.0, |&top| width(top));
                    of_one
                        .iter()
                        .filter(move |&&index| width(index) <= widest)
                        .map(|&index| {
                            let mut higher = below.clone();
                            higher.push(index);
                            higher
                        })
                })
                .collect();
            stacks.extend(standing.iter().map(|pieces| Pick::new(Family::Stepped, pieces.clone())));
        }
    }
    stacks
}

/// Discs on each plate that is about as wide.
fn backed(shelf: &Shelf, discs: &[usize]) -> Vec<Pick> {
    let on = |index: usize| {
        let wide = shelf.pieces.get(index).map_or(0.0, |piece| piece.shape.widest());
        let serves =
            move |(_, plate): &(usize, &super::Plate)| (PLATES[0] * wide..=PLATES[1] * wide).contains(&plate.diameter);
        let pick = move |(plate, _)| Pick {
            plate: Some(plate),
            ..Pick::new(Family::BackPlate, vec![index])
        };
        shelf.plates.iter().enumerate().filter(serves).map(pick)
    };
    discs.iter().flat_map(|&index| on(index)).collect()
}
