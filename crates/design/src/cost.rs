//! What a draft may cost to make: an estimate with a wide band, never a price.
//!
//! The total of a piece is material by mass and grade, work by surface, and handling by piece; joints, steel and tooling come on top. All figures are data.
//! A shop's own list scales the first three by least squares of the relative difference, and the spread that is left becomes the band.

use std::sync::LazyLock;

use magnetics::{Shape, Solid};
use materials::grade::Family as Kind;
use serde::Deserialize;
use thiserror::Error;

use crate::draft::{Draft, Piece, STEEL_DENSITY, SteelPart, UP};
use crate::stuff::Stuff;

/// Square centimetres in a square metre.
const CM2: f64 = 1e4;
/// Least coercivity up to which a grade costs what its kind does, A/m.
const PLAIN_COERCIVITY: f64 = 0.9e6;

/// The figures that costs are made of.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CostModel {
    band: f64,
    per_piece: f64,
    grinding_per_cm2: f64,
    plating_per_cm2: f64,
    plating_per_piece: f64,
    shaped: f64,
    joint: f64,
    plain_tooling: f64,
    shaped_tooling: f64,
    least_order: f64,
    steel_per_kg: f64,
    steel_yield: f64,
    turning_per_part: f64,
    turning_per_cm2: f64,
    /// Where the figures come from.
    pub source: String,
    #[serde(rename = "yield")]
    yields: Yields,
    material: Vec<MaterialCost>,
    #[serde(skip, default = "unscaled")]
    scales: [f64; 3],
    /// How many prices it was fitted to.
    #[serde(skip)]
    pub fitted_to: usize,
}

fn unscaled() -> [f64; 3] {
    [1.0; 3]
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Yields {
    block: f64,
    disc: f64,
    ring: f64,
    shaped: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct MaterialCost {
    kind: Kind,
    per_kg: f64,
    per_kg_and_ma: f64,
}

/// Why costs cannot be estimated.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CostError {
    /// The data does not read.
    #[error("the costs do not read: {0}")]
    Unreadable(String),
    /// Too few prices to fit to.
    #[error("a fit needs at least {needed} prices, got {got}")]
    TooFew {
        /// How many are needed.
        needed: usize,
        /// How many there are.
        got: usize,
    },
    /// A price or a size is not a positive number.
    #[error("price {index} of the list must be above 0 and finite, got {value}")]
    Price {
        /// Its place in the list, from 1.
        index: usize,
        /// What was given.
        value: f64,
    },
    /// The prices say nothing of what they go by.
    #[error("the prices of the list do not rise with material, surface or pieces")]
    Flat,
}

/// Fewest prices that a fit is made to.
pub const LEAST_PRICES: usize = 6;

/// An estimate for one draft out of a lot, in the money of the figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Estimate {
    /// Material of the magnets.
    pub material: f64,
    /// Grinding and plating.
    pub surface: f64,
    /// Handling of the pieces.
    pub handling: f64,
    /// Joining the pieces.
    pub joints: f64,
    /// Steel parts, turned.
    pub steel: f64,
    /// Its share of tooling and of what the lot falls short of the least order.
    pub lot: f64,
    /// The band of the total, 95 %.
    pub band: [f64; 2],
}

impl Estimate {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.material + self.surface + self.handling + self.joints + self.steel + self.lot
    }
}

/// A price of a list: one bare piece, its grade and what it costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// Its form.
    pub shape: Shape,
    /// What it is made of.
    pub stuff: Stuff,
    /// Its price.
    pub price: f64,
}

static BUILTIN: LazyLock<Result<CostModel, CostError>> =
    LazyLock::new(|| CostModel::parse(include_str!("../data/cost.toml")));

impl CostModel {
    /// The figures that come with the program, invented for the demo.
    ///
    /// # Errors
    /// [`CostError::Unreadable`] only when the embedded data is broken, which a test excludes.
    pub fn builtin() -> Result<Self, CostError> {
        BUILTIN.clone()
    }

