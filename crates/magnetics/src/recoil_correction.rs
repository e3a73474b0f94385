//! What a magnet of finite recoil permeability gives at one place or in one use, without a solve: for ranking.
//!
//! The polarisation that is left is not even, so the mean factor `N` of the body tells the moment but not the field at a face or the
//! pull in contact. Each of these behaves as if the body were even with a factor `n` of its own,
//! `J = J0 / (1 + (μ_rec - 1) n)`, and `n - N` is a small, smooth function of the shape and the distance. It is tabulated as sums of
//! Chebyshev polynomials in `data/recoil_correction.toml`, made by `examples/recoil_correction.rs` from [`crate::recoil_solve`].
//!
//! For permeabilities up to 1.1, lengths from 0.02 to 30 diameters, hole shares from 0.1 to 0.9 and blocks up to 10 times as long as wide,
//! good to 0.15 % of the field and 0.3 % of the force. The field is that on the axis, of a ring that over the middle of its metal; off it the same factor is an
//! estimate. For forces between blocks the disc of the same pole area stands in, good to
//! 0.3 % at a permeability of 1.05 for blocks up to three times as long as wide.

use std::f64::consts::PI;
use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use crate::shape::Shape;

/// What is asked of a magnet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Effect {
    /// Its field at a distance from the face.
    Field,
    /// Its pull on an equal magnet that attracts, half of it on each side of a plate of ideal steel: by the distance between the faces.
    Attraction,
    /// Its push on an equal magnet that repels.
    Repulsion,
}

/// Permeabilities at which the tables are made; between and beyond them the factor is taken on a straight line.
pub const TABULATED: [f64; 2] = [1.05, 1.15];

/// Range of the coordinate of the height that the tables cover; beyond it they go on as at its ends.
pub const HEIGHTS: [f64; 2] = [0.015, 0.97];
/// The same of the share of a ring's hole.
pub const HOLES: [f64; 2] = [0.1, 0.9];
/// The same of a block's width over its length.
pub const ASPECTS: [f64; 2] = [0.1, 1.0];
/// The same of the coordinate of the distance.
pub const DISTANCES: [f64; 2] = [0.0, 0.97];

/// Beyond this permeability the line is not followed further.
const LARGEST: f64 = 1.3;

/// The two numbers from 0 to 1 that tell a shape for the tables, each within the range that they cover, and the length that
/// distances are compared with, m; `None` for a ball, which stays even.
///
/// The first is `h / (h + a)` of the height and that length, the second the share of the hole or of width to length.
#[must_use]
pub fn coordinates(shape: &Shape) -> Option<([f64; 2], f64)> {
    let within = |value: f64, [low, high]: [f64; 2]| value.clamp(low, high);
    let (size, second) = match *shape {
        Shape::Disc { diameter, .. } => (diameter, 0.0),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => {
            let share = inner_diameter / outer_diameter;
            (outer_diameter * (1.0 - share).sqrt(), within(share, HOLES))
        }
        Shape::Block { length, width, .. } => {
            let aspect = length.min(width) / length.max(width);
            ((length * width).sqrt(), within(aspect, ASPECTS))
        }
        Shape::Sphere { .. } => return None,
    };
    let height = shape.height();
    Some(([within(height / (height + size), HEIGHTS), second], size))
}

/// The coordinate from 0 to 1 of a distance, against the length of [`coordinates`], within the range that the tables cover.
fn distance_coordinate(distance: f64, size: f64) -> f64 {
    let [low, high] = DISTANCES;
    (distance / (distance + size)).clamp(low, high)
}

/// Chebyshev polynomials of the first kind at `x` from 0 to 1, the interval that they are stretched over, in rising order.
pub fn polynomials(x: f64, count: usize) -> impl Iterator<Item = f64> {
    let x = 2.0 * x.clamp(0.0, 1.0) - 1.0;
    let (mut here, mut next) = (1.0, x);
    (0..count).map(move |_| {
        let value = here;
        (here, next) = (next, 2.0 * x * next - here);
        value
    })
}

/// One table: a sum over products of polynomials in height, second number and distance, for both permeabilities.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// `disc`, `ring` or `block`.
    pub shape: String,
    /// What it is for.
    pub effect: Effect,
    /// Numbers of polynomials in height, second number and distance.
    pub terms: [usize; 3],
    /// For each of [`TABULATED`]: coefficients, the distance running fastest.
    pub coefficients: [Vec<f64>; 2],
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Tables {
    table: Vec<Table>,
}

static TABLES: LazyLock<Vec<Table>> = LazyLock::new(|| {
    let tables: Result<Tables, _> = toml::from_str(include_str!("../data/recoil_correction.toml"));
    tables.map(|tables| tables.table).unwrap_or_default()
});

/// Most polynomials in the distance.
const MOST: usize = 8;

/// The factors of one shape and permeability for one effect, at any distance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecoilCorrection {
    /// Recoil permeability less 1.
    chi: f64,
    /// Mean factor.
    mean: f64,
    /// The length that distances are compared with, m.
    size: f64,
    /// Coefficients of the polynomials in the distance.
    along: [f64; MOST],
}

impl RecoilCorrection {
    /// For a shape (a stack as one solid) with the mean demagnetising factor `mean`. Without a table the factor is the mean one.
    #[must_use]
    pub fn new(shape: &Shape, mean: f64, permeability: f64, effect: Effect) -> Self {
        let mut even = Self {
            chi: permeability - 1.0,
            mean,
            size: 1.0,
            along: [0.0; MOST],
        };
        let disc = match *shape {
            Shape::Block { thickness, .. } if effect != Effect::Field => Some(Shape::Disc {
                diameter: (4.0 * shape.pole_area() / PI).sqrt(),
                thickness,
            }),
            _ => None,
        };
        let shape = disc.as_ref().unwrap_or(shape);
        let name = match shape {
            Shape::Disc { .. } => "disc",
            Shape::Ring { .. } => "ring",
            Shape::Block { .. } => "block",
            Shape::Sphere { .. } => return even,
        };
        let table = TABLES
            .iter()
            .find(|table| table.effect == effect && table.shape == name);
        if let (Some(table), Some((shape, size)), true) = (table, coordinates(shape), even.chi != 0.0) {
            let [low, high] = TABULATED;
            let share = (permeability.min(LARGEST) - low) / (high - low);
            let [heights, seconds, distances] = table.terms;
            let mut first = 0;
            for height in polynomials(shape[0], heights) {
                for second in polynomials(shape[1], seconds) {
                    let product = height * second;
                    let part = |k: usize| table.coefficients[k].get(first..first + distances).unwrap_or_default();
                    for ((along, low), high) in even.along.iter_mut().zip(part(0)).zip(part(1)) {
                        *along += product * (low + share * (high - low));
                    }
                    first += distances;
                }
            }
            even.size = size;
        }
        even
    }

    /// `J / J0` of the even magnet that does the same, `distance` metres from the face.
    #[must_use]
    pub fn share(&self, distance: f64) -> f64 {
        1.0 / (1.0 + self.chi * (self.mean + self.more(distance)))
    }

    /// The same over `J / J0` by the mean factor.
    #[must_use]
    pub fn over_even(&self, distance: f64) -> f64 {
        let even = 1.0 + self.chi * self.mean;
        even / (even + self.chi * self.more(distance))
    }

    /// How much larger the factor is than the mean one.
    fn more(&self, distance: f64) -> f64 {
        let at = polynomials(distance_coordinate(distance, self.size), MOST);
        self.along.iter().zip(at).map(|(c, t)| c * t).sum()
    }
}
