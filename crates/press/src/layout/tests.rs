use super::*;
use crate::text::Style;

const WIDTH: f32 = 300.0;
const HEIGHT: f32 = 400.0;

fn words(n: usize) -> Flow {
    Flow::body("several words of ordinary length ".repeat(n))
}

/// The lowest base line of a page.
fn lowest(sheet: &Sheet) -> f32 {
    sheet
        .iter()
        .flat_map(|placed| &placed.marks)
        .filter_map(|mark| match mark {
            Mark::Letters { at, .. } => Some(at[1]),
            Mark::Path { .. } => None,
        })
        .fold(0.0, f32::max)
}

fn text_of(sheet: &Sheet) -> String {
    let letters = sheet
        .iter()
        .flat_map(|placed| &placed.marks)
        .filter_map(|mark| match mark {
            Mark::Letters { text, .. } => Some(text.plain()),
            Mark::Path { .. } => None,
        });
    letters.collect::<Vec<_>>().join(" ")
}

#[test]
fn nothing_stands_below_the_page() {
    let rows = (0..60)
        .map(|k| vec![Text::new(format!("row {k}"), Style::BODY); 3])
        .collect();
    let table = Table {
        head: vec![Text::new("head", Style::SMALL); 3],
        rows,
        ..Table::default()
    };
    let flows = [
        Flow::title("A title"),
        words(200),
        Flow::Columns(vec![(1.0, vec![words(20)]), (2.0, vec![words(30)])]),
        Flow::Table(table),
        Flow::Together(vec![words(10), words(10)]),
        // Taller than any page.
        Flow::Together(vec![words(300)]),
        Flow::Columns(vec![(1.0, vec![words(300)]), (1.0, vec![words(300)])]),
    ];
    let pages = sheets(&flows, WIDTH, HEIGHT);
    assert!(pages.len() > 5);
    for page in &pages {
        assert!(lowest(page) <= HEIGHT, "{}", lowest(page));
    }
    let all = pages.iter().map(text_of).collect::<Vec<_>>().join(" ");
    assert_eq!(all.matches("several").count(), 200 + 20 + 30 + 20 + 300 + 600);
    for k in 0..60 {
        assert!(all.contains(&format!("row {k}")), "row {k}");
    }
}

#[test]
fn a_table_says_its_head_again_on_the_next_page() {
    let rows = (0..80)
        .map(|k| vec![Text::new(format!("row {k}"), Style::BODY)])
        .collect();
    let table = Table {
        head: vec![Text::new("the head", Style::SMALL)],
        rows,
        ..Table::default()
    };
    let pages = sheets(&[Flow::Table(table)], WIDTH, HEIGHT);
    assert!(pages.len() > 2);
    assert!(pages.iter().all(|page| text_of(page).starts_with("the head")));
    // Only once for those who listen.
    let heads = pages
        .iter()
        .flatten()
        .filter(|p| matches!(p.role, Role::Cell { head: true, .. }));
    assert_eq!(heads.count(), 1);
}

#[test]
fn a_heading_stands_on_the_page_of_what_it_heads() {
    for n in 20..60 {
        let filler = Flow::Space(HEIGHT - 2.0 * n as f32 * 0.5);
        let pages = sheets(&[words(1), filler, Flow::heading("Heading"), words(30)], WIDTH, HEIGHT);
        for page in &pages {
            let text = text_of(page);
            assert!(!text.ends_with("Heading"), "{n}: a heading ends a page");
        }
    }
}

#[test]
fn nothing_is_one_empty_page() {
    assert_eq!(sheets(&[], WIDTH, HEIGHT).len(), 1);
}
