//! Tests of the grade table.

use super::*;
use crate::MU_0;

/// Kilojoules per cubic metre in 1 MGOe.
const KILOJOULES: f64 = 7.957_747;

fn table() -> &'static GradeTable {
    GradeTable::builtin().expect("the built-in table is sound")
}

#[test]
fn names_are_found_as_people_type_them() {
    for (typed, name) in [
        ("n42sh", "N42SH"),
        ("N42 SH", "N42SH"),
        ("n-35", "N35"),
        ("Y30", "Y30"),
        ("C8", "C8"),
        ("ceramic 8", "C8"),
        ("SmCo 26", "Sm2Co17-26"),
        ("smco 18", "SmCo5-18"),
        ("alnico5", "AlNiCo 5"),
        ("BNP-10", "BNP-10"),
    ] {
        assert_eq!(table().get(typed).map(|g| g.name.as_str()), Some(name), "{typed}");
    }
    assert!(table().get("N99").is_none() && table().get("").is_none());
}

#[test]
fn n42_as_the_trade_knows_it() {
    let n42 = table().get("N42").expect("is there");
    assert_eq!((n42.br_min, n42.br_typical, n42.br_max), (1.28, 1.30, 1.32));
    assert_eq!(n42.family, Family::NdFeB);
    assert!(n42.linear && !table().get("AlNiCo 5").expect("is there").linear);
}

/// The number of a neodymium grade is its energy product in MGOe; a straight curve bounds it by `Br² / (4 μ0 μ_rec)`.
#[test]
fn grade_numbers_agree_with_remanence() {
    let mut seen = 0;
    for row in table().rows().iter().filter(|row| row.family == Family::NdFeB) {
        let digits: String = row.name.chars().filter(char::is_ascii_digit).collect();
        let number: f64 = digits.parse().expect("a number in the name");
        let product = |br: f64| br * br / (4.0 * MU_0 * row.recoil_permeability) / 1e3 / KILOJOULES;
        assert!(
            (product(row.br_typical) - number).abs() <= 3.5,
            "{}: {}",
            row.name,
            product(row.br_typical)
        );
        seen += 1;
    }
    assert_eq!(seen, 58);
}

#[test]
fn warm_neodymium_weakens_and_cold_ferrite_loses_coercivity() {
    let n42 = table().get("N42").expect("is there");
    let warm = n42.br_at(1.30, 80.0).expect("in range");
    assert!((warm - 1.30 * (1.0 - 0.0012 * 60.0)).abs() <= 1e-14);
    let ferrite = table().get("Y30").expect("is there");
    assert!(ferrite.hcj_at(-40.0).expect("in range") < ferrite.hcj_min);
    assert!(n42.hcj_at(200.0).expect("in range") >= 0.0);
    assert!(matches!(n42.br_at(f64::NAN, 20.0), Err(GradeError::Value { .. })));
    for bad in [f64::NAN, -300.0, 310.0, 1e9] {
        assert!(
            matches!(n42.br_at(1.3, bad), Err(GradeError::Temperature { .. })),
            "{bad}"
        );
    }
}

#[test]
fn a_shop_adds_and_replaces_grades() {
    let mut own = table().get("N42").expect("is there").clone();
    own.br_typical = 1.31;
    let changed = table().with_rows(vec![own.clone()]).expect("replaces");
    assert_eq!(changed.rows().len(), table().rows().len());
    assert_eq!(changed.get("n42").map(|g| g.br_typical), Some(1.31));
    own.name = "House 42".into();
    own.aliases = vec!["h42".into()];
    let more = table().with_rows(vec![own.clone()]).expect("adds");
    assert_eq!(more.get("H 42").map(|g| g.name.as_str()), Some("House 42"));
    own.aliases = vec!["N35".into()];
    assert!(matches!(table().with_rows(vec![own]), Err(GradeError::SameName { .. })));
}

#[test]
fn rows_out_of_range_are_refused_by_field() {
    let good = table().get("N42").expect("is there");
    type Spoil = fn(&mut GradeRow);
    let spoils: [(&str, Spoil); 8] = [
        ("br_min", |row| row.br_min = f64::NAN),
        ("br_typical", |row| row.br_typical = 1.0),
        ("br_max", |row| row.br_max = f64::INFINITY),
        ("hcj_min", |row| row.hcj_min = 0.0),
        ("recoil_permeability", |row| row.recoil_permeability = 0.9),
        ("alpha_br_per_k", |row| row.alpha_br_per_k = -0.12),
        ("max_service_celsius", |row| row.max_service_celsius = 400.0),
        ("density", |row| row.density = 7.5),
    ];
    for (expected, spoil) in spoils {
        let mut row = good.clone();
        spoil(&mut row);
        let error = row.validate().expect_err(expected);
        assert!(
            matches!(&error, GradeError::Value { field, .. } if *field == expected),
            "{error}"
        );
    }
    let mut nameless = good.clone();
    nameless.name = " - ".into();
    assert_eq!(
        GradeTable::from_rows(vec![nameless]).err(),
        Some(GradeError::NoName { row: 1 })
    );
    assert!(matches!(
        GradeTable::from_toml("[[grade]]\nname = 3"),
        Err(GradeError::Text(_))
    ));
    let lost = "[[class]]\nseries='Q'\nsuffix=''\nnumbers=[1]\nhcj_min=1.0\nalpha_br_per_k=0.0\nbeta_hcj_per_k=0.0\nmax_service_celsius=50.0";
    assert!(matches!(GradeTable::from_toml(lost), Err(GradeError::Series { .. })));
}
