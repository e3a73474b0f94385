//! A text cut into words, numbers and signs.

use crate::import::text::folded;
use crate::import::vocabulary::vocabulary;

/// What a piece of a text is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum What {
    /// A number as it is written, fractions of an inch included: `0,5`, `1/2`, `1 1/2`.
    Number,
    /// A word, folded.
    Word(String),
    /// An `x` between sizes, whatever it is written with.
    Times,
    /// `/`
    Slash,
    /// `±` or `+/-`
    PlusMinus,
    /// `°` or `º`
    Degree,
    /// `%`
    Percent,
    /// What ends a run of sizes: a comma, a bracket, a dash between blanks.
    Break,
    /// What stands between the parts of one name, or between a word and its number: a dash, a point, an equals sign.
    Joint,
}

/// A piece with the bytes of the text that it takes.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) what: What,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Fractions that have a sign of their own.
const FRACTIONS: &str = "½¼¾⅛⅜⅝⅞";
/// Words that are read no further: a text is not a book.
const MOST_PIECES: usize = 200;

/// The pieces of a text, at most 200.
pub(super) fn pieces(text: &str) -> Vec<Piece> {
    let mut found: Vec<Piece> = Vec::new();
    let mut at = 0;
    while found.len() < MOST_PIECES
        && let Some(c) = text.get(at..).and_then(|rest| rest.chars().next())
    {
        let rest = &text[at..];
        let mut end = at + c.len_utf8();
        let what = match c {
            c if c.is_whitespace() => None,
            c if c.is_ascii_digit() || FRACTIONS.contains(c) => {
                end = at + number(rest);
                Some(What::Number)
            }
            '×' | '✕' | '*' | '╳' => Some(What::Times),
            '/' => Some(What::Slash),
            '±' => Some(What::PlusMinus),
            '+' if rest.starts_with("+/-") || rest.starts_with("+/−") => {
                end = at + rest.chars().take(3).map(char::len_utf8).sum::<usize>();
                Some(What::PlusMinus)
            }
            '°' | 'º' => Some(What::Degree),
            '%' => Some(What::Percent),
            'ø' | 'Ø' | '⌀' | '∅' => Some(What::Word("ø".into())),
            '"' | '″' | '”' | '“' => Some(What::Word("in".into())),
            '\'' if rest.starts_with("''") => {
                end = at + 2;
                Some(What::Word("in".into()))
            }
            // "o/d", "i/d": outer and inner diameter.
            'o' | 'O' | 'i' | 'I' if is_slashed_diameter(rest, &text[..at]) => {
                end = at + "o/d".len();
                Some(What::Word(
                    if matches!(c, 'o' | 'O') { "outer" } else { "inner" }.into(),
                ))
            }
            c if c.is_alphabetic() => {
                let length = rest
                    .find(|c: char| !c.is_alphabetic() && !is_mark(c))
                    .unwrap_or(rest.len());
                end = at + length;
                word(&mut found, &rest[..length], at);
                None
            }
            ',' | ';' | '(' | ')' | '[' | ']' | '|' | '+' | '–' | '—' => Some(What::Break),
            '-' if text[..at].ends_with(' ') && text[end..].starts_with(' ') => Some(What::Break),
            _ => Some(What::Joint),
        };
        if let Some(what) = what {
            found.push(Piece { what, start: at, end });
        }
        at = end;
    }
    found
}

/// Whether a text begins with `o/d` or `i/d` as a word of its own; `before` stands before it.
fn is_slashed_diameter(rest: &str, before: &str) -> bool {
    let behind = rest.get(1..3).filter(|two| two.eq_ignore_ascii_case("/d"));
    let ends = behind.is_some() && !rest[3..].starts_with(char::is_alphabetic);
    ends && !before.ends_with(char::is_alphabetic)
}

/// Marks that stand over a letter before them.
fn is_mark(c: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&c)
}

