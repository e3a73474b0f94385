//! Price lists that are in order: read, previewed, imported, imported again, undone.

use crate::common::{LIST, apply, apply_confirmed, apply_with, preview, read, state};
use advice::{Magnetised, PriceBreak};
use magnetics::Shape;
use quantity::{Currency, Length, Mass, Money};
use shop::import::{self, ApplyError, Options, ReadOptions, State};
use shop::{Settings, Shop, ShopError};

fn step(from: u64, each: &str) -> PriceBreak {
    PriceBreak {
        from,
        each: each.parse::<Money>().unwrap(),
    }
}

#[test]
fn a_list_becomes_a_shelf() {
    let shop = Shop::in_memory().unwrap();
    let outcome = apply(&shop, LIST).unwrap();
    assert_eq!(
        (outcome.new, outcome.changed, outcome.unchanged, outcome.revision),
        (3, 0, 0, 1)
    );
    let item = shop.item("14-07").unwrap().unwrap();
    assert_eq!(
        item.shape,
        Shape::Disc {
            diameter: 0.015,
            thickness: 0.005
        }
    );
    assert_eq!(
        (item.grade.as_str(), item.coating.as_str()),
        ("N42", "nickel-copper-nickel")
    );
    assert_eq!(item.stock, Some(1_240));
    assert_eq!(item.prices, [step(1, "0.95"), step(10, "0.80"), step(100, "0.65")]);
    assert_eq!(item.tolerance, Length::from_mm(0.1));
    let ring = shop.item("20-01").unwrap().unwrap();
    assert_eq!(
        ring.shape,
        Shape::Ring {
            outer_diameter: 0.020,
            inner_diameter: 0.010,
            thickness: 0.005
        }
    );
    assert_eq!((ring.coating.as_str(), ring.stock), ("none", None));
    assert_eq!(shop.item("99-99").unwrap(), None);
}

#[test]
fn a_second_import_updates_by_code() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let list = LIST.replace("0.95", "0.99").replace(",40,", ",12,");
    let preview = preview(&shop, &list);
    assert_eq!(
        (preview.new, preview.changed, preview.unchanged, preview.bad),
        (0, 2, 1, 0)
    );
    assert!(preview.may_import);
    let changes: Vec<&str> = preview
        .sample
        .iter()
        .flat_map(|line| &line.changes)
        .map(String::as_str)
        .collect();
    assert_eq!(changes, ["price from 1 €\u{a0}0.95 to €\u{a0}0.99", "stock 40 to 12"]);
    assert_eq!(preview.sample[0].state, State::Changed);
    assert_eq!(apply(&shop, &list).unwrap().revision, 2);
    assert_eq!(shop.item("14-08").unwrap().unwrap().stock, Some(12));
    let again = apply(&shop, &list).unwrap();
    assert_eq!(
        (again.unchanged, again.revision),
        (3, 2),
        "nothing to change makes no revision"
    );
}

#[test]
fn columns_that_the_file_does_not_have_keep_what_the_shelf_knows() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let before = shop.item("14-08").unwrap().unwrap();
    apply(&shop, "code;stock\n14-08;7\n").unwrap();
    let after = shop.item("14-08").unwrap().unwrap();
    assert_eq!(
        after,
        advice::Item {
            stock: Some(7),
            ..before
        }
    );
    let refused = preview(&shop, "code;stock\n14-08;7\n99-01;5\n99-02;5\n");
    let wrong: Vec<&str> = refused.problems.iter().map(|problem| problem.wrong.as_str()).collect();
    assert_eq!(
        wrong,
        [
            "there is no column for the grade, which 2 items that are not on the shelf yet need",
            "there is no column for the size, which 2 items that are not on the shelf yet need"
        ]
    );
}

