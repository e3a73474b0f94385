//! Outlines of builds, to scale.

use magnetics::Shape;
use serde::Serialize;
use utoipa::ToSchema;

use crate::answer::Candidate;
use crate::part::Form;
use crate::question::Need;
use crate::view::Pair;

/// Pieces of half an arc.
const ARC: i32 = 12;

/// Outline of a build, in millimetres whatever the units shown.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Silhouette {
    /// `disc`, `ring`, `block` or `sphere`.
    pub shape: String,
    /// Width of one piece.
    pub width_mm: f64,
    /// Height of one piece along its magnetisation.
    pub height_mm: f64,
    /// Pieces stacked.
    pub pieces: u32,
    /// Hole of a ring.
    pub hole_mm: f64,
    /// The gap and poles of a pair.
    pub pair: Option<PairView>,
    /// The steel part; absent for a bare build.
    pub part: Option<PartOutline>,
}

/// A steel part in section, in millimetres: across from the axis, and up from what the build stands on.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PartOutline {
    /// Closed outlines, each a list of points.
    #[schema(value_type = Vec<Vec<Pair>>)]
    pub outlines: Vec<Vec<[f64; 2]>>,
    /// How far the magnets are lifted: by a tip below them, or by a rim that stands out.
    pub lift_mm: f64,
    /// Width of the part.
    pub width_mm: f64,
    /// Height of magnets and part.
    pub height_mm: f64,
}

/// How two builds face each other.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct PairView {
    /// Between the faces.
    pub gap_mm: f64,
    /// Whether like poles face.
    pub like_poles: bool,
}

/// The outline of a candidate.
pub(super) fn silhouette(c: &Candidate, need: &Need) -> Silhouette {
    let pair = match need {
        Need::PullTogether { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: false,
        }),
        Need::PushApart { gap, .. } => Some(PairView {
            gap_mm: gap.si() * 1e3,
            like_poles: true,
        }),
        _ => None,
    };
    let bare = outline(&c.item.shape, c.build.pieces);
    let stack = c.item.shape.height() * f64::from(c.build.pieces);
    let rim = c.with_part.as_ref().map_or(0.0, |with| with.rim);
    Silhouette {
        pair,
        part: c.build.part.as_ref().map(|part| in_section(&part.form, stack, rim)),
        ..bare
    }
}

/// A part on a stack so high, m, that stands face down; the rim of a cup stands out by `rim`, m.
fn in_section(form: &Form, stack: f64, rim: f64) -> PartOutline {
    let lift = match form {
        Form::Cone { height, .. } | Form::Dome { height, .. } => *height,
        Form::Cup { .. } => rim.max(0.0),
        Form::Disc { .. } | Form::Washer { .. } => 0.0,
    };
    let box_of =
        |[left, right]: [f64; 2], [low, high]: [f64; 2]| vec![[left, low], [right, low], [right, high], [left, high]];
    // A hole leaves a half on each side of the axis.
    let halves = |hole: f64, outer: f64, heights: [f64; 2]| {
        if hole > 0.0 {
            vec![box_of([-outer, -hole], heights), box_of([hole, outer], heights)]
        } else {
            vec![box_of([-outer, outer], heights)]
        }
    };
    let outlines = match *form {
        Form::Disc { diameter, thickness } => halves(0.0, 0.5 * diameter, [stack, stack + thickness]),
        Form::Washer {
            outer_diameter,
            inner_diameter,
            thickness,
        } => halves(0.5 * inner_diameter, 0.5 * outer_diameter, [stack, stack + thickness]),
        Form::Cup {
            outer_diameter,
            inner_diameter,
            height,
            depth,
            hole,
        } => {
            let (bottom, ceiling) = ((-rim).max(0.0), (-rim).max(0.0) + depth);
            let walls = halves(0.5 * inner_diameter, 0.5 * outer_diameter, [bottom, ceiling]);
            let floor = halves(0.5 * hole, 0.5 * outer_diameter, [ceiling, bottom + height]);
            [walls, floor].concat()
        }
        Form::Cone { base, end, height } => {
            let [b, e] = [0.5 * base, 0.5 * end];
            vec![vec![[-e, 0.0], [e, 0.0], [b, height], [-b, height]]]
        }
        Form::Dome { base, height } => {
            let half = 0.5 * base;
            let radius = (half * half + height * height) / (2.0 * height);
            let arc = (-ARC..=ARC).map(|k| {
                let across = half * f64::from(k) / f64::from(ARC);
                [across, radius - (radius * radius - across * across).max(0.0).sqrt()]
            });
            vec![arc.collect()]
        }
    };
    let tops = outlines.iter().flatten().map(|p| p[1]);
    let height = tops.fold(lift + stack, f64::max);
    PartOutline {
        outlines: outlines
            .into_iter()
            .map(|outline| outline.into_iter().map(|p| p.map(|x| x * 1e3)).collect())
            .collect(),
        lift_mm: lift * 1e3,
        width_mm: form.widest() * 1e3,
        height_mm: height * 1e3,
    }
}

