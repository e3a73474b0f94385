//! Where the field is looked at: over the spot, over the area, and around the whole for what strays.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use numerics::quadrature::unit_rule;
use numerics::vector::Vector;

use crate::draft::Draft;
use crate::wish::{Area, Goal};

/// How far beside and behind the whole its stray field is looked at, m.
pub const STRAY_AWAY: f64 = 0.05;

static FOUR: LazyLock<[(f64, f64); 4]> = LazyLock::new(unit_rule);

/// Directions in a quarter turn: drafts are alike on both sides of the planes through the axis.
const ASIDE: usize = 4;

/// Height of what the magnet works on, m.
pub(super) fn height(goal: &Goal, draft: &Draft) -> f64 {
    match *goal {
        _ if draft.family.is_around() => 0.0,
        Goal::Reach { distance, .. } | Goal::Even { distance, .. } => distance,
        Goal::Hold { gap, .. } => gap,
        Goal::Gap { .. } | Goal::Turn { .. } => 0.0,
    }
}

/// Places over a spot with their weights, which add up to 1.
pub(super) fn over_spot(spot: f64, height: f64, turned: bool) -> Vec<(Vector, f64)> {
    if spot <= 0.0 {
        return vec![([0.0, 0.0, height], 1.0)];
    }
    let aside = if turned { 1 } else { ASIDE };
    let mut places = Vec::new();
    for &(share, weight) in FOUR.iter() {
        let radius = 0.5 * spot * share.sqrt();
        for k in 0..aside {
            let angle = (k as f64 + 0.5) / aside as f64 * FRAC_PI_2;
            let (sin, cos) = angle.sin_cos();
            places.push(([radius * cos, radius * sin, height], weight / aside as f64));
        }
    }
    places
}

/// Places over a quarter of an area, its rim and corners among them.
pub(super) fn over_area(area: &Area, height: f64, turned: bool) -> Vec<Vector> {
    const SHARES: [f64; 4] = [0.0, 0.5, 0.8, 1.0];
    match *area {
        Area::Box([a, b]) if !turned => SHARES
            .iter()
            .flat_map(|x| SHARES.map(|y| [0.5 * a * x, 0.5 * b * y, height]))
            .collect(),
        _ => {
            let angles: &[f64] = if turned { &[0.0] } else { &[0.0, 0.25 * PI, FRAC_PI_2] };
            SHARES
                .iter()
                .flat_map(|share| {
                    let radius = share * area.reach();
                    angles
                        .iter()
                        .map(move |angle| [radius * angle.cos(), radius * angle.sin(), height])
                })
                .collect()
        }
    }
}

/// The least and the largest of some values.
pub(super) fn ends(values: impl Iterator<Item = f64>) -> [f64; 2] {
    values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], value| {
        [low.min(value), high.max(value)]
    })
}

/// Places beside the whole and behind it; behind is below.
pub(super) fn around(draft: &Draft) -> [Vector; 3] {
    let [x, y] = draft.reach();
    let [low, high] = draft.span();
    let middle = 0.5 * (low + high);
    [
        [x + STRAY_AWAY, 0.0, middle],
        [0.0, y + STRAY_AWAY, middle],
        [0.0, 0.0, low - STRAY_AWAY],
    ]
}
