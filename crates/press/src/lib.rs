//! Pages as PDF and as HTML.
//!
//! A [`Document`] is blocks from top to bottom ([`flow::Flow`]): headings, paragraphs, tables, columns, drawings. They are laid
//! out on paper, broken over pages, given a running foot, and written as PDF with fonts inside, text that can be selected, and
//! tags in reading order; the same blocks make one file of HTML. Lengths are points, 1/72 in, from the top left.

pub mod drawing;
mod face;
pub mod flow;
mod fonts;
mod html;
pub mod ink;
mod layout;
mod pages;
mod pdf;
mod svg;
pub mod table;
pub mod text;

pub use drawing::Drawing;
pub use flow::Flow;
pub use html::Page;
pub use layout::{Placed, Role};
pub use pages::{Document, PaperSize};
pub use pdf::PressError;
pub use table::Table;
pub use text::{Face, Style, Text};

/// Points in a millimetre.
pub const MM: f32 = 72.0 / 25.4;
