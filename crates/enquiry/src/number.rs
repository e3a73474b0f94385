//! Numbers as people write them: digits with comma or point, grouped thousands, fractions, and words.

/// A number at the start of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Number {
    /// Its value.
    pub value: f64,
    /// Bytes taken.
    pub len: usize,
    /// Whether it was written as a fraction, as inches are.
    pub fraction: bool,
}

/// Denominators that a slash makes a fraction of; else it parts two sizes or the parts of a date.
const DENOMINATORS: [u32; 7] = [2, 3, 4, 8, 16, 32, 64];

/// The unsigned number in digits at the start of `text`.
pub(crate) fn digits(text: &str) -> Option<Number> {
    if let Some((value, len)) = single_sign(text) {
        return Some(Number {
            value,
            len,
            fraction: true,
        });
    }
    let whole = plain(text);
    if whole > 0
        && let Some(fraction) = fraction(text)
    {
        return Some(fraction);
    }
    let (value, len) = decimal(text)?;
    // "1 1/2", "1-1/8" and "1½"
    let rest = &text[len..];
    if len == whole {
        let gap = rest.starts_with([' ', '-', '\u{a0}']).then_some(1).or(Some(0))?;
        let gap = if rest.starts_with('\u{a0}') { 2 } else { gap };
        if let Some(part) = rest.get(gap..) {
            let part = single_sign(part)
                .map(|(value, len)| Number {
                    value,
                    len,
                    fraction: true,
                })
                .or_else(|| if gap > 0 { fraction(part) } else { None });
            if let Some(part) = part.filter(|p| p.value < 1.0) {
                return Some(Number {
                    value: value + part.value,
                    len: len + gap + part.len,
                    fraction: true,
                });
            }
        }
    }
    Some(Number {
        value,
        len,
        fraction: false,
    })
}

fn plain(text: &str) -> usize {
    text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len())
}

fn single_sign(text: &str) -> Option<(f64, usize)> {
    let c = text.chars().next()?;
    let value = match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        _ => return None,
    };
    Some((value, c.len_utf8()))
}

/// `3/8`, with any slash, below one.
fn fraction(text: &str) -> Option<Number> {
    let over = plain(text);
    let top: u32 = text[..over].parse().ok()?;
    let rest = &text[over..];
    let slash = rest.chars().next().filter(|c| matches!(c, '/' | '⁄' | '∕'))?.len_utf8();
    let rest = &rest[slash..];
    let under = plain(rest);
    let bottom: u32 = rest[..under].parse().ok()?;
    let ends =
        !rest[under..].starts_with(['/', '.', ',']) || !rest[under + 1..].starts_with(|c: char| c.is_ascii_digit());
    (DENOMINATORS.contains(&bottom) && top > 0 && top < bottom && ends).then(|| Number {
        value: f64::from(top) / f64::from(bottom),
        len: over + slash + under,
        fraction: true,
    })
}

