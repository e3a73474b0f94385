//! Answers, ladders and items put into words and figures for a reader with units of their own.
//!
//! The types here are what page, command line and interface show; they are made from the frozen data each time, so that
//! an answer can be read in any units.

use utoipa::openapi::RefOr;
use utoipa::openapi::schema::{ArrayBuilder, ObjectBuilder, Schema, Type};

pub mod answer;
pub mod band;
pub mod cautions;
pub mod chart;
pub mod compare;
pub mod detail;
pub mod explain;
pub mod goods;
pub mod heat;
pub mod item;
mod known;
pub mod ladder;
pub mod offers;
pub mod part;
pub mod picture;
pub mod plate_study;
pub mod plot;
pub mod row;
pub mod silhouette;
pub mod since;
pub mod steel;
pub mod tell;
pub mod text;
mod ways;
pub mod wording;

/// How two numbers are described: a point as `[x, y]`, or a stretch as `[from, to]`.
pub enum Pair {}

impl utoipa::PartialSchema for Pair {
    fn schema() -> RefOr<Schema> {
        let number = ObjectBuilder::new().schema_type(Type::Number);
        let two = ArrayBuilder::new().items(number).min_items(Some(2)).max_items(Some(2));
        two.description(Some("Two numbers: a point as `[x, y]`, or a stretch as `[from, to]`."))
            .into()
    }
}

impl utoipa::ToSchema for Pair {}

#[cfg(test)]
mod tests;
pub mod with_part;
