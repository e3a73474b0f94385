use super::*;

#[test]
fn what_does_not_fit_is_refused() {
    let good = Letterhead {
        lines: vec!["4 Old Ropewalk".into(), "desk@shop.example".into()],
        address: "https://shop.example".into(),
        ..Letterhead::default()
    };
    assert!(good.check().is_ok());
    let wrong = [
        Letterhead {
            lines: vec![String::new(); MOST_LINES + 1],
            ..good.clone()
        },
        Letterhead {
            lines: vec!["x".repeat(MOST_LINE + 1)],
            ..good.clone()
        },
        Letterhead {
            address: "javascript:alert(1)".into(),
            ..good.clone()
        },
        Letterhead {
            address: "https://shop.example/a b".into(),
            ..good.clone()
        },
        Letterhead {
            terms: "x".repeat(MOST_TERMS + 1),
            ..good.clone()
        },
        Letterhead {
            valid_days: 0,
            ..good.clone()
        },
    ];
    for letterhead in wrong {
        assert!(letterhead.check().is_err(), "{letterhead:?}");
    }
}
