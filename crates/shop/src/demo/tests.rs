use super::*;

#[test]
fn the_shelf_is_large_varied_and_always_the_same() {
    let items = shelf(SEED);
    assert!((600..=1_000).contains(&items.len()), "{} items", items.len());
    assert_eq!(items, shelf(SEED));
    assert_ne!(items, shelf(SEED + 1));
    let codes: HashSet<&str> = items.iter().map(|item| item.code.as_str()).collect();
    assert_eq!(codes.len(), items.len());
    let grades: HashSet<&str> = items.iter().map(|item| item.grade.as_str()).collect();
    let coatings: HashSet<&str> = items.iter().map(|item| item.coating.as_str()).collect();
    assert!(grades.len() >= 20, "{grades:?}");
    assert!(coatings.len() >= 5, "{coatings:?}");
    for shape in ["disc", "ring", "block", "sphere"] {
        let count = items.iter().filter(|item| kind_of(&item.shape).name() == shape).count();
        assert!(count >= 20, "{count} of {shape}");
    }
    assert!(items.iter().any(|item| item.magnetised == Magnetised::Width));
    assert!(items.iter().any(|item| item.magnetised == Magnetised::Length));
    assert!(items.iter().any(|item| item.stock == Some(0)) && items.iter().any(|item| item.stock.is_none()));
}

#[test]
fn no_two_items_are_the_same_magnet() {
    let mut seen = HashSet::new();
    for item in shelf(SEED) {
        let key = format!("{:?} {} {}", item.shape, item.grade, item.coating);
        assert!(seen.insert(key.clone()), "{key} twice");
    }
}

#[test]
fn codes_are_trays_that_do_not_spell_out_the_size() {
    for item in shelf(SEED) {
        let (cabinet, tray) = item.code.split_once('-').unwrap();
        assert!(
            cabinet.len() == 2 && tray.len() == 2 && tray.parse::<usize>().unwrap() <= TRAYS,
            "{}",
            item.code
        );
    }
}

#[test]
fn six_millimetre_discs_have_a_long_ladder() {
    let thicknesses: HashSet<u32> = shelf(SEED)
        .iter()
        .filter(|item| item.grade == "N42")
        .filter_map(|item| match item.shape {
            Shape::Disc {
                diameter: 0.006,
                thickness,
            } => Some((thickness * 1e3).round() as u32),
            _ => None,
        })
        .collect();
    assert_eq!(thicknesses, HashSet::from([1, 2, 3, 4, 5, 6, 8, 10]));
}

#[test]
fn prices_are_plausible_and_fall_with_quantity() {
    for item in shelf(SEED) {
        assert!(!item.prices.is_empty(), "{}", item.code);
        let falls = item
            .prices
            .windows(2)
            .all(|pair| pair[0].from < pair[1].from && pair[0].each > pair[1].each);
        assert!(falls, "{}: {:?}", item.code, item.prices);
        let (first, last) = (
            item.prices[0].each.to_f64(),
            item.prices[item.prices.len() - 1].each.to_f64(),
        );
        assert!((0.02..1_000.0).contains(&first), "{}: {first}", item.code);
        assert!(last >= 0.45 * first, "{}: {last} of {first}", item.code);
        assert!(item.grade != "Y30" || item.coating == "none");
    }
}

#[test]
fn masses_go_with_sizes() {
    for item in shelf(SEED) {
        let density = item.mass.unwrap().0 / item.shape.volume();
        assert!((4_000.0..9_000.0).contains(&density), "{item:?} {density}");
    }
}

#[test]
fn ten_thousand_items_are_different_and_valid() {
    let items = generate(10_000, 1);
    assert_eq!(items.len(), 10_000);
    let distinct: HashSet<String> = items
        .iter()
        .map(|item| format!("{:?} {} {}", item.shape, item.grade, item.coating))
        .collect();
    assert!(distinct.len() > 9_900, "{}", distinct.len());
    assert!(items.iter().all(|item| item.shape.validate().is_ok()));
    assert_eq!(generate(100, 7), generate(100, 7));
}

#[test]
fn a_demo_shop_is_filled_once() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("demo.db");
    let shop = open(&path).unwrap();
    let settings = shop.settings().unwrap();
    assert!(settings.demo && settings.name.contains("demo"));
    let before = shop.snapshot().unwrap();
    assert_eq!(before.items.len(), shelf(SEED).len());
    assert_eq!(before.parts, parts());
    assert_eq!(before.goods, goods());
    drop(shop);
    let again = open(&path).unwrap();
    assert_eq!(again.snapshot().unwrap(), before);
}
