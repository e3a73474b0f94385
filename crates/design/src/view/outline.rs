//! Outlines of a draft seen from the front: across and along the axis.

use magnetics::{Shape, Solid};
use serde::Serialize;
use utoipa::ToSchema;

use crate::draft::{Draft, Piece};

/// One outline, in millimetres across and along the axis, upwards.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Outline {
    /// Whether it is steel rather than magnet.
    pub steel: bool,
    /// Its corners: across, along.
    pub corners: Vec<Point>,
    /// Direction of its polarisation: across, along; none for steel.
    pub along: Option<Point>,
}

/// A place or a direction in the picture.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, ToSchema)]
pub struct Point {
    /// Across the axis.
    pub x: f64,
    /// Along the axis, upwards.
    pub z: f64,
}

const MM: f64 = 1e3;

fn point([x, z]: [f64; 2]) -> Point {
    Point { x: x * MM, z: z * MM }
}

/// Both sides of a half section; one outline where it reaches the axis, two where it does not.
fn both_sides(section: &[[f64; 2]], steel: bool, along: Option<Point>) -> Vec<Outline> {
    let side = |sign: f64| Outline {
        steel,
        corners: section.iter().map(|[r, z]| point([sign * r, *z])).collect(),
        along,
    };
    vec![side(1.0), side(-1.0)]
}

fn of_piece(piece: &Piece) -> Vec<Outline> {
    let [x, _, z] = piece.direction();
    let along = Some(Point { x, z });
    let half = piece.half_sizes();
    let low = piece.centre[2] - half[2];
    let high = piece.centre[2] + half[2];
    let rectangle = |from: f64, to: f64| Outline {
        steel: false,
        corners: [[from, low], [to, low], [to, high], [from, high]].map(point).to_vec(),
        along,
    };
    match &piece.solid {
        Solid::Plain(Shape::Block { .. }) => {
            vec![rectangle(piece.centre[0] - half[0], piece.centre[0] + half[0])]
        }
        Solid::Arc(arc) => {
            // As a drum seen from the side: from one end of the arc to the other.
            let ends = [-0.5, 0.5].map(|end| 0.5 * arc.outer_diameter * (piece.turn + end * arc.angle).sin());
            let front = piece.turn.cos() > 0.0;
            if front {
                vec![rectangle(ends[0], ends[1])]
            } else {
                Vec::new()
            }
        }
        _ => piece
            .section()
            .map(|section| both_sides(&section, false, along))
            .unwrap_or_default(),
    }
}

/// All outlines of a draft, the magnets first.
pub(super) fn outlines(draft: &Draft) -> Vec<Outline> {
    let magnets = draft.magnets.iter().flat_map(of_piece);
    let steel = draft
        .steel
        .iter()
        .flat_map(|part| both_sides(&part.profile, true, None));
    magnets.chain(steel).collect()
}
