//! Prices, orders, breaks, budgets and stock: exact, and of whole orders.

use advice::Item;
use advice::answer::{Candidate, Reason};
use quantity::Money;

use crate::shelf::{ask, breaks, disc, ruled_out};

fn money(text: &str) -> Money {
    Money::from_parts((text.parse::<f64>().expect("an amount") * 10_000.0).round() as i64)
}

/// Ten cents from one, eight from a hundred, seven from a thousand.
fn broken() -> Item {
    Item {
        prices: breaks(&[(1, 1_000), (100, 800), (1_000, 700)]),
        stock: Some(500),
        ..disc(10.0, 5.0)
    }
}

fn first(json: &str, item: &Item) -> Candidate {
    let answer = ask(json, std::slice::from_ref(item));
    answer
        .candidates
        .into_iter()
        .next()
        .unwrap_or_else(|| panic!("{json}: none"))
}

fn hold(pieces: u32, need: &str, limits: &str) -> String {
    format!(
        r#"{{"need": {{"verb": "hold", "load": "4 N"{need}}}, "pieces": {pieces}, "limits": {{"stack": 1{limits}}}}}"#
    )
}

fn pair(pieces: u32, limits: &str) -> String {
    format!(
        r#"{{"need": {{"verb": "pull_together", "force": "1 N", "gap": "2 mm"}}, "pieces": {pieces}, "limits": {{"stack": 1{limits}}}}}"#
    )
}

