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
        foot_left: "left".into(),
        foot_middle: "middle ".repeat(200),
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
        let [wide, tall] = paper.points();
        for placed in document.pages().iter().flatten() {
            for mark in &placed.marks {
                let Mark::Letters {
                    at: [x, y],
                    text,
                    anchor,
                } = mark
                else {
                    continue;
                };
                let left = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - text.width() / 2.0,
                    Anchor::End => x - text.width(),
                };
                assert!(left >= 0.0 && left + text.width() <= wide, "{}", text.plain());
                assert!(*y >= 0.0 && *y <= tall);
            }
        }
    }
}

#[test]
fn pages_are_numbered() {
    let document = document(vec![Flow::body("word ".repeat(3000))]);
    let pages = document.pages();
    let foot = |page: &[Placed]| {
        let last = page.last().unwrap();
        last.marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Letters { text, .. } => Some(text.plain()),
                Mark::Path { .. } => None,
            })
            .next_back()
            .unwrap()
    };
    let count = pages.len();
    assert!(count > 1);
    assert_eq!(foot(&pages[0]), format!("page 1 of {count}"));
    assert_eq!(foot(&pages[count - 1]), format!("page {count} of {count}"));
}
