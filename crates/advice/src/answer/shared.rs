//! Several magnets of a kind in place of one.

use serde::{Deserialize, Serialize};

use super::Candidate;

/// So many builds of a kind that share one load, side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shared {
    /// How many share it.
    pub by: u32,
    /// One of them; its costs are those of all that share the load, its band is that of one by itself.
    pub candidate: Candidate,
    /// What each must reach, its own weight included, N.
    pub need: f64,
    /// The low end of what each holds beside the others, N.
    pub low: f64,
}
