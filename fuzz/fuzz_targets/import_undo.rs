//! Any bytes are imported onto a full shelf or refused; what was imported is taken back and leaves the shelf as it was.
#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use shop::import::{self, Options, ReadOptions};
use shop::{Product, Shop};

static ITEMS: LazyLock<Vec<Product>> =
    LazyLock::new(|| shop::demo::generate(12, 1).into_iter().map(Product::Magnet).collect());

fuzz_target!(|bytes: &[u8]| {
    let Some((first, bytes)) = bytes.split_first() else {
        return;
    };
    let Ok(table) = import::read(bytes, "list.csv", &ReadOptions::default()) else {
        return;
    };
    let shop = Shop::in_memory().expect("a shop in memory opens");
    shop.fill(ITEMS.iter().cloned(), None).expect("the demo shelf fills");
    let before = shop.snapshot().expect("the shelf reads");
    let options = Options {
        retire_missing: first % 2 == 1,
        ..Options::default()
    };
    let columns = import::recognise(&table);
    let applied = import::apply(&shop, &table, &columns, &options);
    let after = shop.snapshot().expect("the shelf reads");
    if applied.is_err() {
        assert_eq!(after, before, "a refused file changed the shelf");
        return;
    }
    if after.revision == before.revision {
        assert_eq!(after, before);
        return;
    }
    shop.undo().expect("an import can be taken back");
    let back = shop.snapshot().expect("the shelf reads");
    assert_eq!(
        (&back.items, &back.parts, &back.goods),
        (&before.items, &before.parts, &before.goods)
    );
});
