use super::*;
use crate::item::PriceBreak;

fn disc(code: &str, thickness_mm: f64, price: i64) -> Item {
    let request = request();
    let prices = vec![PriceBreak {
        from: 1,
        each: Money::from_parts(price),
    }];
    Item {
        code: code.into(),
        prices,
        ..made(&request, thickness_mm * 1e-3)
    }
}

fn request() -> LadderRequest {
    LadderRequest {
        body: Face::Disc {
            diameter: Length::from_mm(6.0),
        },
        grade: "N42".into(),
        measure: Measure::Face { probe_depth: None },
        by: Rising::Thickness,
        item: None,
        pieces: 1,
        worth: 0.5,
        conditions: Conditions::default(),
    }
}

fn shelf() -> Vec<Item> {
    [
        ("a", 1.0, 1000),
        ("b", 2.0, 1500),
        ("c", 4.0, 2400),
        ("d", 8.0, 4700),
        ("e", 2.0, 9000),
    ]
    .map(|(c, t, p)| disc(c, t, p))
    .to_vec()
}

#[test]
fn rungs_rise_take_the_cheaper_of_equals_and_stay_below_the_ceiling() {
    let got = ladder(&request(), &shelf(), &Catalogue::builtin().unwrap()).unwrap();
    let codes: Vec<&str> = got
        .rungs
        .iter()
        .map(|r| r.item.as_ref().unwrap().code.as_str())
        .collect();
    assert_eq!(codes, ["a", "b", "c", "d"]);
    assert!(got.rungs.windows(2).all(|w| w[1].band.mid > w[0].band.mid));
    assert!(got.rungs.iter().all(|r| r.band.mid < got.ceiling));
    assert_eq!(got.rungs[0].gain, None);
    // The step from 4 to 8 mm brings less than a fifth for twice the money; the step before it still pays.
    assert_eq!(
        got.knee,
        Some(2),
        "{:?}",
        got.rungs.iter().map(|r| r.return_).collect::<Vec<_>>()
    );
}

/// Common practice, no source: two thin plated pieces read clearly less than one solid piece of their height.
#[test]
fn stacks_of_the_same_height_are_weaker_than_solid() {
    let got = ladder(&request(), &shelf(), &Catalogue::builtin().unwrap()).unwrap();
    assert!(!got.solid_against_stack.is_empty());
    for pair in &got.solid_against_stack {
        assert!(pair.stack_value < pair.solid_value);
    }
}

#[test]
fn counts_and_free_thickness_need_no_family() {
    let catalogue = Catalogue::builtin().unwrap();
    let count = ladder(
        &LadderRequest {
            by: Rising::Count,
            ..request()
        },
        &shelf(),
        &catalogue,
    )
    .unwrap();
    assert_eq!(count.rungs.len(), 8);
    assert_eq!(count.rungs[7].price, Some(Money::from_parts(8000)));
    let free = ladder(
        &LadderRequest {
            by: Rising::Free,
            ..request()
        },
        &[],
        &catalogue,
    )
    .unwrap();
    assert!(free.rungs.len() >= 8 && free.rungs.iter().all(|r| r.price.is_none()));
}

#[test]
fn what_is_not_there_is_named() {
    let catalogue = Catalogue::builtin().unwrap();
    let field = |r: &LadderRequest| ladder(r, &shelf(), &catalogue).unwrap_err().field;
    assert_eq!(
        field(&LadderRequest {
            grade: "N99".into(),
            ..request()
        }),
        "/grade"
    );
    assert_eq!(
        field(&LadderRequest {
            grade: "N35".into(),
            ..request()
        }),
        "/body"
    );
    assert_eq!(
        field(&LadderRequest {
            worth: f64::NAN,
            ..request()
        }),
        "/worth"
    );
    assert_eq!(field(&LadderRequest { pieces: 0, ..request() }), "/pieces");
    assert_eq!(
        field(&LadderRequest {
            by: Rising::Count,
            item: Some("zz".into()),
            ..request()
        }),
        "/item"
    );
}
