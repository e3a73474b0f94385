//! What leaves the shop on paper: answers, items, quotations and the table as measured as pages, quotations as workbooks too.
//!
//! Everything here puts together what an answer or an item view says; nothing is worked out. The words of labels stand in the
//! message files of `letters`.

pub mod answer;
mod cells;
pub mod chart;
mod flux;
mod glyph;
pub mod item;
pub mod ladder;
pub mod list;
pub mod measured;
pub mod parcel;
pub mod quotation;
mod shape;
pub mod sheet;
pub mod shelf;
pub mod told;

pub use sheet::{Imprint, Maker};
