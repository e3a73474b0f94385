//! From a customer's question to the magnet that will do.
//!
//! A [`Question`] and a shelf of [`Item`]s go into [`answer`](search::answer); an [`Answer`] comes out, as data that can
//! be frozen. [`view`] puts it into words and figures for a reader. Nothing here touches disk, clock or network.

pub mod answer;
mod blank;
pub mod catalogue;
pub mod check;
mod coercivity;
pub mod compare;
mod criteria;
pub mod detail;
pub mod enquiry;
pub mod explain;
pub mod exposure;
#[cfg(test)]
mod fixture;
pub mod given;
pub mod go_on;
pub mod goods;
pub mod hazards;
pub mod heat;
pub mod item;
pub mod known;
pub mod ladder;
pub mod limits;
mod memo;
mod need;
pub mod not_computable;
pub mod offers;
pub mod part;
pub mod plate_study;
pub mod predict;
pub mod question;
mod rank;
pub mod reasons;
pub mod reference;
pub mod rules;
pub mod said;
mod sane;
pub mod search;
pub mod sentence;
mod sharing;
pub mod shortfall;
pub mod stacked;
pub mod stated;
pub mod taste;
pub mod tell;
pub mod view;
pub mod warnings;
pub mod with_part;

pub use answer::Answer;
pub use catalogue::Catalogue;
pub use check::QuestionError;
pub use goods::Goods;
pub use item::{Item, Magnetised, PriceBreak};
pub use part::Part;
pub use question::Question;
