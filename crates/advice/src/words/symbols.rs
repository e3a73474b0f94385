//! Tokens into symbols: rows of known words become one symbol, and a number takes the unit of the range it opens.

use std::ops::Range;

use quantity::{Any, Money, ParseError, scan_any};

use super::dictionary::{Dictionary, Phrases, Sense};
use super::lexer::{Token, TokenKind, tokens};

/// A value or a row of words, with everything that it may be.
#[derive(Clone, Debug)]
pub(super) struct Symbol {
    pub range: Range<usize>,
    pub norm: String,
    pub senses: Vec<Sense>,
    pub value: Option<Value>,
    /// The value that a number is when it opens a range: 10 in `10 to 25 mm`.
    pub opens: Option<Any>,
    pub is_stop: bool,
}

#[derive(Clone, Debug)]
pub(super) enum Value {
    Any(Any),
    Money(Money, &'static str),
    Bad(ParseError),
}

impl Symbol {
    pub(super) fn has(&self, sense: Sense) -> bool {
        self.senses.contains(&sense)
    }

    pub(super) fn cues(&self) -> impl Iterator<Item = usize> {
        self.senses
            .iter()
            .filter_map(|s| if let Sense::Cue(cue) = s { Some(*cue) } else { None })
    }

    /// Whether nothing is known about it.
    pub(super) fn is_unknown(&self) -> bool {
        self.senses.is_empty() && self.value.is_none() && !self.is_stop
    }

    /// The number that it is, in figures or in words.
    pub(super) fn number(&self) -> Option<f64> {
        match self.value {
            Some(Value::Any(Any::Number(n))) => Some(n),
            _ => self
                .senses
                .iter()
                .find_map(|s| if let Sense::Number(n) = s { Some(*n) } else { None }),
        }
    }
}

/// The symbols of a text, in order.
pub(super) fn symbols(text: &str, names: &Phrases) -> Vec<Symbol> {
    let builtin = &Dictionary::builtin().phrases;
    let tokens = tokens(text);
    let mut symbols = Vec::with_capacity(tokens.len());
    let mut rest = tokens.as_slice();
    while let [first, ..] = rest {
        let (taken, senses) = longest_row(first, rest, [builtin, names]);
        let row = &rest[..taken];
        let end = row.last().map_or(first.range.end, |t| t.range.end);
        symbols.push(Symbol {
            range: first.range.start..end,
            norm: joined(row),
            senses,
            value: if taken == 1 { value(first) } else { None },
            opens: None,
            is_stop: matches!(first.kind, TokenKind::Stop),
        });
        rest = &rest[taken..];
    }
    share_units(text, &mut symbols);
    symbols
}

/// The most tokens from the start that are a known row, at least one, and what they may be.
fn longest_row(first: &Token, tokens: &[Token], phrases: [&Phrases; 2]) -> (usize, Vec<Sense>) {
    let longest = phrases.iter().map(|p| p.longest(&first.norm)).max().unwrap_or(0);
    let usable = tokens
        .iter()
        .take(longest)
        .take_while(|t| !matches!(t.kind, TokenKind::Stop))
        .count();
    (1..=usable)
        .rev()
        .find_map(|taken| {
            let row = joined(&tokens[..taken]);
            let senses: Vec<Sense> = phrases.iter().flat_map(|p| p.senses(&row)).copied().collect();
            (!senses.is_empty()).then_some((taken, senses))
        })
        .unwrap_or((1, Vec::new()))
}

fn joined(tokens: &[Token]) -> String {
    tokens.iter().map(|t| t.norm.as_str()).collect::<Vec<_>>().join(" ")
}

fn value(token: &Token) -> Option<Value> {
    match &token.kind {
        TokenKind::Value(any) => Some(Value::Any(*any)),
        TokenKind::Money(money, code) => Some(Value::Money(*money, code)),
        TokenKind::Bad(error) => Some(Value::Bad(error.clone())),
        TokenKind::Word | TokenKind::Stop => None,
    }
}

/// Gives the numbers in `10 to 25 mm`, `between 10 and 25 mm`, `25 x 10 mm` and `60 degrees` their units.
fn share_units(text: &str, symbols: &mut [Symbol]) {
    let dictionary = Dictionary::builtin();
    let is = |symbol: &Symbol, name: &str| dictionary.cue(name).is_some_and(|cue| symbol.has(Sense::Cue(cue)));
    let mut unit: Option<(usize, String)> = None;
    for at in (0..symbols.len()).rev() {
        let symbol = &symbols[at];
        match symbol.value {
            Some(Value::Any(Any::Number(_))) => {}
            Some(Value::Any(_)) => {
                unit = unit_of(&text[symbol.range.clone()]).map(|unit| (at, unit));
                continue;
            }
            _ => continue,
        }
        let number = &text[symbol.range.clone()];
        if let Some(next) = symbols.get(at + 1).filter(|next| is(next, "degrees")) {
            if let Some(Ok((any, _))) = scan_any(&format!("{number} °C")) {
                let end = next.range.end;
                symbols[at].value = Some(Value::Any(any));
                symbols[at].range.end = end;
                symbols[at + 1].range.start = end;
                symbols[at + 1].senses = vec![Sense::Filler];
                unit = Some((at, "°C".into()));
            }
            continue;
        }
        let Some((_, label)) = unit.as_ref().filter(|(of, _)| *of == at + 2) else {
            continue;
        };
        let between = || symbols[at.saturating_sub(2)..at].iter().any(|s| is(s, "between"));
        let joins = symbols
            .get(at + 1)
            .is_some_and(|s| is(s, "range") || is(s, "by") || (is(s, "and") && between()));
        if joins && let Some(Ok((any, _))) = scan_any(&format!("{number} {label}")) {
            symbols[at].opens = Some(any);
            unit = Some((at, label.clone()));
        }
    }
}

/// The unit in the text of a value.
fn unit_of(value: &str) -> Option<String> {
    let at = value.find(|c: char| c.is_alphabetic() || matches!(c, '°' | 'º' | '"' | '″' | '”' | '\'' | '′' | '’'))?;
    Some(value[at..].to_owned())
}
