//! Questions over the demo shelf, answered end to end.

// Marked as a test so that helpers, too, may unwrap.
#![cfg(test)]

use std::sync::LazyLock;

use advice::answer::{RuledOut, ShelfStamp, Verdict, WouldDo};
use advice::{Answer, Catalogue, Item, Question, search, view};
use magnetics::Shape;
use quantity::{Currency, Units};

static SHELF: LazyLock<Vec<Item>> = LazyLock::new(|| shop::demo::shelf(2026));

fn ask(json: &str) -> Answer {
    let question: Question = serde_json::from_str(json).unwrap();
    let stamp = ShelfStamp {
        revision: 1,
        version: "0.1.0".into(),
        currency: Currency::EUR,
    };
    search::answer(&question, &SHELF, &Catalogue::builtin().unwrap(), stamp, &|| true).unwrap()
}

const QUESTIONS: [&str; 8] = [
    r#"{"need": {"verb": "hold", "load": "2 kg", "direction": "hanging_below",
        "steel": {"material": "mild steel", "thickness": "3 mm"}, "layers": [{"material": "paint", "thickness": "0.4 mm"}]},
        "conditions": {"warmest": "60 °C"}, "limits": {"widest": "25 mm"}, "pieces": 200}"#,
    r#"{"need": {"verb": "hold", "load": "300 g", "direction": "sideways"}, "pieces": 20}"#,
    r#"{"need": {"verb": "pull_together", "force": "10 N", "gap": "5 mm"}, "pieces": 10}"#,
    r#"{"need": {"verb": "push_apart", "force": "5 N", "gap": "10 mm"}, "limits": {"tallest": "20 mm"}}"#,
    r#"{"need": {"verb": "reach_field", "field": "50 mT", "distance": "10 mm",
        "no_more_than": {"field": "1 mT", "distance": "100 mm"}}}"#,
    r#"{"need": {"verb": "switch_sensor", "operate": "10 mT", "release": "5 mT", "near": "4 mm", "far": "30 mm"}, "pieces": 500}"#,
    r#"{"need": {"verb": "face_field", "field": "350 mT", "probe_depth": "0.5 mm"}}"#,
    r#"{"need": {"verb": "hold", "load": "5 N"}, "conditions": {"warmest": "140 °C", "surroundings": "outdoors"}}"#,
];

#[test]
fn every_verb_finds_magnets_that_surely_do() {
    for json in QUESTIONS {
        let got = ask(json);
        assert!(got.searched.sure > 0 && got.shortfall.is_none(), "{json}");
        assert_eq!(got.candidates[0].verdict, Verdict::Sure);
        // What may lead comes first, then what an adviser would not put first; each cheapest first.
        let sure = got.candidates.iter().take_while(|c| c.verdict == Verdict::Sure);
        let order: Vec<_> = sure
            .map(|c| {
                let second = c.second_choice(&got.question);
                (second.is_some(), c.cost_total.unwrap())
            })
            .collect();
        assert!(order.is_sorted(), "{json}: {order:?}");
        assert!(!order[0].0, "{json}");
        for c in &got.candidates {
            let quiet = c.far.as_ref().is_none_or(|far| far.high <= got.need.ceiling.unwrap());
            assert_eq!(
                c.verdict == Verdict::Sure,
                c.band.low >= got.need.of_mass(c.mass) && quiet,
                "{json}: {}",
                c.item.code
            );
            assert!(c.pieces_bought >= c.build.total_pieces() * u64::from(got.question.pieces));
        }
    }
}

#[test]
fn the_cheapest_sure_build_leads() {
    for json in QUESTIONS {
        let got = ask(json);
        let lead = &got.candidates[0];
        assert!(
            lead.unbeaten
                || got
                    .candidates
                    .iter()
                    .any(|c| c.unbeaten && c.cost_total == lead.cost_total),
            "{json}"
        );
        let text = view::text::plain(&view::answer::view(&got, &Units::metric()).lead);
        assert!(text.contains(&lead.item.code), "{text}");
    }
}

#[test]
fn frozen_answers_read_back_as_they_were() {
    for json in QUESTIONS {
        let got = ask(json);
        let text = serde_json::to_string(&got).unwrap();
        assert_eq!(serde_json::from_str::<Answer>(&text).unwrap(), got);
    }
}

#[test]
fn limits_are_kept() {
    let got = ask(
        r#"{"need": {"verb": "hold", "load": "3 N"}, "limits": {"widest": "16 mm", "narrowest": "6 mm", "tallest": "8 mm",
            "shortest": "3 mm", "shapes": ["disc", "ring"], "grades": ["neodymium"], "stack": 2, "mass": "10 g",
            "budget_each": "4", "budget_total": "200", "in_stock": true, "ships_by_air": true}, "pieces": 40}"#,
    );
    assert!(!got.candidates.is_empty());
    for c in &got.candidates {
        assert!((6e-3..=16.001e-3).contains(&c.item.shape.widest()) && (3e-3..=8.001e-3).contains(&c.height));
        assert!(matches!(c.item.shape, Shape::Disc { .. } | Shape::Ring { .. }) && c.build.pieces <= 2);
        assert!(c.mass <= 10e-3 && c.cost_each.unwrap().to_f64() <= 4.0 && c.cost_total.unwrap().to_f64() <= 200.0);
        assert!(c.item.stock.is_none_or(|n| n >= c.pieces_bought) && c.hazards.at_2_1_m <= 0.2e-6);
    }
    assert!(got.near_misses.iter().all(|m| m.value > 0.0));
}

