//! The typefaces, and text set into their glyphs.

use std::ops::Range;
use std::sync::LazyLock;

use ttf_parser::Face as File;
use unicode_bidi::{BidiInfo, Level};

use crate::face::Face;

/// One typeface file.
pub struct Loaded {
    /// The file.
    pub bytes: &'static [u8],
    /// It as it is read.
    pub file: File<'static>,
    /// Its name in the PDF.
    pub name: &'static str,
    /// Whether it has serifs.
    pub serifs: bool,
}

/// A letter with its glyph.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// Its number in the typeface.
    pub id: u16,
    /// The letter.
    pub letter: char,
    /// From its origin to the next one's, for a size of 1.
    pub advance: f32,
}

/// Glyphs of one typeface that stand side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The place of its typeface among [`files`].
    pub file: usize,
    /// Its glyphs, from left to right.
    pub glyphs: Vec<Glyph>,
    /// Its width for a size of 1.
    pub width: f32,
}

/// Shown for letters that no typeface has.
const UNKNOWN: char = '\u{fffd}';
/// The typeface for letters that the others lack.
const OTHERS: usize = 5;

/// The typefaces.
pub fn files() -> &'static [Loaded] {
    static FILES: LazyLock<Vec<Loaded>> = LazyLock::new(|| {
        let files: [(&'static [u8], &str, bool); 6] = [
            (include_bytes!("../fonts/inter-regular.ttf"), "Inter-Regular", false),
            (include_bytes!("../fonts/inter-semibold.ttf"), "Inter-SemiBold", false),
            (
                include_bytes!("../fonts/serif-regular.ttf"),
                "SourceSerif4-Regular",
                true,
            ),
            (
                include_bytes!("../fonts/serif-semibold.ttf"),
                "SourceSerif4-SemiBold",
                true,
            ),
            (include_bytes!("../fonts/serif-italic.ttf"), "SourceSerif4-Italic", true),
            (include_bytes!("../fonts/dejavu-sans.ttf"), "DejaVuSans", false),
        ];
        let loaded = |(bytes, name, serifs)| {
            Some(Loaded {
                bytes,
                file: File::parse(bytes, 0).ok()?,
                name,
                serifs,
            })
        };
        // A test holds that all of them are there.
        files.into_iter().filter_map(loaded).collect()
    });
    &FILES
}

fn own(face: Face) -> usize {
    match face {
        Face::Plain => 0,
        Face::PlainStrong => 1,
        Face::Book => 2,
        Face::BookStrong => 3,
        Face::BookItalic => 4,
    }
}

/// Text of letters that can be shown: blanks of every width as blanks, control characters as blanks.
fn shown(letter: char) -> char {
    match letter {
        '\u{202f}' | '\u{2007}' | '\u{2009}' => '\u{a0}',
        letter if letter.is_control() => ' ',
        letter => letter,
    }
}

/// Letters that say which way the text runs, or join others, and have no form of their own.
fn is_formless(letter: char) -> bool {
    matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}' | '\u{fe00}'..='\u{fe0f}')
}

/// Sets a text on one line: runs from left to right, each in the typeface that has its letters. Letters stand as they are:
/// they are neither kerned nor joined.
pub fn shape(text: &str, face: Face) -> Vec<Run> {
    let text: String = text.chars().filter(|c| !is_formless(*c)).map(shown).collect();
    if text.is_empty() {
        return Vec::new();
    }
    let bidi = BidiInfo::new(&text, None);
    let mut runs: Vec<Run> = Vec::new();
    for paragraph in &bidi.paragraphs {
        let (levels, ranges) = bidi.visual_runs(paragraph, paragraph.range.clone());
        for range in ranges {
            let from_right = levels.get(range.start).copied().unwrap_or(Level::ltr()).is_rtl();
            set(&text, range, face, from_right, &mut runs);
        }
    }
    runs
}

/// Sets a stretch of text of one direction behind what is set already.
fn set(text: &str, range: Range<usize>, face: Face, from_right: bool, runs: &mut Vec<Run>) {
    let piece = text.get(range).unwrap_or_default();
    let mut letters: Vec<char> = piece.chars().collect();
    if from_right {
        letters.reverse();
    }
    for letter in letters {
        let found = glyph(own(face), letter).or_else(|| glyph(OTHERS, letter));
        let Some((file, glyph)) = found.or_else(|| glyph(OTHERS, UNKNOWN)) else {
            continue;
        };
        match runs.last_mut() {
            Some(run) if run.file == file => {
                run.glyphs.push(glyph);
                run.width += glyph.advance;
            }
            _ => runs.push(Run {
                file,
                glyphs: vec![glyph],
                width: glyph.advance,
            }),
        }
    }
}

/// The glyph of a letter in a typeface that has it.
fn glyph(file: usize, letter: char) -> Option<(usize, Glyph)> {
    let face = &files().get(file)?.file;
    let id = face.glyph_index(letter)?;
    let advance = f32::from(face.glyph_hor_advance(id)?) / f32::from(face.units_per_em());
    let glyph = Glyph {
        id: id.0,
        letter,
        advance,
    };
    Some((file, glyph))
}

/// The width of a text on one line, for a size of 1.
pub fn width(text: &str, face: Face) -> f32 {
    shape(text, face).iter().map(|run| run.width).sum()
}

#[cfg(test)]
mod tests;
