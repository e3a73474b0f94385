//! Lists as they come: described in words, with columns of one's own, with lines that cannot be read; and single items.

use crate::common::{LIST, apply, apply_with, preview, read, state};
use advice::goods::GoodsKind;
use magnetics::Shape;
use shop::import::{self, ApplyError, Choice, Filled, Map, Options, Severity};
use shop::{Shop, ShopError};

fn choice(heading: &str, field: &str) -> Choice {
    Choice {
        heading: heading.into(),
        field: field.into(),
        unit: String::new(),
    }
}

fn said(columns: &[(&str, &str)]) -> Map {
    Map {
        columns: columns.iter().map(|(heading, field)| choice(heading, field)).collect(),
        ..Map::default()
    }
}

/// Imports a list with what is said of its columns, or what was kept of an earlier one.
fn apply_said(shop: &Shop, list: &str, map: Map) -> Result<import::Outcome, ApplyError> {
    let mut table = read(list).unwrap();
    let (map, _) = map.or_kept(shop, &table).unwrap();
    let mut columns = import::recognise(&table);
    map.over(&mut table, &mut columns).unwrap();
    let options = Options {
        keep: Some(Map::of(&columns, &map.length_unit, &map.decimal)),
        ..Options::default()
    };
    import::apply(shop, &table, &columns, &options)
}

#[test]
fn magnets_are_read_out_of_descriptions() {
    let shop = Shop::in_memory().unwrap();
    let list = "SKU;Description;Price;Qty\n\
        A1;Ring magnet 40/20 x 10 mm N42 Ni;5.29;12\n\
        A2;10mm diameter x 1mm thick Round disc - N38 - nickel;0.13;out of stock\n\
        A3;Quadermagnet 40 x 20 x 10 mm N45 verzinkt;3.90 / 10 pcs;500+\n\
        A4;Kugel 8 mm N40 vergoldet;0.30;ask\n";
    apply(&shop, list).unwrap();
    let item = |code: &str| shop.item(code).unwrap().unwrap();
    let ring = item("A1");
    assert_eq!(
        ring.shape,
        Shape::Ring {
            outer_diameter: 0.040,
            inner_diameter: 0.020,
            thickness: 0.010
        }
    );
    assert_eq!((ring.grade.as_str(), ring.coating.as_str()), ("N42", "nickel"));
    assert_eq!(ring.name, "Ring magnet 40/20 x 10 mm N42 Ni");
    assert_eq!(item("A2").stock, Some(0));
    assert_eq!(item("A3").prices[0].each, "0.39".parse().unwrap());
    assert_eq!((item("A3").stock, item("A4").stock), (Some(500), None));
    assert_eq!(item("A4").shape, Shape::Sphere { diameter: 0.008 });
}

#[test]
fn a_description_that_does_not_say_enough_is_listed_with_the_reason() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;description;price\na;Disc 10 x 2 mm Ni;0.1\nb;Disc N42 Ni;0.1\nc;Disc 10 x 2 mm N62;0.1\nd;Disc 10 x 2 mm N42;0.1\n";
    let seen = preview(&shop, list);
    assert_eq!(
        (seen.new, seen.bad, seen.may_import, seen.may_skip),
        (1, 3, false, true)
    );
    let why: Vec<(u32, &str)> = seen
        .left_out
        .iter()
        .map(|one| (one.line, one.why[0].as_str()))
        .collect();
    assert_eq!(
        why,
        [
            (2, "no grade is read out of the text"),
            (3, "no size is read out of the text"),
            (4, "unknown grade \"N62\"")
        ]
    );
    assert!(seen.left_out[0].text.contains("Disc 10 x 2 mm Ni"));
}

#[test]
fn lines_that_cannot_be_read_are_left_out_only_when_that_is_said() {
    let shop = Shop::in_memory().unwrap();
    let list = LIST.replace("N42,Ni-Cu-Ni,40", "N420,Ni-Cu-Ni,40");
    assert!(matches!(apply(&shop, &list), Err(ApplyError::Refused(_))));
    assert!(state(&shop).unwrap().items.is_empty());
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    let done = apply_with(&shop, &list, &options).unwrap();
    assert_eq!((done.new, done.skipped), (2, 1));
    assert_eq!(shop.item("14-08").unwrap(), None);
    // A file that is wrong as a whole is not helped by leaving lines out.
    let foreign = preview(&shop, "code,size,grade,price (USD)\na,10x5,N42,1\n");
    assert!(!foreign.may_skip && !foreign.may_import);
    let nothing = preview(&shop, "code,size,grade\na,10x5,N420\n");
    assert!(!nothing.may_skip);
}

