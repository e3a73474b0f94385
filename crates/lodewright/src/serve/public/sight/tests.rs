use quantity::Currency;
use shop::Settings;

use super::*;

const WORDS: &str = "hold 2 kg hanging below 3 mm steel, 20 pieces";

/// The demo shop in a file, and what strangers see of it.
fn seen() -> (tempfile::TempDir, Shop, Sights) {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop::demo::open(folder.path().join("shop.sqlite")).unwrap();
    let reading = Arc::new(Shop::open_for_reading(shop.path().unwrap()).unwrap());
    (folder, shop, Sights::of(&reading).unwrap())
}

fn renamed(shop: &Shop) {
    let settings = Settings {
        name: "Corner".into(),
        ..shop.settings().unwrap()
    };
    shop.set_settings(&settings).unwrap();
}

fn answer(sight: &Sight) -> axum::body::Bytes {
    told(&sight.desk, WORDS, false, &Stop::new()).unwrap()
}

#[test]
fn what_strangers_see_cannot_change_the_shop() {
    let (_folder, shop, sights) = seen();
    let seen = sights.now();
    assert!(seen.desk.shop.undo().is_err() && seen.desk.shop.delete_answer("x").is_err());
    assert!(seen.desk.shop.purge_older(i64::MAX).is_ok_and(|gone| gone.entries == 0));
    let kept = told(&seen.desk, WORDS, true, &Stop::new()).unwrap();
    assert!(String::from_utf8_lossy(&kept).contains("could not be kept"));
    assert!(shop.list_answers(9).unwrap().is_empty());
}

#[test]
fn a_change_is_seen_as_a_whole_with_what_was_asked_of_late() {
    let (_folder, shop, sights) = seen();
    let old = sights.now();
    let place = old.answers.place(WORDS, Instant::now());
    place.set(answer(&old)).unwrap();
    old.answers.place(WORDS, Instant::now());
    old.answers.place("hold 1 kg on steel", Instant::now());
    sights.renew(&Stop::new()).unwrap();
    assert!(Arc::ptr_eq(&old, &sights.now()), "nothing has changed");
    let count = old.desk.shelf().unwrap().items.len();
    shop::import::take_off(&shop, "02-25").unwrap();
    // Whoever has the old sight goes on seeing one moment.
    assert_eq!(old.desk.shelf().unwrap().items.len(), count);
    sights.renew(&Stop::new()).unwrap();
    let new = sights.now();
    assert_eq!(new.desk.shelf().unwrap().items.len(), count - 1);
    let again = new.answers.place(WORDS, Instant::now());
    assert_eq!(again.get(), Some(&answer(&new)), "it was not answered anew");
    // What was asked once is answered when somebody asks again.
    assert_eq!(new.answers.place("hold 1 kg on steel", Instant::now()).get(), None);
}

#[test]
fn other_settings_are_seen_before_anything_is_answered_anew() {
    let (_folder, shop, sights) = seen();
    let old = sights.now();
    for _ in 0..2 {
        old.answers.place(WORDS, Instant::now());
    }
    renamed(&shop);
    sights.renew(&Stop::new()).unwrap();
    let new = sights.now();
    assert_eq!(new.desk.shelf().unwrap().settings.name, "Corner");
    assert!(new.answers.of_late(Instant::now()).is_empty());
}

#[test]
fn an_own_lesson_that_is_changed_is_seen() {
    let (_folder, shop, sights) = seen();
    let old = sights.now();
    let text = lessons::file("gap").unwrap();
    for (at, text) in [text.to_owned(), text.replace("gap", "distance")]
        .into_iter()
        .enumerate()
    {
        shop.keep_lesson("gap", &text, i64::try_from(at).unwrap()).unwrap();
        let before = sights.now();
        sights.renew(&Stop::new()).unwrap();
        assert!(!Arc::ptr_eq(&before, &sights.now()), "{at}");
    }
    shop.remove_lesson("gap").unwrap();
    sights.renew(&Stop::new()).unwrap();
    assert_eq!(old.of, sights.now().of);
    assert!(!Arc::ptr_eq(&old, &sights.now()));
}

#[test]
fn work_that_is_not_wanted_leaves_the_answers_out() {
    let (_folder, shop, sights) = seen();
    for _ in 0..2 {
        sights.now().answers.place(WORDS, Instant::now());
    }
    shop::import::take_off(&shop, "02-25").unwrap();
    let stop = Stop::new();
    stop.set();
    let old = sights.now();
    sights.renew(&stop).unwrap();
    let new = sights.now();
    assert!(!Arc::ptr_eq(&old, &new));
    assert!(new.answers.of_late(Instant::now()).is_empty());
}

#[cfg(unix)]
#[test]
fn strangers_are_answered_although_the_file_is_gone_or_another() {
    let (folder, shop, sights) = seen();
    let (path, aside) = (shop.path().unwrap(), folder.path().join("aside"));
    std::fs::rename(path, &aside).unwrap();
    assert!(sights.renew(&Stop::new()).is_err());
    assert!(String::from_utf8_lossy(&answer(&sights.now())).contains("holds"));
    // Another shop under the name, which has another currency.
    let other = Shop::open(path).unwrap();
    let dollars = Settings {
        currency: Currency::USD,
        ..Settings::default()
    };
    other.set_settings(&dollars).unwrap();
    sights.renew(&Stop::new()).unwrap();
    let shelf = sights.now().desk.shelf().unwrap();
    assert_eq!((shelf.settings.currency, shelf.items.len()), (Currency::USD, 0));
}

#[test]
fn it_is_looked_at_most_so_often() {
    let (_folder, _shop, sights) = seen();
    let start = *sights.looked.lock().unwrap();
    assert!(!sights.is_due(start + LOOK_EVERY / 2));
    assert!(sights.is_due(start + LOOK_EVERY));
    assert!(!sights.is_due(start + LOOK_EVERY * 3 / 2));
}
