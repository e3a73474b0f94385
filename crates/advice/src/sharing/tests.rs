use magnetics::Shape;
use magnetics::load::plate_pull;
use magnetics::placed::Placed;
use magnetics::solid::{Polarisation, Solid};

use super::*;
use crate::answer::Verdict;
use crate::fixture::{ask, breaks, catalogue, disc};
use crate::item::Item;

/// Part that each keeps on steel that is thick enough.
const KEPT: f64 = 1.0 - LOST_SIDE_BY_SIDE;

const HOLD: &str =
    r#"{"need": {"verb": "hold", "load": "4 kg", "steel": {"material": "mild steel", "thickness": "5 mm"}}}"#;

fn priced(code: &str, diameter: f64, thickness: f64, parts: i64) -> Item {
    Item {
        prices: breaks(&[(1, parts)]),
        ..disc(code, diameter, thickness)
    }
}

fn shelf() -> Vec<Item> {
    vec![
        priced("large", 30.0, 10.0, 115_800),
        priced("middle", 15.0, 5.0, 21_000),
        priced("small", 10.0, 3.0, 9_000),
    ]
}

#[test]
fn each_number_has_its_cheapest_kind_and_the_price_of_all() {
    let got = ask(HOLD, &shelf());
    assert!(!got.shared.is_empty());
    for s in &got.shared {
        let all = s
            .candidate
            .item
            .price_each(u64::from(s.by))
            .unwrap()
            .times(s.by.into())
            .unwrap();
        assert_eq!(
            s.candidate.cost_total,
            Some(all),
            "{} of {}",
            s.by,
            s.candidate.item.code
        );
        assert_eq!(s.candidate.pieces_bought, u64::from(s.by));
        assert!(s.low >= s.need && s.candidate.verdict == Verdict::Sure);
        // Counted a quarter weaker than alone.
        assert!(
            (s.low / (0.75 * s.candidate.band.low) - 1.0).abs() < 1e-9,
            "{} {:?}",
            s.low,
            s.candidate.band
        );
        // An even part of three times the load and what each weighs.
        let part = 3.0 * 9.80665 * (4.0 / f64::from(s.by) + s.candidate.mass);
        assert!(s.need <= part * 1.000_001, "{} needs {} of {part}", s.by, s.need);
    }
}

