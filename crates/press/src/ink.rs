//! The colours on paper: those of the page in its light dress.

/// A colour, red, green and blue from 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ink(pub u8, pub u8, pub u8);

/// Text.
pub const INK: Ink = Ink(0x22, 0x21, 0x1d);
/// What is said beside.
pub const SOFT: Ink = Ink(0x5c, 0x58, 0x50);
/// Hairlines.
pub const RULE: Ink = Ink(0xd5, 0xcd, 0xb9);
/// What is ours and good.
pub const OURS: Ink = Ink(0x1d, 0x6a, 0x5b);
/// Ours, where only the middle does.
pub const OURS_PALE: Ink = Ink(0xa9, 0xcb, 0xc2);
/// What is needed.
pub const NEED: Ink = Ink(0xa9, 0x4a, 0x1a);
/// The north pole's half.
pub const NORTH: Ink = Ink(0xe9, 0xc9, 0x8a);
/// The south pole's half.
pub const SOUTH: Ink = Ink(0xc9, 0xd3, 0xd6);
/// Steel.
pub const STEEL: Ink = Ink(0xdc, 0xd6, 0xc7);
/// A band on a chart.
pub const BAND: Ink = Ink(0xd9, 0xe8, 0xe3);
/// Paper.
pub const PAPER: Ink = Ink(0xff, 0xff, 0xff);
