use advice::Catalogue;
use advice::view::text::plain;
use quantity::{Currency, Units};

use super::*;
use crate::judge::judge;

const READER: Reader = Reader {
    units: Units::metric(),
    currency: Currency::EUR,
};

fn shown(count: u32, more: &str) -> ParcelView {
    let json = format!(
        r#"{{"lines":[{{"magnet":{{"shape":"disc","size_mm":[20,5],"grade":"N42"}},"count":{count}}}]{more}}}"#
    );
    let request = serde_json::from_str(&json).unwrap();
    view(&judge(&request, &[], &Catalogue::builtin().unwrap()).unwrap(), &READER)
}

#[test]
fn each_carriage_has_its_words_and_figures() {
    for (count, words) in [
        (4, "may fly unrestricted by their field"),
        (10, "but ask the carrier"),
        (100, "magnetised material, UN 2807"),
        (200, "may not fly"),
    ] {
        let got = shown(count, "");
        let lead = plain(&got.lead);
        assert!(lead.contains(words) && lead.contains("µT"), "{lead}");
        assert!(lead.contains(&count.to_string()), "{lead}");
        assert_eq!(got.changes.is_empty(), count == 4);
        assert!(
            got.rules
                .iter()
                .all(|rule| rule.verdict == if rule.within { "within" } else { "above" })
        );
        assert!(
            got.cautions
                .iter()
                .any(|text| text.contains("regulations in force decide"))
        );
    }
}

/// Whatever is printed holds: at the unfavourable end nothing is shown smaller than it is.
#[test]
fn the_unfavourable_end_is_rounded_up() {
    for (tesla, text) in [
        (0.1234e-6, "0.13\u{a0}µT"),
        (0.52e-6, "0.52\u{a0}µT"),
        (0.0321e-6, "0.033\u{a0}µT"),
    ] {
        assert_eq!(no_less(tesla), text);
    }
    assert_eq!(limit(0.525e-6), "0.525\u{a0}µT");
    assert_eq!(limit(0.2e-6), "0.2\u{a0}µT");
}

#[test]
fn the_packing_is_drawn_within_its_box() {
    for more in ["", r#","arrangement":"alternating""#, r#","arrangement":"rings""#] {
        let got = shown(203, more).packing;
        assert!(!got.stacks.is_empty());
        for stack in &got.stacks {
            for k in 0..2 {
                assert!(
                    stack.at[k].abs() + 0.5 * stack.sides[k] <= 0.5 * got.outside[k],
                    "{more}: {stack:?}"
                );
            }
            assert_eq!(stack.up.is_empty(), more.contains("rings"), "{stack:?}");
        }
        let poles = |pole: &str| got.stacks.iter().filter(|stack| stack.up == pole).count();
        if more.contains("alternating") {
            assert_eq!(poles("N"), poles("S"));
        }
    }
}

/// A lining is an estimate, and says so; steel that saturates is not counted on.
#[test]
fn a_lining_says_its_limits() {
    let got = shown(20, r#","lining":"1 mm""#);
    assert!(plain(&got.lead).contains("estimate: measure"));
    assert!(got.assumed.iter().any(|text| text.contains("without gaps")));
    let thin = shown(5000, r#","lining":"0.01 mm""#);
    assert!(
        thin.facts.iter().any(|fact| fact.text.contains("not counted on")),
        "{:?}",
        thin.facts
    );
}