/// What a build, a whole order and its pieces come to: the break is that of all pieces, not of all builds.
#[test]
fn breaks_are_those_of_all_pieces() {
    let item = broken();
    for (question, pieces, each, total) in [
        (hold(1, "", ""), 1, "0.10", "0.10"),
        (hold(99, "", ""), 99, "0.10", "9.90"),
        (hold(100, "", ""), 100, "0.08", "8.00"),
        (hold(999, "", ""), 999, "0.08", "79.92"),
        (hold(1000, "", ""), 1000, "0.07", "70.00"),
        // A pair is two pieces.
        (pair(49, ""), 98, "0.20", "9.80"),
        (pair(50, ""), 100, "0.16", "8.00"),
        (pair(500, ""), 1000, "0.14", "70.00"),
        // Where four share a load, pieces are all of them, four at least; each is what four cost.
        (hold(1, r#", "shared_by": 4"#, ""), 4, "0.40", "0.40"),
        (hold(96, r#", "shared_by": 4"#, ""), 96, "0.40", "9.60"),
        (hold(100, r#", "shared_by": 4"#, ""), 100, "0.32", "8.00"),
        (hold(1000, r#", "shared_by": 4"#, ""), 1000, "0.28", "70.00"),
    ] {
        let got = first(&question, &item);
        assert_eq!(got.pieces_bought, pieces, "{question}");
        assert_eq!(got.cost_each, Some(money(each)), "{question}");
        assert_eq!(got.cost_total, Some(money(total)), "{question}");
    }
    // A stack counts each of its pieces.
    let stacked =
        r#"{"need": {"verb": "hold", "load": "4 N"}, "pieces": 50, "limits": {"shortest": "10 mm", "stack": 2}}"#;
    let got = first(stacked, &item);
    assert_eq!((got.build.pieces, got.pieces_bought), (2, 100));
    assert_eq!((got.cost_each, got.cost_total), (Some(money("0.16")), Some(money("8"))));
}

/// An item that is sold by the hundred is bought by the hundred.
#[test]
fn the_least_order_is_paid_for() {
    let item = Item {
        prices: breaks(&[(100, 800), (1_000, 700)]),
        ..broken()
    };
    for (question, pieces, each, total) in [
        (hold(1, "", ""), 100, "0.08", "8.00"),
        (hold(99, "", ""), 100, "0.08", "8.00"),
        (hold(101, "", ""), 101, "0.08", "8.08"),
        (pair(3, ""), 100, "0.16", "8.00"),
    ] {
        let got = first(&question, &item);
        assert_eq!(
            (got.pieces_bought, got.cost_each),
            (pieces, Some(money(each))),
            "{question}"
        );
        assert_eq!(got.cost_total, Some(money(total)), "{question}");
    }
    // Its stock must cover the least order.
    let left = |stock| Item {
        stock: Some(stock),
        ..item.clone()
    };
    let q = hold(1, "", r#", "in_stock": true"#);
    assert_eq!(ruled_out(&q, &left(100)), None);
    assert_eq!(ruled_out(&q, &left(99)).as_deref(), Some("in_stock"));
}

/// A budget that is met to the last hundredth of a cent is kept.
#[test]
fn budgets_are_kept_to_the_last_part() {
    let item = broken();
    for (kept, out, rule) in [
        (
            hold(10, "", r#", "budget_each": "0.10""#),
            hold(10, "", r#", "budget_each": "0.0999""#),
            "budget_each",
        ),
        (
            hold(10, "", r#", "budget_total": "1.00""#),
            hold(10, "", r#", "budget_total": "0.9999""#),
            "budget_total",
        ),
        (
            pair(10, r#", "budget_each": "0.20""#),
            pair(10, r#", "budget_each": "0.1999""#),
            "budget_each",
        ),
        (
            pair(10, r#", "budget_total": "2.00""#),
            pair(10, r#", "budget_total": "1.9999""#),
            "budget_total",
        ),
        (
            hold(10, r#", "shared_by": 4"#, r#", "budget_each": "0.40""#),
            hold(10, r#", "shared_by": 4"#, r#", "budget_each": "0.3999""#),
            "budget_each",
        ),
        // At the break it is cheaper.
        (
            hold(100, "", r#", "budget_each": "0.08""#),
            hold(99, "", r#", "budget_each": "0.08""#),
            "budget_each",
        ),
    ] {
        assert_eq!(ruled_out(&kept, &item), None, "{kept}");
        assert_eq!(ruled_out(&out, &item).as_deref(), Some(rule), "{out}");
    }
    let unpriced = Item {
        prices: Vec::new(),
        ..broken()
    };
    for budget in ["budget_each", "budget_total"] {
        let q = hold(1, "", &format!(r#", "{budget}": "5""#));
        assert_eq!(ruled_out(&q, &unpriced).as_deref(), Some(budget));
    }
    assert_eq!(first(&hold(1, "", ""), &unpriced).cost_total, None);
}

/// Five hundred on hand are as many pieces, however they are put together; what is not counted is not doubted.
#[test]
fn stock_is_counted_in_pieces() {
    let item = broken();
    let stock = r#", "in_stock": true"#;
    for (kept, out) in [
        (hold(500, "", stock), hold(501, "", stock)),
        (pair(250, stock), pair(251, stock)),
        (
            hold(500, r#", "shared_by": 4"#, stock),
            hold(501, r#", "shared_by": 4"#, stock),
        ),
    ] {
        assert_eq!(ruled_out(&kept, &item), None, "{kept}");
        assert_eq!(ruled_out(&out, &item).as_deref(), Some("in_stock"), "{out}");
    }
    let uncounted = Item {
        stock: None,
        ..broken()
    };
    assert_eq!(ruled_out(&hold(100_000, "", stock), &uncounted), None);
}

/// A break is offered where all of it costs less than what was asked, and not before.
#[test]
fn a_break_is_offered_where_the_whole_order_is_cheaper() {
    let endless = Item {
        stock: None,
        ..broken()
    };
    let offered = |pieces: u32, item: &Item| {
        let because = first(&hold(pieces, "", ""), item).because;
        because.into_iter().find_map(|reason| match reason {
            Reason::NextBreak { pieces, total } => Some((pieces, total)),
            _ => None,
        })
    };
    // A hundred cost 8.00: 79 pieces at 0.10 are 7.90, 81 are 8.10.
    assert_eq!(offered(79, &endless), None);
    assert_eq!(offered(81, &endless), Some((100, money("8"))));
    assert_eq!(offered(99, &endless), Some((100, money("8"))));
    assert_eq!(offered(100, &endless), None);
    // A thousand cost 70.00: 875 at 0.08 are 70.00, 876 are 70.08.
    assert_eq!(offered(874, &endless), None);
    assert_eq!(offered(876, &endless), Some((1000, money("70"))));
    assert_eq!(offered(1000, &endless), None);
    // Not what is not there: of five hundred on hand no thousand is sold.
    assert_eq!(offered(876, &broken()), None);
    assert_eq!(offered(81, &broken()), Some((100, money("8"))));
}

/// What saves money by its quantity says so against the price of the least order.
#[test]
fn the_price_of_the_quantity_is_named() {
    let saves = |pieces: u32| {
        let because = first(&hold(pieces, "", ""), &broken()).because;
        because.into_iter().find_map(|reason| match reason {
            Reason::QuantityPrice { saves, pieces } => Some((saves, pieces)),
            _ => None,
        })
    };
    assert_eq!(saves(99), None);
    let near = |got: Option<(f64, u64)>, want: (f64, u64)| {
        got.is_some_and(|(saves, pieces)| (saves - want.0).abs() <= 1e-12 && pieces == want.1)
    };
    assert!(near(saves(100), (0.2, 100)), "{:?}", saves(100));
    assert!(near(saves(1000), (0.3, 1000)), "{:?}", saves(1000));
}

/// The first of the sure ones costs least in all; without a price it comes last.
#[test]
fn the_cheapest_order_comes_first() {
    let of = |code: &str, prices: &[(u64, i64)]| Item {
        code: code.into(),
        prices: breaks(prices),
        ..disc(10.0, 5.0)
    };
    let shelf = [
        of("unpriced", &[]),
        of("dear", &[(1, 900)]),
        of("break", &[(1, 950), (100, 500)]),
        of("lot", &[(1000, 100)]),
    ];
    let order = |pieces: u32| {
        let answer = ask(&hold(pieces, "", ""), &shelf);
        answer.candidates.into_iter().map(|c| c.item.code).collect::<Vec<_>>()
    };
    // 99 pieces: 8.91, 9.405, and a thousand at 10.00.
    assert_eq!(order(99), ["dear", "break", "lot", "unpriced"]);
    // 100 pieces: 9.00, 5.00, 10.00.
    assert_eq!(order(100), ["break", "dear", "lot", "unpriced"]);
    assert_eq!(order(300), ["lot", "break", "dear", "unpriced"]);
}
