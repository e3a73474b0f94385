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
