use super::*;
use crate::explain::{Figure, refusals, topics};
use crate::fixture::{catalogue, disc};
use crate::view::text::plain;
use quantity::{Currency, Units};

fn reader(units: Units) -> Reader {
    Reader {
        units,
        currency: Currency::EUR,
    }
}

/// Names in braces.
fn names(text: &str) -> Vec<&str> {
    text.split('{')
        .skip(1)
        .map(|part| part.split_once('}').map_or(part, |(name, _)| name))
        .collect()
}

#[test]
fn the_files_read_and_have_every_topic_and_reason() {
    let texts = [
        include_str!("../../../data/topics.toml"),
        include_str!("../../../data/refusals.toml"),
    ];
    assert_eq!(topics().len(), texts[0].matches("[[topic]]").count());
    assert_eq!(refusals().len(), texts[1].matches("[[refusal]]").count());
    assert!(topics().len() >= 50, "{}", topics().len());
    for reason in [
        RefuseReason::NoSuchGrade,
        RefuseReason::NotMagnetic,
        RefuseReason::StableFloat,
        RefuseReason::Unlawful,
        RefuseReason::OffTopic,
        RefuseReason::Impossible,
        RefuseReason::Harm,
    ] {
        assert_eq!(
            refusals().iter().filter(|r| r.reason == reason).count(),
            1,
            "{reason:?}"
        );
    }
    let mut known: Vec<&str> = topics().iter().map(|t| t.name.as_str()).collect();
    known.sort_unstable();
    known.dedup();
    assert_eq!(known.len(), topics().len(), "two topics of one name");
}

/// Every number is computed: a text holds no digit outside its braces, and none inside them either.
#[test]
fn no_text_holds_a_number_of_its_own() {
    for topic in topics() {
        let text = format!("{} {}", topic.title, topic.text);
        assert!(!text.chars().any(|c| c.is_ascii_digit()), "{}", topic.name);
        assert!(!names(&text).is_empty(), "{} shows nothing of the shelf", topic.name);
        let sentences = topic.text.matches(". ").count() + topic.text.matches("? ").count() + 1;
        assert!((3..=7).contains(&sentences), "{}: {sentences} sentences", topic.name);
        assert!(!topic.next.is_empty(), "{} leads nowhere", topic.name);
    }
    for refusal in refusals() {
        let text = [&[refusal.lead.clone()][..], &refusal.because, &refusal.instead]
            .concat()
            .join(" ");
        assert!(!text.chars().any(|c| c.is_ascii_digit()), "{:?}", refusal.reason);
        assert!(!refusal.instead.is_empty());
    }
}

#[test]
fn every_figure_is_found_on_any_shelf_in_any_units() {
    let catalogue = catalogue();
    for shelf in [vec![], vec![disc("a", 15.0, 4.0), disc("b", 6.0, 2.0)]] {
        for units in [Units::metric(), Units::inch()] {
            let reader = reader(units);
            for topic in topics() {
                let view = explain(topic, &shelf, &catalogue, &reader);
                let text = plain(&view.text);
                assert!(!text.contains(['{', '}']), "{}: {text}", topic.name);
                assert!(
                    !text.contains("NaN") && !text.contains("inf "),
                    "{}: {text}",
                    topic.name
                );
                assert_eq!(view.next.len(), topic.next.len(), "{}", topic.name);
            }
            for refusal in refusals() {
                let view = refuse(refusal, &shelf, &catalogue, &reader);
                let all: Vec<_> = std::iter::once(&view.lead)
                    .chain(&view.because)
                    .chain(&view.instead)
                    .collect();
                for text in all {
                    assert!(
                        !plain(text).contains(['{', '}']),
                        "{:?}: {}",
                        refusal.reason,
                        plain(text)
                    );
                }
                assert_eq!(view.next.len(), refusal.next.len(), "{:?}", refusal.reason);
            }
        }
    }
}

/// A topic that names a limit of a rule says which rule.
#[test]
fn limits_come_with_their_rule() {
    let limits = ["implant", "cards", "flux_limit", "parcel_ask", "implant_level"];
    for topic in topics() {
        let named = names(&topic.text).iter().any(|name| limits.contains(name));
        assert!(
            !named || topic.rule.is_some(),
            "{} names a limit without its rule",
            topic.name
        );
    }
}

/// What a comparison leads on to can be compared.
#[test]
fn comparisons_that_are_offered_can_be_made() {
    let (catalogue, shelf) = (catalogue(), [disc("a", 15.0, 4.0)]);
    for topic in topics() {
        for next in explain(topic, &shelf, &catalogue, &reader(Units::metric())).next {
            if next.to == NextPlace::Compare {
                let enquiry = serde_json::from_value(next.request).unwrap();
                let found = crate::compare::compare(&enquiry, &shelf, &catalogue);
                assert!(found.is_ok_and(|c| c.columns.len() >= 2), "{}", topic.name);
            }
        }
    }
}

/// How far off something is has a name that the field there ends with, too: the place is a length, two widths of the reference.
#[test]
fn a_place_is_told_as_a_place_and_what_is_there_as_a_field() {
    let catalogue = catalogue();
    let shelf = [disc("a", 20.0, 5.0)];
    let figures = Figures::new(&shelf, &catalogue);
    assert!(matches!(figures.figure("far"), Some(Figure::Length(far)) if (far - 40e-3).abs() < 1e-12));
    for there in ["reference_far", "wide_far"] {
        assert!(matches!(figures.figure(there), Some(Figure::Field(_))), "{there}");
    }
    let refused = refusals()
        .iter()
        .find(|r| r.reason == RefuseReason::Impossible)
        .unwrap();
    let said = refuse(refused, &shelf, &catalogue, &reader(Units::metric()));
    let because: Vec<String> = said.because.iter().map(|runs| plain(runs)).collect();
    assert!(because.iter().any(|text| text.contains("at 40\u{a0}mm")), "{because:?}");
}
