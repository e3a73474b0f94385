//! Files that are not in order: each is refused in clear words, and the shelf stays as it was.

use crate::common::{LIST, apply, preview, read, state};
use proptest::prelude::*;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use shop::Shop;
use shop::import::{self, ApplyError, MOST_REPORTED, Options, ReadOptions, Severity};

/// A shelf of three items.
fn shop() -> Shop {
    let shop = Shop::in_memory().unwrap();
    apply(&shop, LIST).unwrap();
    shop
}

/// The problem that a changed line of the list has: (line, column, wrong), and that nothing was imported.
fn problem_of(from: &str, to: &str) -> (u32, String, String) {
    let shop = shop();
    let before = state(&shop).unwrap();
    let list = LIST.replacen(from, to, 1);
    assert_ne!(list, LIST, "{from} is not in the list");
    match apply(&shop, &list) {
        Err(ApplyError::Refused(preview)) => {
            assert!(!preview.may_import && preview.errors >= 1);
            assert_eq!(state(&shop).unwrap(), before, "half-written after {to}");
            let problem = preview
                .problems
                .into_iter()
                .find(|problem| problem.severity == Severity::Error)
                .unwrap();
            assert!(!problem.right.is_empty());
            (problem.line, problem.column, problem.wrong)
        }
        other => panic!("{to} gave {other:?}"),
    }
}

#[test]
fn wrong_cells_are_reported_with_line_and_column() {
    for (from, to, line, column, wrong) in [
        (
            "15,,3,",
            "15,,-3,",
            3,
            "thickness (mm)",
            "thickness must be greater than 0",
        ),
        ("15,,5,", "0,,5,", 2, "diameter (mm)", "diameter must be greater than 0"),
        (
            "20,10,5",
            "20,25,5",
            4,
            "hole (mm)",
            "the hole of 25 mm is not smaller than the body of 20 mm",
        ),
        (
            "20,10,5",
            "20,20,5",
            4,
            "hole (mm)",
            "the hole of 20 mm is not smaller than the body of 20 mm",
        ),
        ("15,,5,", "15,,,", 2, "thickness (mm)", "the thickness is missing"),
        (
            "N42,Ni-Cu-Ni,\"",
            "N24,Ni-Cu-Ni,\"",
            2,
            "grade",
            "unknown grade \"N24\"",
        ),
        (
            "Y30,none",
            "Y30,chocolate",
            4,
            "coating",
            "unknown coating \"chocolate\"",
        ),
        ("15,,5,", "15,4,5,", 2, "hole (mm)", "a disc has no inner diameter"),
        (",disc,", ",spoon,", 2, "shape", "unknown shape \"spoon\""),
        (
            ",40,",
            ",heaps,",
            3,
            "stock",
            "stock must be a whole number, got \"heaps\"",
        ),
        (",40,", ",-4,", 3, "stock", "stock must be a whole number, got \"-4\""),
        (
            ",0.60,",
            ",free,",
            3,
            "price 1",
            "expected an amount of money, got `free`",
        ),
        (",0.60,", ",-0.60,", 3, "price 1", "the price must not be negative"),
        (",0.60,", ",=1+1,", 3, "price 1", "the price is the text of a formula"),
        (
            ",0.60,",
            ",$0.60,",
            3,
            "price 1",
            "`$` can be USD, CAD, AUD and others: write the code",
        ),
        ("14-08", "14-07", 3, "code", "the code is on line 2 already"),
        ("14-08", "", 3, "code", "the code is missing"),
        (
            "15,,3,",
            "15,,=3,",
            3,
            "thickness (mm)",
            "the thickness is the text of a formula",
        ),
        (
            "15,,3,",
            "15,,3 kg,",
            3,
            "thickness (mm)",
            "kg is a unit of mass, expected a length",
        ),
    ] {
        let found = problem_of(from, to);
        assert_eq!((found.0, found.1.as_str()), (line, column), "{to}: {}", found.2);
        assert!(found.2.starts_with(wrong), "{to}: {}", found.2);
    }
}

