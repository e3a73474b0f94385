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

/// A column of words gives way before columns of figures do, whose cells would break between number and unit.
#[test]
fn the_widest_column_gives_way_first() {
    let words = "many words that go over several lines ".repeat(3);
    let table = table(&[&[words.as_str(), "42.0 to 53.0 N", "4178 in stock"]]);
    let widths = table.widths(300.0);
    for (column, cell) in [(1, "42.0 to 53.0 N"), (2, "4178 in stock")] {
        assert!(widths[column] >= Text::new(cell, Style::BODY).width(), "{widths:?}");
    }
}

/// A blank between two styles is as wide as the style before it, in the width as in the line.
#[test]
fn a_cell_of_two_styles_that_has_its_width_is_not_broken() {
    let cell = Text::new("51.9 N (5.3 kg)", Style::BODY.strong()).and(" (46.7 to 55.2 N)", Style::SMALL);
    let table = Table {
        rows: vec![vec![Text::new("pull", Style::SMALL), cell.clone()]],
        ..Table::default()
    };
    assert_eq!(crate::text::lines(&cell, table.widths(400.0)[1]).len(), 1);
}

#[test]
fn nothing_has_no_columns() {
    assert!(Table::default().widths(100.0).is_empty());
}
