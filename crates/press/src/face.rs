//! The typefaces by what they are for.

/// A typeface with its weight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Sans serif.
    Plain,
    /// Sans serif, semibold.
    PlainStrong,
    /// Serif.
    Book,
    /// Serif, semibold.
    BookStrong,
    /// Serif, italic.
    BookItalic,
}

impl Face {
    /// The strong face beside it.
    pub fn strong(self) -> Self {
        match self {
            Self::Plain | Self::PlainStrong => Self::PlainStrong,
            Self::Book | Self::BookStrong | Self::BookItalic => Self::BookStrong,
        }
    }
}
