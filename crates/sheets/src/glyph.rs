//! The band against the need: a bar from low to high, a notch at the middle, a line at what is needed.

use press::drawing::{Anchor, Pen};
use press::ink::{NEED, OURS, OURS_PALE, PAPER, RULE, SOFT};
use press::{Drawing, Face, Style};

const HEIGHT: f32 = 24.0;
const LETTERS: Style = Style::new(Face::Plain, 6.5, SOFT);

/// A band with what is needed, in any one unit.
pub struct Against<'a> {
    /// Low end, middle and high end.
    pub band: [f64; 3],
    /// What is needed.
    pub need: f64,
    /// The band in words.
    pub range: &'a str,
    /// The need in words.
    pub needed: &'a str,
}

/// The drawing of a band, that wide.
pub fn drawn(against: &Against, width: f32) -> Drawing {
    let Against {
        band: [low, mid, high],
        need,
        range,
        needed,
    } = *against;
    let mut drawing = Drawing::new(width, HEIGHT, format!("{range}; {needed}"));
    let bar = width * 0.62;
    // What is largest stands at the end of the line, with some room behind.
    let full = high.max(need).max(f64::MIN_POSITIVE) * 1.05;
    let at = |value: f64| (value / full).clamp(0.0, 1.0) as f32 * bar;
    drawing.line(&[[0.0, 8.0], [bar, 8.0]], Pen::line(RULE, 0.5));
    let ink = if low >= need { OURS } else { OURS_PALE };
    drawing.rectangle([at(low), 4.5], [(at(high) - at(low)).max(0.8), 7.0], Pen::area(ink));
    drawing.line(&[[at(mid), 4.5], [at(mid), 11.5]], Pen::line(PAPER, 0.9));
    drawing.line(&[[at(need), 2.0], [at(need), 14.0]], Pen::line(NEED, 1.0));
    drawing.letters([bar + 5.0, 10.3], range, LETTERS, Anchor::Start);
    drawing.letters([0.0, 22.0], needed, LETTERS.in_ink(NEED), Anchor::Start);
    drawing
}