/// Digits with a decimal sign or grouped thousands.
fn decimal(text: &str) -> Option<(f64, usize)> {
    let mut digits = String::new();
    let whole = plain(text);
    digits.push_str(&text[..whole]);
    let mut len = whole;
    // the Indian way: 1,50,000
    let lakh = |text: &str| {
        let mut end = whole;
        let mut twos = 0;
        while text[end..].starts_with(',') && plain(&text[end + 1..]) == 2 {
            end += 3;
            twos += 1;
        }
        (twos > 0 && (1..=2).contains(&whole) && text[end..].starts_with(',') && plain(&text[end + 1..]) == 3)
            .then_some(end + 4)
    };
    if let Some(end) = lakh(text) {
        digits.extend(text[whole..end].chars().filter(char::is_ascii_digit));
        return digits.parse().ok().map(|value| (value, end));
    }
    // groups of three: by comma, by space, by apostrophe, or by point when there are two of them
    let grouped = |len: usize, sign: &str| {
        let rest = text[len..].strip_prefix(sign)?;
        (plain(rest) == 3).then_some(len + sign.len() + 3)
    };
    for sign in [",", " ", "\u{a0}", "\u{202f}", "'", "."] {
        let mut end = len;
        let mut groups = 0;
        while let Some(next) = grouped(end, sign) {
            end = next;
            groups += 1;
        }
        let leads = (1..=3).contains(&whole) && !text.starts_with('0');
        let enough = groups > usize::from(sign == ".");
        // "20 500" may be two numbers; what follows a grouped one is no further size
        if leads && enough && !(sign == " " && text[end..].trim_start().starts_with(['x', 'X', '×', '*'])) {
            digits.extend(text[whole..end].chars().filter(char::is_ascii_digit));
            len = end;
            break;
        }
    }
    if len == whole {
        let rest = &text[len..];
        let sign = rest.starts_with([',', '.']);
        let after = if sign { plain(&rest[1..]) } else { 0 };
        if after > 0 {
            digits.push('.');
            digits.push_str(&rest[1..=after]);
            len += 1 + after;
        }
    } else if text[len..].starts_with(['.']) && plain(&text[len + 1..]) > 0 {
        let after = plain(&text[len + 1..]);
        digits.push('.');
        digits.push_str(&text[len + 1..len + 1 + after]);
        len += 1 + after;
    }
    if len == 0 || (whole == 0 && len < 2) {
        return None;
    }
    if digits.starts_with('.') {
        digits.insert(0, '0');
    }
    digits
        .parse()
        .ok()
        .filter(|v: &f64| v.is_finite())
        .map(|value| (value, len))
}

/// The value of a single word that is a number: `seven`, `dozen`.
pub(crate) fn word(word: &str) -> Option<f64> {
    const WORDS: [(&str, f64); 38] = [
        ("zero", 0.0),
        ("one", 1.0),
        ("two", 2.0),
        ("three", 3.0),
        ("four", 4.0),
        ("five", 5.0),
        ("six", 6.0),
        ("seven", 7.0),
        ("eight", 8.0),
        ("nine", 9.0),
        ("ten", 10.0),
        ("eleven", 11.0),
        ("twelve", 12.0),
        ("thirteen", 13.0),
        ("fourteen", 14.0),
        ("fifteen", 15.0),
        ("sixteen", 16.0),
        ("seventeen", 17.0),
        ("eighteen", 18.0),
        ("nineteen", 19.0),
        ("twenty", 20.0),
        ("thirty", 30.0),
        ("forty", 40.0),
        ("fourty", 40.0),
        ("fifty", 50.0),
        ("sixty", 60.0),
        ("seventy", 70.0),
        ("eighty", 80.0),
        ("ninety", 90.0),
        ("hundred", 100.0),
        ("thousand", 1000.0),
        ("dozen", 12.0),
        ("half", 0.5),
        ("quarter", 0.25),
        ("eighth", 0.125),
        ("tenth", 0.1),
        ("third", 1.0 / 3.0),
        ("sixteenth", 0.0625),
    ];
    WORDS.iter().find(|(w, _)| *w == word).map(|(_, v)| *v)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str) -> Option<(f64, usize)> {
        digits(text).map(|n| (n.value, n.len))
    }

    #[test]
    fn every_notation_of_a_number_is_read() {
        for (text, expected, len) in [
            ("12", 12.0, 2),
            ("2,5 kg", 2.5, 3),
            (".75 lb", 0.75, 3),
            ("4,800.", 4800.0, 5),
            ("20 000 pcs", 20000.0, 6),
            ("1/2\"", 0.5, 3),
            ("1 1/2 lbs", 1.5, 5),
            ("1-1/8\"", 1.125, 5),
            ("1½ in", 1.5, 3),
            ("¾ in", 0.75, 2),
            ("40/20", 40.0, 2),
            ("0,035", 0.035, 5),
            ("1.234.567", 1_234_567.0, 9),
            ("12.5 mm.", 12.5, 4),
        ] {
            assert_eq!(value(text), Some((expected, len)), "{text}");
        }
        assert_eq!(value("x"), None);
        assert_eq!(value("."), None);
    }
}