#[test]
fn prices_and_stock_come_by_code_alone_and_strange_codes_are_listed() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let before = shop.item("14-08").unwrap().unwrap();
    let list = "code;price 1;stock\n14-08;0,70;9\n99-01;0,10;5\n";
    assert!(matches!(apply(&shop, list), Err(ApplyError::Refused(_))));
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    let seen = preview(&shop, list);
    assert_eq!(seen.left_out.len(), 1);
    assert!(
        seen.left_out[0].why[0].contains("not on the shelf yet"),
        "{:?}",
        seen.left_out
    );
    // The price from 10 would go.
    assert!(matches!(
        apply_with(&shop, list, &options),
        Err(ApplyError::Unconfirmed(_))
    ));
    let confirmed = Options {
        confirmed: true,
        ..options
    };
    assert_eq!(apply_with(&shop, list, &confirmed).unwrap().changed, 1);
    let after = shop.item("14-08").unwrap().unwrap();
    assert_eq!(
        (after.stock, after.shape, after.grade),
        (Some(9), before.shape, before.grade)
    );
    assert_eq!(after.prices[0].each, "0.70".parse().unwrap());
}

#[test]
fn a_map_is_kept_for_the_next_file_with_the_same_headings() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;Spalte 1;VK1;VK2\na;Disc 10 x 2 mm N42;0,2;0,1\n";
    let map = said(&[
        ("Spalte 1", "description"),
        ("VK1", "price from 1"),
        ("VK2", "price from 50"),
    ]);
    apply_said(&shop, list, map).unwrap();
    let next = list.replace("0,2;", "0,25;");
    assert_eq!(apply_said(&shop, &next, Map::default()).unwrap().changed, 1);
    let prices = shop.item("a").unwrap().unwrap().prices;
    assert_eq!(
        prices
            .iter()
            .map(|step| (step.from, step.each.to_string()))
            .collect::<Vec<_>>(),
        [(1, "0.25".to_owned()), (50, "0.1".to_owned())]
    );
    // It holds for these headings alone.
    let other = read(list.replace("VK2", "VK3")).unwrap();
    assert!(!Map::default().or_kept(&shop, &other).unwrap().1);
}

#[test]
fn a_price_may_be_for_many_pieces() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;size;grade;Prijs per verpakking;Verpakking\na;10x2;N42;1,29;per 10\nb;10x3;N42;0,17;per stuk\nc;10x4;N42;16,56;100\n";
    apply(&shop, list).unwrap();
    let each = |code: &str| shop.item(code).unwrap().unwrap().prices[0].each.to_string();
    assert_eq!([each("a"), each("b"), each("c")], ["0.129", "0.17", "0.1656"]);
    // Where no price is that of a pack, the pack is none of its business.
    let shop = Shop::in_memory().unwrap();
    apply(&shop, "code;size;grade;Preis;Verpackung\na;10x2;N42;1,29;10\n").unwrap();
    assert_eq!(shop.item("a").unwrap().unwrap().prices[0].each.to_string(), "1.29");
}

#[test]
fn headings_within_a_list_are_told_and_are_no_items() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;size;grade;price 1\nDISC MAGNETS;;;\na;10x2;N42;0,1\n;Ring magnets;;\nb;20/10x5;N42;0,5\n";
    let seen = preview(&shop, list);
    assert_eq!((seen.rows, seen.new, seen.bad, seen.warnings), (2, 2, 0, 2));
    assert!(
        seen.problems
            .iter()
            .all(|problem| problem.severity == Severity::Warning)
    );
    apply(&shop, list).unwrap();
    assert_eq!(shop.items().unwrap().len(), 2);
}

