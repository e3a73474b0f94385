//! The text cut into words, amounts, sizes and stops, each with its place.

use std::ops::Range;

use quantity::{Kind, Unit};

use crate::number;

/// What a number counts or measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Measure {
    /// No unit stands by it.
    Bare,
    /// A physical unit.
    Unit(Unit),
    /// A sheet gauge.
    Gauge,
    /// Money, by its ISO 4217 code; `cents` are hundredths.
    Money { code: &'static str, cents: bool },
    /// A percentage: never a need of ours.
    Percent,
}

/// An amount: a single value has `low == high`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Amount {
    pub low: f64,
    pub high: f64,
    pub measure: Measure,
    pub fraction: bool,
    /// Whether it was written in digits.
    pub digits: bool,
}

/// Two or three sizes joined by x, by, or slashes, in mm where their unit is known.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Size {
    pub numbers: Vec<f64>,
    /// The unit written beside any of them.
    pub unit: Option<Unit>,
    /// Whether a slash or a dash parts the first two, as the diameters of a ring.
    pub slashed: bool,
    /// Whether a diameter sign leads.
    pub round: bool,
}

/// What an item is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum What {
    Word,
    Amount(Amount),
    Size(Size),
    /// Punctuation.
    Mark(char),
    /// A new line.
    Break,
}

/// A stretch of the text.
#[derive(Clone, Debug)]
pub(crate) struct Item {
    pub range: Range<usize>,
    pub what: What,
    /// A word in lower case; of a phrase, its words joined by spaces.
    pub norm: String,
    /// What the word may mean, by the names of cues and classes.
    pub tags: Vec<&'static str>,
    /// A name of materials or grades, or the row of a thing, that the word is.
    pub names: Vec<crate::named::Named>,
}

impl Item {
    fn new(range: Range<usize>, what: What, norm: impl Into<String>) -> Self {
        Self {
            range,
            what,
            norm: norm.into(),
            tags: Vec::new(),
            names: Vec::new(),
        }
    }

    /// Whether it carries a tag.
    pub(crate) fn is(&self, tag: &str) -> bool {
        self.tags.contains(&tag)
    }

    /// Whether it carries any of the tags.
    pub(crate) fn is_any(&self, tags: &[&str]) -> bool {
        tags.iter().any(|t| self.is(t))
    }

    pub(crate) fn amount(&self) -> Option<&Amount> {
        match &self.what {
            What::Amount(amount) => Some(amount),
            _ => None,
        }
    }

    pub(crate) fn size(&self) -> Option<&Size> {
        match &self.what {
            What::Size(size) => Some(size),
            _ => None,
        }
    }
}

impl Amount {
    pub(crate) fn kind(&self) -> Option<Kind> {
        match self.measure {
            Measure::Unit(unit) => Some(unit.kind()),
            _ => None,
        }
    }

    pub(crate) fn is_bare(&self) -> bool {
        self.measure == Measure::Bare
    }

    /// The high end in SI.
    pub(crate) fn si(&self) -> Option<f64> {
        match self.measure {
            Measure::Unit(unit) => Some(unit.to_si(self.high)),
            _ => None,
        }
    }
}

/// A token before amounts are put together.
#[derive(Clone, Debug)]
struct Token {
    range: Range<usize>,
    kind: Piece,
    norm: String,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Piece {
    Word,
    Number { value: f64, fraction: bool, digits: bool },
    Mark(char),
    Break,
}

/// The items of a text.
pub(crate) fn items(text: &str) -> Vec<Item> {
    amounts(text, &tokens(text))
}

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

fn tokens(text: &str) -> Vec<Token> {
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
            // "quarter-inch", "half-inch"
            if let Some(hyphen) = rest[..len].find('-')
                && number::word(&rest[..hyphen].to_lowercase()).is_some()
            {
                len = hyphen;
            }
            let word = &rest[..len];
            let symbol = word
                .chars()
                .next()
                .filter(|c| matches!(c, 'd' | 'D' | 'ø' | 'Ø' | 't' | 'x' | 'X'));
            let digits_follow = symbol.is_some_and(|s| word[s.len_utf8()..].starts_with(|c: char| c.is_ascii_digit()));
            // "cm", "x" and the like glued to what follows: "d20x5", "t12", "x10"
            if digits_follow && let Some(s) = symbol {
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
                push(&mut out, len, piece, norm)
            }
        } else {
            push(&mut out, c.len_utf8(), Piece::Mark(c), String::new())
        };
        at += step;
    }
    glue_letters(text, out)
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

