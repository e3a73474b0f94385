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

#[test]
fn a_column_has_one_unit_or_stays_as_it_is_told() {
    let texts = |all: &[&str]| -> Vec<Option<String>> { all.iter().map(|t| Some((*t).to_owned())).collect() };
    let number = |n: f64| Cell::Number(n);
    let words = |text: &str| Cell::Text(text.into());
    let unit = |unit: &str| Some(unit.to_owned());
    for (told, column) in [
        (
            ["62.9\u{a0}N (6.4\u{a0}kg)", "12\u{a0}800\u{a0}N"],
            (unit("N"), vec![number(62.9), number(12_800.0)]),
        ),
        (["-", "€\u{a0}1.81"], (unit("€"), vec![Cell::Nothing, number(1.81)])),
        (
            ["-", "40.8\u{a0}N for €\u{a0}1.00"],
            (unit("N for € 1.00"), vec![Cell::Nothing, number(40.8)]),
        ),
        (["2", "2, €\u{a0}3.62"], (None, vec![number(2.0), words("2, € 3.62")])),
        (
            ["800\u{a0}g", "1.2\u{a0}kg"],
            (None, vec![words("800 g"), words("1.2 kg")]),
        ),
        (
            ["−40\u{a0}°C", "80\u{a0}°C"],
            (unit("°C"), vec![number(-40.0), number(80.0)]),
        ),
        (
            ["with care", "does not last"],
            (None, vec![words("with care"), words("does not last")]),
        ),
    ] {
        assert_eq!(measured(&texts(&told)), column, "{told:?}");
    }
    let ends = |range: &str| super::ends(range).map(|ends| ends.map(|end| end.replace('\u{a0}', " ")));
    assert_eq!(ends("56.1 to 67.0\u{a0}N"), Some(["56.1 N".into(), "67.0 N".into()]));
    assert_eq!(
        ends("800\u{a0}g to 1.2\u{a0}kg"),
        Some(["800 g".into(), "1.2 kg".into()])
    );
    assert_eq!(ends("over 99 %"), None);
}
