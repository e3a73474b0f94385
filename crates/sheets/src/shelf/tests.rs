use std::io::Cursor;

use calamine::{Data, Reader as _, Xlsx};

use super::files::{csv, json, xlsx};
use super::*;

fn messages() -> Messages {
    Messages::of("en").unwrap()
}

fn item(code: &str, diameter: f64, thickness: f64, grade: &str) -> Item {
    let shape = magnetics::Shape::Disc { diameter, thickness };
    Item {
        code: code.into(),
        ..Item::made(shape, grade, "none")
    }
}

fn number(headings: &[String], row: &[Cell], heading: &str) -> f64 {
    let at = headings
        .iter()
        .position(|h| h == heading)
        .unwrap_or_else(|| panic!("{heading}: {headings:?}"));
    match &row[at] {
        Cell::Number(number) => *number,
        other => panic!("{heading}: {other:?}"),
    }
}

/// D10 × 5 in 1.28 to 1.32 T: on the axis `Br/2 ((L + d)/√(R² + (L + d)²) - d/√(R² + d²))`; at the face 459.6 mT at 1.30 T, at
/// 10 mm 35.2 mT; moment 1.3 T · 392.7 mm³ / μ0 = 0.406 A m²; computed by hand.
#[test]
fn figures_are_those_of_the_closed_form() {
    let (places, units, messages) = (Places::default(), Units::metric(), messages());
    let columns = Columns::new(&places, &units, &messages);
    let headings = columns.headings();
    let row = columns.row(&item("a", 10e-3, 5e-3, "N42"), &Catalogue::builtin().unwrap());
    assert_eq!(row.len(), headings.len());
    let on_axis = |d: f64| {
        let (r, l) = (5e-3f64, 5e-3);
        650.0 * ((l + d) / r.hypot(l + d) - d / r.hypot(d))
    };
    for (heading, by_hand) in [
        ("field at the face, mT", on_axis(0.0)),
        ("field at 10 mm, mT", on_axis(10e-3)),
        ("field at 20 mm, mT", on_axis(20e-3)),
        ("moment, A·m²", 0.406),
    ] {
        let got = number(
            &headings,
            &row,
            &heading.replace("10 mm", "10\u{a0}mm").replace("20 mm", "20\u{a0}mm"),
        );
        // A recoil permeability of 1.05 takes up to 4 % of a rigid magnet's field, and never adds.
        assert!((0.96..1.0).contains(&(got / by_hand)), "{heading}: {got} {by_hand}");
    }
}

#[test]
fn what_cannot_be_worked_out_says_why_and_the_row_is_whole() {
    let (places, units, messages) = (Places::default(), Units::inch(), messages());
    let columns = Columns::new(&places, &units, &messages);
    let row = columns.row(&item("a", 10e-3, 5e-3, "no such grade"), &Catalogue::builtin().unwrap());
    assert_eq!(row.len(), columns.headings().len());
    assert!(
        matches!(row.last(), Some(Cell::Text(why)) if !why.is_empty()),
        "{row:?}"
    );
    assert!(row[5..row.len() - 1].iter().all(|cell| *cell == Cell::Nothing));
}

/// Every heading once, and none without its message.
#[test]
fn headings_differ_and_are_said() {
    let messages = messages();
    for units in [Units::metric(), Units::inch()] {
        let places = Places::default();
        let headings = Columns::new(&places, &units, &messages).headings();
        let mut sorted = headings.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!(sorted.len(), headings.len(), "{headings:?}");
        assert!(
            headings.iter().all(|heading| !heading.contains("table-")),
            "{headings:?}"
        );
    }
}

#[test]
fn what_would_be_run_as_a_formula_is_kept_as_text() {
    let headings = ["code".to_owned(), "n".to_owned()];
    let rows: Vec<Vec<Cell>> = ["=1+1", "+a", "-b", "@c", "plain"]
        .map(|code| vec![text(code), Cell::Number(-1.5)])
        .to_vec();
    let written = String::from_utf8(csv(&headings, &rows).unwrap()).unwrap();
    for line in ["'=1+1,-1.5", "'+a,-1.5", "'-b,-1.5", "'@c,-1.5", "\r\nplain,-1.5"] {
        assert!(written.contains(line), "{line}: {written}");
    }
    let book = xlsx(&headings, &rows).unwrap();
    let mut read = Xlsx::new(Cursor::new(&book)).unwrap();
    let sheet = read.worksheet_range_at(0).unwrap().unwrap();
    for (row, code) in (1u32..).zip(["=1+1", "+a", "-b", "@c", "plain"]) {
        assert_eq!(sheet.get_value((row, 0)), Some(&Data::String(code.into())));
        assert_eq!(sheet.get_value((row, 1)), Some(&Data::Float(-1.5)));
    }
    assert!(read.worksheet_formula("Sheet1").unwrap().is_empty());
    assert_eq!(book, xlsx(&headings, &rows).unwrap());
    let read: serde_json::Value = serde_json::from_slice(&json(&headings, &rows).unwrap()).unwrap();
    assert_eq!(read[0]["code"], "=1+1");
    assert_eq!(read[0]["n"], -1.5);
}
