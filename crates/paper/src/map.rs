//! A value over the window of a picture: a tint that deepens with it, and lines of equal value with their figures.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use contour::ContourBuilder;
use thiserror::Error;

/// Most cells of a map.
const MOST_CELLS: usize = 4_000_000;

/// Levels that lines of equal value are drawn at, at most.
const MOST_LEVELS: usize = 9;

/// A value on a grid that covers the window of a picture, row by row from the bottom, cells from left to right; each stands for the middle of its cell.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldMap {
    columns: usize,
    rows: usize,
    values: Vec<f64>,
    low: f64,
    high: f64,
    steps: Steps,
    label: String,
    unit: String,
}

/// How the tint deepens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Steps {
    /// With the logarithm of the value.
    Powers,
    /// Evenly.
    Even,
}

/// Why a map is not acceptable.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum MapError {
    /// The number of values is not columns times rows, or there are too few or too many.
    #[error(
        "a map of {columns} by {rows} must have at least 2 by 2 and at most {MOST_CELLS} cells and a value for each, got {values}"
    )]
    Size {
        /// Cells across.
        columns: usize,
        /// Cells up.
        rows: usize,
        /// Values given.
        values: usize,
    },
    /// The tint has no range.
    #[error("a map must run from less to more, got {low} to {high}")]
    Range {
        /// Where it begins.
        low: f64,
        /// Where it ends.
        high: f64,
    },
    /// No value is positive.
    #[error("a map must have a positive value somewhere")]
    Empty,
}

fn check(columns: usize, rows: usize, values: usize) -> Result<(), MapError> {
    let cells = columns.checked_mul(rows).filter(|cells| *cells <= MOST_CELLS);
    if columns < 2 || rows < 2 || cells != Some(values) {
        return Err(MapError::Size { columns, rows, values });
    }
    Ok(())
}

impl FieldMap {
    /// A map of magnitudes, in the unit that is read. Cells without a value are NaN and stay blank.
    ///
    /// The tint runs with the logarithm from the 2nd per cent of the values to the 99th, at most three powers of ten.
    ///
    /// # Errors
    /// [`MapError`] for a grid that does not fit its values, and for values of which none is positive.
    pub fn new(
        columns: usize,
        rows: usize,
        values: Vec<f64>,
        label: impl Into<String>,
        unit: impl Into<String>,
    ) -> Result<Self, MapError> {
        check(columns, rows, values.len())?;
        let mut sorted: Vec<f64> = values.iter().copied().filter(|v| *v > 0.0 && v.is_finite()).collect();
        sorted.sort_by(f64::total_cmp);
        let at = |share: f64| {
            sorted
                .get(((sorted.len().saturating_sub(1)) as f64 * share) as usize)
                .copied()
        };
        let (Some(low), Some(high)) = (at(0.02), at(0.99)) else {
            return Err(MapError::Empty);
        };
        Ok(Self {
            columns,
            rows,
            values,
            low: low.max(high * 1e-3),
            high,
            steps: Steps::Powers,
            label: label.into(),
            unit: unit.into(),
        })
    }

    /// A map whose tint runs evenly from `low`, where there is none, to `high`, where it is deepest.
    ///
    /// # Errors
    /// [`MapError`] for a grid that does not fit its values, and for a range that is none.
    pub fn even(
        columns: usize,
        rows: usize,
        values: Vec<f64>,
        [low, high]: [f64; 2],
        label: impl Into<String>,
        unit: impl Into<String>,
    ) -> Result<Self, MapError> {
        check(columns, rows, values.len())?;
        if !(low.is_finite() && high.is_finite() && low < high) {
            return Err(MapError::Range { low, high });
        }
        Ok(Self {
            columns,
            rows,
            values,
            low,
            high,
            steps: Steps::Even,
            label: label.into(),
            unit: unit.into(),
        })
    }

    /// What is mapped, with its unit.
    pub(crate) fn heading(&self) -> String {
        match self.unit.as_str() {
            "" => self.label.clone(),
            unit => format!("{}, {unit}", self.label),
        }
    }

    /// Depth of the tint, 0 to 1.
    pub(crate) fn depth(&self, value: f64) -> f64 {
        if self.steps == Steps::Even {
            let share = (value - self.low) / (self.high - self.low);
            return if share.is_nan() { 0.0 } else { share.clamp(0.0, 1.0) };
        }
        if value.is_nan() || value <= 0.0 {
            return 0.0;
        }
        let span = (self.high / self.low).ln();
        if span <= 0.0 {
            return 0.5;
        }
        ((value / self.low).ln() / span).clamp(0.0, 1.0)
    }

