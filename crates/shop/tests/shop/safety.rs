//! Backups, restores, what would be lost, and what is taken back.

use std::fs;
use std::path::Path;

use crate::common::{LIST, apply, apply_with, preview, state};
use advice::known::Certificate;
use quantity::Currency;
use shop::desk::Entry;
use shop::entries::Filed;
use shop::import::{ApplyError, Options};
use shop::{KEPT_BACKUPS, Settings, Shop, ShopError, backups, restore};

/// A shop of three items in a file.
fn shop_at(path: &Path) -> Shop {
    let shop = Shop::open(path).unwrap();
    apply(&shop, LIST).unwrap();
    shop
}

fn confirmed() -> Options {
    Options {
        confirmed: true,
        ..Options::default()
    }
}

#[test]
fn a_backup_is_put_back_under_a_shop_that_is_open() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = shop_at(&path);
    let before = state(&shop).unwrap();
    shop.backup(&copy, false).unwrap();
    apply_with(&shop, LIST.replace("0.95", "9.95"), &confirmed()).unwrap();
    apply_with(&shop, LIST.replace("0.60", "6.60"), &confirmed()).unwrap();
    let seen = shop.revision().unwrap();
    let restored = restore(&path, &copy).unwrap();
    // Whoever has it open sees the old shelf under a new revision.
    let after = state(&shop).unwrap();
    assert_eq!(after.items, before.items);
    assert!(after.revision > seen, "{} {seen}", after.revision);
    assert_eq!(restored.revision, after.revision);
    // What was there before the restore is kept, and can be put back in turn.
    let kept = restored.kept.unwrap();
    assert!(kept.starts_with(folder.path().join("shop.db-backups")));
    restore(&path, &kept).unwrap();
    assert_ne!(state(&shop).unwrap().items, before.items);
    drop(shop);
    assert_ne!(Shop::open(&path).unwrap().items().unwrap(), before.items);
}

#[test]
fn what_is_no_whole_backup_is_refused_and_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = shop_at(&path);
    let before = state(&shop).unwrap();
    shop.backup(&copy, false).unwrap();
    let whole = fs::read(&copy).unwrap();
    let odd = folder.path().join("odd.db");
    let mut holed = whole.clone();
    let middle = holed.len() / 2;
    holed[4096..middle].fill(0x55);
    for bytes in [&b"Dear shop"[..], &whole[..whole.len() / 3], &holed] {
        fs::write(&odd, bytes).unwrap();
        assert!(restore(&path, &odd).is_err());
        assert_eq!(fs::read(&odd).unwrap(), bytes);
    }
    assert!(matches!(restore(&path, &path), Err(ShopError::SameFile(_))));
    assert!(restore(&path, &folder.path().join("absent.db")).is_err());
    let other = rusqlite::Connection::open(folder.path().join("other.db")).unwrap();
    other.execute_batch("CREATE TABLE address (name TEXT)").unwrap();
    assert!(matches!(
        restore(&path, &folder.path().join("other.db")),
        Err(ShopError::NotAShop(_))
    ));
    assert_eq!(state(&shop).unwrap(), before);
}

#[test]
fn a_damaged_shop_is_replaced_by_its_backup() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = shop_at(&path);
    let items = shop.items().unwrap();
    shop.backup(&copy, false).unwrap();
    drop(shop);
    fs::write(&path, b"This was a shop.").unwrap();
    assert!(Shop::open(&path).is_err());
    let restored = restore(&path, &copy).unwrap();
    assert_eq!(fs::read(restored.kept.unwrap()).unwrap(), b"This was a shop.");
    assert_eq!(Shop::open(&path).unwrap().items().unwrap(), items);
}

