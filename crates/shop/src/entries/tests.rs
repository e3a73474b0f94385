use super::*;

fn filed(message: &str, made_at: i64) -> Filed {
    Filed {
        kind: "choose".into(),
        message: message.into(),
        read_as: format!("read: {message}"),
        lead: "One disc does.".into(),
        pieces: 10,
        made_at,
        ..Filed::default()
    }
}

fn wanted(search: &str) -> Wanted {
    Wanted {
        search: search.into(),
        limit: 50,
        ..Wanted::default()
    }
}

const DAY: i64 = 86_400;

#[test]
fn the_same_words_on_one_day_are_one_entry_and_its_notes_stay() {
    let shop = Shop::in_memory().unwrap();
    let id = shop.file(&filed("hold 2 kg", DAY)).unwrap();
    let note = Change {
        customer: Some(" The boathouse ".into()),
        note: Some("by May".into()),
        star: Some(true),
        follow_up: Some("2026-05-21".into()),
        ..Change::default()
    };
    assert!(shop.change_entry(&id, &note, 5).unwrap());
    assert_eq!(shop.file(&filed("hold 2 kg", DAY + 60)).unwrap(), id);
    assert_ne!(shop.file(&filed("hold 2 kg", 2 * DAY)).unwrap(), id);
    let entry = shop.entry(&id).unwrap().unwrap();
    assert_eq!(
        (entry.customer.as_str(), entry.note.as_str()),
        ("The boathouse", "by May")
    );
    assert_eq!(
        (entry.made_at, entry.star, entry.status),
        (DAY + 60, true, Status::Open)
    );
    assert_eq!(entry.follow_up.as_deref(), Some("2026-05-21"));
}

#[test]
fn what_went_out_makes_an_open_entry_a_sent_one() {
    let shop = Shop::in_memory().unwrap();
    let id = shop.file(&filed("hold 2 kg", DAY)).unwrap();
    let sent = Change {
        sent: Some("Hello,".into()),
        ..Change::default()
    };
    shop.change_entry(&id, &sent, 7).unwrap();
    let entry = shop.entry(&id).unwrap().unwrap();
    assert_eq!(
        (entry.status, entry.sent.as_deref(), entry.sent_at),
        (Status::Sent, Some("Hello,"), Some(7))
    );
    let ordered = Change {
        status: Some(Status::Ordered),
        ..Change::default()
    };
    shop.change_entry(&id, &ordered, 8).unwrap();
    shop.change_entry(&id, &sent, 9).unwrap();
    assert_eq!(shop.entry(&id).unwrap().unwrap().status, Status::Ordered);
    assert_eq!(shop.count_entries().unwrap(), [0, 0, 1, 0]);
}

#[test]
fn words_are_found_by_their_beginnings_in_every_part() {
    let shop = Shop::in_memory().unwrap();
    let id = shop.file(&filed("We need 50 mT next to a heater", DAY)).unwrap();
    shop.file(&filed("catches for a cupboard", DAY)).unwrap();
    let note = Change {
        customer: Some("Ébénisterie Łódź".into()),
        note: Some("asked twice".into()),
        ..Change::default()
    };
    shop.change_entry(&id, &note, 1).unwrap();
    for search in [
        "heat",
        "50 mt",
        "ebenist",
        "twice",
        "read heater",
        "HEATER need",
        "\"heat",
        "heat* OR",
        "(heat)",
    ] {
        let found = shop.find_entries(&wanted(search)).unwrap();
        let expected = usize::from(!search.contains("OR"));
        assert_eq!(found.entries.len(), expected, "{search}");
    }
    assert_eq!(shop.find_entries(&wanted("")).unwrap().total, 2);
    assert_eq!(shop.find_entries(&wanted("-!-")).unwrap().total, 2);
    assert!(shop.mark_entry(&id, true).unwrap());
    assert_eq!(shop.find_entries(&wanted("heat")).unwrap().total, 0);
    assert!(shop.mark_entry(&id, false).unwrap());
    assert_eq!(shop.find_entries(&wanted("heat")).unwrap().total, 1);
}

