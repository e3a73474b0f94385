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
    let shelf = shop.snapshot().expect("the shelf reads");
    let products = shelf.items.len() + shelf.parts.len() + shelf.goods.len();
    assert_eq!(applied.is_ok(), preview.may_import, "{applied:?}");
    if !preview.may_import {
        assert_eq!(products, 0, "a refused file left something");
        return;
    }
    assert_eq!(products, preview.new);
    if products == 0 {
        return;
    }
    let csv = export::csv(&shop).expect("the shelf exports");
    let table = import::read(&csv, "shelf.csv", &ReadOptions::default()).expect("what was exported reads");
    let again = import::preview(&shop, &table, &import::recognise(&table), &options).expect("the database works");
    assert_eq!(
        (again.unchanged, again.errors),
        (products, 0),
        "{:?} {:?}",
        again.sample,
        again.problems
    );
});
