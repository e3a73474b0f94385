use super::*;

fn choose(question: &str) -> Value {
    serde_json::from_str(&format!(r#"{{"kind":"choose","question":{question}}}"#)).expect("an enquiry")
}

fn asks(all: &[&str], read: &Value) -> (Vec<Ask>, Draft) {
    let question = serde_json::from_value(read["question"].clone()).expect("a draft");
    super::asks(&places(all), read, &question, false)
}

fn places(all: &[&str]) -> Vec<String> {
    all.iter().map(|p| (*p).to_owned()).collect()
}

#[test]
fn a_layer_is_asked_by_its_material_and_taken_at_its_thicker_end() {
    let said = choose(r#"{"need":{"verb":"hold","load":"3 kg","layers":[{"material":"paint"}]}}"#);
    let (asks, whole) = asks(&["/question/need/layers/0/thickness"], &said);
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
    let said = choose(r#"{"need":{"verb":"hold","load":"3 kg"}}"#);
    let (asks, whole) = asks(&["/question/need/direction"], &said);
    assert!(asks[0].meanwhile.is_some());
    assert_eq!(whole.need.direction, Some(advice::question::Direction::Sideways));
}

#[test]
fn what_was_said_stands_and_a_load_is_never_made_up() {
    let said = choose(r#"{"need":{"verb":"hold","direction":"straight_off"}}"#);
    let (asks, whole) = asks(&["/question/need/direction", "/question/need/load", "/kind"], &said);
    assert!(asks.iter().all(|a| a.meanwhile.is_none()));
    assert_eq!(
        whole,
        serde_json::from_value(said["question"].clone()).expect("a draft")
    );
}

#[test]
fn what_was_read_is_the_first_answer_and_no_answer_comes_twice() {
    let said = choose(
        r#"{"need":{"verb":"hold","load":"3 kg","direction":"straight_off"},"limits":{"tallest":"4 mm"},"pieces":10}"#,
    );
    let (asks, _) = asks(
        &[
            "/question/limits/tallest",
            "/question/pieces",
            "/question/need/direction",
            "/kind",
        ],
        &said,
    );
    let labels = |n: usize| -> Vec<&str> { asks[n].answers.iter().map(|a| a.label.as_str()).collect() };
    assert_eq!(labels(0), ["4 mm", "2 mm", "5 mm", "10 mm"]);
    assert_eq!(labels(1), ["10", "1", "100"]);
    assert_eq!(labels(2)[0], "straight off");
    assert_eq!(labels(2).len(), 3);
    assert_eq!(labels(3)[0], "which magnet will do");
    let usual = choose(r#"{"need":{"verb":"hold","load":"3 kg","steel":{"thickness":"0.6..1 mm"}}}"#);
    let (asked, _) = super::asks(
        &places(&["/question/need/steel/thickness"]),
        &usual,
        &serde_json::from_value(usual["question"].clone()).expect("a draft"),
        false,
    );
    assert_eq!(asked[0].answers[0].sets, "0.5 mm", "a usual range answers nothing");
}
