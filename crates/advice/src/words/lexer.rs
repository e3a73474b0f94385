//! Text into tokens: words, values with their units, amounts of money, stops.

use std::ops::Range;

use quantity::{Any, Convention, Money, ParseError, scan_any};

use super::word_list;

/// A word, a value or a stop, and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Token {
    pub range: Range<usize>,
    pub kind: TokenKind,
    /// The text in lower case; dashes of all lengths are `–`.
    pub norm: String,
}

#[derive(Clone, Debug)]
pub(super) enum TokenKind {
    Word,
    Value(Any),
    /// An amount and the ISO 4217 code of its currency; empty where a sign stands for several.
    Money(Money, &'static str),
    /// A comma, a full stop and the like: no form reaches over it.
    Stop,
    /// A number that cannot be taken; the span of the error counts from the start of the token.
    Bad(ParseError),
}

/// Bytes that a number with its unit may take. What is longer is cut there, which bounds the work on a hostile text.
const LONGEST_VALUE: usize = 96;

/// The tokens of a text in order. Spaces, brackets, quotes, colons and hyphens inside words leave none.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut tokens: Vec<Token> = Vec::new();
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        let glued = tokens
            .last()
            .filter(|t| t.range.end == at)
            .map(|t| matches!(t.kind, TokenKind::Value(_)));
        let (len, kind) = one(&text[at..], first, glued);
        if let Some(kind) = kind {
            let norm = norm(&text[at..at + len]);
            tokens.push(Token {
                range: at..at + len,
                kind,
                norm,
            });
        }
        at += len;
    }
    tokens
}

/// The length of the token at the start of `rest`, and what it is; `None` for what leaves no token.
///
/// `glued` says whether a token ends right here, and whether that is a value: in `10-25` the sign makes a range, in `food-safe`
/// it joins two words, and only in `-25` it is a minus.
fn one(rest: &str, first: char, glued: Option<bool>) -> (usize, Option<TokenKind>) {
    let second = rest[first.len_utf8()..].chars().next();
    let starts_number = |c: Option<char>| c.is_some_and(is_digit);
    let is_sign = matches!(first, '-' | '+' | '\u{2212}');
    if is_digit(first)
        || (first == '.' && starts_number(second))
        || (is_sign && glued.is_none() && (starts_number(second) || second == Some('.')))
    {
        return number(rest);
    }
    if let Some((len, kind)) = money_after_sign(rest) {
        return (len, Some(kind));
    }
    if rest.starts_with("..") {
        return (rest.len() - rest.trim_start_matches('.').len(), Some(TokenKind::Word));
    }
    match first {
        ',' | ';' | '.' | '!' | '?' => (1, Some(TokenKind::Stop)),
        '\n' => (1, Some(TokenKind::Stop)),
        '-' if glued == Some(true) && starts_number(second) => (1, Some(TokenKind::Word)),
        '-' if second.is_some_and(char::is_alphanumeric) => (1, None),
        '<' | '>' if second == Some('=') => (2, Some(TokenKind::Word)),
        c if c.is_whitespace() || c.is_control() || is_bracket(c) => (c.len_utf8(), None),
        // x200 is a count, as 200x is
        'x' | 'X' if starts_number(second) => (1, Some(TokenKind::Word)),
        c if is_letter(c) => (word(rest), Some(TokenKind::Word)),
        c => (c.len_utf8(), Some(TokenKind::Word)),
    }
}

/// The number at the start of `rest`, with its unit or currency.
fn number(rest: &str) -> (usize, Option<TokenKind>) {
    let head = prefix(rest, LONGEST_VALUE);
    let digits = digits(head);
    if let Some((len, kind)) = money_before_sign(head, digits) {
        return (len, Some(kind));
    }
    let (len, kind) = match scan_any(head) {
        Some(Ok((any, len))) => match any {
            Any::Number(_) => hyphened(head, len).unwrap_or((len, TokenKind::Value(any))),
            _ => (len, TokenKind::Value(any)),
        },
        Some(Err(error)) => match thousands(head, digits) {
            Some(value) => (digits, TokenKind::Value(Any::Number(value))),
            None => (error.span.end.max(digits), TokenKind::Bad(error)),
        },
        None => match count_before_x(head, digits) {
            Some(value) => (digits, TokenKind::Value(Any::Number(value))),
            None => (digits.max(word(head)), TokenKind::Word),
        },
    };
    // Whatever was said above, a token has a length and ends between characters.
    let len = (len.max(1)..=head.len())
        .find(|&len| head.is_char_boundary(len))
        .unwrap_or(head.len());
    (len, Some(kind))
}

/// `4-mm` as 4 mm.
fn hyphened(head: &str, len: usize) -> Option<(usize, TokenKind)> {
    let after = head.get(len..)?.strip_prefix('-')?;
    if !after.starts_with(char::is_alphabetic) {
        return None;
    }
    let spaced = format!("{} {after}", &head[..len]);
    match scan_any(&spaced)? {
        Ok((any, taken)) if any.kind().is_some() => Some((taken, TokenKind::Value(any))),
        _ => None,
    }
}

/// The number in `200x` and `3x safety`.
fn count_before_x(head: &str, digits: usize) -> Option<f64> {
    let after = head[digits..].strip_prefix(['x', 'X'])?;
    let value: f64 = head[..digits].parse().ok()?;
    (value.is_finite() && !after.starts_with(char::is_alphanumeric)).then_some(value)
}

