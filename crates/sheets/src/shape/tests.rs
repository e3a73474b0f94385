use press::drawing::{Mark, Step};

use super::*;

/// The extent of all paths of a drawing, points.
fn extent(drawing: &Drawing) -> [f32; 4] {
    let mut out = [f32::INFINITY, f32::INFINITY, f32::NEG_INFINITY, f32::NEG_INFINITY];
    for mark in &drawing.marks {
        let Mark::Path { steps, .. } = mark else { continue };
        for step in steps {
            let [x, y] = match *step {
                Step::Move(x, y) | Step::Line(x, y) | Step::Curve([.., x, y]) => [x, y],
                Step::Close => continue,
            };
            out = [out[0].min(x), out[1].min(y), out[2].max(x), out[3].max(y)];
        }
    }
    out
}

fn shapes() -> Vec<Shape> {
    vec![
        Shape::Disc {
            diameter: 0.01,
            thickness: 0.005,
        },
        Shape::Disc {
            diameter: 0.001,
            thickness: 0.1,
        },
        Shape::Ring {
            outer_diameter: 0.08,
            inner_diameter: 0.04,
            thickness: 0.002,
        },
        Shape::Block {
            length: 0.2,
            width: 0.01,
            thickness: 0.02,
        },
        Shape::Sphere { diameter: 0.005 },
        Shape::Disc {
            diameter: 0.5,
            thickness: 0.3,
        },
    ]
}

#[test]
fn every_magnet_keeps_inside_its_drawing() {
    for shape in shapes() {
        for (pieces, widest) in [(1, 240.0), (3, 240.0), (1, 154.0), (2, 190.0)] {
            let drawn = drawn(&shape, pieces, &Units::metric(), "alt", widest).drawing;
            let [left, top, right, bottom] = extent(&drawn);
            assert!(left >= -2.0 && top >= 0.0, "{shape:?}: {left}, {top}");
            assert!(
                right <= drawn.width && bottom <= drawn.height,
                "{shape:?}: {right}, {bottom}"
            );
            assert!(drawn.width <= widest && drawn.height < 110.0, "{shape:?}");
        }
    }
}

#[test]
fn the_scale_is_the_one_stated() {
    // A disc of 10 × 5 mm at 2 : 1 is 20 mm wide on paper.
    let drawn = drawn(&shapes()[0], 1, &Units::metric(), "alt", 240.0);
    assert_eq!(drawn.scale, "2 : 1");
    let widest = drawn
        .drawing
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Path { steps, .. } => match steps[..] {
                [
                    Step::Move(x, y),
                    Step::Line(to, same),
                    Step::Line(..),
                    Step::Line(..),
                    Step::Close,
                ] if y == same => Some(to - x),
                _ => None,
            },
            Mark::Letters { .. } => None,
        })
        .fold(0.0, f32::max);
    assert!((widest - 20.0 * MM).abs() < 0.01, "{widest}");
}

#[test]
fn sizes_are_in_the_units_of_the_reader() {
    let texts = |units: &Units| -> Vec<String> {
        let drawing = drawn(&shapes()[0], 1, units, "alt", 240.0).drawing;
        let letters = drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Letters { text, .. } => Some(text.plain()),
            Mark::Path { .. } => None,
        });
        letters.collect()
    };
    assert!(texts(&Units::metric()).contains(&"ø\u{a0}10\u{a0}mm".to_owned()));
    assert!(texts(&Units::inch()).iter().any(|text| text.ends_with("in")));
}
