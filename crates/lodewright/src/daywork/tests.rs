use shop::demo;

use super::*;

fn desk() -> Desk {
    Desk::new(demo::in_memory().unwrap())
}

fn kept(desk: &Desk, text: &str) {
    let wish = Wish {
        keep: true,
        ..Wish::default()
    };
    desk.reply(text, wish, &Units::metric()).unwrap();
}

fn all(desk: &Desk) -> Vec<WorkEntry> {
    let wanted = Wanted {
        limit: 50,
        ..Wanted::default()
    };
    desk.day_work(&wanted)
        .unwrap()
        .entries
        .into_iter()
        .map(|view| view.entry)
        .collect()
}

#[test]
fn the_customers_own_words_are_kept_with_what_they_were_read_as() {
    let desk = desk();
    let words = "Hello, we want to hold 2 kg hanging below 3 mm steel, 200 pieces please. Regards";
    kept(&desk, words);
    let entries = all(&desk);
    let [entry] = &entries[..] else { panic!("{entries:?}") };
    assert_eq!((entry.kind.as_str(), entry.message.as_str()), ("choose", words));
    let read_as = entry.read_as.replace('\u{a0}', " ");
    assert!(read_as.starts_with("Hold 2 kg hanging below"), "{read_as}");
    assert!(entry.answer.is_some() && entry.missed.is_none());
    assert!(
        desk.letter(entry.answer.as_deref().unwrap(), "en", &Units::metric())
            .is_ok()
    );
}

#[test]
fn what_is_only_typed_files_nothing() {
    let desk = desk();
    desk.reply(
        "hold 2 kg hanging below 3 mm steel, 200 pieces",
        Wish::default(),
        &Units::metric(),
    )
    .unwrap();
    assert!(all(&desk).is_empty());
}

#[test]
fn refused_and_unmet_enquiries_are_kept_and_counted() {
    let desk = desk();
    kept(&desk, "I need a magnet to hold 5 kg on an aluminium front");
    kept(
        &desk,
        "hold 5000 kg hanging below 1 mm steel, no wider than 10 mm, 3 pieces",
    );
    let entries = all(&desk);
    assert_eq!(entries.len(), 2, "{entries:?}");
    assert!(entries.iter().all(|entry| entry.missed.is_some()), "{entries:?}");
    let missed = desk.missed(30).unwrap();
    assert_eq!(missed.iter().map(|m| m.times).sum::<u64>(), 2);
}

#[test]
fn days_are_read_and_said() {
    assert_eq!(day(0), "1970-01-01");
    assert_eq!(start_of("1970-01-02"), Some(86_400));
    assert_eq!(start_of("someday"), None);
    assert_eq!(status_named("ordered").unwrap(), Status::Ordered);
    assert_eq!(status_named("lost").unwrap_err().status, 422);
}

#[test]
fn what_is_older_than_the_shop_keeps_things_is_purged() {
    let desk = desk();
    kept(&desk, "hold 2 kg on steel");
    let (now, day) = (seconds_now(), 86_400);
    let later = |days: i64| desk.purge_by_age(now + days * day).unwrap();
    // Kept always, as it is at first.
    assert_eq!(later(40_000), Purged::default());
    let settings = shop::Settings {
        keep_days: Some(30),
        ..desk.shop.settings().unwrap()
    };
    desk.shop.set_settings(&settings).unwrap();
    assert_eq!(later(29).entries, 0);
    assert_eq!(desk.shop.list_answers(9).unwrap().len(), 1);
    let gone = later(31);
    assert_eq!((gone.entries, gone.answers), (1, 1));
    assert!(desk.shop.list_answers(9).unwrap().is_empty() && all(&desk).is_empty());
}
