//! Any text becomes a shop's own grades, each of them sound, or is refused and changes nothing.
#![no_main]

use libfuzzer_sys::fuzz_target;
use shop::Shop;

fuzz_target!(|text: &str| {
    let shop = Shop::in_memory().expect("a shop in memory opens");
    match shop.set_own_grades(text) {
        Ok(_) => {
            let all = shop.grades().expect("the grades read");
            for row in shop.own_grades().expect("the grades read") {
                row.validate().expect("what was taken is sound");
                assert_eq!(all.get(&row.name), Some(&row));
                assert!(row.br_min <= row.br_typical && row.br_typical <= row.br_max, "{row:?}");
            }
        }
        Err(error) => {
            assert!(!error.to_string().is_empty());
            assert!(shop.own_grades().expect("the grades read").is_empty());
        }
    }
});
