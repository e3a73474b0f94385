use super::*;
use crate::ShopError;

fn issue(shop: &Shop, year: i16, number: Option<&str>, at: i64) -> Option<(String, u32)> {
    let make = |number: &str, issue: u32| Ok::<_, ShopError>(format!("{number}/{issue}"));
    shop.issue_quotation(year, number, "a customer", at, make).unwrap()
}

#[test]
fn numbers_rise_in_a_year_and_issues_in_a_number() {
    let shop = Shop::in_memory().unwrap();
    assert_eq!(issue(&shop, 2026, None, 1), Some(("Q-2026-0001".into(), 1)));
    assert_eq!(issue(&shop, 2026, None, 2), Some(("Q-2026-0002".into(), 1)));
    assert_eq!(
        issue(&shop, 2026, Some("Q-2026-0001"), 3),
        Some(("Q-2026-0001".into(), 2))
    );
    assert_eq!(
        issue(&shop, 2026, Some("Q-2026-0001"), 4),
        Some(("Q-2026-0001".into(), 3))
    );
    assert_eq!(issue(&shop, 2027, None, 4), Some(("Q-2027-0001".into(), 1)));
    assert_eq!(issue(&shop, 2026, Some("Q-2026-0009"), 5), None);
    let listed: Vec<_> = shop
        .quotations(10)
        .unwrap()
        .into_iter()
        .map(|q| (q.number, q.issue))
        .collect();
    assert_eq!(listed[0], ("Q-2027-0001".into(), 1));
    assert_eq!(listed.len(), 5);
}

#[test]
fn every_issue_stays_as_it_left() {
    let shop = Shop::in_memory().unwrap();
    issue(&shop, 2026, None, 1);
    issue(&shop, 2026, Some("Q-2026-0001"), 2);
    let text = |issue| shop.quotation("Q-2026-0001", issue).unwrap();
    assert_eq!(text(Some(1)).as_deref(), Some("Q-2026-0001/1"));
    assert_eq!(text(Some(2)).as_deref(), Some("Q-2026-0001/2"));
    assert_eq!(text(None), text(Some(2)));
    assert_eq!(text(Some(3)), None);
    assert_eq!(shop.quotation("Q-2026-0002", None).unwrap(), None);
}

#[test]
fn what_could_not_be_made_takes_no_number() {
    let shop = Shop::in_memory().unwrap();
    let make = |_: &str, _: u32| Err(ShopError::Damaged("no".into()));
    assert!(shop.issue_quotation(2026, None, "x", 1, make).is_err());
    assert_eq!(issue(&shop, 2026, None, 2), Some(("Q-2026-0001".into(), 1)));
}

#[test]
fn ten_thousand_in_a_year_keep_rising() {
    let shop = Shop::in_memory().unwrap();
    shop.lock()
        .unwrap()
        .execute(
            "INSERT INTO quotation (number, issue, customer, made_at, body) VALUES ('Q-2026-9999', 1, '', 1, '')",
            [],
        )
        .unwrap();
    assert_eq!(issue(&shop, 2026, None, 2), Some(("Q-2026-10000".into(), 1)));
    assert_eq!(issue(&shop, 2026, None, 3), Some(("Q-2026-10001".into(), 1)));
}
