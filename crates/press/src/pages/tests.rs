use super::*;
use crate::drawing::Drawing;
use crate::ink::INK;
use crate::table::Table;

fn document(flows: Vec<Flow>) -> Document {
    Document {
        title: "A title".into(),
        author: "A shop".into(),
        language: "en".into(),
        creator: "test".into(),
        date: (2026, 5, 21),
        flows,
        foot: "made ".repeat(200),
        link: "https://shop.example/#/item/".to_owned() + &"x".repeat(300),
        foot_page: "page {page} of {pages}".into(),
        ..Document::default()
    }
}

fn odd_names() -> Vec<String> {
    vec![
        "שלום עולם".into(),
        "مرحبا بالعالم".into(),
        "😀 crew 👩‍👩‍👧".into(),
        "x".repeat(300),
        "日本語の名前".into(),
        "a\u{0}b\u{202e}c".into(),
        "=1+1".into(),
    ]
}

#[test]
fn every_kind_of_block_makes_a_tagged_file_on_both_papers() {
    let mut drawing = Drawing::new(100.0, 50.0, "a circle");
    drawing.circle([50.0, 25.0], 20.0, Pen::line(INK, 0.5));
    drawing.letters([50.0, 25.0], "10", Style::SMALL, Anchor::Middle);
    let cell = |text: String| Text::new(text, Style::BODY);
    let table = Table {
        head: vec![cell("name".into()), cell("price".into())],
        rows: odd_names()
            .into_iter()
            .map(|name| vec![cell(name), cell("€ 1.00".into())])
            .collect(),
        align: vec![Anchor::Start, Anchor::End],
        ..Table::default()
    };
    let mut flows = vec![Flow::title("A title"), Flow::line(), Flow::heading("A heading")];
    flows.extend(odd_names().into_iter().map(Flow::body));
    flows.push(Flow::Columns(vec![
        (1.0, vec![Flow::Drawing(drawing.clone())]),
        (1.0, vec![Flow::Table(table.clone())]),
    ]));
    flows.extend((0..30).map(|_| Flow::Table(table.clone())));
    for paper in [PaperSize::A4, PaperSize::Letter] {
        let document = Document {
            paper,
            ..document(flows.clone())
        };
        let pdf = document.pdf().unwrap();
        assert!(pdf.starts_with(b"%PDF-") && pdf.len() > 10_000);
        assert!(document.pages().len() > 3);
    }
}

#[test]
fn no_mark_stands_outside_the_paper() {
    let mut flows: Vec<Flow> = odd_names().into_iter().map(Flow::title).collect();
    flows.extend(odd_names().into_iter().map(|name| Flow::body(name.repeat(20))));
    for paper in [PaperSize::A4, PaperSize::Letter] {
        let document = Document {
            paper,
            ..document(flows.clone())
        };
        assert_eq!(document.outside(), Vec::<String>::new());
    }
}

/// Lettering is kept inside its drawing, wherever it is put and however long it is; a drawing that is too large is told.
#[test]
fn lettering_of_a_drawing_keeps_inside_it_and_a_drawing_too_large_is_told() {
    let mut drawing = Drawing::new(200.0, 60.0, "names");
    for name in odd_names() {
        for anchor in [Anchor::Start, Anchor::Middle, Anchor::End] {
            for x in [0.0, 100.0, 200.0] {
                drawing.letters([x, 30.0], name.as_str(), Style::BODY, anchor);
            }
        }
    }
    for mark in &drawing.marks {
        let Mark::Letters { at, text, anchor } = mark else {
            continue;
        };
        let left = at[0] - anchor.share() * text.width();
        assert!(left >= -0.01 && left + text.width() <= 200.01, "{}", text.plain());
    }
    assert!(document(vec![Flow::Drawing(drawing)]).outside().is_empty());
    let mut large = Drawing::new(900.0, 10.0, "large");
    large.line(&[[0.0, 5.0], [900.0, 5.0]], Pen::line(INK, 1.0));
    assert_eq!(document(vec![Flow::Drawing(large)]).outside().len(), 1);
}

