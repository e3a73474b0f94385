//! A coupling by its faces: two equal rotors, each a circle of arcs whose poles alternate, across a gap.

use std::f64::consts::PI;

use magnetics::Solid;
use magnetics::arc::Arc;

use super::{Chooser, THINNEST};
use crate::draft::{Draft, Piece};
use crate::family::Family;
use crate::wish::{Goal, Wish};

/// Poles on a rotor.
const POLES: [usize; 4] = [4, 6, 8, 12];

/// How many choices of poles there are.
pub(super) const CHOICES: usize = POLES.len();
/// Opening of an arc over its share of the circle: what is left is for glue and for slots; common practice, no source.
const FILLED: f64 = 0.95;
/// Smallest diameter, m.
const SMALLEST: f64 = 6e-3;

pub(super) fn free(wish: &Wish) -> Option<usize> {
    match wish.goal {
        Goal::Turn { gap, .. } => {
            (wish.space.diameter() > SMALLEST && wish.space.height > gap + 4.0 * THINNEST).then_some(4)
        }
        _ => None,
    }
}

pub(super) fn draft(wish: &Wish, shares: &mut Chooser) -> Option<Draft> {
    let Goal::Turn { gap, .. } = wish.goal else {
        return None;
    };
    let space = &wish.space;
    let outer_diameter = shares.across("outer diameter", SMALLEST, space)?;
    let inner_diameter = shares.part_of("inner diameter", outer_diameter, [0.15, 0.85])?;
    let thickness = shares.chosen("thickness", THINNEST, 0.5 * (space.height - gap))?;
    let poles = POLES.get(shares.index()?).copied()?;
    shares.given("gap", gap);
    let pitch = 2.0 * PI / poles as f64;
    let arc = Arc {
        outer_diameter,
        inner_diameter,
        angle: FILLED * pitch,
        thickness,
    };
    let away = 0.5 * (gap + thickness);
    // At the largest torque the rotors stand half a pole apart.
    let rotor = |height: f64, ahead: f64| {
        (0..poles).map(move |k| Piece {
            solid: Solid::Arc(arc),
            along: [0.0, 0.0, if k % 2 == 0 { 1.0 } else { -1.0 }],
            centre: [0.0, 0.0, height],
            turn: (k as f64 + ahead) * pitch,
        })
    };
    Some(Draft {
        family: Family::Coupling,
        sizes: shares.taken(),
        magnets: rotor(-away, 0.0).chain(rotor(away, 0.5)).collect(),
        steel: Vec::new(),
    })
}
