//! Blocks, from top to bottom.

use crate::drawing::Drawing;
use crate::ink::{INK, Ink, RULE};
use crate::table::Table;
use crate::text::{Face, Style, Text};

/// A block.
#[derive(Clone, Debug, PartialEq)]
pub enum Flow {
    /// A heading; 1 is the title.
    Heading {
        /// Its level, from 1.
        level: u16,
        /// Its text.
        text: Text,
    },
    /// A paragraph.
    Paragraph(Text),
    /// A paragraph that leads elsewhere on a screen.
    Link {
        /// Its text.
        text: Text,
        /// The address.
        to: String,
    },
    /// Empty room.
    Space(f32),
    /// A line across.
    Rule {
        /// Its width.
        width: f32,
        /// Its colour.
        ink: Ink,
    },
    /// A table.
    Table(Table),
    /// A drawing.
    Drawing(Drawing),
    /// Side by side: what stands in each, and its share of the width.
    Columns(Vec<(f32, Vec<Flow>)>),
    /// What is not torn apart by the end of a page, where it fits on one.
    Together(Vec<Flow>),
}

impl Flow {
    /// The title of a document.
    pub fn title(text: impl Into<String>) -> Self {
        Self::Heading {
            level: 1,
            text: Text::new(text, Style::new(Face::Book, 19.0, INK)),
        }
    }

    /// A heading of a section.
    pub fn heading(text: impl Into<String>) -> Self {
        Self::Heading {
            level: 2,
            text: Text::new(text, Style::new(Face::BookStrong, 10.5, INK)),
        }
    }

    /// Ordinary text.
    pub fn body(text: impl Into<String>) -> Self {
        Self::Paragraph(Text::new(text, Style::BODY))
    }

    /// What is said beside.
    pub fn small(text: impl Into<String>) -> Self {
        Self::Paragraph(Text::new(text, Style::SMALL))
    }

    /// A hairline.
    pub const fn hairline() -> Self {
        Self::Rule { width: 0.5, ink: RULE }
    }

    /// A strong line.
    pub const fn line() -> Self {
        Self::Rule { width: 0.8, ink: INK }
    }
}