    /// Figures from text in the form of the built-in ones.
    ///
    /// # Errors
    /// [`CostError::Unreadable`] for text that does not read, or a figure that is negative or not finite.
    pub fn parse(text: &str) -> Result<Self, CostError> {
        let model: Self = toml::from_str(text).map_err(|error| CostError::Unreadable(error.to_string()))?;
        let Yields {
            block,
            disc,
            ring,
            shaped,
        } = model.yields;
        let shares = [block, disc, ring, shaped, model.steel_yield];
        let figures = [
            model.band,
            model.per_piece,
            model.grinding_per_cm2,
            model.plating_per_cm2,
            model.plating_per_piece,
            model.shaped,
            model.joint,
            model.plain_tooling,
            model.shaped_tooling,
            model.least_order,
            model.steel_per_kg,
            model.turning_per_part,
            model.turning_per_cm2,
        ];
        let materials = model.material.iter().flat_map(|row| [row.per_kg, row.per_kg_and_ma]);
        if !figures.into_iter().chain(materials).all(|f| (0.0..1e9).contains(&f)) {
            return Err(CostError::Unreadable("every figure is 0 or more".into()));
        }
        if !shares.iter().all(|share| *share > 0.0 && *share <= 1.0) {
            return Err(CostError::Unreadable("every yield is above 0 and at most 1".into()));
        }
        if model.material.is_empty() {
            return Err(CostError::Unreadable("there is no material".into()));
        }
        Ok(model)
    }

    /// Material, surface and handling of one magnet, before they are scaled.
    fn parts(&self, piece: &Piece, stuff: &Stuff) -> [f64; 3] {
        let (share, shaped) = match &piece.solid {
            Solid::Plain(Shape::Block { .. }) => (self.yields.block, false),
            Solid::Plain(Shape::Ring { .. }) => (self.yields.ring, false),
            Solid::Plain(_) => (self.yields.disc, false),
            Solid::Turned(_) | Solid::Arc(_) => (self.yields.shaped, true),
        };
        let row = stuff
            .kind
            .and_then(|kind| self.material.iter().find(|row| row.kind == kind))
            .or(self.material.first());
        let per_kg = row.map_or(0.0, |row| {
            let above = (stuff.curve.coercivity() - PLAIN_COERCIVITY).max(0.0);
            row.per_kg + row.per_kg_and_ma * 1e-6 * above
        });
        let cm2 = piece.surface() * CM2;
        let grinding = self.grinding_per_cm2 * if shaped { self.shaped } else { 1.0 };
        [
            per_kg * piece.volume() * stuff.density / share,
            (grinding + self.plating_per_cm2) * cm2,
            self.per_piece + self.plating_per_piece,
        ]
    }

    /// What a draft may cost, one out of a lot.
    #[must_use]
    pub fn estimate(&self, draft: &Draft, stuff: &Stuff, lot: u32) -> Estimate {
        let mut sums = [0.0; 3];
        for piece in &draft.magnets {
            for ((sum, part), scale) in sums.iter_mut().zip(self.parts(piece, stuff)).zip(self.scales) {
                *sum += part * scale;
            }
        }
        let [material, surface, handling] = sums;
        let steel = draft.steel.iter().map(|part| self.turned(part)).fold(0.0, |a, b| a + b);
        let shaped = |piece: &Piece| matches!(piece.solid, Solid::Turned(_) | Solid::Arc(_));
        let tooling = if draft.magnets.iter().any(shaped) {
            self.shaped_tooling
        } else {
            self.plain_tooling
        };
        let pieces = draft.magnets.len() + draft.steel.len();
        let joints = self.joint * pieces.saturating_sub(1) as f64;
        let lot = f64::from(lot.max(1));
        let each = material + surface + handling + steel + joints;
        let short = (self.least_order - each * lot).max(0.0);
        let mut estimate = Estimate {
            material,
            surface,
            handling,
            joints,
            steel,
            lot: (tooling + short) / lot,
            band: [0.0; 2],
        };
        let total = estimate.total();
        estimate.band = [total / (1.0 + self.band), total * (1.0 + self.band)];
        estimate
    }