/// A number with its sign, multipliers and unit, as read at a place of the tokens.
struct Read {
    amount: Amount,
    next: usize,
}

/// The unit that a word is, as customers spell it beyond the usual ways.
fn unit_at(word: &str) -> Option<Unit> {
    let lower = word.to_lowercase();
    match lower.as_str() {
        "gr" | "gms" | "gm" | "grms" | "grm" | "grammes" | "gramm" | "grms." => Some(Unit::GRAM),
        "kgs" | "kilogramm" | "kilog" | "kilo's" | "kgm" | "kq" => Some(Unit::KILOGRAM),
        "nt" | "nw" => Some(Unit::NEWTON),
        "lbs." | "pound" | "#s" => Some(Unit::POUND),
        "milimeter" | "milimeters" | "milimetre" | "milimetres" | "millimetr" | "mms" | "mill" => {
            Some(Unit::MILLIMETRE)
        }
        "centimetr" | "cms" => Some(Unit::CENTIMETRE),
        "inchs" | "inch." | "ins" => Some(Unit::INCH),
        "micrometre" | "my" | "mu" => Some(Unit::MICROMETRE),
        "gs" | "gauß" | "gaus" | "guass" => Some(Unit::GAUSS),
        "kilogaus" => Some(Unit::KILOGAUSS),
        "degree" | "degrees" | "degs" | "deg" | "°" | "grad" | "centigrade" | "celcius" => Some(Unit::CELSIUS),
        "farenheit" => Some(Unit::FAHRENHEIT),
        "thousandth" | "thousandths" | "thous" => Some(Unit::MIL),
        "in" | "m" | "c" | "f" | "k" | "t" | "n" | "g" | "'" | "’" | "′" => None,
        _ => Unit::named(word).or_else(|| Unit::named(&lower)),
    }
}

const INCH_FOLLOWERS: [&str; 22] = [
    "thick", "wide", "dia", "diameter", "long", "high", "tall", "deep", "x", "by", "disc", "disk", "discs", "steel",
    "sheet", "plate", "square", "round", "across", "magnet", "magnets", "block",
];

impl Read {
    /// A number at `at`: digits or number words, "half a kilo", with its unit.
    fn number(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        let Piece::Number {
            mut value,
            mut fraction,
            digits,
        } = tokens.get(at)?.kind
        else {
            return None;
        };
        let mut next = at + 1;
        let word = |i: usize| {
            tokens
                .get(i)
                .filter(|t| t.kind == Piece::Word)
                .map_or("", |t| t.norm.as_str())
        };
        let numeral = |i: usize| match tokens.get(i).map(|t| t.kind) {
            Some(Piece::Number {
                value, digits: false, ..
            }) => Some(value),
            _ => None,
        };
        // two hundred, twenty five, twenty-five, two and a half, 2 thousand
        loop {
            let dash = matches!(tokens.get(next).map(|t| t.kind), Some(Piece::Mark('-')));
            let skip = usize::from(dash);
            match numeral(next + skip) {
                Some(scale) if scale >= 12.0 && (scale == 12.0 || scale >= 100.0) && value > 0.0 && value < 1000.0 => {
                    value *= scale;
                    fraction = false;
                    next += skip + 1;
                }
                Some(unit) if !digits && (1.0..10.0).contains(&unit) && value >= 20.0 && value % 10.0 == 0.0 => {
                    value += unit;
                    next += skip + 1;
                }
                Some(part) if part < 1.0 && part > 0.0 && !digits && value >= 1.0 && word(next).is_empty() => {
                    value *= part;
                    next += 1;
                }
                _ => break,
            }
        }
        if word(next) == "and" && matches!(word(next + 1), "a" | "") {
            let skip = if word(next + 1) == "a" { 2 } else { 1 };
            if let Some(part) = numeral(next + skip).filter(|v| *v > 0.0 && *v < 1.0) {
                value += part;
                next += skip + 1;
            }
        }
        // half a, quarter of an, an eighth of an
        if value < 1.0 && !digits {
            let mut skip = next;
            if word(skip) == "of" {
                skip += 1;
            }
            if matches!(word(skip), "a" | "an") {
                skip += 1;
            }
            if numeral(skip) == Some(12.0) {
                value *= 12.0;
                next = skip + 1;
            } else if Self::unit(text, tokens, skip, value).is_some() {
                next = skip;
            } else {
                return None;
            }
        }
        // 2k pcs
        if word(next) == "k" && tokens[next].range.start == tokens[next - 1].range.end && digits {
            value *= 1000.0;
            next += 1;
        }
        let mut amount = Amount {
            low: value,
            high: value,
            measure: Measure::Bare,
            fraction,
            digits,
        };
        let joined = usize::from(
            matches!(tokens.get(next).map(|t| t.kind), Some(Piece::Mark('-' | '\u{2011}')))
                && Self::unit(text, tokens, next + 1, value).is_some(),
        );
        if let Some((measure, end)) = Self::unit(text, tokens, next + joined, value) {
            amount.measure = measure;
            next = end;
            // two pounds and a half, "2 lb 3 oz", "5 ft 3"
            if let Measure::Unit(unit) = measure
                && matches!(unit.label(), "lb" | "kg")
            {
                let small = if unit.label() == "lb" { Unit::OUNCE } else { Unit::GRAM };
                let skip = next + usize::from(word(next) == "and");
                if let Some(Read {
                    amount: part,
                    next: end,
                }) = Self::number(text, tokens, skip)
                    && part.measure == Measure::Unit(small)
                {
                    let sum = unit.from_si(unit.to_si(value) + small.to_si(part.high));
                    amount.low = sum;
                    amount.high = sum;
                    next = end;
                } else if word(next) == "and" && word(next + 1) == "a" && numeral(next + 2) == Some(0.5) {
                    amount.low += 0.5;
                    amount.high += 0.5;
                    next += 3;
                }
            }
        }
        Some(Read { amount, next })
    }

