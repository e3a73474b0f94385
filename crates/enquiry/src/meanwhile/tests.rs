use super::*;

fn draft(json: &str) -> Draft {
    serde_json::from_str(json).expect("a draft")
}

fn places(all: &[&str]) -> Vec<String> {
    all.iter().map(|p| (*p).to_owned()).collect()
}

#[test]
fn a_layer_is_asked_by_its_material_and_taken_at_its_thicker_end() {
    let said = draft(r#"{"need":{"verb":"hold","load":"3 kg","layers":[{"material":"paint"}]}}"#);
    let (asks, whole) = super::asks(&places(&["/question/need/layers/0/thickness"]), &said, false);
    assert_eq!(asks[0].question, "How thick is the paint?");
    let [thin, thick] = usual_thickness("paint").expect("known");
    assert!(thin < thick);
    assert_eq!(
        asks[0].meanwhile.as_ref().map(|m| m.sets.clone()),
        Some(format!("{thick} mm").into())
    );
    assert_eq!(whole.need.layers[0].thickness.map(|t| t.high.mm()), Some(thick));
}

#[test]
fn an_unsaid_direction_is_the_hardest() {
    let said = draft(r#"{"need":{"verb":"hold","load":"3 kg"}}"#);
    let (asks, whole) = super::asks(&places(&["/question/need/direction"]), &said, false);
    assert!(asks[0].meanwhile.is_some());
    assert_eq!(whole.need.direction, Some(advice::question::Direction::Sideways));
}

#[test]
fn what_was_said_stands_and_a_load_is_never_made_up() {
    let said = draft(r#"{"need":{"verb":"hold","direction":"straight_off"}}"#);
    let (asks, whole) = super::asks(
        &places(&["/question/need/direction", "/question/need/load", "/kind"]),
        &said,
        false,
    );
    assert!(asks.iter().all(|a| a.meanwhile.is_none()));
    assert_eq!(whole, said);
}
