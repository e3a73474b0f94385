//! Tables: columns as wide as what stands in them, rows that break over pages with their head.

use crate::drawing::Anchor;
use crate::text::{Text, lines};

/// Between two columns.
pub const GUTTER: f32 = 8.0;

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Headings; none where empty.
    pub head: Vec<Text>,
    /// Rows, each with as many cells as there are columns.
    pub rows: Vec<Vec<Text>>,
    /// How the cells of each column stand.
    pub align: Vec<Anchor>,
    /// Whether no lines part its rows.
    pub bare: bool,
}

impl Table {
    /// How many columns it has.
    pub fn columns(&self) -> usize {
        self.rows.iter().chain([&self.head]).map(Vec::len).max().unwrap_or(0)
    }

    /// How a column stands.
    pub fn align_of(&self, column: usize) -> Anchor {
        self.align.get(column).copied().unwrap_or_default()
    }

    /// Widths of the columns in that room. Where all fits on one line, what is left goes to the first column; where it does
    /// not, the widest columns give way first, down to their widest words, so that figures beside long texts stay whole.
    pub fn widths(&self, room: f32) -> Vec<f32> {
        let columns = self.columns();
        if columns == 0 {
            return Vec::new();
        }
        let cells = |column: usize| {
            let rows = self.rows.iter().chain([&self.head]);
            rows.filter_map(move |row| row.get(column))
        };
        let wish: Vec<f32> = (0..columns)
            .map(|k| cells(k).map(on_one_line).fold(0.0, f32::max))
            .collect();
        let room = (room - GUTTER * (columns - 1) as f32).max(1.0);
        let total: f32 = wish.iter().sum();
        if total <= room {
            let mut widths = wish;
            if let Some(first) = widths.first_mut() {
                *first += room - total;
            }
            return widths;
        }
        // No column is squeezed below this for the sake of another's long words.
        let fair = room / columns as f32;
        let least: Vec<f32> = (0..columns)
            .map(|k| cells(k).map(Text::widest_word).fold(0.0, f32::max).min(fair))
            .collect();
        let capped = |cap: f32| -> Vec<f32> { wish.iter().zip(&least).map(|(w, l)| w.min(cap).max(*l)).collect() };
        // What is wider than this is cut to it; found by halving.
        let (mut low, mut high) = (0.0, room);
        for _ in 0..HALVINGS {
            let cap = (low + high) / 2.0;
            match capped(cap).iter().sum::<f32>() <= room {
                true => low = cap,
                false => high = cap,
            }
        }
        capped(low)
    }
}

/// So often the widest column's width is halved in: to a thousandth of a point on any paper.
const HALVINGS: usize = 24;

/// The width of a text whose lines are not broken.
fn on_one_line(text: &Text) -> f32 {
    lines(text, f32::INFINITY)
        .iter()
        .map(|line| line.width)
        .fold(0.0, f32::max)
}

#[cfg(test)]
mod tests;
