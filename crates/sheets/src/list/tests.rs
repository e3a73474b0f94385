use std::io::{Cursor, Read as _};

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
    // Every letter with which a spreadsheet program begins a formula.
    for begins in FORMULA_STARTS {
        assert!(
            quoted(&format!("{begins}1+1")).trim_matches('"').starts_with('\''),
            "{begins:?}"
        );
    }
}

#[test]
fn a_shown_number_becomes_one_and_words_stay_words() {
    for (shown, number) in [
        ("+6.1\u{a0}%", 6.1),
        ("−3.9 %", -3.9),
        ("×18", 18.0),
        ("12\u{a0}800", 12_800.0),
        ("0 %", 0.0),
    ] {
        assert_eq!(Cell::number_of(shown), Cell::Number(number), "{shown}");
    }
    let figure = Figure {
        value: 47.123_4,
        unit: "N".into(),
        text: "47.1\u{a0}N".into(),
    };
    assert_eq!(Cell::of(&figure), Cell::Number(47.1));
    // Grams stand in one column with kilograms.
    let mass = |value: f64, unit: &str| Figure {
        value,
        unit: unit.into(),
        text: format!("{value}\u{a0}{unit}"),
    };
    let [metric, inch] = [Units::metric(), Units::inch()];
    assert_eq!((mass_unit(&metric), mass_unit(&inch)), ("g", "oz"));
    for (figure, units, number) in [
        (mass(10.6, "g"), &metric, 10.6),
        (mass(1.25, "kg"), &metric, 1250.0),
        (mass(0.5, "oz"), &inch, 0.5),
        // 16 ounces are a pound.
        (mass(2.0, "lb"), &inch, 32.0),
    ] {
        assert_eq!(Cell::mass(&figure, units), Cell::Number(number), "{}", figure.text);
    }
    assert_eq!(Cell::number_of("over 99 %"), Cell::Text("over 99 %".into()));
    assert_eq!(Cell::number_of(""), Cell::Nothing);
}

#[test]
fn a_workbook_has_text_as_text_and_numbers_as_numbers() {
    let book = list().xlsx().unwrap();
    let mut read = Xlsx::new(Cursor::new(book.clone())).unwrap();
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
    // What begins like a formula is marked, so that it stays text where it is edited or exported (ECMA-376, 18.8.45, quotePrefix).
    let mut parts = zip::ZipArchive::new(Cursor::new(book)).unwrap();
    let mut styles = String::new();
    parts
        .by_name("xl/styles.xml")
        .unwrap()
        .read_to_string(&mut styles)
        .unwrap();
    assert!(styles.contains("quotePrefix=\"1\""), "{styles}");
}
