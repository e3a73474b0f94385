//! Drawings: lines, areas and lettering in a box of their own.

use crate::ink::Ink;
use crate::text::{Style, Text, shortened};

/// How an area or a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Colour of the line; `None` for none.
    pub stroke: Option<Ink>,
    /// Its width, points.
    pub width: f32,
    /// Lengths of dash and gap; `None` for a whole line.
    pub dash: Option<[f32; 2]>,
    /// Colour of the area; `None` for none.
    pub fill: Option<Ink>,
}

impl Pen {
    /// A line.
    pub const fn line(ink: Ink, width: f32) -> Self {
        Self {
            stroke: Some(ink),
            width,
            dash: None,
            fill: None,
        }
    }

    /// An area without a line.
    pub const fn area(ink: Ink) -> Self {
        Self {
            stroke: None,
            width: 0.0,
            dash: None,
            fill: Some(ink),
        }
    }

    /// The same, dashed.
    #[must_use]
    pub const fn dashed(self, dash: f32, gap: f32) -> Self {
        Self {
            dash: Some([dash, gap]),
            ..self
        }
    }

    /// The same with an area.
    #[must_use]
    pub const fn filled(self, ink: Ink) -> Self {
        Self {
            fill: Some(ink),
            ..self
        }
    }
}

/// Where lettering stands beside its point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    #[default]
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

impl Anchor {
    /// The part of the lettering that lies before its point.
    pub(crate) const fn share(self) -> f32 {
        match self {
            Self::Start => 0.0,
            Self::Middle => 0.5,
            Self::End => 1.0,
        }
    }
}

/// A step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Begins there.
    Move(f32, f32),
    /// A straight line there.
    Line(f32, f32),
    /// A cubic curve by two control points.
    Curve([f32; 6]),
    /// Back to where it began.
    Close,
}

/// One thing that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A path.
    Path {
        /// Its steps.
        steps: Vec<Step>,
        /// How it is drawn.
        pen: Pen,
    },
    /// Lettering on one line.
    Letters {
        /// Where its base line is.
        at: [f32; 2],
        /// The text.
        text: Text,
        /// How it stands there.
        anchor: Anchor,
    },
}

/// A drawing with its size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Its width.
    pub width: f32,
    /// Its height.
    pub height: f32,
    /// What is drawn, the first below the others.
    pub marks: Vec<Mark>,
    /// What it shows, in words.
    pub alt: String,
}

impl Drawing {
    /// An empty drawing.
    pub fn new(width: f32, height: f32, alt: impl Into<String>) -> Self {
        Self {
            width,
            height,
            marks: Vec::new(),
            alt: alt.into(),
        }
    }

    /// A line through points.
    pub fn line(&mut self, points: &[[f32; 2]], pen: Pen) {
        self.marks.push(Mark::Path {
            steps: through(points).collect(),
            pen,
        });
    }

    /// A closed area through points.
    pub fn area(&mut self, points: &[[f32; 2]], pen: Pen) {
        self.marks.push(Mark::Path {
            steps: through(points).chain([Step::Close]).collect(),
            pen,
        });
    }

    /// A rectangle.
    pub fn rectangle(&mut self, [x, y]: [f32; 2], [width, height]: [f32; 2], pen: Pen) {
        self.area(&[[x, y], [x + width, y], [x + width, y + height], [x, y + height]], pen);
    }

    /// A circle.
    pub fn circle(&mut self, [x, y]: [f32; 2], radius: f32, pen: Pen) {
        // Four cubic curves; the largest error of this factor is 0.03 % of the radius.
        let k = radius * 0.552_284_8;
        let steps = vec![
            Step::Move(x + radius, y),
            Step::Curve([x + radius, y + k, x + k, y + radius, x, y + radius]),
            Step::Curve([x - k, y + radius, x - radius, y + k, x - radius, y]),
            Step::Curve([x - radius, y - k, x - k, y - radius, x, y - radius]),
            Step::Curve([x + k, y - radius, x + radius, y - k, x + radius, y]),
            Step::Close,
        ];
        self.marks.push(Mark::Path { steps, pen });
    }

    /// Lettering. What would run out of the drawing at its sides is moved in; what is wider than the drawing is cut.
    pub fn letters(&mut self, [x, y]: [f32; 2], text: impl Into<String>, style: Style, anchor: Anchor) {
        let text = Text::new(shortened(&text.into(), style, self.width), style);
        let wide = text.width();
        let left = x - anchor.share() * wide;
        let inside = left.clamp(0.0, (self.width - wide).max(0.0));
        self.marks.push(Mark::Letters {
            at: [x + inside - left, y],
            text,
            anchor,
        });
    }

    /// Puts another drawing into this one.
    pub fn put(&mut self, [x, y]: [f32; 2], other: Drawing) {
        self.marks.extend(other.marks.into_iter().map(|mark| mark.moved(x, y)));
    }
}

fn through(points: &[[f32; 2]]) -> impl Iterator<Item = Step> + '_ {
    points.iter().enumerate().map(|(at, [x, y])| match at {
        0 => Step::Move(*x, *y),
        _ => Step::Line(*x, *y),
    })
}

impl Mark {
    /// The same elsewhere.
    pub(crate) fn moved(self, x: f32, y: f32) -> Self {
        match self {
            Self::Path { steps, pen } => Self::Path {
                steps: steps.into_iter().map(|step| step.moved(x, y)).collect(),
                pen,
            },
            Self::Letters { at, text, anchor } => Self::Letters {
                at: [at[0] + x, at[1] + y],
                text,
                anchor,
            },
        }
    }
}

impl Step {
    /// Where it ends; `None` where it began.
    pub(crate) const fn end(&self) -> Option<[f32; 2]> {
        match *self {
            Self::Move(x, y) | Self::Line(x, y) | Self::Curve([.., x, y]) => Some([x, y]),
            Self::Close => None,
        }
    }

    fn moved(self, x: f32, y: f32) -> Self {
        match self {
            Self::Move(a, b) => Self::Move(a + x, b + y),
            Self::Line(a, b) => Self::Line(a + x, b + y),
            Self::Curve([a, b, c, d, e, f]) => Self::Curve([a + x, b + y, c + x, d + y, e + x, f + y]),
            Self::Close => Self::Close,
        }
    }
}
