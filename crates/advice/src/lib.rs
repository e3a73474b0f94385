//! From a customer's question to the magnet that will do.

pub mod item;
pub mod question;

pub use item::{Item, Magnetised, PriceBreak};
pub use question::Question;
