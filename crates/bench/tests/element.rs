//! The mean over a probe's element against quadrature by another library, `oracle/bench.py`.

// Marked as a test so that helpers, too, may unwrap.
#![cfg(test)]

use bench::Element;
use bench::element::mean;
use magnetics::{Shape, StackField};
use quantity::Length;
use serde_json::Value;

fn numbers(value: &Value) -> (String, Vec<f64>) {
    let list = value.as_array().unwrap();
    let sizes = list[1..].iter().map(|v| v.as_f64().unwrap() * 1e-3).collect();
    (list[0].as_str().unwrap().to_owned(), sizes)
}

#[test]
fn means_agree_with_quadrature() {
    let oracle: Value = serde_json::from_str(include_str!("../../../oracle/bench.json")).unwrap();
    let cases = oracle["means"].as_array().unwrap();
    assert!(cases.len() >= 10);
    for case in cases {
        let (kind, s) = numbers(&case["shape"]);
        let shape = match kind.as_str() {
            "disc" => Shape::Disc {
                diameter: s[0],
                thickness: s[1],
            },
            "ring" => Shape::Ring {
                outer_diameter: s[0],
                inner_diameter: s[1],
                thickness: s[2],
            },
            _ => Shape::Block {
                length: s[0],
                width: s[1],
                thickness: s[2],
            },
        };
        let (kind, s) = numbers(&case["element"]);
        let element = match kind.as_str() {
            "disc" => Element::Disc { diameter: Length(s[0]) },
            _ => Element::Rectangle {
                length: Length(s[0]),
                width: Length(s[1]),
            },
        };
        let millimetres = |key: &str| case[key].as_f64().unwrap() * 1e-3;
        let field = StackField::new(&shape, 0.0, 1, 1.0).unwrap();
        let got = mean(&field, element, millimetres("across"), millimetres("distance"));
        let want = case["mean"].as_f64().unwrap();
        println!("{} {:.1e}", case["shape"], got / want - 1.0);
        assert!((got / want - 1.0).abs() <= 1e-3, "{case}: {got}");
    }
}
