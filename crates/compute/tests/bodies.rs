//! Bodies of any form against other models: loops and sheets of current, and point dipoles over the volume.
//!
//! The values are made by `oracle/bodies.py` from general-purpose numerical libraries alone.

use compute::answer_line;
use serde_json::Value;

fn vector(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_f64)
        .collect()
}

#[test]
fn bodies_of_any_form_agree_with_other_models() {
    let lines: Vec<Value> = include_str!("../../../oracle/bodies.jsonl")
        .lines()
        .map(|line| serde_json::from_str(line).expect("bodies.jsonl can be read"))
        .collect();
    assert!(lines.len() > 90, "only {} lines", lines.len());
    let length = |v: &[f64]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
    let mut wrong = Vec::new();
    for line in &lines {
        let reply: Value = serde_json::from_str(&answer_line(&line["request"].to_string()).text).expect("JSON");
        let (got, expected) = (vector(&reply["B_T"][0]), vector(&line["B_T"]));
        assert_eq!((got.len(), expected.len()), (3, 3), "{line} {reply}");
        let off: Vec<f64> = got.iter().zip(&expected).map(|(a, b)| a - b).collect();
        let error = length(&off) / length(&expected);
        let tolerance = line["tolerance"].as_f64().expect("a tolerance");
        let within = error <= tolerance;
        if !within {
            wrong.push(format!(
                "{} error {error:e}, got {got:?}, expected {expected:?}",
                line["request"]
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        lines.len(),
        wrong.join("\n")
    );
}
