use advice::view::picture::{LayerSection, SteelSection};
use press::drawing::{Mark, Step};

use super::*;

fn magnet(shape: &str, hole_mm: f64, z_mm: [f64; 2]) -> Section {
    Section {
        shape: shape.into(),
        x_mm: [-5.0, 5.0],
        z_mm,
        hole_mm,
        north_up: true,
    }
}

fn picture(magnets: Vec<Section>) -> Picture {
    Picture {
        x_range_mm: [-20.0, 20.0],
        z_range_mm: [0.0, 20.0],
        lines: vec![(0..400).map(|k| [f64::from(k) * 0.06 - 12.0, 10.0]).collect()],
        magnets,
        steel: None,
        layers: Vec::new(),
        spot_mm: Some([0.0, 15.0]),
        caption: "Lines".into(),
    }
}

fn texts(drawing: &Drawing) -> Vec<String> {
    let letters = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Letters { text, .. } => Some(text.plain()),
        Mark::Path { .. } => None,
    });
    letters.collect()
}

/// 40 mm on 240 points: a disc of 10 × 5 mm takes 60 × 30 of them, each half 15, the north half above; by hand.
#[test]
fn a_magnet_is_drawn_to_scale_with_its_poles() {
    let drawing = drawn(
        &picture(vec![magnet("disc", 0.0, [2.0, 7.0])]),
        "A disc",
        &Units::metric(),
        240.0,
    );
    assert_eq!((drawing.width, drawing.height), (240.0, 120.0));
    let half = |tint| {
        drawing.marks.iter().find_map(|mark| match mark {
            Mark::Path { steps, pen } if pen.fill == Some(tint) => Some(steps.clone()),
            _ => None,
        })
    };
    let corners = |steps: Vec<Step>| match steps[..] {
        [Step::Move(left, top), Step::Line(right, _), Step::Line(_, bottom), ..] => [left, top, right, bottom],
        _ => panic!("{steps:?}"),
    };
    assert_eq!(corners(half(NORTH).unwrap()), [90.0, 78.0, 150.0, 93.0]);
    assert_eq!(corners(half(SOUTH).unwrap()), [90.0, 93.0, 150.0, 108.0]);
    // A fifth of 40 mm is 8: the ruler is 5 mm long.
    assert_eq!(texts(&drawing), ["N", "S", "5\u{a0}mm"]);
    let inches = drawn(
        &picture(vec![magnet("disc", 0.0, [2.0, 7.0])]),
        "",
        &Units::inch(),
        240.0,
    );
    assert!(
        texts(&inches).contains(&"0.2\u{a0}in".to_owned()),
        "{:?}",
        texts(&inches)
    );
}

/// Nothing runs out of the picture: thick steel, lines and layers beyond it, thin rings, balls.
#[test]
fn everything_keeps_inside() {
    let mut all = picture(vec![
        magnet("ring", 4.0, [1.0, 1.5]),
        magnet("sphere", 0.0, [3.0, 13.0]),
        magnet("block", 0.0, [14.0, 14.4]),
    ]);
    all.steel = Some(SteelSection {
        z_mm: 0.0,
        thickness_mm: None,
        text: "mild steel, thick".repeat(20),
    });
    all.layers = vec![LayerSection {
        z_mm: [0.0, 0.5],
        text: "paint".into(),
    }];
    all.lines.push(vec![[-90.0, 5.0], [90.0, 90.0]]);
    let drawing = drawn(&all, "All", &Units::metric(), 200.0);
    for mark in &drawing.marks {
        let Mark::Path { steps, .. } = mark else { continue };
        for step in steps {
            if let Step::Move(x, y) | Step::Line(x, y) = *step {
                assert!(
                    (-4.0..=204.0).contains(&x) && (-4.0..=drawing.height + 4.0).contains(&y),
                    "{step:?}"
                );
            }
        }
    }
    // Points that cannot be told apart are left out.
    let longest = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Path { steps, .. } => Some(steps.len()),
        Mark::Letters { .. } => None,
    });
    assert!(longest.max().unwrap() < 300);
}
