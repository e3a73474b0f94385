//! How a sure build stands beside others in cost, size and strength together.

use quantity::Money;

/// Sizes and low ends that differ by no more than this part count as the same.
const SAME: f64 = 0.01;

/// What a sure build costs, takes and gives.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Standing {
    /// All that is bought.
    pub cost: Money,
    /// Width times height, m².
    pub size: f64,
    /// Low end of its band.
    pub low: f64,
}

impl Standing {
    /// Whether it is at least as cheap, small and strong as another, and better in one of them.
    pub(crate) fn beats(&self, other: &Self) -> bool {
        let dearer = self.cost > other.cost;
        let (larger, weaker) = (
            self.size > other.size * (1.0 + SAME),
            self.low < other.low * (1.0 - SAME),
        );
        let better =
            self.cost < other.cost || self.size < other.size * (1.0 - SAME) || self.low > other.low * (1.0 + SAME);
        !dearer && !larger && !weaker && better
    }
}