#[test]
fn filters_pages_and_what_is_due() {
    let shop = Shop::in_memory().unwrap();
    for k in 0..30 {
        let id = shop.file(&filed(&format!("entry {k}"), DAY + k)).unwrap();
        let change = Change {
            star: Some(k % 3 == 0),
            follow_up: (k % 5 == 0).then(|| format!("2026-05-{:02}", k + 1)),
            status: (k % 2 == 0).then_some(Status::Ordered),
            ..Change::default()
        };
        shop.change_entry(&id, &change, 1).unwrap();
    }
    let count = |wanted: Wanted| shop.find_entries(&wanted).unwrap().total;
    assert_eq!(
        count(Wanted {
            star: true,
            ..wanted("")
        }),
        10
    );
    assert_eq!(
        count(Wanted {
            status: Some(Status::Ordered),
            ..wanted("")
        }),
        15
    );
    assert_eq!(
        count(Wanted {
            due: Some("2026-05-11".into()),
            ..wanted("")
        }),
        3
    );
    let page = shop
        .find_entries(&Wanted {
            offset: 10,
            limit: 5,
            ..wanted("entry")
        })
        .unwrap();
    assert_eq!((page.total, page.entries.len()), (30, 5));
    assert_eq!(page.entries[0].message, "entry 19");
}

/// A search that finds very many is told so, and each page of it is still there.
#[test]
fn a_search_is_counted_up_to_a_thousand_and_found_beyond() {
    let shop = Shop::in_memory().unwrap();
    for n in 0..MOST_COUNTED + 7 {
        let text = format!("entry {n}");
        shop.file(&filed(&text, DAY + n as i64)).unwrap();
    }
    let found = |search: &str, offset: usize| {
        shop.find_entries(&Wanted {
            offset,
            limit: 5,
            ..wanted(search)
        })
        .unwrap()
    };
    let first = found("entry", 0);
    assert_eq!((first.total, first.more), (MOST_COUNTED as u64, true));
    assert_eq!(first.entries[0].message, format!("entry {}", MOST_COUNTED + 6));
    let last = found("entry", MOST_COUNTED + 4);
    assert_eq!(last.entries.last().unwrap().message, "entry 0");
    let all = found("", 0);
    assert_eq!((all.total, all.more), (MOST_COUNTED as u64 + 7, false));
    assert!(!found("19", 0).more);
}

#[test]
fn missed_demand_is_counted_by_what_lacked() {
    let shop = Shop::in_memory().unwrap();
    for (message, missed, at) in [("a", "wider", DAY), ("b", "wider", DAY + 9), ("c", "hotter", DAY)] {
        let entry = Filed {
            missed: Some(missed.into()),
            ..filed(message, at)
        };
        shop.file(&entry).unwrap();
    }
    shop.file(&filed("met", DAY)).unwrap();
    let missed = shop.missed(0, 10).unwrap();
    assert_eq!(missed.len(), 2);
    assert_eq!(
        (missed[0].what.as_str(), missed[0].times, missed[0].pieces),
        ("wider", 2, 20)
    );
    assert_eq!(missed[0].words, "b");
    assert!(shop.missed(DAY + 10, 10).unwrap().is_empty());
}

#[test]
fn a_person_is_handed_over_and_forgotten() {
    let shop = Shop::in_memory().unwrap();
    let mine = shop.file(&filed("my words", DAY)).unwrap();
    let other = shop.file(&filed("other words", DAY)).unwrap();
    for (id, name) in [(&mine, "A. Person"), (&other, "A. Person & Co")] {
        let change = Change {
            customer: Some(name.into()),
            ..Change::default()
        };
        shop.change_entry(id, &change, 1).unwrap();
    }
    shop.mark_entry(&mine, true).unwrap();
    assert_eq!(shop.entries_of("A. Person").unwrap().len(), 1);
    assert_eq!(shop.forget_customer("A. Person").unwrap().entries, 1);
    assert!(shop.entries_of("A. Person").unwrap().is_empty());
    assert_eq!(shop.find_entries(&wanted("words")).unwrap().total, 1);
    assert_eq!(shop.forget_customer("").unwrap().entries, 0);
}

