//! Forces and fields against another finite-element method: `oracle/steel.jsonl`, made by `oracle/steel.py`.

use compute::answer_line;
use serde_json::Value;

/// Allowed relative difference of a force.
const FORCE: f64 = 5e-3;
/// Allowed relative difference of a flux density, as a vector.
const FIELD: f64 = 5e-3;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

#[test]
fn forces_and_fields_are_those_of_another_method() {
    let text = include_str!("../../../oracle/steel.jsonl");
    let mut kinds = std::collections::BTreeMap::new();
    let mut wrong = Vec::new();
    let mut worst = [0.0f64; 2];
    for line in text.lines() {
        let case: Value = serde_json::from_str(line).unwrap();
        let request = case["request"].to_string();
        let reply = answer_line(&request);
        assert!(reply.answered, "{}", reply.text);
        let got: Value = serde_json::from_str(&reply.text).unwrap();
        let id = got["id"].as_str().unwrap();
        *kinds.entry(id.split_once(' ').unwrap().0.to_owned()).or_insert(0) += 1;
        let force = (number(&got["force_N"]) / number(&case["force_N"]) - 1.0).abs();
        worst[0] = worst[0].max(force);
        let agrees = force <= FORCE;
        if !agrees {
            wrong.push(format!("{id}: {} N, wanted {}", got["force_N"], case["force_N"]));
        }
        let points = case["B_T"].as_array().unwrap();
        for (k, wanted) in points.iter().enumerate() {
            let b = &got["B_T"][k];
            let apart = (number(&b[0]) - number(&wanted[0])).hypot(number(&b[1]) - number(&wanted[1]));
            let field = apart / number(&wanted[0]).hypot(number(&wanted[1]));
            worst[1] = worst[1].max(field);
            let agrees = field <= FIELD;
            if !agrees {
                wrong.push(format!("{id}, point {k}: {b} T, wanted {wanted}"));
            }
        }
    }
    println!("worst: force {:.1e}, field {:.1e}", worst[0], worst[1]);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    for (kind, least) in [("plate", 20), ("cup", 5), ("back-plate", 5), ("pole", 3)] {
        assert!(
            kinds.get(kind).is_some_and(|&count| count >= least),
            "{kind}: {kinds:?}"
        );
    }
}