#[test]
fn what_is_no_plain_magnet_by_its_text_is_kept_as_other_goods() {
    let shop = Shop::in_memory().unwrap();
    let list = "a;Countersunk ring;20/5x5;N42;1\nb;Ring diametraal gemagnetiseerd;20/5x5;N42;1\n\
                c;Ring;20/5x5;N42;1\nd;Topfmagnet;20x5;N42;1\ne;Ring (diam. magnetised);20/5x5;N42;1\n\
                f;Disc, adhesive force 3 kg;20x5;N42;1\n";
    let list = format!("code;name;size;grade;price\n{list}");
    let seen = preview(&shop, &list);
    assert_eq!((seen.new, seen.bad, seen.warnings), (6, 0, 4), "{:?}", seen.problems);
    let said = |word: &str| seen.problems.iter().any(|problem| problem.wrong.contains(word));
    assert!(said("\"countersunk\"") && said("kept as pot magnet") && said("kept as diametral magnet"));
    apply(&shop, &list).unwrap();
    let shelf = shop.snapshot().unwrap();
    let plain: Vec<&str> = shelf.items.iter().map(|item| item.code.as_str()).collect();
    assert_eq!(plain, ["a", "c", "f"]);
    let kinds: Vec<_> = shelf
        .goods
        .iter()
        .map(|goods| (goods.code.as_str(), goods.goods))
        .collect();
    assert_eq!(
        kinds,
        [
            ("b", GoodsKind::Diametral),
            ("d", GoodsKind::Pot),
            ("e", GoodsKind::Diametral)
        ]
    );
}

#[test]
fn goods_carry_the_pull_that_their_maker_states() {
    let shop = Shop::in_memory().unwrap();
    let list = "Artikel;Bezeichnung;Haftkraft (kg);Preis\n\
                P-1;Topfmagnet Ø 32 x 8 mm, M6;18;2,10\nP-2;Magnethaken Ø 25 mm;;3,10\n\
                P-3;Flachgreifer 20 x 6 mm Haftkraft 95 N;;1,90\n";
    apply(&shop, list).unwrap();
    let goods = shop.snapshot().unwrap().goods;
    let pulls: Vec<Option<f64>> = goods.iter().map(|goods| goods.stated_pull.map(|pull| pull.0)).collect();
    assert_eq!(pulls, [Some(18.0 * 9.806_65), None, Some(95.0)]);
    let across: Vec<Option<f64>> = goods.iter().map(|goods| goods.sizes.widest()).collect();
    assert_eq!(across, [Some(0.032), Some(0.025), Some(0.020)]);
    let prices_alone = "Artikel;Preis\nP-1;2,30\n";
    assert_eq!(apply(&shop, prices_alone).unwrap().changed, 1);
    let after = shop.snapshot().unwrap().goods;
    assert_eq!(
        (after[0].stated_pull, after[0].sizes),
        (goods[0].stated_pull, goods[0].sizes)
    );
    let without_unit = "Artikel;Name;Haftkraft\nP-9;Topfmagnet 10 x 4;18\n";
    let seen = preview(&shop, without_unit);
    assert_eq!(seen.bad, 1);
    assert!(
        seen.problems
            .iter()
            .any(|problem| problem.wrong.contains("has no unit")),
        "{:?}",
        seen.problems
    );
}

#[test]
fn stock_and_pulls_are_read_as_people_write_them() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;name;size;grade;stock;pull (kg);price\n\
                a;Disc;20x5;NdFeB N42;approx 200;;0,90\nb;Disc;20x5;N42;plenty;;1€10\nc;Disc;20x5;N42;ca. 40 Stk;;POA\n\
                d;Pot 20mm M4;20x6;;due 3 wks;12 kg / 118 N;1,20\ne;POT 25MM, PULL 7 KG;25x7;;5;;1,40\n";
    apply(&shop, list).unwrap();
    let shelf = shop.snapshot().unwrap();
    let stock: Vec<Option<u64>> = shelf.items.iter().map(|item| item.stock).collect();
    assert_eq!(stock, [Some(200), None, Some(40)]);
    let prices: Vec<usize> = shelf.items.iter().map(|item| item.prices.len()).collect();
    assert_eq!(prices, [1, 1, 0]);
    let pulls: Vec<Option<f64>> = shelf
        .goods
        .iter()
        .map(|goods| goods.stated_pull.map(|pull| pull.0))
        .collect();
    assert_eq!(pulls, [Some(12.0 * 9.806_65), Some(7.0 * 9.806_65)]);
}