#[cfg(unix)]
#[test]
fn a_file_that_was_replaced_or_deleted_is_noticed() {
    let folder = tempfile::tempdir().unwrap();
    let (path, other) = (folder.path().join("shop.db"), folder.path().join("other.db"));
    let shop = shop_at(&path);
    let another = Shop::open(&other).unwrap();
    apply(&another, LIST.replace("14-07", "99-07")).unwrap();
    drop(another);
    fs::rename(&other, &path).unwrap();
    assert_eq!(shop.item("14-07").unwrap(), None);
    assert!(shop.item("99-07").unwrap().is_some());
    assert!(shop.replaced() > 0);
    apply_with(&shop, LIST, &confirmed()).unwrap();
    assert!(shop.item("14-07").unwrap().is_some());
    fs::remove_file(&path).unwrap();
    for error in [shop.items().unwrap_err(), shop.undo().unwrap_err()] {
        assert!(matches!(error, ShopError::Gone(_)), "{error}");
    }
}

#[test]
fn dated_copies_are_made_before_changes_and_the_newest_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    assert!(backups(&path).is_empty(), "there was nothing to lose");
    for price in 10..10 + KEPT_BACKUPS + 3 {
        let list = LIST.replace("0.95", &format!("1.{price}"));
        apply_with(&shop, list, &confirmed()).unwrap();
    }
    let copies = backups(&path);
    assert_eq!(copies.len(), KEPT_BACKUPS);
    // The newest copy holds what was before the newest change.
    restore(&path, copies.last().unwrap()).unwrap();
    let price = shop.item("14-07").unwrap().unwrap().prices[0].each.to_string();
    assert_eq!(price, format!("1.{}", 10 + KEPT_BACKUPS + 1));
    let settings = Settings {
        name: "Corner".into(),
        ..shop.settings().unwrap()
    };
    shop.set_settings(&settings).unwrap();
    assert!(
        backups(&path)
            .last()
            .unwrap()
            .to_string_lossy()
            .contains("before-settings")
    );
}

#[test]
fn copies_go_by_reason_and_what_is_not_of_them_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    apply_with(&shop, LIST.replace("0.95", "1.00"), &confirmed()).unwrap();
    let beside = folder.path().join("shop.db-backups");
    let own = ["0000-mine.sqlite", "2020-01-01-before-the-fair.sqlite"].map(|name| beside.join(name));
    for name in &own {
        fs::write(name, "mine").unwrap();
    }
    for day in 0..KEPT_BACKUPS + 3 {
        let settings = Settings {
            name: format!("Corner {day}"),
            ..shop.settings().unwrap()
        };
        shop.set_settings(&settings).unwrap();
    }
    assert!(own.iter().all(|name| name.exists()), "they are somebody's own");
    let copies = backups(&path);
    let of = |reason: &str| {
        copies
            .iter()
            .filter(|copy| copy.to_string_lossy().contains(reason))
            .count()
    };
    assert_eq!(
        (of("before-import"), of("before-settings"), of("mine")),
        (1, KEPT_BACKUPS, 0)
    );
}

#[cfg(unix)]
#[test]
fn a_new_shop_and_its_copies_are_for_their_owner_alone() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    apply_with(&shop, LIST.replace("0.95", "1.95"), &confirmed()).unwrap();
    for file in backups(&path).iter().chain([&path]) {
        let mode = fs::metadata(file).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{}", file.display());
    }
    let beside = folder.path().join("shop.db-backups");
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&beside), 0o700);
    // One that was made by an earlier version, too.
    fs::set_permissions(&beside, fs::Permissions::from_mode(0o755)).unwrap();
    apply_with(&shop, LIST, &confirmed()).unwrap();
    assert_eq!(mode(&beside), 0o700);
    assert_eq!(shop.check().unwrap(), [""; 0]);
    fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
    assert!(shop.check().unwrap()[0].contains("chmod 600"));
}

/// Root, who changes a setting of the shop of another, left a folder that its owner could not write.
#[cfg(unix)]
#[test]
fn copies_belong_to_whom_the_file_belongs() {
    use std::os::unix::fs::{MetadataExt, chown};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    // Only root may give a file away: for others there is nothing to try.
    if chown(&path, Some(65534), Some(65534)).is_err() {
        return;
    }
    apply_with(&shop, LIST.replace("0.95", "1.00"), &confirmed()).unwrap();
    for made in backups(&path).iter().chain([&folder.path().join("shop.db-backups")]) {
        let of = fs::metadata(made).unwrap();
        assert_eq!((of.uid(), of.gid()), (65534, 65534), "{}", made.display());
    }
}