    /// The map as a data URL of a grey PNG, white where the tint is deepest; for a mask.
    pub(crate) fn mask(&self) -> String {
        let mut grey = Vec::with_capacity(self.values.len());
        for row in self.values.chunks(self.columns).rev() {
            grey.extend(row.iter().map(|v| (self.depth(*v) * 255.0).round() as u8));
        }
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.columns as u32, self.rows as u32);
        encoder.set_color(png::ColorType::Grayscale);
        encoder.set_depth(png::BitDepth::Eight);
        // Writing to memory fails only for a size of zero, which `new` refuses.
        let written = encoder
            .write_header()
            .and_then(|mut writer| writer.write_image_data(&grey));
        match written {
            Ok(()) => format!("data:image/png;base64,{}", BASE64_STANDARD.encode(&bytes)),
            Err(_) => String::new(),
        }
    }

    /// Round values across the range: even steps, or 1, 2 and 5 times powers of ten, thinned where there would be too many.
    pub(crate) fn levels(&self) -> Vec<f64> {
        if self.steps == Steps::Even {
            let rough = (self.high - self.low) / MOST_LEVELS as f64;
            let power = 10f64.powf(rough.log10().floor());
            let step = [1.0, 2.0, 5.0, 10.0]
                .map(|s| s * power)
                .into_iter()
                .find(|s| *s >= rough)
                .unwrap_or(rough);
            let (from, to) = ((self.low / step).floor() as i64 + 1, (self.high / step).ceil() as i64);
            return (from..to).map(|k| k as f64 * step).collect();
        }
        let from = self.low.log10().floor() as i32;
        let to = self.high.log10().ceil() as i32;
        let fine: Vec<f64> = (from..=to)
            .flat_map(|power| [1.0, 2.0, 5.0].map(|step| step * 10f64.powi(power)))
            .filter(|v| *v > self.low && *v < self.high)
            .collect();
        if fine.len() <= MOST_LEVELS {
            return fine;
        }
        let coarse = |v: &f64| (v.log10() - v.log10().round()).abs() < 1e-9;
        fine.into_iter().filter(coarse).collect()
    }

    /// The lines of equal value at a level, as `[column, row]` places in cells from the lower left corner of the window.
    pub(crate) fn isolines(&self, level: f64) -> Vec<Vec<[f64; 2]>> {
        // Blank cells count as nothing.
        let held: Vec<f64> = self
            .values
            .iter()
            .map(|v| if v.is_finite() { *v } else { 0.0 })
            .collect();
        let lines = ContourBuilder::new(self.columns, self.rows, true).lines(&held, &[level]);
        let mut out = Vec::new();
        for line in lines.unwrap_or_default() {
            for string in &line.geometry().0 {
                let points: Vec<[f64; 2]> = string.coords().map(|c| [c.x, c.y]).collect();
                out.extend(off_the_border(&points, [self.columns, self.rows]));
            }
        }
        out
    }

    pub(crate) fn columns(&self) -> usize {
        self.columns
    }

    pub(crate) fn rows(&self) -> usize {
        self.rows
    }
}

/// A level line, in cells of a grid, without the parts in which it only closes itself along the grid's border.
pub(crate) fn off_the_border(points: &[[f64; 2]], [columns, rows]: [usize; 2]) -> Vec<Vec<[f64; 2]>> {
    let (wide, tall) = (columns as f64, rows as f64);
    // Middles of the outermost cells lie half a cell within.
    let on = |p: &[f64; 2]| [p[0] <= 0.51, p[0] >= wide - 0.51, p[1] <= 0.51, p[1] >= tall - 0.51];
    let along = |a: &[f64; 2], b: &[f64; 2]| on(a).iter().zip(on(b)).any(|(a, b)| *a && b);
    let mut runs = vec![Vec::new()];
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        if along(a, b) {
            runs.push(Vec::new());
        } else if let Some(run) = runs.last_mut() {
            if run.is_empty() {
                run.push(*a);
            }
            run.push(*b);
        }
    }
    runs.retain(|run| run.len() > 1);
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_even_map_has_even_levels_inside_its_range() {
        let map = FieldMap::even(2, 2, vec![0.0, 0.5, 1.0, f64::NAN], [0.0, 1.0], "share", "").expect("fits");
        assert_eq!(map.depth(0.5), 0.5);
        assert_eq!(map.depth(f64::NAN), 0.0);
        let levels = map.levels();
        assert_eq!(levels.len(), 4, "{levels:?}");
        assert!((levels[0] - 0.2).abs() < 1e-12 && (levels[3] - 0.8).abs() < 1e-12);
        assert!(matches!(
            FieldMap::even(2, 2, vec![0.0; 4], [1.0, 1.0], "", ""),
            Err(MapError::Range { .. })
        ));
        assert!(matches!(
            FieldMap::new(3, 2, vec![1.0; 5], "", ""),
            Err(MapError::Size { .. })
        ));
    }
}