#[test]
fn a_block_is_magnetised_through_the_size_that_is_said() {
    let shop = Shop::in_memory().unwrap();
    let list =
        "code;size;grade;magnetised;price\na;20x10x5;N42;durch 5 mm;1\nb;20x10x5;N42;thru 10;1\nc;20x10x5;N42;7 mm;1\n";
    let seen = preview(&shop, list);
    assert_eq!((seen.new, seen.bad), (2, 1));
    assert!(
        seen.problems
            .iter()
            .any(|problem| problem.wrong == "no side is 7 mm long"),
        "{:?}",
        seen.problems
    );
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    apply_with(&shop, list, &options).unwrap();
    let heights: Vec<f64> = shop.items().unwrap().iter().map(|item| item.shape.height()).collect();
    assert_eq!(heights, [0.005, 0.010]);
}

#[test]
fn a_countersunk_hole_that_takes_no_screw_is_refused() {
    let shop = Shop::in_memory().unwrap();
    let seen = preview(
        &shop,
        "code;name;price\na;C/sunk ring 16x4/8x4 N35;1\nb;Ring 16/4 x 4 N35 countersunk;1\n",
    );
    assert_eq!((seen.new, seen.bad), (1, 1));
    assert!(
        seen.problems
            .iter()
            .any(|problem| problem.wrong.contains("takes no screw")),
        "{:?}",
        seen.problems
    );
}

#[test]
fn goods_are_taken_back_and_found_by_their_words() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, "code;name;size;grade;price\nx;Disc;20x5;N42;1\n").unwrap();
    apply(&shop, "code;name;size;pull (N);price\nx;Pot magnet;20x5;90;1,20\n").unwrap();
    assert!(shop.items().unwrap().is_empty());
    assert_eq!(shop.search_goods("pot 20x5").unwrap().len(), 1);
    assert!(shop.search_goods("hook").unwrap().is_empty());
    shop.undo().unwrap();
    assert_eq!(shop.items().unwrap().len(), 1);
    assert!(shop.search_goods("").unwrap().is_empty());
}

#[test]
fn a_file_without_headings_is_read_as_is_said() {
    let shop = Shop::in_memory().unwrap();
    let list = "a;10x2;N42;0,1\nb;10x3;N42;0,2\n";
    assert!(read(list).unwrap_err().right.contains("say which line"));
    let options = import::ReadOptions {
        heading_line: Some(0),
        ..import::ReadOptions::default()
    };
    let mut table = import::read(list.as_bytes(), "list.csv", &options).unwrap();
    let mut columns = import::recognise(&table);
    assert_eq!(columns[1].examples, ["10x2", "10x3"]);
    let map = said(&[
        ("column 1", "code"),
        ("column 2", "size"),
        ("column 3", "grade"),
        ("column 4", "price"),
    ]);
    map.over(&mut table, &mut columns).unwrap();
    assert_eq!(
        import::apply(&shop, &table, &columns, &Options::default()).unwrap().new,
        2
    );
    let missing = import::ReadOptions {
        heading_line: Some(9),
        ..import::ReadOptions::default()
    };
    assert!(import::read(list.as_bytes(), "list.csv", &missing).is_err());
}

fn put(shop: &Shop, cells: &[Filled]) -> Result<import::Outcome, ApplyError> {
    import::put(shop, &import::one_line(cells).unwrap(), &Options::default())
}

fn cells(pairs: &[(&str, &str)]) -> Vec<Filled> {
    let filled = |(heading, text): &(&str, &str)| Filled {
        heading: (*heading).to_owned(),
        text: (*text).to_owned(),
    };
    pairs.iter().map(filled).collect()
}