/// The outline of so many stacked pieces.
pub fn outline(shape: &Shape, pieces: u32) -> Silhouette {
    let (name, hole) = match *shape {
        Shape::Disc { .. } => ("disc", 0.0),
        Shape::Ring { inner_diameter, .. } => ("ring", inner_diameter),
        Shape::Block { .. } => ("block", 0.0),
        Shape::Sphere { .. } => ("sphere", 0.0),
    };
    Silhouette {
        shape: name.into(),
        width_mm: shape.widest() * 1e3,
        height_mm: shape.height() * 1e3,
        pieces,
        hole_mm: hole * 1e3,
        pair: None,
        part: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The extent of a section across and up, mm.
    fn extent(outline: &PartOutline) -> [f64; 4] {
        let points = outline.outlines.iter().flatten();
        points.fold(
            [f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY],
            |[a, b, c, d], p| [a.min(p[0]), b.max(p[0]), c.min(p[1]), d.max(p[1])],
        )
    }

    fn near(got: [f64; 4], wanted: [f64; 4]) -> bool {
        got.iter().zip(wanted).all(|(got, wanted)| (got - wanted).abs() <= 1e-9)
    }

    #[test]
    fn parts_stand_where_they_are_on_the_magnets() {
        let back = in_section(
            &Form::Disc {
                diameter: 20e-3,
                thickness: 2e-3,
            },
            5e-3,
            0.0,
        );
        assert!(
            near(extent(&back), [-10.0, 10.0, 5.0, 7.0]) && back.lift_mm == 0.0,
            "{back:?}"
        );
        let cup = Form::Cup {
            outer_diameter: 25e-3,
            inner_diameter: 21e-3,
            height: 7e-3,
            depth: 5e-3,
            hole: 4e-3,
        };
        // Its rim stands out and lifts the magnet, or the face stands out and lifts the rim.
        let out = in_section(&cup, 4.8e-3, 0.2e-3);
        assert!(near(extent(&out), [-12.5, 12.5, 0.0, 7.0]) && (out.lift_mm - 0.2).abs() <= 1e-9);
        let inside = in_section(&cup, 5.1e-3, -0.1e-3);
        assert!(
            near(extent(&inside), [-12.5, 12.5, 0.1, 7.1]) && inside.lift_mm == 0.0,
            "{inside:?}"
        );
        assert_eq!(inside.outlines.len(), 4);
        let dome = in_section(
            &Form::Dome {
                base: 20e-3,
                height: 4e-3,
            },
            5e-3,
            0.0,
        );
        assert!(
            near(extent(&dome), [-10.0, 10.0, 0.0, 4.0]) && (dome.height_mm - 9.0).abs() <= 1e-9,
            "{dome:?}"
        );
    }
}