#[test]
fn absent_items_stay_unless_they_are_to_be_retired() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let two: String = LIST.lines().take(3).map(|line| format!("{line}\n")).collect();
    assert_eq!(preview(&shop, &two).missing, 1);
    apply(&shop, &two).unwrap();
    assert_eq!(shop.items().unwrap().len(), 3);
    let options = Options {
        retire_missing: true,
        confirmed: true,
        ..Options::default()
    };
    assert_eq!(apply_with(&shop, &two, &options).unwrap().retired, 1);
    assert_eq!(shop.items().unwrap().len(), 2);
    shop.undo().unwrap();
    assert_eq!(shop.items().unwrap().len(), 3);
}

#[test]
fn imports_are_undone_one_by_one() {
    let shop = Shop::in_memory().unwrap();
    assert!(matches!(shop.undo(), Err(ShopError::NothingToUndo)));
    apply(&shop, LIST).unwrap();
    let first = state(&shop).unwrap().items;
    apply(&shop, LIST.replace("14-08", "14-09").replace("0.95", "0.99")).unwrap();
    assert_eq!(shop.undo().unwrap().revision, 3);
    let again = state(&shop).unwrap();
    assert_eq!((again.revision, again.items), (3, first));
    assert_eq!(shop.undo().unwrap().revision, 4);
    let empty = state(&shop).unwrap();
    assert_eq!((empty.revision, empty.items), (4, Vec::new()));
    assert!(matches!(shop.undo(), Err(ShopError::NothingToUndo)));
}

#[test]
fn the_fill_of_a_demo_shop_is_not_undone() {
    let shop = shop::demo::in_memory().unwrap();
    assert!(matches!(shop.undo(), Err(ShopError::NothingToUndo)));
    let before = state(&shop).unwrap().items;
    apply_confirmed(&shop, LIST.replace("14-07", "99-07")).unwrap();
    shop.undo().unwrap();
    assert_eq!(state(&shop).unwrap().items, before);
}

#[test]
fn a_shelf_that_has_changed_meanwhile_refuses_the_import() {
    let shop = Shop::in_memory().unwrap();
    let seen = preview(&shop, LIST).revision;
    apply(&shop, LIST.replace("14-07", "15-07")).unwrap();
    let before = state(&shop).unwrap();
    let options = Options {
        revision: Some(seen),
        ..Options::default()
    };
    let error = apply_with(&shop, LIST, &options).unwrap_err();
    assert!(
        matches!(error, ApplyError::Shop(ShopError::Conflict { expected: 0, found: 1 })),
        "{error}"
    );
    assert_eq!(state(&shop).unwrap(), before);
}

#[test]
fn a_german_list_with_decimal_commas_in_windows_1252() {
    let text = "Preisliste Frühjahr;;;;;;;\n\
        Artikel-Nr.;Bezeichnung;Form;Größe;Güte;Beschichtung;Preis ab 1 Stück;Preis ab 1.000 Stück\n\
        A1;Würfel klein;Würfel;5 mm;N45;vernickelt;1,05 €;0,61 €\n\
        A2;;Scheibe;Ø 10 x 2,5;n 42 sh;verzinkt;1.234,50;0,7\n\
        A3;;Ring;20/10x5 mm;Y30;ohne;0,3;0,25\n\
        A4;;Kugel;12,7;N42;vergoldet;2;\n";
    let bytes = encoding_rs::WINDOWS_1252.encode(text).0.into_owned();
    let shop = Shop::in_memory().unwrap();
    assert_eq!(preview(&shop, &bytes).encoding, "windows-1252");
    let outcome = apply(&shop, &bytes).unwrap();
    assert_eq!(outcome.new, 4);
    let cube = shop.item("A1").unwrap().unwrap();
    assert_eq!(
        cube.shape,
        Shape::Block {
            length: 0.005,
            width: 0.005,
            thickness: 0.005
        }
    );
    assert_eq!(cube.name, "Würfel klein");
    assert_eq!(cube.prices, [step(1, "1.05"), step(1_000, "0.61")]);
    let disc = shop.item("A2").unwrap().unwrap();
    assert_eq!(
        disc.shape,
        Shape::Disc {
            diameter: 0.010,
            thickness: 0.0025
        }
    );
    assert_eq!((disc.grade.as_str(), disc.coating.as_str()), ("N42SH", "zinc"));
    assert_eq!(disc.prices, [step(1, "1234.50"), step(1_000, "0.7")]);
    assert_eq!(shop.item("A3").unwrap().unwrap().coating, "none");
    assert_eq!(
        shop.item("A4").unwrap().unwrap().shape,
        Shape::Sphere { diameter: 0.0127 }
    );
}

