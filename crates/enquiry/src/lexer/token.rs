//! Words, numbers and marks, before amounts are put together.

use super::piece::{Piece, Token};
use super::unit::unit_at;
use crate::number;

/// `<=`, `≤`, `>` and the like.
fn bound_sign(rest: &str) -> Option<usize> {
    ["<=", "=<", ">=", "=>", "≤", "≥", "<", ">"]
        .into_iter()
        .find(|s| rest.starts_with(s))
        .map(str::len)
}

/// The number of a steel: `1.4301`, `316L`, `430 stainless`.
fn material_number(rest: &str, before: &str) -> Option<usize> {
    let digits = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let head = rest[..digits].trim_end_matches('.');
    let werkstoff = head.len() == 6 && head.starts_with("1.") && !rest[6..].starts_with(|c: char| c.is_alphanumeric());
    if werkstoff {
        return Some(6);
    }
    if !matches!(head, "304" | "316" | "430" | "409" | "441") {
        return None;
    }
    let tail = &rest[3..];
    let letter = tail.starts_with(['l', 'L']) && !tail[1..].starts_with(|c: char| c.is_alphanumeric());
    let after = tail.trim_start().to_lowercase();
    let said = ["stainless", "ss", "grade", "steel", "inox"]
        .iter()
        .any(|w| after.starts_with(w));
    let named = matches!(before, "ss" | "aisi" | "stainless" | "type" | "inox" | "sus" | "in");
    if letter { Some(4) } else { (said || named).then_some(3) }
}

/// The tokens of a text.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::new();
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        let rest = &text[at..];
        let push = |out: &mut Vec<Token>, len: usize, kind, norm: String| {
            out.push(Token {
                range: at..at + len,
                kind,
                norm,
            });
            len
        };
        let step = if c == '\n' {
            push(&mut out, 1, Piece::Break, String::new())
        } else if c.is_whitespace() {
            c.len_utf8()
        } else if c == '>' && quotes(&out) {
            push(&mut out, 1, Piece::Break, String::new())
        } else if let Some(len) = bound_sign(rest) {
            let norm = if rest.starts_with(['<', '≤']) || rest.starts_with("=<") {
                "max"
            } else {
                "min"
            };
            push(&mut out, len, Piece::Word, norm.to_owned())
        } else if let Some(len) = material_number(rest, out.last().map_or("", |t: &Token| t.norm.as_str())) {
            push(&mut out, len, Piece::Word, rest[..len].to_lowercase())
        } else if let Some(n) = number::digits(rest)
            .filter(|_| c.is_ascii_digit() || !c.is_ascii() || c == '.' && !text[..at].ends_with('.'))
        {
            let tail = &rest[n.len..];
            let letters = tail.find(|c: char| !c.is_alphabetic()).unwrap_or(tail.len());
            let code = letters > 0
                && !n.fraction
                && tail[letters..].starts_with(|c: char| c.is_ascii_digit())
                && !tail.starts_with(['x', 'X'])
                && !tail[..letters].to_lowercase().ends_with('x')
                && unit_at(&tail[..letters]).is_none();
            if code {
                // "11SMn30": the name of a steel or a number of an order
                let len = n.len + tail.find(|c: char| !c.is_alphanumeric()).unwrap_or(tail.len());
                push(&mut out, len, Piece::Word, rest[..len].to_lowercase())
            } else {
                push(
                    &mut out,
                    n.len,
                    Piece::Number {
                        value: n.value,
                        fraction: n.fraction,
                        digits: true,
                    },
                    rest[..n.len].to_owned(),
                )
            }
        } else if c.is_alphabetic() {
            let mut len = rest
                .find(|c: char| !(c.is_alphanumeric() || c == '\'' || c == '’' || c == '-' || c == '.'))
                .unwrap_or(rest.len());
            // a point belongs to the word only inside it, and a hyphen or quote not at its end
            while let Some(head) = rest[..len].strip_suffix(['-', '\'', '’', '.']) {
                len = head.len();
            }
            if let Some(point) = rest[..len].find('.')
                && !rest[..len].split('.').all(|p| p.chars().count() == 1)
            {
                len = point;
            }
            // "N42-20x5", "N35H-10x3"
            if let Some(hyphen) = rest[..len].find('-')
                && rest[..hyphen].contains(|c: char| c.is_ascii_digit())
                && rest[hyphen + 1..].starts_with(|c: char| c.is_ascii_digit())
                && rest[hyphen..len].contains(['x', 'X'])
            {
                len = hyphen;
            }
            // "quarter-inch", "half-inch"
            if let Some(hyphen) = rest[..len].find('-')
                && number::word(&rest[..hyphen].to_lowercase()).is_some()
            {
                len = hyphen;
            }
            let word = &rest[..len];
            let symbol = word.chars().next().filter(|c| {
                let after_size = out
                    .last()
                    .is_some_and(|t| matches!(t.kind, Piece::Number { digits: true, .. }));
                matches!(c, 'd' | 'D' | 'ø' | 'Ø' | 't' | 'x' | 'X')
                    || (after_size || sides_follow(&rest[c.len_utf8()..]))
                        && matches!(c, 'h' | 'H' | 'T' | 'l' | 'L' | 'w' | 'W')
            });
            let digits_follow = symbol.is_some_and(|s| word[s.len_utf8()..].starts_with(|c: char| c.is_ascii_digit()));
            // "R16/6/4": the ring of a drawing, by its sides
            let ring = word.strip_prefix(['r', 'R']).is_some_and(|side| {
                let side_ends = !side.is_empty() && side.chars().all(|c| c.is_ascii_digit());
                side_ends
                    && rest[len..]
                        .split(['/', '-'])
                        .take(3)
                        .skip(1)
                        .filter(|s| s.starts_with(|c: char| c.is_ascii_digit()))
                        .count()
                        == 2
            });
            // "cm", "x" and the like glued to what follows: "d20x5", "t12", "x10"
            if ring {
                push(&mut out, 1, Piece::Word, "ring".to_owned())
            } else if digits_follow && let Some(s) = symbol {
                push(&mut out, s.len_utf8(), Piece::Word, s.to_lowercase().to_string())
            } else {
                let mut norm: String = word.to_lowercase().replace('’', "'");
                if norm.ends_with("'s") {
                    norm.truncate(norm.len() - 2);
                }
                let piece = number::word(&norm).map_or(Piece::Word, |value| Piece::Number {
                    value,
                    fraction: value < 1.0 && value > 0.0,
                    digits: false,
                });
                let point = usize::from(is_abbreviation(&norm, &rest[len..]));
                push(&mut out, len, piece, norm) + point
            }
        } else {
            push(&mut out, c.len_utf8(), Piece::Mark(c), String::new())
        };
        at += step;
    }
    glue_letters(text, out)
}