#[test]
fn a_shop_can_be_read_where_it_cannot_be_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let items = shop_at(&path).items().unwrap();
    let reading = Shop::open_for_reading(&path).unwrap();
    assert_eq!(reading.items().unwrap(), items);
    assert!(!reading.is_writable().unwrap());
    let error = apply_with(&reading, LIST.replace("0.95", "1.95"), &confirmed()).unwrap_err();
    let ApplyError::Shop(error) = error else {
        panic!("{error}")
    };
    assert!(error.hint().unwrap().contains("right to write"), "{error}");
}

#[test]
fn reading_goes_on_while_somebody_writes() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    let writing = rusqlite::Connection::open(&path).unwrap();
    writing.execute_batch("BEGIN IMMEDIATE; DELETE FROM item").unwrap();
    assert_eq!(shop.items().unwrap().len(), 3);
    assert_eq!(shop.snapshot().unwrap().items.len(), 3);
    writing.execute_batch("ROLLBACK").unwrap();
}

#[test]
fn what_an_import_would_lose_is_counted_told_and_to_be_confirmed() {
    let shop = Shop::in_memory().unwrap();
    apply(
        &shop,
        LIST.replace("price 100\n", "price 100,note\n")
            .replace("0.65\n", "0.65,for cupboards\n"),
    )
    .unwrap();
    let list = "\
code,shape,diameter (mm),hole (mm),thickness (mm),grade,coating,stock,price 1,price 10,price 100,note
14-07,disc,15,,5,N42,Ni-Cu-Ni,,0.95,0.80,6.5,
14-08,disc,15,,3,N42,Ni-Cu-Ni,40,,,,
14-O7,disc,15,,5,N42,Ni-Cu-Ni,1,0.95,,,
20-01\u{200b},ring,20,10,5,Y30,none,1,0.30,,,
";
    let seen = preview(&shop, list);
    assert!(seen.may_import, "{:?}", seen.problems);
    let found = &seen.consequences;
    let counts = [
        found.prices_lost,
        found.stock_lost,
        found.notes_lost,
        found.prices_moved,
        found.retired,
        found.look_alikes,
    ];
    assert_eq!(counts, [1, 1, 1, 1, 0, 1], "{found:?}");
    assert_eq!(found.told.len(), found.count());
    let before = state(&shop).unwrap();
    let refused = apply(&shop, list).unwrap_err();
    assert!(matches!(refused, ApplyError::Unconfirmed(_)), "{refused}");
    assert_eq!(state(&shop).unwrap(), before);
    apply_with(&shop, list, &confirmed()).unwrap();
    // Taking lines off is one, too.
    let retire = Options {
        retire_missing: true,
        ..Options::default()
    };
    let one = "code,shape,diameter (mm),thickness (mm),grade\n14-07,disc,15,5,N42\n";
    match apply_with(&shop, one, &retire).unwrap_err() {
        ApplyError::Unconfirmed(seen) => assert_eq!(seen.consequences.retired, 4),
        error => panic!("{error}"),
    }
    // What changes little is nobody's loss.
    apply(&shop, one).unwrap();
}

#[test]
fn each_step_of_a_price_that_goes_is_told() {
    for (old, new, told) in [
        ("1,240\",0.95,0.80,0.65", "1,240\",,0.80,0.65", "from 1"),
        ("1,240\",0.95,0.80,0.65", "1,240\",0.95,,", "from 10 and from 100"),
    ] {
        let shop = Shop::in_memory().unwrap();
        apply(&shop, LIST).unwrap();
        let list = LIST.replace(old, new);
        assert_ne!(list, LIST);
        let seen = preview(&shop, &list);
        assert_eq!(seen.consequences.prices_lost, 1, "{:?}", seen.consequences);
        assert!(seen.consequences.told[0].text.contains(told), "{:?}", seen.consequences);
        assert!(matches!(apply(&shop, &list).unwrap_err(), ApplyError::Unconfirmed(_)));
    }
}