/// Letters can be selected, since glyphs lead back to them; typefaces are inside; and what is read is tagged (ISO 32000-1, 9.10.3,
/// 9.9 and 14.8; ISO 14289-1).
#[test]
fn text_can_be_selected_typefaces_are_inside_and_pages_are_tagged() {
    let pdf = document(vec![Flow::title("A title"), Flow::body("מגנט and text")])
        .pdf()
        .unwrap();
    let count = |part: &str| pdf.windows(part.len()).filter(|w| *w == part.as_bytes()).count();
    let fonts = count("/Type0");
    assert!(fonts >= 3, "one for each typeface that is used: {fonts}");
    assert_eq!(count("/ToUnicode"), fonts);
    assert_eq!(count("/FontFile2") + count("/FontFile3"), fonts);
    for part in [
        "/Marked true",
        "/StructTreeRoot",
        "/S /H1",
        "/S /P",
        "/Lang",
        "pdfuaid:part",
    ] {
        assert!(count(part) > 0, "{part}");
    }
}

#[test]
fn its_words_are_told_line_by_line() {
    let cell = |text: &str| Text::new(text, Style::BODY);
    let table = Table {
        head: vec![cell("gap"), cell("pull")],
        rows: vec![vec![cell("1 mm"), cell("37 N")]],
        ..Table::default()
    };
    let flows = vec![
        Flow::title("A title"),
        Flow::line(),
        Flow::Columns(vec![
            (1.0, vec![Flow::body("one\ntwo")]),
            (1.0, vec![Flow::Table(table)]),
        ]),
        Flow::Together(vec![
            Flow::Drawing(Drawing::new(9.0, 9.0, "a circle")),
            Flow::Space(3.0),
        ]),
    ];
    let lines = document(flows).lines();
    assert_eq!(lines, ["A title", "one two", "gap; pull", "1 mm; 37 N", "a circle"]);
}

fn letters(placed: &Placed) -> Vec<String> {
    let text = |mark: &Mark| match mark {
        Mark::Letters { text, .. } => Some(text.plain()),
        Mark::Path { .. } => None,
    };
    placed.marks.iter().filter_map(text).collect()
}

/// What was made, of what and by which version is whole; a long address is cut on paper, and led to whole (ISO 32000-1, 12.5.6.5 and
/// 14.7.4.3), on every page.
#[test]
fn the_foot_says_all_of_its_words_and_leads_to_its_address() {
    let link = "https://shop.example/#/ladder?for=".to_owned() + &"%22a%22".repeat(60);
    let made = "stock of 30 September 2026, shelf revision 123456, Program 10.12.3";
    let document = Document {
        foot: made.into(),
        link: link.clone(),
        ..document(vec![Flow::body("word ".repeat(3000))])
    };
    let pages = document.pages();
    for page in &pages {
        let foot = page.iter().rfind(|placed| placed.role == Role::Ornament).unwrap();
        assert!(letters(foot).contains(&made.to_owned()), "{:?}", letters(foot));
        let back = page.last().unwrap();
        assert_eq!(back.role, Role::Link(link.clone()));
        assert!(letters(back)[0].ends_with('…'));
    }
    assert_eq!(document.outside(), Vec::<String>::new());
    let pdf = document.pdf().unwrap();
    let count = |part: &str| pdf.windows(part.len()).filter(|w| *w == part.as_bytes()).count();
    for part in ["/Subtype /Link", "/S /Link", "/OBJR", &format!("/URI ({link})")] {
        assert_eq!(count(part), pages.len(), "{part}");
    }
    // What is no address of the web is words.
    let plain = Document {
        link: "shelf A".into(),
        ..Document::default()
    };
    assert!(!plain.pdf().unwrap().windows(4).any(|w| w == b"/URI"));
}

#[test]
fn pages_are_numbered() {
    let document = document(vec![Flow::body("word ".repeat(3000))]);
    let pages = document.pages();
    let foot = |page: &[Placed]| {
        let foot = page.iter().rfind(|placed| placed.role == Role::Ornament).unwrap();
        letters(foot).pop().unwrap()
    };
    let count = pages.len();
    assert!(count > 1);
    assert_eq!(foot(&pages[0]), format!("page 1 of {count}"));
    assert_eq!(foot(&pages[count - 1]), format!("page {count} of {count}"));
}
