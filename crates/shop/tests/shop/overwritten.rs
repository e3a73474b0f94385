//! A file that another program writes over while shops have it open.

use std::fs;

use crate::common::{LIST, apply, apply_confirmed};
use shop::{Shop, restore};

/// Copying a backup onto the file was undone by the log of what had come after it.
#[test]
fn a_backup_copied_over_the_file_is_what_the_shop_shows() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = Shop::open(&path).unwrap();
    apply(&shop, LIST).unwrap();
    let before = shop.items().unwrap();
    shop.backup(&copy, false).unwrap();
    let other = Shop::open(&path).unwrap();
    apply(&shop, LIST.replace("14-07", "99-07")).unwrap();
    assert_eq!(other.items().unwrap().len(), 4);
    let seen = shop.revision().unwrap();
    fs::copy(&copy, &path).unwrap();
    assert_eq!(shop.items().unwrap(), before);
    assert!(shop.replaced() > 0 && shop.revision().unwrap() > seen);
    assert_eq!(other.items().unwrap(), before);
    assert_eq!(shop.check().unwrap(), [""; 0]);
    // Both go on with it, and whoever comes later too.
    apply(&other, LIST.replace("14-07", "88-07")).unwrap();
    assert!(shop.item("88-07").unwrap().is_some() && shop.item("99-07").unwrap().is_none());
    drop((shop, other));
    assert_eq!(Shop::open(&path).unwrap().items().unwrap().len(), 4);
}

/// So it is for whoever opens the file before the others have looked.
#[test]
fn a_backup_copied_over_the_file_is_what_another_program_opens() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = Shop::open(&path).unwrap();
    apply(&shop, LIST).unwrap();
    shop.backup(&copy, false).unwrap();
    apply(&shop, LIST.replace("14-07", "99-07")).unwrap();
    fs::copy(&copy, &path).unwrap();
    let later = std::process::Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "overwritten::what_another_program_sees", "--ignored"])
        .env("SHOP_OF_ANOTHER", &path)
        .status()
        .unwrap();
    assert!(later.success());
    assert_eq!(shop.items().unwrap().len(), 3);
}

/// Run by the test above as a program of its own.
#[test]
#[ignore = "a part of another test"]
fn what_another_program_sees() {
    let Some(path) = std::env::var_os("SHOP_OF_ANOTHER") else {
        return;
    };
    assert_eq!(Shop::open(path).unwrap().items().unwrap().len(), 3);
}

/// After an import of so many lines the log is in the file in part, and the file was malformed.
#[test]
fn a_backup_copied_over_a_file_that_has_much_of_its_log_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = Shop::open(&path).unwrap();
    apply(&shop, LIST).unwrap();
    shop.backup(&copy, false).unwrap();
    let heading = LIST.lines().next().unwrap();
    let lines: String = (0..12_000)
        .map(|k| format!("K-{k},disc,15,,5,N42,Ni-Cu-Ni,10,0.95,,\n"))
        .collect();
    apply_confirmed(&shop, format!("{heading}\n{lines}")).unwrap();
    fs::copy(&copy, &path).unwrap();
    assert_eq!(shop.items().unwrap().len(), 3);
    assert_eq!(shop.check().unwrap(), [""; 0]);
}

/// What the database library itself writes into the file is nobody's overwriting.
#[test]
fn a_log_that_goes_into_the_file_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let (shop, other) = (Shop::open(&path).unwrap(), Shop::open(&path).unwrap());
    apply(&shop, LIST).unwrap();
    shop.backup(&copy, false).unwrap();
    let into_file = || {
        let connection = rusqlite::Connection::open(&path).unwrap();
        let checkpoint = "PRAGMA wal_checkpoint(TRUNCATE)";
        connection.query_row(checkpoint, [], |_| Ok(())).unwrap();
    };
    for round in 0..5 {
        apply(&other, LIST.replace("14-07", &format!("{round}-07"))).unwrap();
        into_file();
        assert_eq!(shop.items().unwrap().len(), 4 + round);
        shop.is_writable().unwrap();
    }
    restore(&path, &copy).unwrap();
    into_file();
    assert_eq!(shop.items().unwrap().len(), 3);
    apply(&shop, LIST.replace("14-07", "99-07")).unwrap();
    into_file();
    assert_eq!(other.items().unwrap().len(), 4);
    assert_eq!((shop.replaced(), other.replaced()), (0, 0));
}
