//! How a build is put together: in which order, which way each pole points, and what is felt on the way.
//!
//! Forces are those of magnets that have lost nothing of their remanence, so that they are felt at most so: closed forms and quadrature of [`magnetics::load`](mod@magnetics::load),
//! and the mirror image for a plate. A piece is looked at where it belongs and at some places on its way there, the largest is told.

use magnetics::Placed;
use magnetics::load::{load_until, plate_pull_until};
use numerics::stop::Stop;
use numerics::vector::{Vector, dot, length, scale};

use super::assemble::{Pick, is_row};
use super::{Shelf, Taken};
use crate::draft::{Draft, UP};
use crate::family::Family;

/// How far a piece is from where it belongs when it is looked at, over its largest size.
const WAY: [f64; 4] = [0.0, 0.1, 0.3, 1.0];

/// Which way a piece is pulled as it is brought to its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// To its place.
    In,
    /// Back to where it comes from.
    Away,
    /// Down onto the pieces below, or out of the row.
    Down,
    /// Up, off the pieces below, or out of the row.
    Up,
}

/// What is felt as a piece is brought to its place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Felt {
    /// Largest force on the way, N.
    pub force: f64,
    /// Which way that force pulls.
    pub sense: Sense,
    /// Largest torque on the way, N m.
    pub torque: f64,
}

/// One step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// What is set.
    pub taken: Taken,
    /// Direction of its north pole; `None` for steel.
    pub pole: Option<Vector>,
    /// What is felt; `None` for the first.
    pub felt: Option<Felt>,
}

/// How a build is put together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Joining {
    /// The steps; none for a single piece.
    pub steps: Vec<Step>,
    /// The force with which a pair meets where its gap is not held open, N.
    pub closed: Option<f64>,
}

/// How a pick is put together, its magnets inside their plating as in `draft`. What cannot be computed is left out.
pub(super) fn joining(pick: &Pick, shelf: &Shelf, draft: &Draft, stop: &Stop) -> Joining {
    let placed = draft.magnets.iter().zip(&pick.pieces).map(|(piece, &index)| {
        let stuff = shelf.pieces.get(index)?.stuff;
        piece.placed(shelf.stuffs().get(stuff)?.remanence).ok()
    });
    let Some(placed) = placed.collect::<Option<Vec<Placed>>>() else {
        return Joining::default();
    };
    if placed.len() + draft.steel.len() < 2 {
        return Joining::default();
    }
    let plate = pick.plate.map(|index| Step {
        taken: Taken::Plate(index),
        pole: None,
        felt: None,
    });
    let from = if is_row(pick.family) || pick.family == Family::Stepped {
        [1.0, 0.0, 0.0]
    } else {
        UP
    };
    let magnets = pick.pieces.iter().enumerate().filter_map(|(place, &index)| {
        let pole = draft.magnets.get(place)?.direction();
        let (before, this) = (placed.get(..place)?, placed.get(place)?);
        let felt = if pick.plate.is_some() {
            on_plate(this, shelf.pieces.get(index)?.plating, stop)
        } else if before.is_empty() {
            None
        } else {
            on_the_way(this, before, from, stop)
        };
        Some(Step {
            taken: Taken::Magnet(index),
            pole: Some(pole),
            felt,
        })
    });
    let steps = plate.into_iter().chain(magnets).collect();
    let closed = pick
        .family
        .is_around()
        .then(|| closed(&placed, pick.gap, stop))
        .flatten();
    Joining { steps, closed }
}

/// What a piece feels of those that are in place already, as it comes from that side.
fn on_the_way(piece: &Placed, before: &[Placed], from: Vector, stop: &Stop) -> Option<Felt> {
    let (_, radius) = piece.bounding_ball();
    let mut most: Option<Felt> = None;
    for share in WAY {
        let there = piece.moved(scale(from, 2.0 * radius * share)).ok()?;
        let load = load_until(&there, before, stop).ok()?;
        let (force, torque) = (length(load.force), length(load.torque));
        let along = dot(load.force, from);
        // What stands is alike on both sides of the way, so that what is not along it is up or down.
        let sense = if along.abs() < 0.5 * force {
            if load.force[2] < 0.0 { Sense::Down } else { Sense::Up }
        } else if along < 0.0 {
            Sense::In
        } else {
            Sense::Away
        };
        let felt = most.get_or_insert(Felt { force, sense, torque });
        if force > felt.force {
            (felt.force, felt.sense) = (force, sense);
        }
        felt.torque = felt.torque.max(torque);
    }
    most
}

/// What a magnet feels of a plate that it lies on with its plating: the mirror image, which is above what any real plate pulls with.
fn on_plate(piece: &Placed, plating: f64, stop: &Stop) -> Option<Felt> {
    let (force, _) = plate_pull_until(std::slice::from_ref(piece), plating, stop).ok()?;
    Some(Felt {
        force,
        sense: Sense::In,
        torque: 0.0,
    })
}

/// The force with which the second of a pair meets the first when a gap is not held open.
fn closed(placed: &[Placed], gap: f64, stop: &Stop) -> Option<f64> {
    let [lower, upper] = placed else { return None };
    let met = upper.moved([0.0, 0.0, -gap]).ok()?;
    let load = load_until(&met, std::slice::from_ref(lower), stop).ok()?;
    Some(length(load.force))
}