#[test]
fn settings_are_a_change_that_can_be_taken_back_and_done_again() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let before = shop.settings().unwrap();
    let dollars = Settings {
        currency: Currency::USD,
        ..before.clone()
    };
    let revision = shop.set_settings(&dollars).unwrap();
    assert!(revision > 1 && shop.revision().unwrap() == revision);
    assert_eq!(shop.set_settings(&dollars).unwrap(), revision, "nothing changed");
    assert_eq!(shop.undo().unwrap().what, "settings");
    assert_eq!(shop.settings().unwrap(), before);
    assert_eq!(shop.redo().unwrap().what, "settings");
    assert_eq!(shop.settings().unwrap(), dollars);
    assert!(matches!(shop.redo(), Err(ShopError::NothingToRedo)));
}

#[test]
fn changes_are_taken_back_and_done_again_in_order() {
    let shop = Shop::in_memory().unwrap();
    let lists = ["0.95", "1.05", "1.15"].map(|price| LIST.replace("0.95", price));
    let states = lists.each_ref().map(|list| {
        apply(&shop, list).unwrap();
        shop.items().unwrap()
    });
    for state in [&states[1], &states[0]] {
        shop.undo().unwrap();
        assert_eq!(&shop.items().unwrap(), state);
    }
    for state in &states[1..] {
        shop.redo().unwrap();
        assert_eq!(&shop.items().unwrap(), state);
    }
    assert!(matches!(shop.redo(), Err(ShopError::NothingToRedo)));
    shop.undo().unwrap();
    assert_eq!(shop.items().unwrap(), states[1]);
    // After another change there is nothing to do again.
    apply(&shop, LIST.replace("0.95", "1.25")).unwrap();
    assert!(matches!(shop.redo(), Err(ShopError::NothingToRedo)));
    for state in [&states[1], &states[0]] {
        shop.undo().unwrap();
        assert_eq!(&shop.items().unwrap(), state);
    }
}

/// Taking back the last change took back the price list before it, and left the grade.
#[test]
fn own_grades_and_lots_are_taken_back_and_done_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    let items = shop.items().unwrap();
    let mut row = shop.grades().unwrap().get("N42").unwrap().clone();
    row.br_typical -= 0.001;
    let other = row.br_typical;
    let toml = toml::to_string(&std::collections::BTreeMap::from([("grade", vec![row])])).unwrap();
    shop.set_own_grades(&toml).unwrap();
    let certificate = |lot: &str| Certificate {
        lot: lot.into(),
        br: quantity::FluxDensity(1.3),
        hcj: None,
    };
    shop.use_lot("14-07", &certificate("A1"), "", false).unwrap();
    shop.use_lot("14-07", &certificate("A2"), "", false).unwrap();
    shop.switch_lot("14-07", Some("A1")).unwrap();
    let names: Vec<String> = backups(&path)
        .iter()
        .map(|copy| copy.to_string_lossy().into_owned())
        .collect();
    let of = |reason: &str| names.iter().filter(|name| name.contains(reason)).count();
    assert_eq!((of("before-grades"), of("before-lot")), (1, 3), "{names:?}");
    let in_use = || {
        shop.certificates_in_use()
            .unwrap()
            .pop()
            .map(|(_, _, certificate)| certificate.lot)
    };
    let lots = || shop.lots(None).unwrap().len();
    let seen = || (in_use(), lots(), shop.own_grades().unwrap().len());
    let then = [
        (Some("A1".to_owned()), 2, 1),
        (Some("A2".to_owned()), 2, 1),
        (Some("A1".to_owned()), 1, 1),
        (None, 0, 1),
        (None, 0, 0),
    ];
    for state in &then[1..] {
        shop.undo().unwrap();
        assert_eq!(&seen(), state);
    }
    assert_eq!(shop.items().unwrap(), items, "the price list stays");
    for state in then[..4].iter().rev() {
        shop.redo().unwrap();
        assert_eq!(&seen(), state);
    }
    assert_eq!(shop.grades().unwrap().get("N42").unwrap().br_typical, other);
}