#[test]
fn one_item_is_added_corrected_and_taken_off_and_each_is_taken_back() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let new = cells(&[
        ("code", "n-1"),
        ("size", "12 x 3 mm"),
        ("grade", "N52"),
        ("price from 1 (EUR)", "0.40"),
    ]);
    assert_eq!(put(&shop, &new).unwrap().new, 1);
    let mut form = import::form(&shop, "n-1").unwrap().unwrap();
    assert_eq!(
        put(&shop, &form).unwrap().unchanged,
        1,
        "a form sent as it came changes nothing"
    );
    let stock = form.iter_mut().find(|cell| cell.heading == "stock").unwrap();
    stock.text = "77".into();
    assert_eq!(put(&shop, &form).unwrap().changed, 1);
    assert_eq!(shop.item("n-1").unwrap().unwrap().stock, Some(77));
    import::take_off(&shop, "n-1").unwrap();
    assert_eq!(shop.item("n-1").unwrap(), None);
    assert!(matches!(import::take_off(&shop, "n-1"), Err(ShopError::NotOnShelf(_))));
    assert_eq!(shop.undo().unwrap().what, "item n-1, taken off");
    assert_eq!(shop.item("n-1").unwrap().unwrap().stock, Some(77));
    assert_eq!(shop.undo().unwrap().what, "item n-1");
    assert_eq!(shop.item("n-1").unwrap().unwrap().stock, None);
    assert_eq!(import::form(&shop, "nothing").unwrap(), None);
    let blank = import::form(&shop, "").unwrap().unwrap();
    assert!(blank.iter().all(|cell| cell.text.is_empty()));
    assert!(blank.iter().any(|cell| cell.heading == "price from 10 (EUR)"));
    let wrong = put(&shop, &cells(&[("code", "n-2"), ("size", "12 x"), ("grade", "N52")]));
    assert!(matches!(wrong, Err(ApplyError::Refused(_))));
}

#[test]
fn a_heading_holds_for_the_lines_below_that_do_not_say_it_themselves() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;name;size;price\n;N42 discs, zinc;;\na;Disc;10x2;1\nb;Disc N52 gold;10x3;1\n\
                ;please do not stack these too high;;\nc;Disc;10x4;1\n\
                Rods N45, magnetised DIAMETRALLY;;;\nd;Rod;5x10;1\n\
                ;Rings, grade not noted;;\ne;Ring;20/10x5;1\n;Discs N35, self-adhesive;;\nf;Disc;10x5;1\n";
    let seen = preview(&shop, list);
    assert_eq!((seen.rows, seen.new, seen.bad), (6, 5, 1), "{:?}", seen.problems);
    assert_eq!((seen.left_out[0].line, seen.left_out[0].code.as_str()), (10, "e"));
    let said = |line: u32, words: &str| {
        let mut problems = seen.problems.iter();
        problems.any(|problem| problem.line == line && problem.wrong.contains(words))
    };
    assert!(said(2, "N42, zinc holds for 2 lines"), "{:?}", seen.problems);
    assert!(
        said(5, "taken for a heading") && said(7, "diametral magnet holds for 1 line"),
        "{:?}",
        seen.problems
    );
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    apply_with(&shop, list, &options).unwrap();
    let of = |code: &str| {
        let item = shop.item(code).unwrap().unwrap();
        (item.grade, item.coating)
    };
    let pair = |grade: &str, coating: &str| (grade.to_owned(), coating.to_owned());
    assert_eq!(of("a"), pair("N42", "zinc"));
    assert_eq!(of("b"), pair("N52", "gold over nickel"));
    assert_eq!(of("c"), pair("N42", "zinc"));
    assert_eq!(of("f"), pair("N35", "nickel-copper-nickel, self-adhesive"));
    assert_eq!(shop.search_goods("d").unwrap()[0].goods, GoodsKind::Diametral);
}

#[test]
fn lines_above_the_columns_name_the_grade_and_the_units() {
    let shop = Shop::in_memory().unwrap();
    let list = "Our N42 magnets, spring list;;;;\nPull in kg, weight in g;;;;\ncode;name;size;pull;weight\n\
                a;Disc;10x2;;1,2\nb;Pot magnet;32x8;18;\nc;Disc N35;10x3;;\n";
    apply(&shop, list).unwrap();
    let grades: Vec<String> = shop.items().unwrap().into_iter().map(|item| item.grade).collect();
    assert_eq!(grades, ["N42", "N35"]);
    let pot = &shop.search_goods("b").unwrap()[0];
    assert_eq!(pot.stated_pull.map(|pull| pull.0), Some(18.0 * 9.806_65));
    let seen = preview(&shop, list);
    let told = |words: &str| seen.problems.iter().any(|problem| problem.wrong.contains(words));
    assert!(told("N42 holds for 1 line"), "{:?}", seen.problems);
}

