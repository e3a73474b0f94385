//! Answers, ladders and items put into words and figures for a reader with units of their own.
//!
//! The types here are what page, command line and interface show; they are made from the frozen data each time, so that
//! an answer can be read in any units.

pub mod answer;
pub mod band;
pub mod cautions;
pub mod chart;
pub mod fitted;
pub mod heat;
pub mod item;
pub mod ladder;
pub mod part;
pub mod picture;
pub mod plot;
pub mod steel;
pub mod text;
mod ways;
pub mod wording;

#[cfg(test)]
mod tests;
