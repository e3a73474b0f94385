use quantity::{Currency, Units};

use super::*;
use crate::fixture::{ask, breaks, disc};
use crate::item::Item;
use crate::view::text::plain;

const QUESTION: &str = r#"{"need":{"verb":"face_field","field":"150 mT"},"pieces":10}"#;

fn said(before: &[Item], after: &[Item]) -> String {
    let reader = Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    };
    let [before, after] = [before, after].map(|shelf| ask(QUESTION, shelf));
    let lines: Vec<String> = changes(&before, &after, &reader)
        .iter()
        .map(|line| plain(line))
        .collect();
    lines.join("\n")
}

fn shelf() -> Vec<Item> {
    let dear = Item {
        prices: breaks(&[(1, 30_000)]),
        ..disc("B", 20.0, 10.0)
    };
    vec![disc("A", 15.0, 8.0), dear]
}

#[test]
fn a_shelf_that_is_the_same_has_changed_nothing() {
    assert!(said(&shelf(), &shelf()).starts_with("Nothing has changed"));
}

#[test]
fn prices_stock_and_values_are_told_with_what_they_were() {
    let mut after = shelf();
    after[0].prices = breaks(&[(1, 12_500)]);
    after[0].stock = Some(70);
    after[0].grade = "N35".into();
    let text = said(&shelf(), &after);
    for part in [
        "€\u{a0}12.50 in all, it was €\u{a0}10.00",
        "70 in stock, it was 1000",
        "mT",
        "(A): now",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    assert!(!text.contains("(B)"), "{text}");
}

/// A stock or a price that is not known any more is said so.
#[test]
fn what_is_no_longer_known_is_told() {
    let mut after = shelf();
    after[0].prices = Vec::new();
    after[0].stock = None;
    let text = said(&shelf(), &after);
    for part in [
        "now no price in all, it was €\u{a0}10.00",
        "now stock not known, it was 1000 in stock",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
    let text = said(&shelf(), &shelf()[1..]);
    assert!(text.contains("(A) is no longer among those listed."), "{text}");
}

/// A disc that is cut thinner comes to be enough only at its usual value, and back.
#[test]
fn what_is_no_longer_sure_and_what_is_now_is_told() {
    let alone = QUESTION.replace(r#""pieces""#, r#""limits":{"stack":1},"pieces""#);
    let answers: Vec<Answer> = (10..60)
        .map(|tenths| ask(&alone, &[disc("A", 15.0, f64::from(tenths) / 10.0)]))
        .collect();
    let of = |verdict: Verdict| {
        let mut found = answers
            .iter()
            .filter(|a| a.candidates.first().is_some_and(|c| c.verdict == verdict));
        found.next().unwrap()
    };
    let reader = Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    };
    let told = |before: &Answer, after: &Answer| -> String {
        changes(before, after, &reader).iter().map(|line| plain(line)).collect()
    };
    let (sure, middle) = (of(Verdict::Sure), of(Verdict::Middle));
    assert!(told(sure, middle).contains("no longer sure"), "{}", told(sure, middle));
    assert!(told(middle, sure).contains("now sure"), "{}", told(middle, sure));
    assert!(!told(sure, sure).contains("sure"));
}

/// A build that has become the first is told as such, and not once more as new.
#[test]
fn what_is_first_now_is_told_once() {
    let text = said(&shelf()[1..], &shelf());
    assert_eq!(text.matches("(A)").count(), 1, "{text}");
    assert!(text.starts_with("First is now"), "{text}");
}

#[test]
fn what_is_gone_and_what_is_new_is_told() {
    let after = vec![shelf().remove(1), disc("C", 16.0, 8.0)];
    let text = said(&shelf(), &after);
    assert!(text.contains("First is now") && text.contains("(C); it was"), "{text}");
    assert!(text.contains("(A) is no longer"), "{text}");
    assert!(said(&shelf(), &[]).contains("Nothing will do any more"));
    assert!(said(&[], &shelf()).contains("nothing did"));
}

/// Builds with steel parts that were not looked for again are not told as gone.
#[test]
fn parts_that_were_not_looked_for_again_are_not_gone() {
    let reader = Reader {
        units: Units::metric(),
        currency: Currency::EUR,
    };
    let after = ask(QUESTION, &shelf());
    let mut before = after.clone();
    let mut with_part = before.candidates[0].clone();
    with_part.build.part = Some(crate::fixture::plate("P", 20.0, 2.0));
    before.candidates.push(with_part);
    before.parts_searched = true;
    let told = |after: &Answer| -> String {
        changes(&before, after, &reader)
            .iter()
            .map(|line| plain(line))
            .collect()
    };
    assert!(!told(&after).contains("no longer"), "{}", told(&after));
    let looked_for = Answer {
        parts_searched: true,
        ..after.clone()
    };
    assert!(told(&looked_for).contains("no longer"), "{}", told(&looked_for));
}