#[test]
fn near_grades_are_suggested() {
    let refused = preview(
        &shop(),
        "code,size,grade\na,10x5,N24\nb,10x5,Alnico5\nc,10x5,N42 SH\nd,10x5,plastic\n",
    );
    let right: Vec<(u32, &str)> = refused
        .problems
        .iter()
        .map(|problem| (problem.line, problem.right.as_str()))
        .collect();
    assert_eq!(right.iter().map(|(line, _)| *line).collect::<Vec<_>>(), [2, 5]);
    assert!(right[0].1.starts_with("perhaps N42"), "{}", right[0].1);
    assert!(right[1].1.contains("grade table"), "{}", right[1].1);
}

#[test]
fn magnetisation_that_cannot_be_computed_is_said_and_a_diametral_magnet_is_kept_as_such() {
    let list = "code,diameter,thickness,magnetised,grade\na,10,5,diametral,N42\nb,10,5,width,N42\nc,10,5,axial,N42\n";
    let seen = preview(&shop(), list);
    assert_eq!((seen.new, seen.bad), (2, 1));
    let said: Vec<(u32, &str)> = seen.problems.iter().map(|p| (p.line, p.wrong.as_str())).collect();
    assert_eq!(
        said,
        [
            (2, "it is kept as diametral magnet, and nothing is computed for it"),
            (3, "a round magnet that is magnetised across cannot be computed"),
        ]
    );
}

#[test]
fn formulas_in_text_stay_text_and_in_codes_are_refused() {
    let shop = shop();
    let refused = preview(&shop, "code,size,grade\n=cmd|' /C calc'!A0,10x5,N42\n");
    assert!(
        refused.problems[0].wrong.contains("formula"),
        "{}",
        refused.problems[0].wrong
    );
    apply(
        &shop,
        "code,size,grade,note\nx,10x5,N42,\"=HYPERLINK(\"\"http://example.org\"\")\"\n",
    )
    .unwrap();
    let exported = String::from_utf8(shop::export::csv(&shop).unwrap()).unwrap();
    assert!(exported.contains("\"'=HYPERLINK("), "{exported}");
    assert_eq!(preview(&shop, exported).unchanged, 4);
}

#[test]
fn doubtful_things_are_warned_of_and_imported() {
    let shop = shop();
    let list = "code,size,grade,mass (g),price 1,price 10\na,15x5,N42,66,0.60,0.70\n";
    let preview = preview(&shop, list);
    assert_eq!((preview.errors, preview.warnings, preview.may_import), (0, 2, true));
    let wrong: Vec<&str> = preview.problems.iter().map(|problem| problem.wrong.as_str()).collect();
    assert_eq!(
        wrong,
        [
            "10 pieces cost 0.7 each, but 1 cost 0.6",
            "the mass does not go with the size: N42 should be about 6.6\u{a0}g"
        ]
    );
    assert_eq!(apply(&shop, list).unwrap().new, 1);
}

#[test]
fn all_that_is_wrong_with_a_line_is_reported_at_once() {
    let refused = preview(&shop(), "code,diameter,thickness,grade,stock\na,-1,-2,N24,heaps\n");
    assert_eq!(refused.problems.len(), 4);
    assert_eq!(refused.bad, 1);
}

#[test]
fn a_line_with_more_cells_than_headings_is_refused() {
    let refused = preview(&shop(), "code,diameter,thickness,grade\na,1,5,2,5,N42\n");
    assert!(
        refused.problems[0].wrong.contains("6 cells"),
        "{}",
        refused.problems[0].wrong
    );
}

