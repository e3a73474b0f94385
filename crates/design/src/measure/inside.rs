//! Places inside a piece: those over which its mean field is taken, and those where it is worst.

use std::f64::consts::PI;

use magnetics::{Shape, Solid};
use numerics::vector::Vector;

use crate::draft::Piece;

/// How far below its surface a piece is looked at, as a share of its size: nearer to edges the field rises without end, in ever less of the volume.
pub(super) const DEPTH: f64 = 0.03;

/// Gauss places on 0 to 1, two of them, of equal weight.
const TWO: [f64; 2] = [0.211_324_865_405_187_1, 0.788_675_134_594_812_9];

/// Places in space with their weights, which add up to 1, over which the mean is taken.
pub(super) fn mean(piece: &Piece) -> Vec<(Vector, f64)> {
    let mut places = spread(piece, &TWO, &TWO, &TWO);
    let sum: f64 = places.iter().map(|(_, weight)| weight).sum();
    for (_, weight) in &mut places {
        *weight /= sum;
    }
    places
}

/// Places in space where the field is worst: just below faces, edges and corners, and in the middles.
pub(super) fn worst(piece: &Piece) -> Vec<Vector> {
    let ends = [DEPTH, 0.5, 1.0 - DEPTH];
    // Of a round body by area: the rim is at a share of 1, its middle or its hole at 0.
    let hollow = matches!(piece.solid, Solid::Plain(Shape::Ring { .. }) | Solid::Arc(_));
    let innermost = if hollow { DEPTH } else { 0.0 };
    let places = spread(piece, &ends, &[innermost, 0.4, (1.0 - DEPTH) * (1.0 - DEPTH)], &ends);
    places.into_iter().map(|(place, _)| place).collect()
}

/// Products of shares: of a block along its three sides, of others around, outwards by area and along the axis.
fn spread(piece: &Piece, first: &[f64], second: &[f64], third: &[f64]) -> Vec<(Vector, f64)> {
    let [hx, hy, hz] = piece.half_sizes();
    let mut places = Vec::new();
    let mut add = |local: Vector, weight: f64| places.push((piece.to_space(local), weight));
    if let Solid::Plain(Shape::Block { .. }) = piece.solid {
        for x in first {
            for y in first {
                for z in third {
                    add([(2.0 * x - 1.0) * hx, (2.0 * y - 1.0) * hy, (2.0 * z - 1.0) * hz], 1.0);
                }
            }
        }
        return places;
    }
    let (inner, span) = match &piece.solid {
        Solid::Plain(Shape::Ring { inner_diameter, .. }) => (0.5 * inner_diameter, 0.0),
        Solid::Arc(arc) => (0.5 * arc.inner_diameter, arc.angle.min(2.0 * PI)),
        _ => (0.0, 0.0),
    };
    let around: Vec<f64> = if span > 0.0 {
        first.iter().map(|share| (share - 0.5) * span).collect()
    } else {
        vec![0.0]
    };
    for z in third {
        let height = (2.0 * z - 1.0) * hz;
        let outer = match &piece.solid {
            Solid::Turned(profile) => reach_at(profile.corners(), height),
            _ => hx,
        };
        for share in second {
            let radius = (inner * inner + share * (outer * outer - inner * inner)).sqrt();
            for angle in &around {
                let (sin, cos) = angle.sin_cos();
                add([radius * cos, radius * sin, height], outer * outer - inner * inner);
            }
        }
    }
    places
}

/// Largest radius of an outline at a height, m.
fn reach_at(corners: &[[f64; 2]], height: f64) -> f64 {
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .filter(|(a, b)| (a[1] - height) * (b[1] - height) <= 0.0 && a[1] != b[1])
        .map(|(a, b)| a[0] + (b[0] - a[0]) * (height - a[1]) / (b[1] - a[1]))
        .fold(0.0, f64::max)
}
