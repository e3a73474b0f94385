//! Text in styles, and its breaking into lines.

pub use crate::face::Face;
use crate::fonts::width;
use crate::ink::{INK, Ink, SOFT};

/// How text looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// The typeface.
    pub face: Face,
    /// Its size, points.
    pub size: f32,
    /// Its colour.
    pub ink: Ink,
}

impl Style {
    /// Ordinary text.
    pub const BODY: Self = Self::new(Face::Plain, 8.5, INK);
    /// What is said beside.
    pub const SMALL: Self = Self::new(Face::Plain, 7.0, SOFT);

    /// A style.
    pub const fn new(face: Face, size: f32, ink: Ink) -> Self {
        Self { face, size, ink }
    }

    /// The same, strong.
    #[must_use]
    pub fn strong(self) -> Self {
        Self {
            face: self.face.strong(),
            ..self
        }
    }

    /// The same in another colour.
    #[must_use]
    pub const fn in_ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// From one base line to the next.
    pub fn leading(self) -> f32 {
        self.size * 1.38
    }
}

/// Text whose style may change on the way.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text {
    /// Its pieces.
    pub pieces: Vec<(String, Style)>,
}

impl Text {
    /// Text of one style.
    pub fn new(text: impl Into<String>, style: Style) -> Self {
        Self {
            pieces: vec![(text.into(), style)],
        }
    }

    /// With more behind it.
    #[must_use]
    pub fn and(mut self, text: impl Into<String>, style: Style) -> Self {
        self.pieces.push((text.into(), style));
        self
    }

    /// Whether nothing of it shows.
    pub fn is_empty(&self) -> bool {
        self.pieces.iter().all(|(text, _)| text.trim().is_empty())
    }

    /// Its words without styles.
    pub fn plain(&self) -> String {
        self.pieces.iter().map(|(text, _)| text.as_str()).collect()
    }

    /// Its width on one line.
    pub fn width(&self) -> f32 {
        self.pieces
            .iter()
            .map(|(text, style)| width(text, style.face) * style.size)
            .sum()
    }

    /// The widest of its words.
    pub fn widest_word(&self) -> f32 {
        words(self).iter().map(|word| word.width).fold(0.0, f32::max)
    }
}

/// A text of one style as far as it fits into that width, on one line; what is cut ends with dots.
pub fn shortened(text: &str, style: Style, widest: f32) -> String {
    const DOTS: char = '…';
    let wide = |text: &str| width(text, style.face) * style.size;
    if wide(text) <= widest {
        return text.to_owned();
    }
    let mut used = wide(DOTS.encode_utf8(&mut [0; 4]));
    let fitting = text.chars().take_while(|letter| {
        used += wide(letter.encode_utf8(&mut [0; 4]));
        used <= widest
    });
    fitting.chain([DOTS]).collect()
}

/// A line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// What stands on it, neighbours in different styles.
    pub pieces: Vec<(String, Style)>,
    /// Its width.
    pub width: f32,
    /// Its height, from its top to that of the next.
    pub height: f32,
    /// From its top to its base line.
    pub base: f32,
}

/// A word, whose style may change inside.
struct Word {
    pieces: Vec<(String, Style)>,
    width: f32,
    /// Whether the line ends behind it.
    ends: bool,
}

/// Breaks a text into lines no wider than that. A word that is wider itself is broken anywhere.
pub fn lines(text: &Text, widest: f32) -> Vec<Line> {
    let mut out = Vec::new();
    let mut current: Vec<(String, Style)> = Vec::new();
    let mut used = 0.0;
    for word in words(text).into_iter().flat_map(|word| broken(word, widest)) {
        let blank = match current.last() {
            Some((_, style)) => width(" ", style.face) * style.size,
            None => 0.0,
        };
        if !current.is_empty() && used + blank + word.width > widest + 0.01 {
            out.push(line(std::mem::take(&mut current)));
            used = 0.0;
        }
        let first = current.is_empty();
        if !first {
            used += blank;
        }
        used += word.width;
        for (at, (piece, style)) in word.pieces.into_iter().enumerate() {
            let spaced = at == 0 && !first;
            match current.last_mut() {
                Some((before, same)) if *same == style => {
                    if spaced {
                        before.push(' ');
                    }
                    *before += &piece;
                }
                Some((before, _)) => {
                    if spaced {
                        before.push(' ');
                    }
                    current.push((piece, style));
                }
                None => current.push((piece, style)),
            }
        }
        if word.ends {
            out.push(line(std::mem::take(&mut current)));
            used = 0.0;
        }
    }
    if !current.is_empty() {
        out.push(line(current));
    }
    out
}

fn line(pieces: Vec<(String, Style)>) -> Line {
    let largest = pieces.iter().map(|(_, style)| style.size).fold(0.0, f32::max);
    let height = pieces.iter().map(|(_, style)| style.leading()).fold(0.0, f32::max);
    Line {
        width: pieces
            .iter()
            .map(|(text, style)| width(text, style.face) * style.size)
            .sum(),
        height,
        base: (height - largest) / 2.0 + largest * 0.82,
        pieces,
    }
}

/// The words of a text: what stands between blanks or line ends, in all its styles.
fn words(text: &Text) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut open = false;
    for (piece, style) in &text.pieces {
        for (at, row) in piece.split('\n').enumerate() {
            if at > 0 {
                if let Some(last) = words.last_mut() {
                    last.ends = true;
                }
                open = false;
            }
            for (k, part) in row.split([' ', '\t', '\r']).enumerate() {
                if k > 0 {
                    open = false;
                }
                if part.is_empty() {
                    continue;
                }
                let wide = width(part, style.face) * style.size;
                match words.last_mut().filter(|_| open) {
                    Some(word) => {
                        word.pieces.push((part.to_owned(), *style));
                        word.width += wide;
                    }
                    None => words.push(Word {
                        pieces: vec![(part.to_owned(), *style)],
                        width: wide,
                        ends: false,
                    }),
                }
                open = true;
            }
        }
    }
    words
}

/// A word cut to pieces that fit, where it does not itself.
fn broken(word: Word, widest: f32) -> Vec<Word> {
    if word.width <= widest {
        return vec![word];
    }
    let ends = word.ends;
    let mut out: Vec<Word> = Vec::new();
    for (text, style) in word.pieces {
        let mut part = String::new();
        let mut used = 0.0;
        for letter in text.chars() {
            let wide = width(letter.encode_utf8(&mut [0; 4]), style.face) * style.size;
            if !part.is_empty() && used + wide > widest {
                out.push(Word {
                    pieces: vec![(std::mem::take(&mut part), style)],
                    width: used,
                    ends: false,
                });
                used = 0.0;
            }
            part.push(letter);
            used += wide;
        }
        out.push(Word {
            pieces: vec![(part, style)],
            width: used,
            ends: false,
        });
    }
    if let Some(last) = out.last_mut() {
        last.ends = ends;
    }
    out
}

#[cfg(test)]
mod tests;
