//! Every text of a random answer reads well, in any units.

use proptest::prelude::*;
use quantity::{Currency, Units};
use serde_json::Value;

use super::{answer as answers, detail as details, item as items, ladder as ladders, text::Reader};
use crate::answer::ShelfStamp;
use crate::detail::{Depth, at_face, detail, sheet};
use crate::fixture::{catalogue, questions, shelves};
use crate::ladder::{Face, LadderRequest, Measure, Rising, ladder};
use crate::question::Conditions;
use crate::search;

/// What is wrong with the texts of a JSON value, by their places. Numbers that are not finite are `null` in JSON, so a
/// list that holds one is wrong too.
fn faults(value: &Value, place: &str, out: &mut Vec<String>) {
    match value {
        Value::String(text) => {
            let odd = ["NaN", "inf ", "∞", "  ", "None", "**", "__", "-0 ", "−0\u{a0}"]
                .iter()
                .any(|bad| text.contains(bad));
            let open = text.contains('{') && !place.ends_with("/read_out");
            let empty = text.trim().is_empty() && !may_be_empty(place);
            if odd || open || empty || text.ends_with("inf") {
                out.push(format!("{place}: {text:?}"));
            }
        }
        Value::Array(list) => {
            for (k, part) in list.iter().enumerate() {
                if part.is_null() {
                    out.push(format!("{place}/{k}: not finite"));
                }
                faults(part, &format!("{place}/{k}"), out);
            }
        }
        Value::Object(fields) => {
            for (name, part) in fields {
                let number = ["value", "share", "y", "width_mm", "height_mm"].contains(&name.as_str());
                if part.is_null() && number && !of_a_blank(place) {
                    out.push(format!("{place}/{name}: not finite"));
                }
                faults(part, &format!("{place}/{name}"), out);
            }
        }
        _ => {}
    }
}

/// Blanks may hold no value yet.
fn of_a_blank(place: &str) -> bool {
    place.contains("/sentence/") || place.contains("/more/")
}

/// A candidate of no distinction has no remark, a made-up item no name, and text between two blanks may be a space.
fn may_be_empty(place: &str) -> bool {
    place.ends_with("/remark") || place.ends_with("/name") || of_a_blank(place)
}

fn check<T: serde::Serialize>(view: &T) -> Result<(), TestCaseError> {
    let mut found = Vec::new();
    faults(&serde_json::to_value(view).unwrap(), "", &mut found);
    prop_assert!(found.is_empty(), "{found:#?}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn answers_read_well(q in questions(), shelf in shelves()) {
        let catalogue = catalogue();
        let stamp = ShelfStamp { revision: 1, version: "0.1.0".into(), currency: Currency::EUR };
        let Ok(got) = search::answer(&q, &shelf, &catalogue, stamp, &|| true) else { return Ok(()) };
        for units in [Units::metric(), Units::inch()] {
            check(&answers::view(&got, &units))?;
            let reader = Reader { units, currency: Currency::EUR };
            for c in got.candidates.iter().take(2) {
                let found = detail(&got, c, &catalogue, Depth::AtOnce).unwrap();
                let curve = found.curve.as_ref().unwrap();
                prop_assert!(curve.low.iter().zip(&curve.high).all(|(low, high)| low <= high));
                check(&details::view(&got, c, &found, &reader))?;
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn items_and_ladders_read_well(shelf in shelves()) {
        let catalogue = catalogue();
        let readers = [Units::metric(), Units::inch()].map(|units| Reader { units, currency: Currency::EUR });
        let hard = Conditions {
            warmest: Some(quantity::Temperature::from_celsius(150.0)),
            coldest: Some(quantity::Temperature::from_celsius(-60.0)),
            surroundings: Some(crate::question::Surroundings::Outdoors),
        };
        for item in &shelf {
            let easy = Conditions::default();
            let sheets = [&easy, &hard].map(|conditions| sheet(item, &catalogue, conditions));
            for reader in &readers {
                check(&items::line(item, at_face(item, &catalogue), reader))?;
                for sheet in sheets.iter().flatten() {
                    check(&items::view(sheet, reader))?;
                }
            }
            let Some(body) = Face::of(&item.shape) else { continue };
            for by in [Rising::Thickness, Rising::Count, Rising::Free] {
                for measure in [
                    Measure::Face { probe_depth: None },
                    Measure::Field { distance: quantity::Length::from_mm(3.0) },
                    Measure::Pull { gap: quantity::Length::from_mm(0.5) },
                ] {
                    let grade = item.grade.clone();
                    let request = LadderRequest { body, grade, measure, by, item: None, pieces: 100, worth: 0.5, conditions: Conditions::default() };
                    let Ok(got) = ladder(&request, &shelf, &catalogue) else { continue };
                    for reader in &readers {
                        check(&ladders::view(&got, &shelf, reader))?;
                    }
                }
            }
        }
    }
}
