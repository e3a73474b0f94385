//! The database file: opened, refused, backed up, shared.

use std::fs;

use crate::common::{LIST, apply, apply_confirmed, state};
use quantity::Length;
use shop::{Released, Settings, Shop, ShopError, Told, demo};

#[test]
fn a_shop_is_there_when_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = Shop::open(&path).unwrap();
    apply(&shop, LIST).unwrap();
    let settings = Settings {
        name: "Corner shop".into(),
        list_unit: "in".into(),
        ..Settings::default()
    };
    shop.set_settings(&settings).unwrap();
    let before = state(&shop).unwrap();
    drop(shop);
    let again = Shop::open(&path).unwrap();
    assert_eq!(state(&again).unwrap(), before);
    assert_eq!(again.settings().unwrap(), settings);
}

#[test]
fn a_file_that_is_no_database_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("letter.txt");
    fs::write(&path, "Dear shop, please send me a magnet.\n").unwrap();
    let before = fs::read(&path).unwrap();
    let error = Shop::open(&path).unwrap_err();
    assert!(matches!(error, ShopError::NotADatabase(_)), "{error}");
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(
        fs::read_dir(folder.path()).unwrap().count(),
        1,
        "nothing was put beside it"
    );
}

#[test]
fn a_damaged_database_is_an_error() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let mut bytes = b"SQLite format 3\0".to_vec();
    bytes.extend([7; 5_000]);
    fs::write(&path, &bytes).unwrap();
    assert!(Shop::open(&path).is_err());
    assert_eq!(fs::read(&path).unwrap(), bytes);
}

#[test]
fn the_database_of_another_program_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("other.db");
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute_batch("CREATE TABLE address (name TEXT)").unwrap();
    drop(other);
    let before = fs::read(&path).unwrap();
    let error = Shop::open(&path).unwrap_err();
    assert!(matches!(error, ShopError::NotAShop(_)), "{error}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn the_database_of_a_newer_version_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    drop(Shop::open(&path).unwrap());
    let newer = rusqlite::Connection::open(&path).unwrap();
    newer.pragma_update(None, "user_version", 99).unwrap();
    drop(newer);
    let error = Shop::open(&path).unwrap_err();
    assert!(matches!(error, ShopError::TooNew(_)), "{error}");
}

#[test]
fn folders_and_paths_that_cannot_be_are_errors() {
    let folder = tempfile::tempdir().unwrap();
    assert!(Shop::open(folder.path()).is_err());
    assert!(Shop::open(folder.path().join("no such folder").join("shop.db")).is_err());
}

#[test]
fn a_backup_is_whole_and_overwrites_only_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let shop = demo::open(folder.path().join("shop.db")).unwrap();
    let copy = folder.path().join("copy.db");
    shop.backup(&copy, false).unwrap();
    assert_eq!(state(&Shop::open(&copy).unwrap()).unwrap(), state(&shop).unwrap());
    let error = shop.backup(&copy, false).unwrap_err();
    assert!(matches!(error, ShopError::Exists(_)), "{error}");
    apply_confirmed(&shop, LIST.replace("14-07", "99-99")).unwrap();
    shop.backup(&copy, true).unwrap();
    assert_eq!(state(&Shop::open(&copy).unwrap()).unwrap(), state(&shop).unwrap());
    let error = shop.backup(folder.path().join("shop.db"), true).unwrap_err();
    assert!(matches!(error, ShopError::SameFile(_)), "{error}");
    assert!(shop.backup(folder.path().join("none").join("copy.db"), false).is_err());
}

#[test]
fn settings_that_do_not_fit_are_refused() {
    let shop = Shop::in_memory().unwrap();
    let fine = Settings::default();
    for (settings, word) in [
        (
            Settings {
                name: " ".into(),
                ..fine.clone()
            },
            "name",
        ),
        (
            Settings {
                list_unit: "kg".into(),
                ..fine.clone()
            },
            "price lists",
        ),
        (
            Settings {
                tolerance: Length(f64::NAN),
                ..fine.clone()
            },
            "tolerance",
        ),
        (
            Settings {
                tolerance: Length(0.5),
                ..fine.clone()
            },
            "tolerance",
        ),
        (
            Settings {
                public_tells: [Told::Prices].into(),
                public_lessons: Released::All,
                ..fine.clone()
            },
            "names of grades",
        ),
        (
            Settings {
                public_sheets: Released::Named([" ".to_owned()].into()),
                ..fine.clone()
            },
            "sheets",
        ),
    ] {
        let error = shop.set_settings(&settings).unwrap_err();
        assert!(error.to_string().contains(word), "{error}");
    }
    assert_eq!(shop.settings().unwrap(), fine);
}

#[test]
fn a_search_looks_at_codes_sizes_and_grades() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let codes =
        |query: &str| -> Vec<String> { shop.search(query).unwrap().into_iter().map(|item| item.code).collect() };
    assert_eq!(codes(""), ["14-07", "14-08", "20-01"]);
    assert_eq!(codes("14-0"), ["14-07", "14-08"]);
    assert_eq!(codes("15x5"), ["14-07"]);
    assert_eq!(codes("15 × 5 n42"), ["14-07"]);
    assert_eq!(codes("RING"), ["20-01"]);
    assert_eq!(codes("100% _ '; DROP TABLE item"), [""; 0]);
    assert_eq!(codes(&"x ".repeat(10_000)), [""; 0]);
}

#[test]
fn a_shop_is_shared_between_threads() {
    let shop = Shop::in_memory().unwrap();
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let shop = &shop;
            scope.spawn(move || apply(shop, LIST.replace("14-", &format!("{thread}4-"))).unwrap());
        }
    });
    assert_eq!(shop.revision().unwrap(), 4);
    assert_eq!(shop.items().unwrap().len(), 9);
}

/// Without a lock on the file another program that closes it takes itself for the last, and removes the log that this one writes to.
#[cfg(target_os = "linux")]
#[test]
fn an_open_shop_holds_a_lock_on_its_file() {
    use std::os::unix::fs::MetadataExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.sqlite");
    let shop = Shop::open(&path).unwrap();
    let other = Shop::open_for_reading(&path).unwrap();
    assert_eq!(shop.revision().unwrap(), other.revision().unwrap());
    let inode = format!(":{} ", std::fs::metadata(&path).unwrap().ino());
    let locks = std::fs::read_to_string("/proc/locks").unwrap();
    assert!(locks.lines().any(|lock| lock.contains(&inode)), "{locks}");
}