#[test]
fn a_self_adhesive_magnet_has_its_adhesive_with_its_coating_and_keeps_it() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;name;size;coating;adhesive;price\na;Disc N42 self-adhesive;10x2;zinc;;1\nb;Disc N42;10x3;;yes;1\n\
                c;Disc N42;10x4;;no;1\n";
    let seen = preview(&shop, list);
    let warned = |line| {
        seen.problems
            .iter()
            .any(|p| p.line == line && p.wrong.contains("its pad counts as a layer"))
    };
    assert!(warned(2) && warned(3) && !warned(4), "{:?}", seen.problems);
    apply(&shop, list).unwrap();
    let coatings = || {
        shop.items()
            .unwrap()
            .into_iter()
            .map(|item| item.coating)
            .collect::<Vec<_>>()
    };
    let all = [
        "zinc, self-adhesive",
        "nickel-copper-nickel, self-adhesive",
        "nickel-copper-nickel",
    ];
    assert_eq!(coatings(), all);
    apply(&shop, "code;price\na;2\nb;2\n").unwrap();
    assert_eq!(coatings(), all);
    // Without a grade it is none that can be reckoned.
    apply(&shop, "code;name;price\np;Self-adhesive pad 20 mm;1\n").unwrap();
    assert_eq!(shop.search_goods("p").unwrap()[0].goods, GoodsKind::Adhesive);
}

#[test]
fn a_countersunk_hole_is_that_of_its_screw_where_none_is_said() {
    let shop = Shop::in_memory().unwrap();
    let list = "Nr;Name;Durchmesser;Bohrung;Länge;Breite;Höhe;Senkung;Güte;Preis\n\
                a;Magnet;20;;;;4;M4;N42;1\nb;Senkmagnet;20;5,2;;;4;;N42;1\nc;Quader mit Senkbohrung;;4,5;40;20;5;M4;N42;1\n\
                d;Ring;20;5,2;;;4;nein;N42;1\ne;Scheibe gesenkt;20;;;;4;ja;N42;1\n";
    let seen = preview(&shop, list);
    assert_eq!(
        (seen.new, seen.bad, seen.left_out[0].code.as_str()),
        (4, 1, "e"),
        "{:?}",
        seen.problems
    );
    let said = |line: u32, words: &str| seen.problems.iter().any(|p| p.line == line && p.wrong.contains(words));
    assert!(
        said(2, "4.5 mm is taken") && said(4, "a piece without a hole"),
        "{:?}",
        seen.problems
    );
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    apply_with(&shop, list, &options).unwrap();
    let item = |code: &str| shop.item(code).unwrap().unwrap();
    let hole = |code: &str| match item(code).shape {
        Shape::Ring { inner_diameter, .. } => Some(inner_diameter),
        _ => None,
    };
    assert_eq!(
        [hole("a"), hole("b"), hole("c"), hole("d")],
        [Some(0.0045), Some(0.0052), None, Some(0.0052)]
    );
    assert_eq!(item("a").note.as_deref(), Some("countersunk, M4"));
    let sunk = ["a", "b", "d"].map(|code| item(code).is_countersunk());
    assert_eq!(sunk, [true, true, false]);
    assert_eq!(preview(&shop, list).unchanged, 4);
}

#[test]
fn a_magnetisation_is_told_by_the_size_that_it_goes_through() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;name;price;note\na;Block 20x10x5 N42 mag. thru 10 mm;1;\nb;Block 20x10x5 N42 magnetised along the 20mm length;1;\n\
                c;Block 20x10x5 N42 poles on 20x10 faces;1;\nd;Block 20x10x5 N42;1;mag. dir. 20\ne;Disc 20x5 N42 diam. mag.;1;\n\
                f;Block 20x10x5 N42 mag. thru 7 mm;1;\n";
    let seen = preview(&shop, list);
    assert_eq!((seen.new, seen.bad), (5, 1), "{:?}", seen.problems);
    let options = Options {
        skip_bad: true,
        ..Options::default()
    };
    apply_with(&shop, list, &options).unwrap();
    let heights: Vec<f64> = shop.items().unwrap().iter().map(|item| item.shape.height()).collect();
    assert_eq!(heights, [0.010, 0.020, 0.005, 0.020]);
    assert_eq!(shop.search_goods("e").unwrap()[0].goods, GoodsKind::Diametral);
}

