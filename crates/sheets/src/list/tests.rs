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
fn a_workbook_is_made_of_it() {
    // A ZIP file begins so (APPNOTE 4.3.7).
    assert_eq!(list().xlsx().unwrap().get(..4), Some(b"PK\x03\x04".as_slice()));
}
