//! A token of the text.

use std::ops::Range;

/// A token before amounts are put together.
#[derive(Clone, Debug)]
pub(super) struct Token {
    pub range: Range<usize>,
    pub kind: Piece,
    pub norm: String,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Piece {
    Word,
    Number { value: f64, fraction: bool, digits: bool },
    Mark(char),
    Break,
}
