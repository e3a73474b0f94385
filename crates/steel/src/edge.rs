//! What a disc keeps of its pull near a straight edge of its plate, of that in the middle of a wide one.
//!
//! It is solved in three dimensions by `spatial`, since nothing there has an axis, and kept as a small table, `data/edge.toml`.

use std::sync::LazyLock;

use serde::Deserialize;
use thiserror::Error;

/// How far other discs may lie outside the kept solves, as a part of the pull: flat, tall and weak ones that were solved lie up to 0.06 outside.
const BESIDE: f64 = 0.08;

/// Least and greatest part that is kept.
pub type Kept = [f64; 2];

/// What is kept with the disc so far over the edge.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
pub struct Edge {
    /// Its rim flush with the edge.
    pub rim: Kept,
    /// A quarter of its diameter over the edge.
    pub quarter: Kept,
    /// Its middle over the edge.
    pub middle: Kept,
}

#[derive(Deserialize)]
struct File {
    too_thin: Edge,
    enough: Edge,
}

/// The table does not read.
#[derive(Clone, Debug, PartialEq, Error)]
#[error("table of edges does not read: {0}")]
pub struct Unreadable(String);

impl Edge {
    /// That on a plate which is thick enough for the disc, to 95 % of its pull, or is not.
    ///
    /// # Errors
    /// [`Unreadable`] only when the embedded data is broken, which a test excludes.
    pub fn of(enough: bool) -> Result<Self, Unreadable> {
        static FILE: LazyLock<Result<File, Unreadable>> = LazyLock::new(|| {
            toml::from_str(include_str!("../data/edge.toml")).map_err(|error| Unreadable(error.to_string()))
        });
        let file = FILE.as_ref().map_err(Clone::clone)?;
        let solved = if enough { file.enough } else { file.too_thin };
        let wider = |[least, most]: Kept| [(least - BESIDE).max(0.0), (most + BESIDE).min(1.0)];
        Ok(Self {
            rim: wider(solved.rim),
            quarter: wider(solved.quarter),
            middle: wider(solved.middle),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_further_over_the_edge_the_less_is_kept() {
        for enough in [false, true] {
            let Edge { rim, quarter, middle } = Edge::of(enough).unwrap();
            for [least, most] in [rim, quarter, middle] {
                assert!(0.0 < least && least < most && most <= 1.0);
            }
            assert!(rim[0] > quarter[0] && quarter[0] > middle[0]);
            assert!(rim[1] > quarter[1] && quarter[1] > middle[1]);
        }
        // The usual one of both lies outside the other's solves.
        assert!(Edge::of(false).unwrap().middle[1] - BESIDE < Edge::of(true).unwrap().middle[0] + BESIDE);
    }
}
