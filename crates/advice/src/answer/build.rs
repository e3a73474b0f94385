//! What is built of an item, and what a steel part does to it.

use std::ops::Deref;

use serde::{Deserialize, Serialize};

use crate::part::Part;

/// How pieces are put together to be one magnet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stack {
    /// Pieces stacked, on each side of a pair.
    pub pieces: u32,
    /// Whether two such stacks face each other.
    pub pair: bool,
}

impl Stack {
    /// Pieces in the whole.
    pub fn total_pieces(self) -> u64 {
        u64::from(self.pieces) * if self.pair { 2 } else { 1 }
    }
}

/// What is built of an item: a stack or a pair of stacks, bare or with a steel part of the shelf.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Build {
    /// The magnets.
    #[serde(flatten)]
    pub stack: Stack,
    /// The part as it stood on the shelf; `None` for a bare build.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part: Option<Part>,
}

impl Build {
    /// A build without a steel part.
    pub fn bare(stack: Stack) -> Self {
        Self { stack, part: None }
    }
}

impl Deref for Build {
    type Target = Stack;

    fn deref(&self) -> &Stack {
        &self.stack
    }
}

/// What a steel part does to a build, by the solver.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WithPart {
    /// The value of the same stack without the part, by the solver.
    pub bare: f64,
    /// The value against the gap or the distance, with the part and without, the nearest first.
    pub curve: Vec<CurvePoint>,
    /// Straight pull in contact with the steel asked, N; `None` where nothing is held.
    pub contact: Option<f64>,
    /// Parts that must be bought.
    pub parts_bought: u64,
    /// How far the rim of a cup stands out beyond the face, m; negative where the face stands out. 0 for other parts.
    pub rim: f64,
}

impl WithPart {
    /// The value with the part across `at` (m), by straight lines between the points of its curve; `None` beyond them.
    pub fn value_at(&self, at: f64) -> Option<f64> {
        self.curve.windows(2).find_map(|pair| match pair {
            [a, b] if (a.at..=b.at).contains(&at) => Some(a.with + (b.with - a.with) * (at - a.at) / (b.at - a.at)),
            _ => None,
        })
    }
}

/// A point of the curve of a build with a steel part.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct CurvePoint {
    /// Layers together, or the distance, m.
    pub at: f64,
    /// The value with the part.
    pub with: f64,
    /// The value of the same stack without it.
    pub bare: f64,
}
