//! The colours of print, behind the names that the page's themes give them.

/// Ground.
pub const PAPER: &str = "var(--paper, #ffffff)";
/// Text and outlines.
pub const INK: &str = "var(--ink, #22211d)";
/// Quiet text.
pub const SOFT: &str = "var(--soft, #6a665d)";
/// The field.
pub const FIELD: &str = "var(--ours, #1d6a5b)";
/// Marked places.
pub const MARK: &str = "var(--need, #a94a1a)";
/// North half of a magnet and its arrow's ground.
pub const MAGNET: &str = "var(--north, #e9c98a)";
/// Steel.
pub const STEEL: &str = "var(--steel, #dcd6c7)";
