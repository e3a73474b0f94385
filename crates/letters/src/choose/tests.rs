use super::*;

fn parts() -> Parts {
    let lines = |n: usize, word: &str| {
        (0..n)
            .map(|k| format!("{word}{k} ") + &"word ".repeat(12))
            .collect::<Vec<_>>()
    };
    Parts {
        opening: "a long opening".into(),
        opening_short: "short".into(),
        heading: "heading".into(),
        offers: lines(3, "offer"),
        needed: Some("needed".into()),
        assumed: Some("assumed".into()),
        cautions: lines(2, "caution"),
        asks: lines(2, "ask"),
        ..Parts::default()
    }
}

#[test]
fn the_first_offer_the_need_and_a_caution_are_never_left_out() {
    let mut parts = parts();
    let mut steps = 0;
    while parts.shorten() {
        steps += 1;
        assert!(steps < 20, "it never ends");
    }
    assert_eq!(parts.offers.len(), 1);
    assert!(parts.offers[0].starts_with("offer0"));
    assert_eq!(parts.needed.as_deref(), Some("needed"));
    assert_eq!(parts.cautions.len(), 1);
    assert_eq!(parts.asks.len(), 1);
    assert_eq!(parts.opening, "short");
}

#[test]
fn the_third_offer_goes_before_a_caution() {
    let mut parts = parts();
    assert!(parts.shorten());
    assert_eq!((parts.offers.len(), parts.cautions.len()), (2, 2));
}

#[test]
fn a_subject_is_the_start_of_the_question() {
    assert_eq!(
        short_subject("hold 2 kg hanging below 3 mm steel, up to 60 °C"),
        "hold 2 kg hanging below 3 mm steel"
    );
    assert_eq!(short_subject(&"x".repeat(1000)).chars().count(), 100);
}
