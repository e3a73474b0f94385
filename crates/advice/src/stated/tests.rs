use quantity::{Force, Length, Mass};

use super::*;
use crate::fixture;
use crate::goods::{GoodsKind, GoodsSizes};
use crate::item::PriceBreak;

fn pot(code: &str, pull: Option<f64>, price: i64) -> Goods {
    Goods {
        code: code.into(),
        name: String::new(),
        goods: GoodsKind::Pot,
        sizes: GoodsSizes {
            diameter: Some(0.032),
            thickness: Some(0.008),
            ..GoodsSizes::default()
        },
        grade: String::new(),
        coating: String::new(),
        stated_pull: pull.map(Force),
        tolerance: Length(0.0),
        mass: Some(Mass(0.05)),
        stock: Some(20),
        prices: vec![PriceBreak {
            from: 1,
            each: Money::from_parts(price),
        }],
        link: None,
        note: None,
    }
}

fn named(question: &str, goods: &[Goods]) -> Vec<(String, bool)> {
    let answer = fixture::ask(question, &[fixture::disc("d", 20.0, 5.0)]);
    let offers = offered(&answer.question, &answer.need, goods);
    offers
        .into_iter()
        .map(|offer| (offer.goods.code, offer.takes_less))
        .collect()
}

const HANGING: &str = r#"{"need":{"verb":"hold","load":"2 kg","direction":"hanging_below","safety_factor":2}}"#;

/// 2 kg twice, and the pot's own 50 g twice: 40.2 N.
#[test]
fn a_pot_is_named_from_the_pull_that_is_needed_on() {
    let need = 2.0 * (2.0 + 0.05) * quantity::STANDARD_GRAVITY;
    let goods = [
        pot("weak", Some(need - 0.01), 1),
        pot("enough", Some(need + 0.01), 2),
        pot("untold", None, 3),
    ];
    assert_eq!(named(HANGING, &goods), [("enough".to_owned(), false)]);
}

#[test]
fn the_cheapest_three_are_named_and_thin_or_painted_steel_is_said() {
    let goods: Vec<Goods> = (1..=5).rev().map(|n| pot(&format!("p{n}"), Some(500.0), n)).collect();
    let codes = |question: &str| named(question, &goods);
    assert_eq!(
        codes(HANGING).iter().map(|(code, _)| code.as_str()).collect::<Vec<_>>(),
        ["p1", "p2", "p3"]
    );
    let thin = HANGING.replace(
        "\"safety_factor\"",
        "\"steel\":{\"material\":\"mild steel\",\"thickness\":\"3 mm\"},\"safety_factor\"",
    );
    assert!(codes(&thin).iter().all(|(_, less)| *less));
    let painted = HANGING.replace(
        "\"safety_factor\"",
        "\"layers\":[{\"material\":\"paint\",\"thickness\":\"0.2 mm\"}],\"safety_factor\"",
    );
    assert!(codes(&painted).iter().all(|(_, less)| *less) && !codes(&painted).is_empty());
}

#[test]
fn what_the_list_does_not_tell_rules_goods_out() {
    let goods = [pot("p", Some(500.0), 10_000)];
    let with = |more: &str| format!("{}{more}}}", HANGING.strip_suffix('}').unwrap_or_default());
    for (more, is_named) in [
        (r#","limits":{"widest":"32 mm"}"#, true),
        (r#","limits":{"widest":"31.9 mm"}"#, false),
        (r#","limits":{"tallest":"8 mm"}"#, true),
        (r#","limits":{"tallest":"7.9 mm"}"#, false),
        (r#","limits":{"grades":["N42"]}"#, false),
        (r#","limits":{"steelwork":"cup"}"#, true),
        (r#","limits":{"steelwork":"bare"}"#, false),
        (r#","limits":{"budget_each":"1.00"}"#, true),
        (r#","limits":{"budget_each":"0.99"}"#, false),
        (r#","limits":{"in_stock":true},"pieces":20"#, true),
        (r#","limits":{"in_stock":true},"pieces":21"#, false),
        (r#","conditions":{"warmest":"60 °C"}"#, false),
    ] {
        assert_eq!(!named(&with(more), &goods).is_empty(), is_named, "{more}");
    }
    let sideways = HANGING.replace("hanging_below", "sideways");
    assert!(named(&sideways, &goods).is_empty());
}
