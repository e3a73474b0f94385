//! Closed forms against other models: surface currents, surface charges and Maxwell stress by quadrature.
//!
//! The values are made by `oracle/independent.py` from general-purpose numerical libraries alone.

use magnetics::force::{axial_force, block_force, plate_pull};
use magnetics::{Assembly, Body, Shape};
use serde::Deserialize;

const MM: f64 = 1e-3;

/// A row as written; empty cells do not apply. Sizes and points in millimetres, 1 T.
#[derive(Debug, Deserialize)]
struct Row {
    kind: String,
    a: Option<f64>,
    b: Option<f64>,
    c: Option<f64>,
    x: Option<f64>,
    y: Option<f64>,
    z: Option<f64>,
    expected_x: Option<f64>,
    expected_y: Option<f64>,
    expected_z: f64,
    /// Relative to the magnitude of the vector.
    tolerance: f64,
}

fn rows() -> Vec<Row> {
    csv::Reader::from_reader(include_str!("../../../oracle/independent.csv").as_bytes())
        .deserialize()
        .collect::<Result<_, _>>()
        .expect("independent.csv can be read")
}

fn size(value: Option<f64>) -> f64 {
    value.expect("the row has this size") * MM
}

fn body(shape: Shape, centre: [f64; 3]) -> Body {
    Body {
        shape,
        polarisation: 1.0,
        centre,
    }
}

fn turned(outer: f64, inner: f64, thickness: f64) -> Shape {
    if inner == 0.0 {
        Shape::Disc {
            diameter: outer,
            thickness,
        }
    } else {
        Shape::Ring {
            outer_diameter: outer,
            inner_diameter: inner,
            thickness,
        }
    }
}

/// Numbers after the first word of a kind, in metres.
fn sizes_in(kind: &str) -> Vec<f64> {
    kind.split_whitespace()
        .skip(1)
        .map(|word| word.parse::<f64>().expect("a number") * MM)
        .collect()
}

fn got(row: &Row) -> [f64; 3] {
    let point = || [size(row.x), size(row.y), size(row.z)];
    let field = |shape| {
        let assembly = Assembly::new(vec![body(shape, [0.0; 3])]).expect("a valid magnet");
        assembly.flux_density(point()).expect("a point off the edges")
    };
    match row.kind.split_whitespace().next().expect("a kind") {
        "disc" => field(Shape::Disc {
            diameter: size(row.a),
            thickness: size(row.b),
        }),
        "ring" => field(Shape::Ring {
            outer_diameter: size(row.a),
            inner_diameter: size(row.b),
            thickness: size(row.c),
        }),
        "block" => field(Shape::Block {
            length: size(row.a),
            width: size(row.b),
            thickness: size(row.c),
        }),
        "plate" => {
            let magnet = body(turned(size(row.a), size(row.b), size(row.c)), [0.0; 3]);
            [0.0, 0.0, plate_pull(&[magnet], size(row.z)).expect("a valid magnet")]
        }
        "attraction" => {
            let s = sizes_in(&row.kind);
            let lower = body(turned(s[0], s[1], s[2]), [0.0; 3]);
            let upper = body(turned(s[3], s[4], s[5]), [0.0, 0.0, 0.5 * (s[2] + s[5]) + size(row.z)]);
            [0.0, 0.0, -axial_force(&[upper], &[lower]).expect("coaxial")]
        }
        "blocks" => {
            let s = sizes_in(&row.kind);
            let fixed = Shape::Block {
                length: size(row.a),
                width: size(row.b),
                thickness: size(row.c),
            };
            let moving = Shape::Block {
                length: s[0],
                width: s[1],
                thickness: s[2],
            };
            block_force(&body(moving, point()), &body(fixed, [0.0; 3])).expect("two blocks")
        }
        other => panic!("unknown kind {other}"),
    }
}

#[test]
fn closed_forms_agree_with_other_models() {
    let rows = rows();
    assert!(rows.len() > 50, "only {} rows", rows.len());
    for row in &rows {
        let expected = [
            row.expected_x.unwrap_or(0.0),
            row.expected_y.unwrap_or(0.0),
            row.expected_z,
        ];
        let got = got(row);
        let length = |v: [f64; 3]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
        let error = length([0, 1, 2].map(|i| got[i] - expected[i])) / length(expected);
        assert!(error <= row.tolerance, "{row:?}: got {got:?}, relative error {error:e}");
    }
}