#[test]
fn inches_in_headings_cells_and_options() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, "code,OD (in),thickness (in),grade\na,1/2,1/8,N42\n").unwrap();
    apply(&shop, "code,diameter,thickness,grade\nb,\"1/2\"\"\",\"1/8\"\"\",N42\n").unwrap();
    apply(&shop, "code,size,grade\nc,1/2 x 1/8 in,N42\n").unwrap();
    let table = import::read(
        b"code,diameter,thickness,grade\nd,0.5,0.125,N42\n",
        "inch.csv",
        &ReadOptions {
            length_unit: Some("in".into()),
            ..ReadOptions::default()
        },
    )
    .unwrap();
    import::apply(&shop, &table, &import::recognise(&table), &Options::default()).unwrap();
    let settings = Settings {
        list_unit: "in".into(),
        ..Settings::default()
    };
    shop.set_settings(&settings).unwrap();
    apply(&shop, "code,diameter,thickness,grade\ne,0.5,0.125,N42\n").unwrap();
    for item in shop.items().unwrap() {
        assert_eq!(
            item.shape,
            Shape::Disc {
                diameter: 0.0127,
                thickness: 0.003175
            },
            "{}",
            item.code
        );
    }
    let wrong = ReadOptions {
        length_unit: Some("parsec".into()),
        ..ReadOptions::default()
    };
    assert!(
        import::read(LIST.as_bytes(), "", &wrong)
            .unwrap_err()
            .wrong
            .contains("parsec")
    );
}

#[test]
fn blocks_magnetised_along_another_side() {
    let shop = Shop::in_memory().unwrap();
    let list = "code,length,width,thickness,magnetised,grade,mass (g),tolerance,least order,price 1,price 50,link,note\n\
        a,20,10,5,width,N42,7.5,±0.05,25,1.00,0.80,https://example.org/a,careful\n\
        b,20,10,5,Länge,N42,,,,,,,\n";
    apply(&shop, list).unwrap();
    let a = shop.item("a").unwrap().unwrap();
    assert_eq!(
        a.shape,
        Shape::Block {
            length: 0.020,
            width: 0.005,
            thickness: 0.010
        }
    );
    assert_eq!(
        (a.magnetised, a.mass, a.tolerance),
        (Magnetised::Width, Some(Mass(0.0075)), Length::from_mm(0.05))
    );
    assert_eq!(a.prices, [step(25, "1.00"), step(50, "0.80")]);
    assert_eq!(
        (a.link.as_deref(), a.note.as_deref()),
        (Some("https://example.org/a"), Some("careful"))
    );
    let b = shop.item("b").unwrap().unwrap();
    assert_eq!(
        (b.magnetised, b.shape),
        (
            Magnetised::Length,
            Shape::Block {
                length: 0.010,
                width: 0.005,
                thickness: 0.020
            }
        )
    );
    assert_eq!(
        b.coating, "nickel-copper-nickel",
        "neodymium is nickel plated where the list does not say"
    );
}

#[test]
fn shapes_are_guessed_where_no_column_names_them() {
    let shop = Shop::in_memory().unwrap();
    let list = "code,name,diameter,inner diameter,length,width,thickness,grade\n\
        a,,10,,,,5,N42\nb,,10,4,,,5,N42\nc,,,,20,10,5,N42\nd,Ball 12 mm,12,,,,,N42\ne,Rod,5,,25,,,N42\n";
    apply(&shop, list).unwrap();
    let shapes: Vec<&str> = shop
        .items()
        .unwrap()
        .iter()
        .map(|item| advice::rules::kind_of(&item.shape).name())
        .collect();
    assert_eq!(shapes, ["disc", "ring", "block", "sphere", "disc"]);
}