/// `1,000` as a count, where no unit follows.
fn thousands(head: &str, digits: usize) -> Option<f64> {
    let value = grouped(&head[..digits])?;
    let plain = format!("{value}{}", &head[digits..]);
    matches!(scan_any(&plain), Some(Ok((Any::Number(_), _)))).then_some(value as f64)
}

/// The whole number that `text` writes in groups of three: `1,000`, `1.000`, `12'000`.
pub(super) fn grouped(text: &str) -> Option<u64> {
    let mut groups = text.split([',', '.', '\'', '’', '\u{a0}', '\u{202f}', '\u{2009}']);
    let first = groups.next()?;
    let rest: Vec<&str> = groups.collect();
    let all_digits = |s: &&str| s.bytes().all(|b| b.is_ascii_digit());
    let well_formed = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && !rest.is_empty()
        && rest.iter().all(|g| g.len() == 3)
        && std::iter::once(&first).chain(&rest).all(all_digits);
    well_formed.then(|| format!("{first}{}", rest.concat()).parse().ok())?
}

/// An amount that begins with the sign of its currency: `€ 0.61`, `EUR 1`.
fn money_after_sign(rest: &str) -> Option<(usize, TokenKind)> {
    let (sign, code) = currency(rest)?;
    let spaces = spaces(&rest[sign..]);
    let head = prefix(&rest[sign + spaces..], LONGEST_VALUE);
    if !head.starts_with(is_digit) {
        return None;
    }
    let digits = digits(head);
    Some((sign + spaces + digits, amount(&head[..digits], sign + spaces, code)))
}

/// An amount that ends with the sign of its currency: `0,61 EUR`, `200€`.
fn money_before_sign(head: &str, digits: usize) -> Option<(usize, TokenKind)> {
    let spaces = spaces(&head[digits..]);
    let (sign, code) = currency(&head[digits + spaces..])?;
    Some((digits + spaces + sign, amount(&head[..digits], 0, code)))
}

/// The amount that `digits` is; they start at `offset` in the token.
fn amount(digits: &str, offset: usize, code: &'static str) -> TokenKind {
    match Money::parse(digits, Convention::Auto) {
        Ok(money) => TokenKind::Money(money, code),
        Err(ParseError { span, message, hint }) => TokenKind::Bad(ParseError {
            span: span.start + offset..span.end + offset,
            message,
            hint,
        }),
    }
}

/// The currency at the start of `rest`: how many bytes, and its code.
fn currency(rest: &str) -> Option<(usize, &'static str)> {
    /// Bytes that the spelling of a currency takes at most.
    const LONGEST: usize = 16;
    let rest = prefix(rest, LONGEST);
    let first = rest.chars().next()?;
    let len = if is_letter(first) { word(rest) } else { first.len_utf8() };
    // us$ and the like: letters and a sign
    let longer = rest[len..].starts_with('$').then_some(len + 1);
    longer
        .into_iter()
        .chain([len])
        .find_map(|len| Some((len, word_list::currency(&norm(&rest[..len]))?)))
}

/// The bytes of the digits at the start, with a sign before them and separators inside.
fn digits(head: &str) -> usize {
    let inside = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '\'' | '’');
    let sign = head
        .chars()
        .next()
        .filter(|c| matches!(c, '-' | '+' | '\u{2212}'))
        .map_or(0, char::len_utf8);
    let end = head[sign..].find(|c| !inside(c)).map_or(head.len(), |end| sign + end);
    let kept = head[..end].trim_end_matches(|c: char| !c.is_ascii_digit()).len();
    kept.max(head.chars().next().map_or(0, char::len_utf8))
}

/// The bytes of the word at the start.
fn word(rest: &str) -> usize {
    let mut end = 0;
    for (at, c) in rest.char_indices() {
        let joins = matches!(c, '\'' | '’') && rest[at + c.len_utf8()..].starts_with(char::is_alphabetic);
        if !(is_letter(c) || c.is_numeric() || joins) || (at > 0 && is_one_sign(c)) {
            break;
        }
        end = at + c.len_utf8();
        if is_one_sign(c) {
            break;
        }
    }
    end
}

fn is_letter(c: char) -> bool {
    c.is_alphabetic()
}

/// A letter that is a word by itself.
fn is_one_sign(c: char) -> bool {
    matches!(c, 'Ø' | 'ø' | 'º')
}

fn is_digit(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '½' | '¼' | '¾' | '⅛' | '⅜' | '⅝' | '⅞')
}

fn is_bracket(c: char) -> bool {
    matches!(
        c,
        '(' | ')' | '[' | ']' | '{' | '}' | '"' | '“' | '”' | '„' | '‘' | '’' | '\'' | ':' | '_' | '|'
    )
}

fn spaces(text: &str) -> usize {
    text.len()
        - text
            .trim_start_matches([' ', '\t', '\u{a0}', '\u{202f}', '\u{2009}'])
            .len()
}

/// The first `most` bytes of `text`, fewer where a character would be cut.
fn prefix(text: &str, most: usize) -> &str {
    let mut end = most.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}

/// A token as it is looked up.
fn norm(token: &str) -> String {
    let lower = token.to_lowercase().replace('’', "'");
    let is_dash = !lower.is_empty()
        && lower
            .chars()
            .all(|c| matches!(c, '-' | '–' | '—' | '\u{2212}' | '.' | '…'));
    if is_dash { "–".into() } else { lower }
}