/// A run of letters: one word, but for an `x` that stands between sizes without blanks: `mmx`, `diax`, `xØ`, `xh`.
fn word(found: &mut Vec<Piece>, run: &str, at: usize) {
    let lower = run.to_lowercase();
    let after_number = found.last().is_some_and(|piece| matches!(piece.what, What::Number));
    let mut push = |what, from: usize, to: usize| {
        found.push(Piece {
            what,
            start: at + from,
            end: at + to,
        });
    };
    let end = run.len();
    let is_known = |word: &str| vocabulary().side(word).is_some() || vocabulary().length_unit(&folded(word)).is_some();
    // Latin and Cyrillic.
    if matches!(lower.as_str(), "x" | "х" | "by") {
        push(What::Times, 0, end);
    } else if after_number && let Some(before) = without_last_x(run).filter(|word| is_known(word)) {
        push(What::Word(folded(before)), 0, before.len());
        push(What::Times, before.len(), end);
    } else if after_number && let Some(behind) = run.strip_prefix(['x', 'X']).filter(|word| is_known(word)) {
        push(What::Times, 0, 1);
        push(What::Word(folded(behind)), 1, end);
    } else {
        push(What::Word(folded(run)), 0, end);
    }
}

/// A run of letters without the `x` that ends it.
fn without_last_x(run: &str) -> Option<&str> {
    run.strip_suffix(['x', 'X']).filter(|before| !before.is_empty())
}

/// How many bytes at the start of `text` are one number: digits with commas and points between them, then a fraction.
fn number(text: &str) -> usize {
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let mut end = digits(text);
    while let Some(after) = text[end..].strip_prefix(['.', ',']) {
        match digits(after) {
            0 => break,
            more => end += 1 + more,
        }
    }
    if let Some(part) = fraction(text) {
        return part;
    }
    // "1 1/2", "1-1/2" and "1½": a whole number and a fraction.
    let rest = text[end..].strip_prefix([' ', '-']).unwrap_or(&text[end..]);
    let between = text.len() - end - rest.len();
    match fraction(rest) {
        Some(part) if text[..end].bytes().all(|b| b.is_ascii_digit()) => end + between + part,
        _ => end,
    }
}

/// How many bytes at the start of `text` are a fraction as inches are written in: `1/2`, `3/16`, `½`.
fn fraction(text: &str) -> Option<usize> {
    let first = text.chars().next()?;
    if FRACTIONS.contains(first) {
        return Some(first.len_utf8());
    }
    let over = text.find(|c: char| !c.is_ascii_digit())?;
    let below = text[over..].strip_prefix('/')?;
    let length = below.find(|c: char| !c.is_ascii_digit()).unwrap_or(below.len());
    let (over_value, below_value): (u32, u32) = (text[..over].parse().ok()?, below[..length].parse().ok()?);
    let is_one = over_value < below_value && matches!(below_value, 2 | 4 | 8 | 16 | 32 | 64);
    let ends = !below[length..].starts_with(['.', ',', '/']);
    (is_one && ends).then_some(over + 1 + length)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(text: &str) -> Vec<String> {
        pieces(text)
            .iter()
            .map(|piece| match &piece.what {
                What::Number => text[piece.start..piece.end].to_owned(),
                What::Word(word) => word.clone(),
                What::Times => "x".into(),
                other => format!("{other:?}"),
            })
            .collect()
    }

    #[test]
    fn a_text_is_cut_where_its_parts_meet() {
        for (text, parts) in [
            (
                "Ring 40/20 x 10 mm",
                &["ring", "40", "Slash", "20", "x", "10", "mm"][..],
            ),
            ("Ø10×2,5mm", &["ø", "10", "x", "2,5", "mm"]),
            ("20mmx10mm", &["20", "mm", "x", "10", "mm"]),
            ("D20xd10xh5", &["d", "20", "x", "d", "10", "x", "h", "5"]),
            ("1/2\" x 1 1/4\"", &["1/2", "in", "x", "1 1/4", "in"]),
            ("1½ in", &["1½", "in"]),
            ("±0.1, N42", &["PlusMinus", "0.1", "Break", "n", "42"]),
            ("+/- 0,1", &["PlusMinus", "0,1"]),
            ("80 °C", &["80", "Degree", "c"]),
            ("20/10", &["20", "Slash", "10"]),
        ] {
            assert_eq!(kinds(text), parts, "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn pieces_lie_in_the_text_and_in_order(text in "\\PC{0,60}", near in "[0-9xX/,. Øø\"½mmNi±-]{0,40}") {
            for text in [text, near] {
                let mut end = 0;
                for piece in pieces(&text) {
                    assert!(piece.start >= end && piece.end > piece.start && text.get(piece.start..piece.end).is_some());
                    end = piece.end;
                }
            }
        }
    }
}