#[test]
fn prices_in_another_currency() {
    let shop = Shop::in_memory().unwrap();
    let list = "code,size,grade,price ($)\na,10x5,N42,\"$1,250.00\"\n";
    let settings = Settings {
        currency: Currency::USD,
        ..Settings::default()
    };
    shop.set_settings(&settings).unwrap();
    apply(&shop, list).unwrap();
    assert_eq!(shop.item("a").unwrap().unwrap().prices, [step(1, "1250")]);
    let refused = preview(&shop, "code,size,grade,price (EUR)\nb,10x5,N42,0.61\n");
    assert!(!refused.may_import);
    assert_eq!(
        refused.problems[0].wrong,
        "the prices are in EUR, but the shop sells in USD"
    );
}

#[test]
fn own_grades_are_known_to_an_import() {
    let shop = Shop::in_memory().unwrap();
    let list = "code,size,grade\na,10x5,House 44\n";
    assert!(!preview(&shop, list).may_import);
    let row = "[[grade]]\nname = \"House 44\"\nfamily = \"ndfeb\"\nbr_min = 1.3\nbr_typical = 1.33\nbr_max = 1.36\n\
        hcj_min = 960e3\nrecoil_permeability = 1.05\nalpha_br_per_k = -0.0012\nbeta_hcj_per_k = -0.006\n\
        max_service_celsius = 80\nmin_service_celsius = -100\ncurie_celsius = 310\ndensity = 7500\nlinear = true\n\
        source = \"measured\"\n";
    assert_eq!(shop.set_own_grades(row).unwrap(), 1);
    assert_eq!(
        shop.grades().unwrap().get("house44").map(|row| row.br_typical),
        Some(1.33)
    );
    apply(&shop, list).unwrap();
    let before = shop.own_grades().unwrap();
    assert_eq!(before.len(), 1);
    for (text, word) in [
        ("", "would be unknown"),
        ("[[grade]]\nname = 3", "cannot be read"),
        (row.replace("br_min = 1.3\n", "br_min = -1\n").as_str(), "br_min"),
    ] {
        let error = shop.set_own_grades(text).unwrap_err();
        assert!(error.to_string().contains(word), "{error}");
        assert_eq!(shop.own_grades().unwrap(), before);
    }
}

#[test]
fn utf_16_and_tabs_as_spreadsheet_programs_save_unicode_text() {
    let bytes: Vec<u8> = format!("\u{feff}{}", LIST.replace("\"1,240\"", "1240").replace(',', "\t"))
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let shop = Shop::in_memory().unwrap();
    let table = read(&bytes).unwrap();
    assert_eq!(table.encoding, "UTF-16LE");
    assert_eq!(apply(&shop, &bytes).unwrap().new, 3);
}

#[test]
fn a_preview_has_the_shape_that_the_page_reads() {
    let shop = Shop::in_memory().unwrap();
    let json = serde_json::to_value(preview(&shop, LIST.replace("0.65", "0.99"))).unwrap();
    assert_eq!(json["rows"], 3);
    assert_eq!(json["columns"][2]["field"], "diameter");
    assert_eq!(json["columns"][2]["unit"], "mm");
    assert_eq!(json["columns"][10]["field"], "price from 100");
    assert_eq!(json["sample"][0]["state"], "new");
    assert_eq!(json["sample"][0]["title"], "Disc, 15\u{a0}×\u{a0}5\u{a0}mm, N42");
    assert_eq!(json["problems"][0]["severity"], "warning");
    assert_eq!(
        json["problems"][0]["wrong"],
        "100 pieces cost 0.99 each, but 10 cost 0.8"
    );
    assert_eq!(json["may_import"], true);
    assert_eq!(json["revision"], 0);
}
