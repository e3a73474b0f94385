//! Any bytes are read as a price list or refused; a list that may be imported is, and goes out and in without a change.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shop::import::{self, Options, ReadOptions};
use shop::{Shop, export};

fuzz_target!(|bytes: &[u8]| {
    let name = if bytes.starts_with(b"PK") {
        "list.xlsx"
    } else {
        "list.csv"
    };
    let Ok(table) = import::read(bytes, name, &ReadOptions::default()) else {
        return;
    };
    let columns = import::recognise(&table);
    let shop = Shop::in_memory().expect("a shop in memory opens");
    let options = Options::default();
    let preview = import::preview(&shop, &table, &columns, &options).expect("the database works");
    let applied = import::apply(&shop, &table, &columns, &options);
    let items = shop.items().expect("the shelf reads");
    assert_eq!(applied.is_ok(), preview.may_import, "{applied:?}");
    if !preview.may_import {
        assert!(items.is_empty(), "a refused file left {} items", items.len());
        return;
    }
    assert_eq!(items.len(), preview.new);
    if items.is_empty() {
        return;
    }
    let csv = export::csv(&shop).expect("the shelf exports");
    let table = import::read(&csv, "shelf.csv", &ReadOptions::default()).expect("what was exported reads");
    let again = import::preview(&shop, &table, &import::recognise(&table), &options).expect("the database works");
    assert_eq!(
        (again.unchanged, again.errors),
        (items.len(), 0),
        "{:?} {:?}",
        again.sample,
        again.problems
    );
});