/// Whether a line begins here, so that `>` quotes it.
fn quotes(before: &[Token]) -> bool {
    before.last().is_none_or(|t| t.kind == Piece::Break)
}

/// Words that are written with a point after them, which ends no sentence there.
const ABBREVIATED: [&str; 35] = [
    "abt", "acc", "approx", "appr", "ca", "circa", "dia", "diam", "dim", "e.g", "ext", "g", "i.e", "in", "incl", "lb",
    "lbs", "max", "min", "mm", "no", "nos", "nr", "oz", "pc", "pcs", "qty", "ref", "resp", "sq", "tel", "temp", "thk",
    "vs", "wt",
];

/// Whether a word with the point after it is short for another: a number or a small letter follows.
fn is_abbreviation(word: &str, rest: &str) -> bool {
    let next = rest
        .strip_prefix('.')
        .map(str::trim_start)
        .and_then(|r| r.chars().next());
    ABBREVIATED.contains(&word)
        && next.is_some_and(|c| c.is_ascii_digit() || c.is_lowercase() || matches!(c, 'Ø' | '⌀' | ','))
}

/// Whether a number stands here and a further side after it: the `40 W20` of `L40 W20 H5`.
fn sides_follow(rest: &str) -> bool {
    let number = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let next = rest[number..].trim_start_matches([' ', ',', 'x', 'X', '×', '*']);
    let mut chars = next.chars();
    number > 0
        && chars
            .next()
            .is_some_and(|c| matches!(c, 'w' | 'W' | 'h' | 'H' | 'b' | 'B' | 'T' | 't'))
        && chars.next().is_some_and(|c| c.is_ascii_digit())
}

/// Splits words such as `x5x10`, `mmx3mm` that follow a number directly, and "twenty-five".
fn glue_letters(text: &str, tokens: Vec<Token>) -> Vec<Token> {
    let mut out: Vec<Token> = Vec::with_capacity(tokens.len());
    for token in tokens {
        let follows = out.last().is_some_and(|last: &Token| {
            matches!(last.kind, Piece::Number { digits: true, .. }) && last.range.end == token.range.start
        });
        if token.kind == Piece::Word && follows && token.norm.chars().any(|c| c == 'x') {
            let mut at = token.range.start;
            let end = token.range.end;
            while at < end {
                let rest = &text[at..end];
                let Some(c) = rest.chars().next() else { break };
                if c.is_ascii_digit()
                    && let Some(n) = number::digits(rest)
                {
                    out.push(Token {
                        range: at..at + n.len,
                        kind: Piece::Number {
                            value: n.value,
                            fraction: n.fraction,
                            digits: true,
                        },
                        norm: rest[..n.len].to_owned(),
                    });
                    at += n.len;
                } else {
                    let len = if matches!(c, 'x' | 'X') {
                        1
                    } else {
                        rest.find(|c: char| c.is_ascii_digit() || matches!(c, 'x' | 'X'))
                            .unwrap_or(rest.len())
                    };
                    out.push(Token {
                        range: at..at + len,
                        kind: Piece::Word,
                        norm: rest[..len].to_lowercase(),
                    });
                    at += len;
                }
            }
        } else {
            out.push(token);
        }
    }
    out
}
