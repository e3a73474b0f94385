use std::collections::BTreeSet;

use quantity::Units;
use serde_json::{Value, json};
use utoipa::PartialSchema;

use super::*;
use crate::enquiry::{DraftConditions, DraftLimits};
use crate::fixture::{catalogue, question};
use crate::sentence;

/// The fields of a form, as the interface describes it, below that place of the question.
fn fields<T: PartialSchema>(place: &str) -> BTreeSet<String> {
    let described = serde_json::to_value(T::schema()).unwrap();
    let properties = described["properties"].as_object().unwrap();
    properties.keys().map(|field| format!("{place}/{field}")).collect()
}

#[test]
fn every_limit_of_a_question_and_of_a_message_has_one_row() {
    let rows: Vec<String> = all().map(|limit| limit.path().to_owned()).collect();
    let named: BTreeSet<String> = rows.iter().cloned().collect();
    assert_eq!(rows.len(), named.len(), "{rows:?}");
    let asked = |limits: BTreeSet<String>, conditions: BTreeSet<String>| &limits | &conditions;
    assert_eq!(
        named,
        asked(fields::<Limits>("/limits"), fields::<Conditions>("/conditions"))
    );
    let said = asked(
        fields::<DraftLimits>("/limits"),
        fields::<DraftConditions>("/conditions"),
    );
    assert_eq!(named, said);
}

/// A value that somebody could give for a limit.
fn given(limit: &Limit) -> Value {
    let example = limit.blank.example;
    match limit.blank.kind {
        BlankKind::Count => json!(example.parse::<u32>().unwrap()),
        BlankKind::Switch => json!(true),
        BlankKind::Words | BlankKind::Choices => json!([example]),
        BlankKind::Choice => {
            let options = (limit.options)(&question(HOLD));
            options
                .iter()
                .find(|o| o.text == example)
                .map_or(json!(example), |o| o.value.clone())
        }
        _ => json!(example),
    }
}

const HOLD: &str = r#"{"need": {"verb": "hold", "load": "1 N"}}"#;

#[test]
fn every_row_shows_checks_and_tells_its_own_field() {
    for limit in all() {
        let (place, field) = limit.path().rsplit_once('/').unwrap();
        let mut json: Value = serde_json::from_str(HOLD).unwrap();
        json[place.trim_start_matches('/')] = json!({ field: given(limit) });
        let asked: Question = serde_json::from_value(json).unwrap();
        let set: Vec<&Limit> = all().filter(|row| (row.asked)(asked.terms()).is_some()).collect();
        assert_eq!(set, [limit], "{asked:?}");
        assert_eq!(check(&asked, &catalogue()), Ok(()), "{limit:?}");
        let words = sentence::words(&asked, &Units::metric());
        let [before, after] = limit.words;
        assert!(words.contains(before) && words.contains(after), "{limit:?}: {words}");
        assert!(words.contains(limit.blank.example), "{limit:?}: {words}");
        // What breaks a limit is told; two of them break nothing.
        let told = !(limit.text)(asked.terms(), &Has::Nothing).is_empty();
        assert_eq!(told, !limit.rules.is_empty(), "{limit:?}");
        assert!(!limit.blank.label.is_empty() && !limit.blank.help.is_empty());
    }
}

#[test]
fn what_is_out_of_reason_or_crossed_is_refused_at_its_field() {
    let refused = |limits: &str| {
        let json = format!(r#"{{"need": {{"verb": "hold", "load": "1 N"}}, {limits}}}"#);
        check(&question(&json), &catalogue()).unwrap_err()
    };
    let crossed = refused(r#""limits": {"narrowest": "20 mm", "widest": "10 mm"}"#);
    assert_eq!(
        (crossed.field.as_str(), crossed.message.as_str()),
        ("/limits/narrowest", "the least width is above the greatest width")
    );
    let cold = refused(r#""conditions": {"coldest": "60 °C", "warmest": "20 °C"}"#);
    assert_eq!(cold.field, "/conditions/coldest");
    let heavy = refused(r#""limits": {"mass": "2000 kg"}"#);
    assert!(heavy.message.starts_with("the greatest mass must be"), "{heavy}");
    assert_eq!(heavy.hint, "give a mass such as 50 g, or leave it out");
    assert_eq!(
        refused(r#""limits": {"budget_each": "0"}"#).field,
        "/limits/budget_each"
    );
}
