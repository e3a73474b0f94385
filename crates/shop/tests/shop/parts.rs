//! Steel parts in price lists.

use advice::part::Form;
use shop::{Shop, ShopError};

use crate::common::{LIST, apply, apply_with, preview, state};
use shop::import::{ApplyError, Options};

/// Magnets and parts in one list, as a shop writes it.
const MIXED: &str = "\
code,shape,diameter (mm),inner diameter (mm),thickness (mm),cavity depth (mm),floor hole (mm),end diameter (mm),material,stock,price 1,price 100
M-1,disc,20,,5,,,,N42,100,1.50,1.00
P-1,steel disc,20,,2.5,,,,S235,500,0.33,0.25
P-2,washer,20,8,2.5,,,,mild steel,,0.36,
P-3,pot,25,21,7,5,4,,,40,0.72,
P-4,cone,10,,6,,,3,mild steel,12,1.60,
P-5,dome,12,,4,,,,430,,1.90,
R-1,washer,20,8,5,,,,N42,7,2.00,
";

fn mixed() -> Shop {
    let shop = Shop::in_memory().unwrap();
    let done = apply(&shop, MIXED).unwrap();
    assert_eq!((done.new, done.revision), (7, 1));
    shop
}

#[test]
fn a_list_may_hold_magnets_and_parts() {
    let shelf = state(&mixed()).unwrap();
    let codes: Vec<&str> = shelf.items.iter().map(|i| i.code.as_str()).collect();
    assert_eq!(codes, ["M-1", "R-1"]);
    let part = |code: &str| shelf.parts.iter().find(|p| p.code == code).unwrap();
    assert_eq!(part("P-1").steel, "mild steel");
    assert_eq!(part("P-5").steel, "ferritic stainless steel");
    assert_eq!(
        part("P-2").form,
        Form::Washer {
            outer_diameter: 0.02,
            inner_diameter: 0.008,
            thickness: 0.0025
        }
    );
    let pot = part("P-3");
    assert_eq!(
        pot.form,
        Form::Cup {
            outer_diameter: 0.025,
            inner_diameter: 0.021,
            height: 0.007,
            depth: 0.005,
            hole: 0.004
        }
    );
    assert_eq!((pot.steel.as_str(), pot.stock), ("mild steel", Some(40)));
    let cone = Form::Cone {
        base: 0.01,
        end: 0.003,
        height: 0.006,
    };
    assert_eq!(part("P-4").form, cone);
}

#[test]
fn sizes_of_parts_may_stand_in_one_cell() {
    let shop = Shop::in_memory().unwrap();
    let list = "code;shape;size;cavity depth;steel\na;back plate;20 x 2.5;;\nb;cup;25/21 x 7;5;\nc;cone;10/3 x 6;;\nd;cone;10 x 6;;\ne;dome;12 x 4;;\n";
    // The heading "steel" is read as the material.
    apply(&shop, list).unwrap();
    let forms: Vec<Form> = state(&shop).unwrap().parts.into_iter().map(|p| p.form).collect();
    assert_eq!(forms.len(), 5);
    assert!(
        matches!(
            forms[1],
            Form::Cup {
                depth: 0.005,
                hole: 0.0,
                ..
            }
        ),
        "{:?}",
        forms[1]
    );
    assert!(matches!(forms[2], Form::Cone { end: 0.003, .. }));
    assert!(matches!(forms[3], Form::Cone { end: 0.0, .. }));
}

#[test]
fn a_column_that_is_not_there_leaves_a_part_as_it_was() {
    let shop = mixed();
    let before = state(&shop).unwrap();
    let seen = preview(&shop, "code,stock,price 1\nP-3,39,0.75\nP-1,500,0.33\n");
    assert_eq!((seen.changed, seen.bad, seen.missing), (2, 0, 5), "{:?}", seen.problems);
    assert!(
        seen.sample[0].changes.join(", ").contains("stock 40 to 39"),
        "{:?}",
        seen.sample
    );
    assert!(seen.sample[0].title.contains("Steel cup"));
    apply(&shop, "code,stock,price 1\nP-3,39,0.75\n").unwrap();
    let after = state(&shop).unwrap();
    let of = |parts: &[advice::Part]| parts.iter().find(|p| p.code == "P-3").unwrap().clone();
    assert_eq!(of(&after.parts).form, of(&before.parts).form);
    assert_eq!(of(&after.parts).stock, Some(39));
}

#[test]
fn an_import_of_parts_is_taken_back_whole() {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    let before = state(&shop).unwrap();
    // A code changes from a magnet to a part, two parts are new, and the rest leaves the shelf.
    let list = "code,shape,size,cavity depth,grade,price 1\n14-07,cup,25/21 x 7,5,,0.70\nP-9,washer,20/8 x 2,,mild steel,0.30\n";
    let all = Options {
        retire_missing: true,
        confirmed: true,
        ..Options::default()
    };
    let done = apply_with(&shop, list, &all).unwrap();
    assert_eq!((done.new, done.changed, done.retired), (1, 1, 2));
    let between = state(&shop).unwrap();
    assert_eq!((between.items.len(), between.parts.len()), (0, 2));
    shop.undo().unwrap();
    let after = state(&shop).unwrap();
    assert_eq!((after.items, after.parts), (before.items, before.parts));
    shop.undo().unwrap();
    assert!(matches!(shop.undo(), Err(ShopError::NothingToUndo)));
}

#[test]
fn what_is_wrong_with_a_part_is_said_with_its_line_and_nothing_is_imported() {
    let shop = mixed();
    let before = state(&shop).unwrap();
    let list = "\
code,shape,diameter,inner diameter,thickness,cavity depth,material
a,cup,25,21,7,,mild steel
b,cup,25,21,7,8,mild steel
c,cup,25,,7,5,mild steel
d,steel disc,25,,2,,N42
e,disc,25,,2,,stainless steel
f,block,25,,2,,mild steel
g,washer,20,22,2,,S235
";
    let Err(ApplyError::Refused(seen)) = apply(&shop, list) else {
        panic!("it was imported");
    };
    let said: Vec<(u32, &str)> = seen.problems.iter().map(|p| (p.line, p.wrong.as_str())).collect();
    for (line, word) in [
        (2, "cavity depth is missing"),
        (3, "no floor"),
        (4, "inner diameter is missing"),
        (5, "no steel is known"),
        (6, "does not hold"),
        (7, "no kind of steel part"),
        (8, "not smaller"),
    ] {
        assert!(
            said.iter().any(|(at, wrong)| *at == line && wrong.contains(word)),
            "line {line}: {said:?}"
        );
    }
    assert_eq!(state(&shop).unwrap(), before);
}

#[test]
fn parts_are_found_by_their_words() {
    let shop = mixed();
    let found = |query: &str| -> Vec<String> {
        let parts = shop.search_parts(query).unwrap();
        parts.into_iter().map(|p| p.code).collect()
    };
    assert_eq!(found("cup"), ["P-3"]);
    assert_eq!(found("20 x 2.5 disc"), ["P-1"]);
    assert_eq!(found("").len(), 5);
    assert!(shop.search("cup").unwrap().is_empty());
}
