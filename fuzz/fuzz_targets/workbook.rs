//! Any bytes are read as a workbook, whichever sheet is asked for, or refused with a reason.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shop::Shop;
use shop::import::{self, Options, ReadOptions};

fuzz_target!(|bytes: &[u8]| {
    for sheet in [None, Some("Sheet1".to_owned())] {
        let options = ReadOptions {
            sheet,
            ..ReadOptions::default()
        };
        match import::read(bytes, "list.xlsx", &options) {
            Ok(table) => {
                let shop = Shop::in_memory().expect("a shop in memory opens");
                let columns = import::recognise(&table);
                import::preview(&shop, &table, &columns, &Options::default()).expect("the database works");
            }
            Err(error) => assert!(!error.to_string().is_empty()),
        }
    }
});
