//! Any file, and any damage of a backup, is put in the place of a shop whole or refused; the shop is then as it was.
#![no_main]

use std::fs;
use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use shop::{Shop, restore};

/// A backup of a small shop.
static BACKUP: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    let shop = Shop::open(folder.path().join("shop.db")).expect("a shop");
    shop.set_own_grades("").expect("no grades");
    let copy = folder.path().join("copy.db");
    shop.backup(&copy, false).expect("a backup");
    fs::read(copy).expect("it is there")
});

fuzz_target!(|input: (Vec<(u32, u8)>, Option<u32>, Option<Vec<u8>>)| {
    let (changes, cut, instead) = input;
    let mut bytes = instead.unwrap_or_else(|| BACKUP.clone());
    for (at, byte) in changes {
        let length = bytes.len().max(1);
        if let Some(place) = bytes.get_mut(at as usize % length) {
            *place = byte;
        }
    }
    if let Some(cut) = cut {
        let length = bytes.len().max(1);
        bytes.truncate(cut as usize % length);
    }
    let folder = tempfile::tempdir().expect("a folder");
    let (path, copy) = (folder.path().join("shop.db"), folder.path().join("copy.db"));
    let shop = Shop::open(&path).expect("a shop");
    let name = shop.settings().expect("settings").name;
    fs::write(&copy, &bytes).expect("it can be written");
    match restore(&path, &copy) {
        Ok(_) => {
            let whole = shop.check().expect("the shop can be asked");
            assert!(whole.is_empty(), "{whole:?}");
        }
        Err(error) => {
            assert!(!error.to_string().is_empty());
            assert_eq!(shop.settings().expect("settings").name, name);
            assert!(shop.check().expect("the shop can be asked").is_empty());
        }
    }
});