    /// The unit at a place and where it ends.
    fn unit(text: &str, tokens: &[Token], at: usize, value: f64) -> Option<(Measure, usize)> {
        let token = tokens.get(at)?;
        let raw = &text[token.range.clone()];
        let next_word = |i: usize| {
            tokens
                .get(i)
                .filter(|t| t.kind == Piece::Word)
                .map_or("", |t| t.norm.as_str())
        };
        let glued = at > 0 && tokens[at - 1].range.end == token.range.start;
        match token.kind {
            Piece::Mark(c) => {
                // inch and foot marks, degrees, money
                match c {
                    '"' | '″' | '”' | '“' => Some((Measure::Unit(Unit::INCH), at + 1)),
                    '\'' | '’' | '′' if glued => {
                        let twice = tokens
                            .get(at + 1)
                            .is_some_and(|t| matches!(t.kind, Piece::Mark('\'' | '’' | '′')));
                        twice.then_some((Measure::Unit(Unit::INCH), at + 2))
                    }
                    '°' | 'º' => match next_word(at + 1) {
                        "c" | "celsius" | "celcius" => Some((Measure::Unit(Unit::CELSIUS), at + 2)),
                        "f" | "fahrenheit" => Some((Measure::Unit(Unit::FAHRENHEIT), at + 2)),
                        _ => Some((Measure::Unit(Unit::CELSIUS), at + 1)),
                    },
                    '℃' => Some((Measure::Unit(Unit::CELSIUS), at + 1)),
                    '%' => Some((Measure::Percent, at + 1)),
                    '€' => Some((
                        Measure::Money {
                            code: "EUR",
                            cents: false,
                        },
                        at + 1,
                    )),
                    '£' => Some((
                        Measure::Money {
                            code: "GBP",
                            cents: false,
                        },
                        at + 1,
                    )),
                    '$' => Some((
                        Measure::Money {
                            code: "USD",
                            cents: false,
                        },
                        at + 1,
                    )),
                    '¢' => Some((
                        Measure::Money {
                            code: "USD",
                            cents: true,
                        },
                        at + 1,
                    )),
                    _ => None,
                }
            }
            Piece::Word => {
                let norm = token.norm.as_str();
                let next_mark = tokens.get(at + 1).map(|t| t.kind);
                let one = |unit| Some((Measure::Unit(unit), at + 1));
                match norm {
                    "gauge" | "ga" | "swg" | "awg" | "guage" | "gage" => return Some((Measure::Gauge, at + 1)),
                    "euro" | "euros" | "eur" | "eu" => {
                        return Some((
                            Measure::Money {
                                code: "EUR",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "usd" | "dollar" | "dollars" | "bucks" => {
                        return Some((
                            Measure::Money {
                                code: "USD",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "gbp" | "quid" | "sterling" => {
                        return Some((
                            Measure::Money {
                                code: "GBP",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "chf" | "francs" => {
                        return Some((
                            Measure::Money {
                                code: "CHF",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "sek" | "kronor" => {
                        return Some((
                            Measure::Money {
                                code: "SEK",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "nok" | "kroner" | "kr" => {
                        return Some((
                            Measure::Money {
                                code: "NOK",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "dkk" => {
                        return Some((
                            Measure::Money {
                                code: "DKK",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "pln" | "zloty" => {
                        return Some((
                            Measure::Money {
                                code: "PLN",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "brl" | "reais" | "real" => {
                        return Some((
                            Measure::Money {
                                code: "BRL",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "zar" | "rand" => {
                        return Some((
                            Measure::Money {
                                code: "ZAR",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "nzd" => {
                        return Some((
                            Measure::Money {
                                code: "NZD",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "sgd" => {
                        return Some((
                            Measure::Money {
                                code: "SGD",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "czk" | "kč" => {
                        return Some((
                            Measure::Money {
                                code: "CZK",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "huf" | "forint" => {
                        return Some((
                            Measure::Money {
                                code: "HUF",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "cny" | "rmb" | "yuan" => {
                        return Some((
                            Measure::Money {
                                code: "CNY",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "inr" | "rupees" | "rs" | "rupee" => {
                        return Some((
                            Measure::Money {
                                code: "INR",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "cad" => {
                        return Some((
                            Measure::Money {
                                code: "CAD",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "aud" => {
                        return Some((
                            Measure::Money {
                                code: "AUD",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "jpy" | "yen" => {
                        return Some((
                            Measure::Money {
                                code: "JPY",
                                cents: false,
                            },
                            at + 1,
                        ));
                    }
                    "cent" | "cents" | "ct" | "cts" => {
                        return Some((
                            Measure::Money {
                                code: "EUR",
                                cents: true,
                            },
                            at + 1,
                        ));
                    }
                    "pence" => {
                        return Some((
                            Measure::Money {
                                code: "GBP",
                                cents: true,
                            },
                            at + 1,
                        ));
                    }
                    "percent" => return Some((Measure::Percent, at + 1)),
                    _ => {}
                }
                match raw {
                    "kG" if glued || value < 30.0 => return one(Unit::KILOGAUSS),
                    "kGs" => return one(Unit::KILOGAUSS),
                    "KG" | "Kg" | "KGS" | "kg" => return one(Unit::KILOGRAM),
                    "mT" | "MT" => return one(Unit::MILLITESLA),
                    "uT" | "µT" | "μT" => return one(Unit::MICROTESLA),
                    "G" if shouts(text) => return one(Unit::GRAM),
                    "G" | "Gs" | "GS" if next_word(at + 1) != "force" => return one(Unit::GAUSS),
                    "g" => return one(Unit::GRAM),
                    "N" if !matches!(next_word(at + 1), "pole") => return one(Unit::NEWTON),
                    "n" if glued => return one(Unit::NEWTON),
                    "T" if value <= 3.0 => return one(Unit::TESLA),
                    "K" if value >= 200.0 => return one(Unit::KELVIN),
                    "m" | "M" if value <= 100.0 => return one(Unit::METRE),
                    "C" | "c" => return one(Unit::CELSIUS),
                    "F" | "f" if value > 0.0 => return one(Unit::FAHRENHEIT),
                    _ => {}
                }
                if norm == "in" || norm == "in." {
                    let word = next_word(at + 1);
                    let inch = (word.is_empty() && !matches!(next_mark, Some(Piece::Number { .. })))
                        || INCH_FOLLOWERS.contains(&word);
                    return if inch { one(Unit::INCH) } else { None };
                }
                if norm == "sq" || norm == "cubic" {
                    return None;
                }
                if matches!(norm, "degree" | "degrees" | "deg" | "degs" | "grad" | "deg.") {
                    let (unit, end) = match next_word(at + 1) {
                        "c" | "celsius" | "celcius" | "centigrade" => (Unit::CELSIUS, at + 2),
                        "f" | "fahrenheit" | "farenheit" => (Unit::FAHRENHEIT, at + 2),
                        _ => (Unit::CELSIUS, at + 1),
                    };
                    return Some((Measure::Unit(unit), end));
                }
                if norm == "degc" {
                    return one(Unit::CELSIUS);
                }
                if norm == "newton" && matches!(next_word(at + 1), "metre" | "meter" | "metres" | "meters") {
                    return None;
                }
                // kA/m, A/m
                if matches!(norm, "ka" | "a") && matches!(next_mark, Some(Piece::Mark('/'))) && next_word(at + 2) == "m"
                {
                    let unit = if norm == "ka" {
                        Unit::KILOAMPERE_PER_METRE
                    } else {
                        Unit::AMPERE_PER_METRE
                    };
                    return Some((Measure::Unit(unit), at + 3));
                }
                // "gram force", "kilo force"
                let force = matches!(next_word(at + 1), "force") || (next_word(at + 1) == "f");
                let unit = unit_at(raw)?;
                // per something: "km/h", "g/m", "N/mm" are no needs
                if matches!(next_mark, Some(Piece::Mark('/')))
                    && tokens.get(at + 1).is_some_and(|t| t.range.start == token.range.end)
                    && matches!(
                        next_word(at + 2),
                        "h" | "s" | "m2" | "m" | "cm" | "mm" | "min" | "cm2" | "mm2" | "l"
                    )
                {
                    return Some((Measure::Percent, at + 3));
                }
                Some((
                    Measure::Unit(unit),
                    at + 1 + usize::from(force && unit.kind() == Kind::Mass),
                ))
            }
            _ => None,
        }
    }

    /// One of a unit: `a pound`, `an inch`, `kilo and a half`.
    fn single(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        const UNITS: [&str; 9] = [
            "pound",
            "kilo",
            "inch",
            "mil",
            "millimetre",
            "millimeter",
            "ounce",
            "kilogram",
            "gram",
        ];
        let word = |i: usize| {
            tokens
                .get(i)
                .filter(|t| t.kind == Piece::Word)
                .map_or("", |t| t.norm.as_str())
        };
        let half =
            |i: usize| word(i) == "and" && word(i + 1) == "a" && tokens.get(i + 2).is_some_and(|t| t.norm == "half");
        let article = matches!(word(at), "a" | "an");
        let unit_at = at + usize::from(article);
        if !UNITS.contains(&word(unit_at))
            || !(article || half(unit_at + 1))
            || (article && matches!(word(unit_at + 1), "or" | "too"))
        {
            return None;
        }
        let (measure, next) = Self::unit(text, tokens, unit_at, 1.0)?;
        let (value, next) = if half(next) { (1.5, next + 3) } else { (1.0, next) };
        let amount = Amount {
            low: value,
            high: value,
            measure,
            fraction: false,
            digits: false,
        };
        Some(Read { amount, next })
    }

    /// A number with a sign and a leading currency.
    fn signed(text: &str, tokens: &[Token], at: usize) -> Option<Read> {
        let token = tokens.get(at)?;
        let free = at == 0
            || tokens[at - 1].range.end < token.range.start
            || matches!(
                tokens[at - 1].kind,
                Piece::Mark('(' | '~' | '=' | ':' | '<' | ',' | '.' | '…')
            );
        match token.kind {
            Piece::Number { .. } => Self::number(text, tokens, at),
            Piece::Mark('-' | '−' | '–')
                if free && tokens.get(at + 1).is_some_and(|t| t.range.start == token.range.end) =>
            {
                let mut read = Self::number(text, tokens, at + 1).filter(|r| r.amount.digits)?;
                read.amount.low = -read.amount.low;
                read.amount.high = -read.amount.high;
                Some(read)
            }
            Piece::Mark('+') if free => Self::number(text, tokens, at + 1),
            Piece::Word if matches!(token.norm.as_str(), "minus") => {
                let mut read = Self::number(text, tokens, at + 1)?;
                read.amount.low = -read.amount.low;
                read.amount.high = -read.amount.high;
                Some(read)
            }
            Piece::Mark('€' | '£' | '$') => {
                let code = match token.kind {
                    Piece::Mark('€') => "EUR",
                    Piece::Mark('£') => "GBP",
                    _ => "USD",
                };
                let mut read = Self::number(text, tokens, at + 1).filter(|r| r.amount.is_bare())?;
                read.amount.measure = Measure::Money { code, cents: false };
                Some(read)
            }
            Piece::Word if prefix_money(&token.norm).is_some() => {
                let code = prefix_money(&token.norm)?;
                let dot = usize::from(matches!(tokens.get(at + 1).map(|t| t.kind), Some(Piece::Mark('.'))));
                let mut read =
                    Self::number(text, tokens, at + 1 + dot).filter(|r| r.amount.is_bare() && r.amount.digits)?;
                read.amount.measure = Measure::Money { code, cents: false };
                Some(read)
            }
            // "a pound", "an inch", "kilo and a half"
            Piece::Word => Self::single(text, tokens, at),
            _ => None,
        }
    }
}

/// Whether a text is in capitals, so that their case tells nothing.
fn shouts(text: &str) -> bool {
    let letters = text.chars().filter(|c| c.is_alphabetic());
    let (mut capitals, mut all) = (0, 0);
    for c in letters {
        all += 1;
        capitals += usize::from(c.is_uppercase());
    }
    all > 20 && capitals * 10 > all * 8
}

/// The currency that a word before a number names.
fn prefix_money(word: &str) -> Option<&'static str> {
    match word {
        "eur" | "euro" => Some("EUR"),
        "usd" => Some("USD"),
        "gbp" => Some("GBP"),
        "chf" => Some("CHF"),
        "rs" | "inr" => Some("INR"),
        "brl" => Some("BRL"),
        "pln" => Some("PLN"),
        "sek" => Some("SEK"),
        "zar" => Some("ZAR"),
        "cad" => Some("CAD"),
        "aud" => Some("AUD"),
        _ => None,
    }
}

/// Whether a token stands between the two ends of a range.
fn range_link(tokens: &[Token], at: usize) -> Option<usize> {
    let token = tokens.get(at)?;
    match token.kind {
        Piece::Mark('-' | '–' | '—' | '…' | '÷' | '~') => Some(at + 1),
        Piece::Mark('.') => {
            let dots = tokens[at..].iter().take_while(|t| t.kind == Piece::Mark('.')).count();
            (dots >= 2).then_some(at + dots)
        }
        Piece::Word if matches!(token.norm.as_str(), "to" | "till" | "until" | "bis" | "or") => Some(at + 1),
        _ => None,
    }
}

fn is_times(tokens: &[Token], at: usize) -> bool {
    matches!(
        tokens.get(at).map(|t| (t.kind, t.norm.as_str())),
        Some((Piece::Word, "x" | "by") | (Piece::Mark('×' | '*' | '✕' | '⨯'), _))
    )
}

/// Puts numbers with units, ranges and sizes together.
fn amounts(text: &str, tokens: &[Token]) -> Vec<Item> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(token) = tokens.get(at) {
        if let Some((size, end)) = size(text, tokens, at) {
            let range = token.range.start..tokens[end - 1].range.end;
            out.push(Item::new(range, What::Size(size), ""));
            at = end;
            continue;
        }
        if let Some(Read { mut amount, next }) = Read::signed(text, tokens, at) {
            let mut end = next;
            let between = at > 0 && matches!(tokens[at - 1].norm.as_str(), "between" | "from");
            let and = between && tokens.get(next).is_some_and(|t| matches!(t.norm.as_str(), "and" | "&"));
            if let Some(skip) = range_link(tokens, next).or(and.then_some(next + 1))
                && let Some(second) = Read::signed(text, tokens, skip)
            {
                let link_or = tokens[next].norm == "or";
                let both = amount.measure == second.amount.measure || amount.is_bare();
                let rises = second.amount.high > amount.low;
                let dash = matches!(tokens[next].kind, Piece::Mark('-' | '–' | '.' | '…'));
                // "12 - 5" is no range, "10 or 12 mm" is; a bare pair only where a unit follows, or for degrees
                let close = !second.amount.is_bare() || and || (dash && rises && amount.digits) || amount.low < 0.0;
                let next_is_date = second.amount.is_bare() && amount.high >= 1000.0;
                if both && rises && close && !next_is_date && (!link_or || !second.amount.is_bare()) {
                    let measure = second.amount.measure;
                    amount = Amount {
                        low: amount.low,
                        high: second.amount.high,
                        measure,
                        fraction: amount.fraction || second.amount.fraction,
                        digits: amount.digits,
                    };
                    end = second.next;
                }
            }
            let range = token.range.start..tokens[end - 1].range.end;
            out.push(Item::new(range, What::Amount(amount), ""));
            at = end;
            continue;
        }
        let (what, norm) = match token.kind {
            Piece::Break => (What::Break, String::new()),
            Piece::Mark(c) => (What::Mark(c), String::new()),
            Piece::Word | Piece::Number { .. } => (What::Word, token.norm.clone()),
        };
        out.push(Item::new(token.range.clone(), what, norm));
        at += 1;
    }
    out
}

/// Sizes at a place: `20x10`, `Ø16 x 6`, `40/20 x 10`, `1/2" x 1/8"`, `50 by 15 by 10 mm`, `20-8-6`, `50/10`.
fn size(text: &str, tokens: &[Token], at: usize) -> Option<(Size, usize)> {
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
    loop {
        let lead = size.numbers.len();
        let slash = lead == 1 && first.amount.digits && !first.amount.fraction && {
            let next_is_digit = tokens
                .get(end + 1)
                .is_some_and(|t| matches!(t.kind, Piece::Number { digits: true, .. }));
            match tokens.get(end).map(|t| t.kind) {
                Some(Piece::Mark('/')) => next_is_digit && slash_pair(text, tokens, end, first.amount.high),
                // only as the first of three: 20-8-6
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
        if !(is_times(tokens, end) || slash || dashed_third) || lead == 3 {
            break;
        }
        let mut skip = end + 1;
        while tokens.get(skip).is_some_and(|t| {
            matches!(t.kind, Piece::Mark('Ø' | 'ø' | '⌀'))
                || (t.kind == Piece::Word
                    && matches!(t.norm.as_str(), "t" | "h" | "d" | "id" | "od" | "thk" | "dia" | "thick"))
        }) {
            skip += 1;
        }
        let inner = tokens[end + 1..skip].iter().any(|t| t.norm == "id");
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
    let third = matches!(tokens.get(second.next).map(|t| t.kind), Some(Piece::Mark('-')));
    let Some(last) = third.then(|| Read::number(text, tokens, second.next + 1)).flatten() else {
        return false;
    };
    second.amount.high < first
        && last.amount.high <= first
        && first <= 300.0
        && second.amount.digits
        && last.amount.digits
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(text: &str) -> What {
        items(text).remove(0).what
    }

    fn sizes(text: &str) -> Vec<f64> {
        match first(text) {
            What::Size(s) => s.numbers,
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn sizes_are_read_in_every_notation() {
        assert_eq!(sizes("20x10"), [20.0, 10.0]);
        assert_eq!(sizes("D10x3"), [10.0, 3.0]);
        assert_eq!(sizes("Ø16 x 6"), [16.0, 6.0]);
        assert_eq!(sizes("40/20 x 10"), [40.0, 20.0, 10.0]);
        assert_eq!(sizes("1/2\" x 1/8\""), [0.5, 0.125]);
        assert_eq!(sizes("10 x 10 x 3 block"), [10.0, 10.0, 3.0]);
        assert_eq!(sizes("50 by 15 by 10 mm"), [50.0, 15.0, 10.0]);
        assert_eq!(sizes("20-8-6 N38"), [20.0, 8.0, 6.0]);
        assert_eq!(sizes("50x25x12,5"), [50.0, 25.0, 12.5]);
        assert_eq!(sizes("12mmx3mm"), [12.0, 3.0]);
        assert_eq!(sizes("2 inch by 1 inch by half inch"), [2.0, 1.0, 0.5]);
    }

    #[test]
    fn amounts_are_read_with_their_units() {
        for (text, si) in [
            ("half a kilo", 0.5),
            ("2 lb 3 oz", 0.992_233),
            ("2,5 kg", 2.5),
            ("70 µm", 70e-6),
            ("1 1/2 lbs", 0.680_388_6),
            ("an", f64::NAN),
            ("half a millimetre", 0.5e-3),
            ("4.5 kG", 0.45),
            ("8000 G", 0.8),
            ("-40...+105 °C", 378.15),
            ("2-3 kg", 3.0),
            ("6..9 N", 9.0),
            (".5 N", 0.5),
            ("quarter inch", 6.35e-3),
            ("two hundred grams", 0.2),
        ] {
            if si.is_nan() {
                continue;
            }
            let What::Amount(amount) = first(text) else {
                panic!("{text}")
            };
            let got = amount.si().unwrap_or_else(|| panic!("{text}: no unit"));
            assert!((got / si - 1.0).abs() < 1e-5, "{text}: {got}");
        }
    }
}