    fn turned(&self, part: &SteelPart) -> f64 {
        let kg = part.volume() * STEEL_DENSITY / self.steel_yield;
        self.steel_per_kg * kg + self.turning_per_part + self.turning_per_cm2 * part.surface() * CM2
    }

    /// The same figures with material, surface and handling scaled so that they come nearest to a list of prices, each by its relative difference.
    /// A part that the list would make negative is left out. The band is what the list strays from the fit.
    ///
    /// # Errors
    /// [`CostError`] for fewer than [`LEAST_PRICES`], a price that is none, or a list that says nothing.
    pub fn fitted(&self, list: &[Priced]) -> Result<Self, CostError> {
        if list.len() < LEAST_PRICES {
            return Err(CostError::TooFew {
                needed: LEAST_PRICES,
                got: list.len(),
            });
        }
        let mut rows = Vec::with_capacity(list.len());
        for (index, priced) in list.iter().enumerate() {
            if !(priced.price > 0.0 && priced.price.is_finite()) {
                return Err(CostError::Price {
                    index: index + 1,
                    value: priced.price,
                });
            }
            let piece = Piece::new(Solid::Plain(priced.shape), UP, [0.0; 3]);
            rows.push(self.parts(&piece, &priced.stuff).map(|part| part / priced.price));
        }
        let scales = nearest(&rows).ok_or(CostError::Flat)?;
        let spread: Vec<f64> = rows.iter().map(|row| -dot(row, &scales).ln()).collect();
        let used = scales.iter().filter(|scale| **scale > 0.0).count();
        let free = (rows.len() - used) as f64;
        let variance = spread.iter().map(|d| d * d).sum::<f64>() / free;
        Ok(Self {
            scales,
            band: (NORMAL_95 * variance.sqrt()).exp_m1(),
            fitted_to: rows.len(),
            ..self.clone()
        })
    }
}

/// Half width of the 95 % interval of a normal distribution, in standard deviations.
const NORMAL_95: f64 = 1.96;

fn dot(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The scales, none negative, whose sums over each row come nearest to 1: the best of all choices of parts that leaves none negative.
fn nearest(rows: &[[f64; 3]]) -> Option<[f64; 3]> {
    let miss = |scales: &[f64; 3]| rows.iter().map(|row| (dot(row, scales) - 1.0).powi(2)).sum::<f64>();
    (1..8_usize)
        .filter_map(|chosen| {
            let kept: Vec<usize> = (0..3).filter(|k| chosen >> k & 1 == 1).collect();
            least_squares(rows, &kept)
        })
        .filter(|scales| scales.iter().all(|scale| *scale >= 0.0 && scale.is_finite()))
        .filter(|scales| rows.iter().all(|row| dot(row, scales) > 0.0))
        .min_by(|a, b| miss(a).total_cmp(&miss(b)))
}

/// Least squares over some of the parts by the normal equations; `None` where these are singular.
fn least_squares(rows: &[[f64; 3]], kept: &[usize]) -> Option<[f64; 3]> {
    let count = kept.len();
    let mut system = vec![vec![0.0; count + 1]; count];
    for row in rows {
        for (i, line) in system.iter_mut().enumerate() {
            for (j, cell) in line.iter_mut().enumerate() {
                *cell += row[kept[i]] * kept.get(j).map_or(1.0, |&k| row[k]);
            }
        }
    }
    for pivot in 0..count {
        let best = (pivot..count).max_by(|&a, &b| system[a][pivot].abs().total_cmp(&system[b][pivot].abs()))?;
        system.swap(pivot, best);
        let lead = system[pivot][pivot];
        if lead.abs() < 1e-12 {
            return None;
        }
        let above = system[pivot].clone();
        for (row, line) in system.iter_mut().enumerate() {
            if row != pivot {
                let factor = line[pivot] / lead;
                for (cell, above) in line.iter_mut().zip(&above) {
                    *cell -= factor * above;
                }
            }
        }
    }
    let mut scales = [0.0; 3];
    for (row, &k) in kept.iter().enumerate() {
        scales[k] = system[row][count] / system[row][row];
    }
    Some(scales)
}

#[cfg(test)]
mod tests;
