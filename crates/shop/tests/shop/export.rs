//! What is exported reads back without a change.

use crate::common::{LIST, apply, preview};
use proptest::prelude::*;
use shop::{Product, Shop, demo, export};

fn round_trip(shop: &Shop) {
    for bytes in [export::csv(shop).unwrap(), export::xlsx(shop).unwrap()] {
        let shelf = shop.snapshot().unwrap();
        let same = preview(shop, &bytes);
        assert_eq!(
            (same.unchanged, same.new, same.changed, same.bad),
            (shelf.clone().into_products().count(), 0, 0, 0),
            "{:?}",
            same.sample.first()
        );
        assert_eq!(same.errors, 0, "{:?}", same.problems.first());
        let copy = Shop::in_memory().unwrap();
        copy.set_settings(&shop.settings().unwrap()).unwrap();
        apply(&copy, &bytes).unwrap();
        let came = copy.snapshot().unwrap();
        assert_eq!(
            (came.items, came.parts, came.goods),
            (shelf.items, shelf.parts, shelf.goods)
        );
    }
}

#[test]
fn the_demo_shelf_goes_round() {
    round_trip(&demo::in_memory().unwrap());
}

#[test]
fn a_small_list_goes_round() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    round_trip(&shop);
}

#[test]
fn the_csv_is_what_spreadsheet_programs_expect() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let text = String::from_utf8(export::csv(&shop).unwrap()).unwrap();
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(
        lines[0],
        "\u{feff}code,name,shape,diameter (mm),inner diameter (mm),length (mm),width (mm),thickness (mm),magnetised along,\
         grade,coating,tolerance (mm),mass (g),stock,price from 1 (EUR),price from 10 (EUR),price from 100 (EUR),link,note"
    );
    assert_eq!(
        lines[1],
        "14-07,,disc,15,,,,5,thickness,N42,nickel-copper-nickel,0.1,,1240,0.95,0.8,0.65,,"
    );
    assert_eq!(lines.len(), 5);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn generated_shelves_go_round(seed: u64) {
        let shop = Shop::in_memory().unwrap();
        shop.set_settings(&demo::settings()).unwrap();
        let magnets = demo::generate(60, seed).into_iter().map(Product::Magnet);
        let parts = demo::parts().into_iter().map(Product::Part);
        let goods = demo::goods().into_iter().map(Product::Goods);
        shop.fill(magnets.chain(parts).chain(goods), None).unwrap();
        round_trip(&shop);
    }

    #[test]
    fn odd_names_and_notes_go_round(name in "[-=+@'\",; a-zé]{0,12}", note in "\\PC{0,20}") {
        let shop = Shop::in_memory().unwrap();
        let name = name.trim().to_owned();
        let note = Some(note.trim().to_owned()).filter(|note| !note.is_empty());
        let mut items = demo::generate(1, 1);
        items[0].name = name;
        items[0].note = note;
        shop.fill(items.into_iter().map(Product::Magnet), None).unwrap();
        round_trip(&shop);
    }
}
