use std::io::Cursor;

use calamine::{Data, Reader as _, Xlsx};

use super::*;

fn list() -> List {
    List {
        name: "as measured",
        headings: vec!["magnet".into(), "mean, mT".into()],
        rows: vec![
            vec![Cell::Text("=cmd()".into()), Cell::Number(390.25)],
            vec![Cell::Text("disc, 15 × 5 \"N\"".into()), Cell::Number(f64::NAN)],
            vec![Cell::Text("-5".into()), Cell::Nothing],
        ],
    }
}

#[test]
fn text_never_becomes_a_formula() {
    let text = list().csv();
    let lines: Vec<&str> = text.split("\r\n").collect();
    assert_eq!(
        lines,
        [
            "magnet,\"mean, mT\"",
            "'=cmd(),390.25",
            "\"disc, 15 × 5 \"\"N\"\"\",",
            "-5,",
            ""
        ]
    );
    assert_eq!(quoted("-5 mT"), "'-5 mT");
}

#[test]
fn a_workbook_has_text_as_text_and_numbers_as_numbers() {
    let book = list().xlsx().unwrap();
    let mut read = Xlsx::new(Cursor::new(book)).unwrap();
    let sheet = read.worksheet_range("as measured").unwrap();
    let text = |text: &str| Data::String(text.into());
    for (place, value) in [
        ((0, 1), text("mean, mT")),
        ((1, 0), text("=cmd()")),
        ((1, 1), Data::Float(390.25)),
        ((2, 1), Data::Empty),
        ((3, 0), text("-5")),
    ] {
        assert_eq!(sheet.get_value(place).unwrap_or(&Data::Empty), &value, "{place:?}");
    }
    assert!(read.worksheet_formula("as measured").unwrap().is_empty());
}