/// What is proposed is confirmed by asking for it, with a fifth to spare; nothing cheaper of the shelf would do.
#[test]
fn what_is_shared_is_confirmed_by_asking_and_nothing_cheaper_does() {
    let shelf = shelf();
    for s in ask(HOLD, &shelf).shared {
        let asked = HOLD.replace(r#""load""#, &format!(r#""shared_by": {}, "load""#, s.by));
        let got = ask(&asked, &shelf);
        let sure = |c: &&crate::answer::Candidate| c.verdict == Verdict::Sure && c.build.pieces == 1;
        let same = got
            .candidates
            .iter()
            .filter(sure)
            .find(|c| c.item.code == s.candidate.item.code);
        assert!(same.is_some_and(|c| c.band.low * KEPT >= s.need));
        let cheaper = got
            .candidates
            .iter()
            .filter(sure)
            .any(|c| c.cost_total < s.candidate.cost_total && c.band.low * KEPT >= got.need.of_mass(c.mass));
        assert!(!cheaper, "{} of {}", s.by, s.candidate.item.code);
    }
}

#[test]
fn nothing_is_shared_where_that_is_no_choice() {
    let none = |json: &str| assert!(ask(json, &shelf()).shared.is_empty(), "{json}");
    none(&HOLD.replace(r#""load""#, r#""shared_by": 2, "load""#));
    none(&HOLD.replace(r#""thickness""#, r#""across": "30 mm", "thickness""#));
    none(r#"{"need": {"verb": "reach_field", "field": "5 mT", "distance": "10 mm"}}"#);
    let alone = shared(&ask(HOLD, &shelf()).question, &catalogue(), &[], &|| true);
    assert!(alone.is_ok_and(|shared| shared.is_empty()));
}

/// What of its pull each keeps in the longest row that is proposed, where they touch, like poles down, on thick steel: by the mirror image.
fn kept_in_a_row(diameter: f64, thickness: f64, gap: f64) -> f64 {
    let disc = Shape::Disc { diameter, thickness };
    let row = |count: usize| {
        let at = |k: usize| {
            let along = Polarisation::Along([0.0, 0.0, 1.3]);
            Placed::new(Solid::Plain(disc), along, [k as f64 * diameter, 0.0, 0.0], [0.0; 3]).unwrap()
        };
        let all: Vec<Placed> = (0..count).map(at).collect();
        plate_pull(&all, gap).unwrap().0 / count as f64
    };
    row(NUMBERS[3] as usize) / row(1)
}

/// What is counted on side by side is kept in the longest row, and is not much less than that.
#[test]
fn like_poles_in_a_row_keep_what_is_counted_on() {
    let kept: Vec<f64> = [(10e-3, 2e-3), (10e-3, 3e-3), (15e-3, 5e-3), (20e-3, 10e-3)]
        .into_iter()
        .flat_map(|(diameter, thickness)| [0.05e-3, 0.3e-3].map(|gap| kept_in_a_row(diameter, thickness, gap)))
        .collect();
    let least = kept.iter().copied().fold(f64::INFINITY, f64::min);
    assert!((KEPT..KEPT + 0.05).contains(&least), "{kept:?}");
}

/// On steel that is too thin for one of them more is counted, and the words say how much.
#[test]
fn on_thin_steel_several_are_counted_weaker() {
    let thin = HOLD.replace("5 mm", "0.5 mm").replace("4 kg", "600 g");
    let got = ask(&thin, &shelf());
    assert!(!got.shared.is_empty());
    let mut weaker = 0;
    for s in &got.shared {
        let kept = s.low / s.candidate.band.low;
        let [on_thin, usual] = [LOST_ON_THIN, LOST_SIDE_BY_SIDE].map(|lost| (kept - (1.0 - lost)).abs() <= 1e-9);
        // For a flat piece the sheet may be thick enough.
        assert!((on_thin || usual) && s.low >= s.need, "{kept}");
        weaker += usize::from(on_thin);
    }
    assert!(weaker > 0, "on 0.5 mm none is counted weaker");
}

/// Two in place of each of 50 are 100 that are bought, at the price of 100.
#[test]
fn several_in_place_of_each_are_bought_at_the_price_of_all() {
    let cheaper = Item {
        prices: breaks(&[(1, 21_000), (100, 12_000)]),
        ..disc("middle", 15.0, 5.0)
    };
    let asked = HOLD.replacen('{', r#"{"pieces": 50, "#, 1);
    let got = ask(&asked, &[cheaper]);
    assert!(!got.shared.is_empty());
    for s in &got.shared {
        assert_eq!(s.candidate.pieces_bought, u64::from(50 * s.by));
        assert_eq!(
            s.candidate.cost_total,
            Some(Money::from_parts(12_000 * 50 * i64::from(s.by)))
        );
    }
}

/// What is sold out is not proposed, however cheap.
#[test]
fn what_is_sold_out_shares_no_load() {
    let gone = Item {
        stock: Some(0),
        ..priced("gone", 15.0, 6.0, 100)
    };
    let mut all = shelf();
    all.push(gone.clone());
    let codes = |shelf: &[Item]| -> Vec<String> {
        let shared = ask(HOLD, shelf).shared;
        shared.iter().map(|s| s.candidate.item.code.clone()).collect()
    };
    assert!(
        !codes(&all).is_empty() && !codes(&all).contains(&"gone".to_owned()),
        "{:?}",
        codes(&all)
    );
    let here = Item {
        stock: Some(1000),
        ..gone
    };
    assert!(codes(&[here]).contains(&"gone".to_owned()));
}