#[test]
fn what_the_shelf_cannot_do_is_said_with_a_way_out() {
    let got = ask(r#"{"need": {"verb": "face_field", "field": "900 mT"}}"#);
    let short = got.shortfall.unwrap();
    let ceiling = short.ceiling.unwrap().value;
    assert!(got.candidates.is_empty() && ceiling < 0.9);
    assert!(
        got.near_misses
            .iter()
            .any(|m| matches!(m.ruled_out_by, RuledOut::TooWeak { .. }))
    );
    let heavy = ask(
        r#"{"need": {"verb": "hold", "load": "60 kg", "direction": "hanging_below"}, "limits": {"widest": "20 mm", "tallest": "10 mm"}}"#,
    );
    let short = heavy.shortfall.unwrap();
    assert!(short.best.as_ref().unwrap().reaches < 1.0);
    assert!(
        short
            .would_do
            .iter()
            .any(|w| matches!(w, WouldDo::Share { builds, .. } if *builds > 1))
    );
    assert!(short.would_do.iter().any(|w| matches!(
        w,
        WouldDo::Custom {
            breaks_limits: true,
            ..
        }
    )));
}

#[test]
fn heat_leaves_only_what_stands_it() {
    let catalogue = Catalogue::builtin().unwrap();
    let got = ask(QUESTIONS[7]);
    for c in &got.candidates {
        assert!(
            catalogue.grades.get(&c.item.grade).unwrap().max_service_celsius >= 140.0,
            "{}",
            c.item.grade
        );
    }
    let furnace = ask(r#"{"need": {"verb": "hold", "load": "1 N"}, "conditions": {"warmest": "400 °C"}}"#);
    assert!(
        furnace
            .candidates
            .iter()
            .all(|c| catalogue.grades.get(&c.item.grade).unwrap().max_service_celsius >= 400.0)
    );
}

/// The parts of the demo shop go with its magnets: every verb that they serve finds builds with each kind.
#[test]
fn the_parts_of_the_demo_shop_serve_its_magnets() {
    let parts = shop::demo::parts();
    let catalogue = Catalogue::builtin().unwrap();
    for (need, steelwork) in [
        (r#""verb": "hold", "load": "4 kg""#, "cup"),
        (r#""verb": "hold", "load": "1 kg""#, "back_plate"),
        (
            r#""verb": "reach_field", "field": "400 mT", "distance": "0.2 mm""#,
            "pole_tip",
        ),
    ] {
        let json = format!(r#"{{"need": {{{need}}}, "limits": {{"steelwork": "{steelwork}"}}, "pieces": 100}}"#);
        let answer = ask(&json);
        let found = advice::with_part::find(&answer, &SHELF, &parts, &catalogue, &|| true).expect("it goes on");
        assert!(!found.is_empty(), "{json}");
        for f in &found {
            assert!(
                f.verdict == Verdict::Middle || f.band.low >= answer.need.of_mass(f.mass),
                "{json}"
            );
            assert_eq!(f.cost_total.is_some(), f.cost_each.is_some());
        }
        let sure = found.iter().filter(|f| f.verdict == Verdict::Sure);
        let costs: Vec<_> = sure.map(|f| f.cost_total.unwrap()).collect();
        assert!(costs.is_sorted(), "{json}: {costs:?}");
    }
}

/// 2.55 N held by a build of 245 g, with 100 g hanging on it, was called sure: it falls at once.
#[test]
fn what_surely_hangs_from_thin_steel_carries_itself() {
    let got = ask(
        r#"{"need": {"verb": "hold", "load": "100 g", "direction": "hanging_below",
            "steel": {"material": "mild steel", "thickness": "1 mm"},
            "layers": [{"material": "wood", "thickness": "25 mm"}]}}"#,
    );
    assert!(got.searched.sure > 0);
    for c in got.candidates.iter().filter(|c| c.verdict == Verdict::Sure) {
        assert!(
            c.band.low >= 2.0 * 9.80665 * (0.1 + c.mass),
            "{} of {} kg holds {:?}",
            c.item.code,
            c.mass,
            c.band
        );
    }
    let lead = &got.candidates[0];
    println!(
        "{}: {} g, {:.2} to {:.2} N",
        lead.item.code,
        lead.mass * 1e3,
        lead.band.low,
        lead.band.high
    );
}
