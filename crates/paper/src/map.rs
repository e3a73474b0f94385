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
    label: String,
    unit: String,
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
    /// No value is positive.
    #[error("a map must have a positive value somewhere")]
    Empty,
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
        let cells = columns.checked_mul(rows).filter(|cells| *cells <= MOST_CELLS);
        if columns < 2 || rows < 2 || cells != Some(values.len()) {
            return Err(MapError::Size {
                columns,
                rows,
                values: values.len(),
            });
        }
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

    /// Round values across the range: 1, 2 and 5 times powers of ten, thinned where there would be too many.
    pub(crate) fn levels(&self) -> Vec<f64> {
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
                out.push(string.coords().map(|c| [c.x, c.y]).collect());
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
