use super::*;
use crate::fixture::{ask, ball, breaks, disc};
use crate::item::Item;

const HOLD: &str =
    r#"{"need": {"verb": "hold", "load": "4 kg", "steel": {"material": "mild steel", "thickness": "5 mm"}}}"#;
/// The same with single pieces only.
const SINGLY: &str = r#"{"need": {"verb": "hold", "load": "8 kg", "steel": {"material": "mild steel", "thickness": "5 mm"}},
    "limits": {"stack": 1}}"#;

fn priced(item: Item, parts: i64) -> Item {
    Item {
        prices: breaks(&[(1, parts)]),
        ..item
    }
}

fn named(got: &Answer, merit: Merit) -> (String, u32, u32) {
    let offer = offers(got).into_iter().find(|o| o.merits.contains(&merit)).unwrap();
    (
        offer.candidate.item.code.clone(),
        offer.candidate.build.pieces,
        offer.by,
    )
}

#[test]
fn each_is_named_for_what_it_is_best_in() {
    let shelf = [
        priced(disc("cheap", 30.0, 4.0), 20_000),
        priced(disc("compact", 25.0, 7.0), 70_000),
        priced(disc("strong", 35.0, 10.0), 38_000),
        priced(disc("dear", 45.0, 20.0), 400_000),
        priced(ball("ball", 60.0), 10_000),
    ];
    let got = ask(HOLD, &shelf);
    let cheap = named(&got, Merit::Cheapest);
    assert_eq!(cheap.0, "cheap", "{:#?}", offers(&got).len());
    assert_eq!(named(&got, Merit::Simplest).1, 1);
    assert_eq!(named(&got, Merit::Safest).0, "strong");
    let space = |c: &Candidate| c.width * c.height;
    let all = offers(&got);
    let smallest = all.iter().find(|o| o.merits.contains(&Merit::Smallest)).unwrap();
    assert!(all.iter().all(|o| space(o.candidate) >= space(smallest.candidate)));
    assert!(
        all.iter()
            .all(|o| o.candidate.verdict == Verdict::Sure && o.low >= o.need)
    );
    assert!(all.iter().all(|o| o.candidate.item.code != "ball"));
    let times: usize = all.iter().map(|o| o.merits.len()).sum();
    assert_eq!(times, 4);
}

/// One build at 11.58, where several small ones cost less than half: they are the cheapest, and one is still named.
#[test]
fn several_that_cost_less_than_one_are_named_the_cheapest() {
    let shelf = [
        priced(disc("one", 40.0, 12.0), 115_800),
        priced(disc("of several", 20.0, 5.0), 12_400),
    ];
    let got = ask(SINGLY, &shelf);
    let (code, pieces, by) = named(&got, Merit::Cheapest);
    assert_eq!((code.as_str(), pieces), ("of several", 1));
    assert!(by > 1);
    assert_eq!(named(&got, Merit::Simplest).2, 1);
}

/// A saving of a tenth is not worth fitting several.
#[test]
fn several_are_not_named_for_a_small_saving() {
    let shelf = |each: i64| {
        [
            priced(disc("one", 40.0, 12.0), 100_000),
            priced(disc("of several", 20.0, 5.0), each),
        ]
    };
    let by = |each: i64| {
        let got = ask(SINGLY, &shelf(each));
        let least = got.shared.iter().min_by_key(|s| s.candidate.cost_total).unwrap().by;
        (named(&got, Merit::Cheapest).2, least)
    };
    let (_, least) = by(10_000);
    let at = |total: i64| by(total / i64::from(least)).0;
    assert!(at(89_000) > 1);
    assert_eq!(at(91_000), 1);
}

#[test]
fn nothing_is_named_where_nothing_is_sure() {
    assert!(offers(&ask(HOLD, &[disc("weak", 5.0, 1.0)])).is_empty());
}
