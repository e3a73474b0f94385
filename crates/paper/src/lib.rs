//! What goes on paper: field pictures as SVG, for the page and for print alike.
//!
//! A [`FieldPicture`] is plain data in millimetres and in the unit that is read; [`FieldPicture::svg`] writes it. Colours are CSS variables with
//! printable values behind them, so that one drawing follows the page's theme where it is put into a page and stands by itself in a file.

mod colour;
mod map;
mod picture;
pub mod scene;
pub mod steel;
mod svg;

pub use map::{FieldMap, MapError};
pub use picture::{FieldPicture, Part, PartKind, PictureError, Spot};