#[test]
fn files_that_are_no_price_lists_are_named_by_content() {
    for (bytes, word) in [
        (&b"MZ\x90\0\x03\0\0\0\x04\0\0\0\xff\xff\0\0"[..], "program"),
        (b"\x7fELF\x02\x01\x01\0", "program"),
        (b"%PDF-1.7\n%\xe2\xe3", "PDF"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "picture"),
        (b"", "empty"),
        (b"  \r\n \n", "empty"),
        (b"PK\x03\x04\x14\0", "damaged"),
        (b"hello world\nthis is a letter\n", "no line of headings"),
        (b"\0\x01\x02\x03\x04\x05\x06", "binary"),
        (b"<html><table></table></html>", "web page"),
    ] {
        let error = import::read(bytes, "prices.csv", &ReadOptions::default()).unwrap_err();
        assert!(error.wrong.contains(word), "{word}: {}", error.wrong);
        assert!(!error.right.is_empty());
    }
}

#[test]
fn tables_without_the_columns_or_lines_that_are_needed() {
    let shop = shop();
    let no_code = preview(&shop, "name,size,grade\na,10x5,N42\n");
    assert_eq!(no_code.problems.len(), 1);
    assert_eq!(
        no_code.problems[0].wrong,
        "there is no column with the code of each item"
    );
    let no_lines = preview(&shop, "code,size,grade\n");
    assert_eq!(no_lines.problems[0].wrong, "there is no line below the headings");
    assert!(!no_code.may_import && !no_lines.may_import);
}

#[test]
fn an_encoding_that_does_not_fit_is_said() {
    let bytes = encoding_rs::WINDOWS_1252
        .encode("code;Größe;Güte\na;10x5;N42\n")
        .0
        .into_owned();
    let options = ReadOptions {
        encoding: Some("utf-8".into()),
        ..ReadOptions::default()
    };
    let error = import::read(&bytes, "list.csv", &options).unwrap_err();
    assert!(
        error.wrong.contains("not in UTF-8") && error.right.contains("windows-1252"),
        "{error:?}"
    );
}

#[test]
fn a_file_that_is_too_large_is_refused_at_once() {
    let error = read(vec![b'a'; (64 << 20) + 1]).unwrap_err();
    assert!(error.wrong.contains("64 MiB"), "{}", error.wrong);
}

#[test]
fn workbooks_with_formulas_dates_errors_and_gaps() {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, heading) in (0..).zip(["code", "size", "grade", "stock", "price 1", "mass (g)"]) {
        sheet.write(0, column, heading).unwrap();
    }
    let date = Format::new().set_num_format("dd-mm");
    for (row, code) in (1..).zip(["a", "b", "c", "d"]) {
        sheet.write(row, 0, code).unwrap();
        sheet.write(row, 1, "10x5").unwrap();
        sheet.write(row, 2, "N42").unwrap();
    }
    sheet.write(1, 3, Formula::new("=10-10").set_result("0")).unwrap();
    sheet.write(1, 4, Formula::new("=0.5+0.11").set_result("0.61")).unwrap();
    sheet
        .write_with_format(2, 1, ExcelDateTime::from_ymd(2026, 5, 10).unwrap(), &date)
        .unwrap();
    sheet.write(3, 4, Formula::new("=A1*2")).unwrap();
    sheet.write(4, 5, Formula::new("=1/0").set_result("#DIV/0!")).unwrap();
    let shop = shop();
    let before = state(&shop).unwrap();
    let bytes = book.save_to_buffer().unwrap();
    let refused = preview(&shop, &bytes);
    let found: Vec<(u32, &str, &str)> = refused
        .problems
        .iter()
        .map(|p| (p.line, p.column.as_str(), p.wrong.as_str()))
        .collect();
    assert_eq!(
        found[0],
        (3, "size", "the spreadsheet program has turned this size into a date")
    );
    assert_eq!(
        found[1],
        (4, "price 1", "the formula has the result 0, or was never computed")
    );
    assert_eq!((found[2].0, found[2].1, found.len()), (5, "mass (g)", 3));
    assert_eq!((refused.new, refused.bad), (1, 3));
    assert!(apply(&shop, &bytes).is_err());
    assert_eq!(state(&shop).unwrap(), before);
}

