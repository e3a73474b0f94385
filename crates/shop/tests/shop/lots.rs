//! A certificate stays with its magnet.

use advice::known::Certificate;
use quantity::{FieldStrength, FluxDensity};
use shop::Shop;

use crate::common::{LIST, apply, preview};

fn certified() -> Shop {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    shop.use_lot("14-07", &certificate(1.31), "", false).unwrap();
    shop
}

fn certificate(br: f64) -> Certificate {
    Certificate {
        lot: "A1".into(),
        br: FluxDensity(br),
        hcj: Some(FieldStrength(1.0e6)),
    }
}

/// The line of the certified item with something else in it.
fn list_with(old: &str, new: &str) -> String {
    let changed = LIST.replacen(old, new, 1);
    assert_ne!(changed, LIST);
    changed
}

/// An N42 that comes back as Y30 had kept the neodymium certificate: ferrite of 1.31 T.
#[test]
fn another_grade_or_size_under_the_code_is_not_reckoned_with_the_old_certificate() {
    for (old, new) in [
        ("N42", "Y30"),
        ("disc,15,,5", "disc,15,,4"),
        ("disc,15,,5", "disc,16,,5"),
        ("disc,15,,5", "ring,15,4,5"),
    ] {
        let shop = certified();
        let list = list_with(old, new);
        let warned = preview(&shop, &list);
        assert!(warned.may_import);
        assert_eq!(warned.warnings, 1, "{new}: {:?}", warned.problems);
        assert!(warned.problems[0].wrong.contains("lot A1"), "{:?}", warned.problems);
        apply(&shop, &list).unwrap();
        assert!(shop.certificates_in_use().unwrap().is_empty(), "{new}");
        let kept = &shop.lots(Some("14-07")).unwrap()[0];
        assert!(!kept.in_use && !kept.belongs);
        assert!(shop.switch_lot("14-07", Some("A1")).is_err());
        // Taking the import back brings the magnet back, and its certificate with it.
        shop.undo().unwrap();
        assert_eq!(shop.certificates_in_use().unwrap().len(), 1, "{new}");
    }
}

#[test]
fn another_price_stock_or_coating_leaves_the_certificate_alone() {
    for (old, new) in [("0.95", "0.85"), ("\"1,240\"", "12"), ("N42,Ni-Cu-Ni", "N42,zinc")] {
        let shop = certified();
        let list = list_with(old, new);
        assert_eq!(preview(&shop, &list).warnings, 0);
        apply(&shop, &list).unwrap();
        assert_eq!(shop.certificates_in_use().unwrap().len(), 1, "{new}");
    }
}

#[test]
fn the_same_lot_of_the_new_magnet_is_entered_only_where_that_is_said() {
    let shop = certified();
    apply(&shop, list_with("disc,15,,5", "disc,15,,4")).unwrap();
    assert!(shop.use_lot("14-07", &certificate(1.31), "", false).is_err());
    shop.use_lot("14-07", &certificate(1.31), "", true).unwrap();
    assert_eq!(shop.certificates_in_use().unwrap().len(), 1);
}