#[test]
fn old_entries_are_purged_but_for_marked_ones() {
    let shop = Shop::in_memory().unwrap();
    let marked = shop.file(&filed("marked", DAY)).unwrap();
    shop.file(&filed("old", DAY)).unwrap();
    shop.file(&filed("new", 9 * DAY)).unwrap();
    let star = Change {
        star: Some(true),
        ..Change::default()
    };
    shop.change_entry(&marked, &star, 1).unwrap();
    assert_eq!(shop.count_older(5 * DAY).unwrap().entries, 1);
    assert_eq!(shop.purge_older(5 * DAY).unwrap().entries, 1);
    assert_eq!(shop.find_entries(&wanted("")).unwrap().total, 2);
}

#[test]
fn what_does_not_fit_is_refused() {
    let shop = Shop::in_memory().unwrap();
    let id = shop.file(&filed("x", DAY)).unwrap();
    for change in [
        Change {
            customer: Some("x".repeat(401)),
            ..Change::default()
        },
        Change {
            follow_up: Some("tomorrow".into()),
            ..Change::default()
        },
        Change {
            follow_up: Some("2026-13-01".into()),
            ..Change::default()
        },
    ] {
        assert!(shop.change_entry(&id, &change, 1).is_err(), "{change:?}");
    }
    assert!(!shop.change_entry("nothing", &Change::default(), 1).unwrap());
}

#[test]
fn what_a_customer_asks_by_themselves_is_an_entry_of_its_own() {
    let shop = Shop::in_memory().unwrap();
    let of_shop = shop.file(&filed("hold 2 kg", DAY)).unwrap();
    let note = Change {
        note: Some("rang twice".into()),
        ..Change::default()
    };
    shop.change_entry(&of_shop, &note, 1).unwrap();
    let own = Filed {
        by_themselves: true,
        lead: "Another lead.".into(),
        ..filed("hold 2 kg", DAY)
    };
    let id = shop.file(&own).unwrap();
    let [by_shop, by_themselves] = [&of_shop, &id].map(|id| shop.entry(id).unwrap().unwrap());
    assert!(!by_shop.by_themselves && by_themselves.by_themselves);
    assert_eq!(
        (by_shop.note.as_str(), by_shop.lead.as_str()),
        ("rang twice", "One disc does.")
    );
}

/// Every byte beside the shop, its log included.
fn bytes_in(folder: &std::path::Path) -> Vec<u8> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files
        .filter(|path| path.is_file())
        .flat_map(|path| std::fs::read(path).unwrap())
        .collect()
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes.windows(text.len()).any(|part| part == text.as_bytes())
}

#[test]
fn what_is_purged_or_forgotten_is_nowhere_in_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let shop = Shop::open(folder.path().join("shop.db")).unwrap();
    let words = "quillfeather";
    let kept = crate::desk::Entry {
        words: format!("{words} hold 2 kg"),
        lead: "One disc.".into(),
        pieces: 1,
        revision: 1,
        version: "test".into(),
        asked_at: DAY,
    };
    for (round, purged) in [(1, true), (2, false)] {
        let answer = shop.keep(&kept, "{}").unwrap();
        // An answer without an entry, of whatever day, and entries with one.
        let alone = shop
            .keep(
                &crate::desk::Entry {
                    words: format!("{words} alone {round}"),
                    ..kept.clone()
                },
                "{}",
            )
            .unwrap();
        for k in 0..40 {
            let id = shop
                .file(&Filed {
                    answer: Some(answer.clone()),
                    ..filed(&format!("{words} {k} {}", "long words ".repeat(200)), DAY)
                })
                .unwrap();
            let customer = Change {
                customer: Some("A. Person".into()),
                note: Some(format!("{words} rang")),
                ..Change::default()
            };
            shop.change_entry(&id, &customer, 1).unwrap();
        }
        assert!(holds(&bytes_in(folder.path()), words), "round {round}");
        if purged {
            let gone = shop.purge_older(2 * DAY).unwrap();
            assert_eq!((gone.entries, gone.answers), (40, 2));
            assert!(shop.open_answer(&alone).unwrap().is_none());
        } else {
            assert_eq!(shop.forget_customer("A. Person").unwrap().entries, 40);
            shop.purge_older(2 * DAY).unwrap();
        }
        assert!(!holds(&bytes_in(folder.path()), words), "round {round}");
        assert!(shop.open_answer(&answer).unwrap().is_none());
    }
    assert_eq!(shop.check().unwrap(), [""; 0]);
}