#[test]
fn steel_that_goes_with_magnets_is_read_out_of_texts() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;name;price\na;Steel washer 20/8 x 2 mm;1\nb;Strike plate 40 x 20 x 2 mm;1\nc;Stahlscheibe 20x2 verzinkt;1\n\
                d;Steel cup for 20x5 magnet;1\ne;Steel disc 20 x 3 mm countersunk M4;1\nf;Metallscheibe f. Topfmagnet 32;1\n";
    apply(&shop, list).unwrap();
    let shelf = shop.snapshot().unwrap();
    let parts: Vec<&str> = shelf.parts.iter().map(|part| part.code.as_str()).collect();
    let goods: Vec<(&str, GoodsKind)> = shelf
        .goods
        .iter()
        .map(|goods| (goods.code.as_str(), goods.goods))
        .collect();
    assert_eq!(parts, ["a", "c"]);
    assert_eq!(goods, ["b", "d", "e", "f"].map(|code| (code, GoodsKind::Other)));
    assert!(shelf.items.is_empty());
}

#[test]
fn prices_of_packs_and_of_one_piece_stand_side_by_side() {
    let shop = Shop::in_memory().unwrap();
    let list = "Code,Description,Pack,Price/pk EUR,Stk pks\na,Disc 10x2 N42,25,5.00,40 pk\nb,Disc 10x3 N42,pk10,0.92 ea,low\n\
                c,\"\"\"\",x50,10.00,ask Jo\n";
    apply(&shop, list).unwrap();
    let seen: Vec<(String, Option<u64>)> = shop
        .items()
        .unwrap()
        .iter()
        .map(|item| (item.prices[0].each.to_string(), item.stock))
        .collect();
    let want = [("0.2", Some(40)), ("0.92", None), ("0.2", None)];
    assert_eq!(seen, want.map(|(each, stock)| (each.to_owned(), stock)));
    assert_eq!(shop.item("c").unwrap().unwrap().name, "Disc 10x3 N42");
}

#[test]
fn a_coating_that_is_not_known_is_told() {
    let shop = Shop::in_memory().unwrap();
    let seen = preview(
        &shop,
        "code;name;price\na;Disc 10x2 N42 painted red;1\nb;Disc 10x3 N42 chrome plated;1\nc;Scheibe 10x4 N42 verzinnt;1\n",
    );
    let told: Vec<u32> = seen
        .problems
        .iter()
        .filter(|p| p.wrong.contains("no coating that is known"))
        .map(|p| p.line)
        .collect();
    assert_eq!(told, [2]);
    apply(
        &shop,
        "code;name;price\nb;Disc 10x3 N42 chrome plated;1\nc;Scheibe 10x4 N42 verzinnt;1\n",
    )
    .unwrap();
    let coatings: Vec<String> = shop.items().unwrap().into_iter().map(|item| item.coating).collect();
    assert_eq!(coatings, ["chrome", "tin"]);
}

#[test]
fn a_remark_may_say_that_a_disc_is_diametral_and_headings_may_come_again() {
    let shop = Shop::in_memory().unwrap();
    let list =
        "code;name;price;note\na;Disc 20x5 N42;1;magnetised diametrally\ncode;name;price;note\nb;Disc 20x4 N42;1;\n";
    let seen = preview(&shop, list);
    assert_eq!((seen.rows, seen.new, seen.bad), (2, 2, 0), "{:?}", seen.problems);
    let again = |problem: &import::Problem| problem.line == 3 && problem.wrong.contains("headings once more");
    assert!(seen.problems.iter().any(again), "{:?}", seen.problems);
    apply(&shop, list).unwrap();
    assert_eq!(shop.search_goods("a").unwrap()[0].goods, GoodsKind::Diametral);
    assert_eq!(shop.items().unwrap().len(), 1);
}
