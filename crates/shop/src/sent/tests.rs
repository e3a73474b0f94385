use super::*;

fn paper(words: &str) -> SentPaper {
    SentPaper {
        title: "A ladder".into(),
        made_at: 1_780_000_000,
        revision: 3,
        request: r#"{"kind":"lesson","name":"gap"}"#.into(),
        words: words.into(),
    }
}

#[test]
fn a_paper_is_kept_once_and_never_changes() {
    let shop = Shop::in_memory().unwrap();
    let first = shop.keep_sent(&paper("41.8 N"), |id| format!("page of {id}")).unwrap();
    assert_eq!(first.len(), 26);
    let later = SentPaper {
        made_at: 1_790_000_000,
        revision: 4,
        ..paper("41.8 N")
    };
    assert_eq!(shop.keep_sent(&later, |_| "another".into()).unwrap(), first);
    assert_eq!(shop.sent_paper(&first).unwrap(), Some(paper("41.8 N")));
    assert_eq!(shop.sent_page(&first).unwrap(), Some(format!("page of {first}")));
    // Other figures are another paper.
    let second = shop.keep_sent(&paper("42.0 N"), |_| "another".into()).unwrap();
    assert_ne!(second, first);
    assert_eq!(shop.sent_paper("none").unwrap(), None);
    assert_eq!(shop.sent_page("none").unwrap(), None);
}
