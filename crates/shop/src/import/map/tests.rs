use super::*;
use crate::import::{ReadOptions, read, recognise};

fn table(text: &str) -> Table {
    read(text.as_bytes(), "list.csv", &ReadOptions::default()).unwrap()
}

fn choice(heading: &str, field: &str, unit: &str) -> Choice {
    Choice {
        heading: heading.into(),
        field: field.into(),
        unit: unit.into(),
    }
}

fn map(columns: &[(&str, &str, &str)]) -> Map {
    Map {
        columns: columns
            .iter()
            .map(|(heading, field, unit)| choice(heading, field, unit))
            .collect(),
        ..Map::default()
    }
}

const LIST: &str = "code;text;VK1;VK2;stock;grade\na;disc;1,5;1,2;4;N42\n";

#[test]
fn a_column_holds_what_is_said() {
    let mut table = table(LIST);
    let mut columns = recognise(&table);
    let said = map(&[
        ("VK1", "price from 10", ""),
        ("VK2", "price of 100 from 1", ""),
        ("text", "description", ""),
    ]);
    said.over(&mut table, &mut columns).unwrap();
    assert_eq!(columns[2].field, Some(Field::Price { from: 10, per: 1 }));
    assert_eq!(columns[3].field, Some(Field::Price { from: 1, per: 100 }));
    assert_eq!(columns[1].field, Some(Field::Description));
    assert!(columns[1].chosen && !columns[4].chosen);
    let again = Map::of(&columns, "", "");
    let mut fresh = recognise(&table);
    again.over(&mut table, &mut fresh).unwrap();
    assert_eq!(
        fresh.iter().map(|column| column.field).collect::<Vec<_>>(),
        columns.iter().map(|column| column.field).collect::<Vec<_>>()
    );
}

#[test]
fn a_choice_goes_before_a_heading() {
    let mut table = table("code;grade;quality 2\na;B;N42\n");
    let mut columns = recognise(&table);
    map(&[("quality 2", "grade", "")])
        .over(&mut table, &mut columns)
        .unwrap();
    assert_eq!(columns[1].field, None);
    assert_eq!(
        columns[1].remark.as_deref(),
        Some("not read, because \"quality 2\" is the grade")
    );
    assert_eq!(columns[2].field, Some(Field::Grade));
}

#[test]
fn units_and_decimal_signs_are_kept_too() {
    let mut table = table("code;A;B;grade\na;1/2;1,234;N42\n");
    let mut columns = recognise(&table);
    let said = Map {
        columns: vec![choice("A", "diameter", "in"), choice("B", "thickness", "")],
        length_unit: "mm".into(),
        decimal: "comma".into(),
    };
    said.over(&mut table, &mut columns).unwrap();
    assert_eq!(
        (table.length_unit, table.decimal),
        (Some(Unit::MILLIMETRE), Convention::Comma)
    );
    assert_eq!(columns[1].unit, Some(Unit::INCH));
    assert_eq!(
        Map::of(&columns, "mm", "comma").columns[1],
        choice("A", "diameter", "in")
    );
}

#[test]
fn what_does_not_go_is_refused_with_what_would() {
    for (columns, wrong, right) in [
        (
            &[("VK3", "name", "")][..],
            "there is no column \"VK3\" in this file",
            "one of: code",
        ),
        (
            &[("VK1", "prise from 1", "")],
            "\"prise from 1\" is not what",
            "price from 10",
        ),
        (
            &[("VK1", "diametre", "")],
            "\"diametre\" is not what a column can hold",
            "perhaps diameter",
        ),
        (
            &[("VK1", "diameter", "kg")],
            "\"kg\" is not a unit of the diameter",
            "mm",
        ),
        (
            &[("VK1", "name", ""), ("VK2", "name", "")],
            "\"VK1\" and \"VK2\" are both the name",
            "one column",
        ),
    ] {
        let mut table = table(LIST);
        let mut found = recognise(&table);
        let error = map(columns).over(&mut table, &mut found).unwrap_err();
        assert!(error.wrong.contains(wrong), "{}", error.wrong);
        assert!(error.right.contains(right), "{}", error.right);
    }
    let mut table = table(LIST);
    let decimal = Map {
        decimal: "semicolon".into(),
        ..Map::default()
    };
    assert!(decimal.over(&mut table, &mut []).is_err());
}

#[test]
fn a_map_is_kept_by_headings_and_forgotten() {
    let shop = Shop::in_memory().unwrap();
    let headings = ["Code", "Größe (mm)"].map(str::to_owned);
    assert_eq!(shop.kept_map(&headings).unwrap(), None);
    let said = map(&[("Code", "code", ""), ("Größe (mm)", "size", "mm")]);
    keep(&shop.lock().unwrap(), &headings, &said).unwrap();
    let alike = ["code", "GRÖSSE  [mm]"].map(str::to_owned);
    assert_eq!(shop.kept_map(&alike).unwrap(), Some(said));
    assert_eq!(shop.kept_map(&headings[..1]).unwrap(), None);
    keep(&shop.lock().unwrap(), &headings, &Map::default()).unwrap();
    assert_eq!(shop.kept_map(&headings).unwrap(), None);
}
