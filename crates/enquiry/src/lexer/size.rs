//! Two or three sizes in a row.

use quantity::Kind;

use super::amount::Read;
use super::piece::{Piece, Token};
use super::{Amount, Measure, Size};

fn is_times(tokens: &[Token], at: usize) -> bool {
    matches!(
        tokens.get(at).map(|t| (t.kind, t.norm.as_str())),
        Some((Piece::Word, "x" | "by") | (Piece::Mark('×' | '*' | '✕' | '⨯'), _))
    )
}

/// A letter for a height or a hole before a further number: `D20 H10`, `Ø20 T5`.
fn is_letter(tokens: &[Token], at: usize) -> bool {
    let letter = |t: &Token| t.kind == Piece::Word && matches!(t.norm.as_str(), "h" | "t" | "l" | "w" | "id");
    tokens.get(at).is_some_and(letter)
        && tokens
            .get(at + 1)
            .is_some_and(|n| matches!(n.kind, Piece::Number { digits: true, .. }))
}

/// Whether a number counts the pieces of the size that follows: `2 x 8x3`, of which only the second sign is glued.
fn counts_pieces(tokens: &[Token], sign: usize) -> bool {
    let glued = |at: usize| {
        at > 0
            && tokens
                .get(at - 1..=at + 1)
                .is_some_and(|t| t[0].range.end == t[1].range.start && t[1].range.end == t[2].range.start)
    };
    is_times(tokens, sign) && !glued(sign) && is_times(tokens, sign + 2) && glued(sign + 2)
}

/// Sizes at a place: `20x10`, `Ø16 x 6`, `40/20 x 10`, `1/2" x 1/8"`, `50 by 15 by 10 mm`, `20-8-6`, `50/10`.
pub(super) fn size(text: &str, tokens: &[Token], at: usize) -> Option<(Size, usize)> {
    let mut i = at;
    let mut round = false;
    while let Some(token) = tokens.get(i) {
        let sign = matches!(token.kind, Piece::Mark('Ø' | 'ø' | '⌀' | '∅'))
            || (token.kind == Piece::Word && matches!(token.norm.as_str(), "d" | "ø"));
        if !sign {
            break;
        }
        round = true;
        i += 1;
    }
    let mut size = Size {
        numbers: Vec::new(),
        unit: None,
        slashed: false,
        round,
    };
    let first = Read::number(text, tokens, i).filter(|r| length_or_bare(&r.amount))?;
    let add = |size: &mut Size, read: &Read| {
        size.numbers.push(read.amount.high);
        if let Measure::Unit(unit) = read.amount.measure {
            size.unit = Some(unit);
        }
    };
    add(&mut size, &first);
    let mut end = first.next;
    if first.amount.is_bare() && first.amount.high.fract() == 0.0 && counts_pieces(tokens, end) {
        return None;
    }
    loop {
        let lead = size.numbers.len();
        let slash = lead == 1 && first.amount.digits && !first.amount.fraction && {
            let next_is_digit = tokens
                .get(end + 1)
                .is_some_and(|t| matches!(t.kind, Piece::Number { digits: true, .. }));
            match tokens.get(end).map(|t| t.kind) {
                Some(Piece::Mark('/')) => next_is_digit && slash_pair(text, tokens, end, first.amount.high),
                // only as the first of three: 20-8-6, 20-8x6
                Some(Piece::Mark('-')) => next_is_digit && three_dashed(text, tokens, end, first.amount.high),
                _ => false,
            }
        };
        let dashed_third = size.slashed
            && lead == 2
            && matches!(tokens.get(end).map(|t| t.kind), Some(Piece::Mark('-' | '/')))
            && tokens
                .get(end + 1)
                .is_some_and(|t| matches!(t.kind, Piece::Number { digits: true, .. }));
        let letter = size.round && is_letter(tokens, end);
        if !(is_times(tokens, end) || slash || dashed_third || letter) || lead == 3 {
            break;
        }
        let mut skip = if letter { end } else { end + 1 };
        while tokens.get(skip).is_some_and(|t| {
            matches!(t.kind, Piece::Mark('Ø' | 'ø' | '⌀'))
                || (t.kind == Piece::Word
                    && matches!(
                        t.norm.as_str(),
                        "t" | "h" | "l" | "w" | "d" | "id" | "od" | "thk" | "dia" | "thick"
                    ))
        }) {
            skip += 1;
        }
        let inner = tokens[end..skip].iter().any(|t| t.norm == "id");
        size.slashed |= inner;
        let Some(next) = Read::number(text, tokens, skip).filter(|r| length_or_bare(&r.amount)) else {
            break;
        };
        add(&mut size, &next);
        size.slashed |= slash;
        end = next.next;
    }
    let several = size.numbers.len() > 1;
    (several && size.numbers.iter().all(|n| *n > 0.0)).then_some((size, end))
}

fn length_or_bare(amount: &Amount) -> bool {
    amount.is_bare() || amount.kind() == Some(Kind::Length)
}

/// `40/20` or `50/10`: falling, near each other, and no date or number of an order.
fn slash_pair(text: &str, tokens: &[Token], slash: usize, first: f64) -> bool {
    let Some(next) = Read::number(text, tokens, slash + 1) else {
        return false;
    };
    let date = text[tokens[slash + 1].range.clone()].starts_with('0');
    let glued = !date && tokens[slash].range.end == tokens[slash + 1].range.start;
    let third = matches!(tokens.get(next.next).map(|t| t.kind), Some(Piece::Mark('/')));
    let sizes = first <= 500.0 && next.amount.high < first && next.amount.high > 0.0;
    glued && sizes && (!third || next.amount.high < first) && length_or_bare(&next.amount)
}

fn three_dashed(text: &str, tokens: &[Token], dash: usize, first: f64) -> bool {
    let Some(second) = Read::number(text, tokens, dash + 1) else {
        return false;
    };
    let third =
        matches!(tokens.get(second.next).map(|t| t.kind), Some(Piece::Mark('-'))) || is_times(tokens, second.next);
    let Some(last) = third.then(|| Read::number(text, tokens, second.next + 1)).flatten() else {
        return false;
    };
    second.amount.high < first
        && last.amount.high <= first
        && first <= 300.0
        && second.amount.digits
        && last.amount.digits
}