#[test]
fn a_database_that_fails_in_the_middle_leaves_nothing_half_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shop.db");
    let shop = Shop::open(&path).unwrap();
    apply(&shop, LIST).unwrap();
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute_batch(
            "CREATE TRIGGER broken BEFORE INSERT ON price WHEN NEW.code = '14-08' \
             BEGIN SELECT RAISE(ABORT, 'no room'); END",
        )
        .unwrap();
    let before = state(&shop).unwrap();
    let list = LIST.replace("0.95", "0.99").replace("0.60", "0.66");
    let error = apply(&shop, &list).unwrap_err();
    assert!(error.to_string().contains("no room"), "{error}");
    assert_eq!(state(&shop).unwrap(), before);
    assert!(shop.fill(before.clone().into_products(), None).is_err());
    assert_eq!(state(&shop).unwrap(), before);
    other.execute_batch("DROP TRIGGER broken").unwrap();
    assert_eq!(apply(&shop, &list).unwrap().changed, 2);
}

#[test]
fn texts_as_long_as_they_may_be_are_read() {
    let long = "price outer ".repeat(330);
    let mut list = format!("code,size,grade{}\n", format!(",{long}").repeat(200));
    for line in 0..2_000 {
        list.push_str(&format!("{line},10x5,{line}{long}\n"));
    }
    let preview = preview(&shop(), &list);
    assert_eq!((preview.bad, preview.columns.len()), (2_000, 203));
}

fn long_list(lines: usize, bad: bool) -> String {
    let mut list = String::from("code;diameter;thickness;grade;coating;stock;price 1;price 10;price 100\n");
    for line in 0..lines {
        let (diameter, thickness) = (2 + line % 50, if bad { -1 } else { 1 + (line % 20) as i64 });
        list.push_str(&format!(
            "{line:06};{diameter};{thickness};N42;zinc;{line};1,05;0,95;0,61\n"
        ));
    }
    list
}

#[test]
fn a_long_list_is_imported_whole() {
    let shop = Shop::in_memory().unwrap();
    let outcome = apply(&shop, long_list(20_000, false)).unwrap();
    assert_eq!(outcome.new, 20_000);
    assert_eq!(shop.item("019999").unwrap().unwrap().stock, Some(19_999));
}

#[test]
fn all_bad_lines_are_counted_and_a_thousand_listed() {
    let shop = shop();
    let before = state(&shop).unwrap();
    let preview = preview(&shop, long_list(20_000, true));
    assert_eq!(
        (preview.bad, preview.errors, preview.problems.len()),
        (20_000, 20_000, MOST_REPORTED)
    );
    assert!(preview.sample.len() <= 100);
    assert_eq!(state(&shop).unwrap(), before);
}

fn never_panics(bytes: &[u8]) {
    let shop = Shop::in_memory().unwrap();
    let Ok(table) = import::read(bytes, "odd", &ReadOptions::default()) else {
        return;
    };
    let columns = import::recognise(&table);
    let before = state(&shop).unwrap();
    let preview = import::preview(&shop, &table, &columns, &Options::default()).unwrap();
    match import::apply(&shop, &table, &columns, &Options::default()) {
        Ok(_) => assert!(preview.may_import),
        Err(_) => assert_eq!(state(&shop).unwrap(), before),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..2_000)) {
        never_panics(&bytes);
    }

    #[test]
    fn arbitrary_tables_never_panic(cells in proptest::collection::vec("[-+=0-9.,x/ØmN\"' €;]{0,8}|\\PC{0,8}", 9..60)) {
        let mut text = String::from("code;shape;size;diameter;thickness;grade;stock;price 1;price 10\n");
        for line in cells.chunks(9) {
            text.push_str(&line.join(";"));
            text.push('\n');
        }
        never_panics(text.as_bytes());
    }

    #[test]
    fn a_damaged_workbook_never_panics(at in 0usize..6_000, byte: u8, cut in 0usize..6_000) {
        let shop = Shop::in_memory().unwrap();
        apply(&shop, LIST).unwrap();
        let mut bytes = shop::export::xlsx(&shop).unwrap();
        let length = bytes.len();
        bytes[at % length] = byte;
        never_panics(&bytes);
        bytes.truncate(cut % length);
        never_panics(&bytes);
    }
}