#[test]
fn undo_does_not_bring_back_a_grade_that_is_gone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = Shop::open(&path).unwrap();
    let builtin = shop.grades().unwrap();
    let mut row = builtin.get("N42").unwrap().clone();
    row.name = "OWN1".into();
    let toml = toml::to_string(&std::collections::BTreeMap::from([("grade", vec![row])])).unwrap();
    shop.set_own_grades(&toml).unwrap();
    apply(&shop, LIST.replace("N42", "OWN1")).unwrap();
    apply(&shop, LIST).unwrap();
    // By another program, which leaves nothing that could be taken back.
    let other = rusqlite::Connection::open(&path).unwrap();
    other.execute("DELETE FROM grade", []).unwrap();
    let before = state(&shop).unwrap();
    let error = shop.undo().unwrap_err();
    assert!(error.to_string().contains("OWN1"), "{error}");
    assert_eq!(state(&shop).unwrap(), before);
}

#[test]
fn a_line_that_cannot_be_read_is_listed_and_the_others_are_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute("UPDATE item SET thickness = NULL WHERE code = '14-08'", [])
        .unwrap();
    let snapshot = shop.snapshot().unwrap();
    assert_eq!(snapshot.items.len(), 2);
    assert_eq!(snapshot.unread[0].code, "14-08");
    assert!(shop.check().unwrap()[0].contains("14-08"));
    assert!(shop::export::csv(&shop).unwrap_err().to_string().contains("14-08"));
    // An import of the line puts it right.
    apply(&shop, LIST).unwrap();
    assert_eq!(shop.snapshot().unwrap().items.len(), 3);
    assert_eq!(shop.check().unwrap(), [""; 0]);
}

#[test]
fn a_line_of_a_grade_that_is_not_known_is_found() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = shop_at(&path);
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute("UPDATE item SET grade = 'QX-1' WHERE code = '14-08'", [])
        .unwrap();
    let faults = shop.check().unwrap();
    assert!(
        faults
            .iter()
            .any(|fault| fault.contains("14-08") && fault.contains("QX-1")),
        "{faults:?}"
    );
}

#[test]
fn a_clock_that_goes_back_loses_nothing_and_gives_nothing_twice() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop_at(&folder.path().join("shop.db"));
    let (now, before) = (1_800_000_000, 1_500_000_000);
    let entry = |words: &str, asked_at| Entry {
        words: words.into(),
        lead: "One disc.".into(),
        pieces: 1,
        revision: 1,
        version: "test".into(),
        asked_at,
    };
    let first = shop.keep(&entry("hold 2 kg", now), "{}").unwrap();
    let other = shop.keep(&entry("hold 3 kg", before), "{}").unwrap();
    // Asked again by the earlier clock, it stays as new as it was.
    assert_eq!(shop.keep(&entry("hold 2 kg", before), "{}").unwrap(), first);
    let listed: Vec<_> = shop.list_answers(9).unwrap().into_iter().map(|kept| kept.id).collect();
    assert_eq!(listed, [first, other]);
    let filed = |made_at| Filed {
        kind: "choose".into(),
        message: "hold 2 kg".into(),
        made_at,
        ..Filed::default()
    };
    let entries = [now, before, now + 60, before + 60].map(|at| shop.file(&filed(at)).unwrap());
    assert_eq!((&entries[0], &entries[1]), (&entries[2], &entries[3]));
    assert_eq!(shop.entry(&entries[0]).unwrap().unwrap().made_at, now + 60);
    let quote = |year, at| {
        let make = |number: &str, _: u32| Ok::<_, ShopError>(number.to_owned());
        shop.issue_quotation(year, None, "A. Person", at, make)
            .unwrap()
            .unwrap()
            .0
    };
    let numbers = [
        quote(2027, now),
        quote(2017, before),
        quote(2027, now),
        quote(2017, before),
    ];
    assert_eq!(numbers, ["Q-2027-0001", "Q-2017-0001", "Q-2027-0002", "Q-2017-0002"]);
    // Revisions follow no clock.
    let revision = shop.revision().unwrap();
    apply_with(&shop, LIST.replace("0.95", "1.00"), &confirmed()).unwrap();
    assert_eq!(shop.revision().unwrap(), revision + 1);
}
