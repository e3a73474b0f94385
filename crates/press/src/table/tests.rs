use super::*;
use crate::text::Style;

fn table(cells: &[&[&str]]) -> Table {
    let row = |row: &&[&str]| row.iter().map(|cell| Text::new(*cell, Style::BODY)).collect();
    Table {
        rows: cells.iter().map(row).collect(),
        ..Table::default()
    }
}

#[test]
fn columns_fill_the_room_and_never_more() {
    let long = "x".repeat(300);
    let words = "many words that go over several lines ".repeat(9);
    for cells in [
        &[&["a", "b", "c"][..]][..],
        &[&["a", words.as_str(), "12 345"]],
        &[&[long.as_str(), "1", "2"], &["name", words.as_str(), "3"]],
        &[&[long.as_str(), long.as_str(), long.as_str()]],
    ] {
        let table = table(cells);
        let widths = table.widths(400.0);
        let total: f32 = widths.iter().sum::<f32>() + GUTTER * 2.0;
        assert!((total - 400.0).abs() < 0.5, "{total} in {widths:?}");
        assert!(widths.iter().all(|w| *w > 0.0), "{widths:?}");
    }
}

#[test]
fn a_column_of_figures_keeps_them_whole_beside_long_words() {
    let long = "x".repeat(300);
    let table = table(&[&[long.as_str(), "123 456.78"]]);
    let figure = Text::new("456.78", Style::BODY).width();
    assert!(table.widths(300.0)[1] >= figure);
}

#[test]
fn nothing_has_no_columns() {
    assert!(Table::default().widths(100.0).is_empty());
}
