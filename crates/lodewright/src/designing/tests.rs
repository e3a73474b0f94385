use super::*;

fn request(text: &str) -> DesignRequest {
    DesignRequest {
        wish: text.into(),
        least: vec![Aim::Mass, Aim::Cost],
        families: vec![Family::Disc, Family::Taper],
        sizes: None,
        refined: false,
    }
}

fn asked(request: &DesignRequest) -> Result<DesignView, Problem> {
    let desk = Desk::new(shop::demo::in_memory().unwrap());
    desk.design(request, &Units::metric(), &Stop::new(), &|_| {})
}

#[test]
fn a_wish_is_answered_with_costs_by_the_shelf() {
    let view = asked(&request("100 mT at 5 mm in a space of 30 x 20 mm, 500 pieces")).unwrap();
    assert!(view.drafts.iter().any(|draft| draft.keeps), "{}", view.lead);
    assert!(view.notes[0].contains("prices of the shelf"), "{}", view.notes[0]);
    assert!(view.drafts[0].cost.contains('€'), "{}", view.drafts[0].cost);
}

#[test]
fn what_does_not_read_says_where_and_what_would_be_right() {
    let nowhere = asked(&request("100 mT at 5 mm")).unwrap_err();
    assert_eq!(nowhere.more.field.as_deref(), Some("/wish"));
    assert!(nowhere.more.hint.is_some());
    let sizes = DesignRequest {
        sizes: Some("R7".into()),
        ..request("100 mT at 5 mm on 30 mm")
    };
    assert_eq!(asked(&sizes).unwrap_err().more.field.as_deref(), Some("/sizes"));
    let none = DesignRequest {
        families: vec![Family::Coupling],
        ..request("100 mT at 5 mm on 30 mm")
    };
    assert_eq!(asked(&none).unwrap_err().status, 422);
}

#[test]
fn breaks_go_by_pieces_and_least_orders_count() {
    let each = |pieces: u64| Some(Money::from_parts(if pieces < 50 { 100 } else { 80 }));
    let offered = offer("a", Some(7), 1, 30, each);
    let bought: Vec<(u64, i64)> = offered
        .bought
        .iter()
        .map(|one| (one.pieces, one.each.unwrap().parts()))
        .collect();
    assert_eq!(bought, [(30, 100), (60, 80), (90, 80), (120, 80), (150, 80)]);
    let least = offer("a", None, 40, 30, each);
    assert_eq!([least.bought[0].pieces, least.bought[1].pieces], [40, 60]);
}

#[test]
fn pieces_of_the_shelf_are_of_the_grade_that_was_said_at_the_prices_of_the_list() {
    let desk = Desk::new(shop::demo::in_memory().unwrap());
    let shelf = desk.shelf().unwrap();
    let asked = |text: &str| {
        let request = DesignRequest {
            families: vec![Family::Disc, Family::Stepped],
            ..request(text)
        };
        desk.design(&request, &Units::metric(), &Stop::new(), &|_| {})
            .unwrap()
            .stock
    };
    let said = asked("100 mT at 5 mm in a space of 30 x 20 mm of N42, 40 pieces");
    assert!(said.builds.iter().any(|build| build.keeps), "{}", said.lead);
    for piece in said.builds.iter().flat_map(|build| &build.pieces) {
        let item = shelf.item(&piece.code).unwrap();
        assert_eq!(item.grade, "N42", "{}", piece.code);
        assert_eq!(piece.bought, 40 * piece.count);
        let each = item.price_each(piece.bought).unwrap();
        assert_eq!(piece.each, each.show(shelf.settings.currency));
        assert_eq!(
            piece.sum,
            each.times(piece.bought).unwrap().show(shelf.settings.currency)
        );
    }
    let unsaid = asked("60 mT at 5 mm in a space of 30 x 20 mm, 40 pieces");
    let grades: std::collections::BTreeSet<&str> = unsaid
        .builds
        .iter()
        .flat_map(|build| &build.pieces)
        .map(|piece| shelf.item(&piece.code).unwrap().grade.as_str())
        .collect();
    assert!(grades.iter().any(|grade| *grade != "N42"), "{grades:?}");
    let warm = asked("10 mT at 5 mm in a space of 30 x 20 mm of N42 at 20 °C, 40 pieces");
    assert!(!warm.builds.is_empty());
}
