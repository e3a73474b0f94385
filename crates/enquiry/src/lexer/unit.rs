//! Units and money, as people spell them.

use std::sync::LazyLock;

use quantity::{Kind, Unit};
use serde::Deserialize;

use super::Measure;
use super::piece::{Piece, Token};

/// Spellings beyond the usual ones.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Spellings {
    unit: Vec<UnitRow>,
    money: Vec<MoneyRow>,
    /// Words after `in` that make an inch of it.
    after_in: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct UnitRow {
    /// As `quantity` names it.
    unit: String,
    words: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MoneyRow {
    /// ISO 4217.
    code: String,
    #[serde(default)]
    signs: Vec<char>,
    /// After an amount.
    #[serde(default)]
    words: Vec<String>,
    /// Before an amount.
    #[serde(default)]
    before: Vec<String>,
    /// Hundredths, after an amount.
    #[serde(default)]
    cents: Vec<String>,
}

static SPELLINGS: LazyLock<Spellings> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "the data is part of the program and every test reads it"
    )]
    toml::from_str(include_str!("../../data/measures.toml")).expect("data/measures.toml is well formed")
});

impl Spellings {
    fn money_after(&'static self, word: &str) -> Option<Measure> {
        self.money.iter().find_map(|row| {
            let cents = row.cents.iter().any(|w| w == word);
            (cents || row.words.iter().any(|w| w == word)).then_some(Measure::Money { code: &row.code, cents })
        })
    }
}

/// The currency of a sign.
pub(super) fn money_sign(piece: Piece) -> Option<&'static str> {
    let Piece::Mark(sign) = piece else { return None };
    let row = SPELLINGS.money.iter().find(|row| row.signs.contains(&sign))?;
    Some(&row.code)
}

/// The currency that a word before a number names.
pub(super) fn money_before(word: &str) -> Option<&'static str> {
    let row = SPELLINGS
        .money
        .iter()
        .find(|row| row.before.iter().any(|w| w == word))?;
    Some(&row.code)
}

/// The unit that a word is, as customers spell it beyond the usual ways.
pub(super) fn unit_at(word: &str) -> Option<Unit> {
    let lower = word.to_lowercase();
    if matches!(
        lower.as_str(),
        "in" | "m" | "c" | "f" | "k" | "t" | "n" | "g" | "'" | "’" | "′"
    ) {
        return None;
    }
    let row = SPELLINGS.unit.iter().find(|row| row.words.contains(&lower));
    row.map_or_else(
        || Unit::named(word).or_else(|| Unit::named(&lower)),
        |row| Unit::named(&row.unit),
    )
}

/// The unit at a place and where it ends.
pub(super) fn unit(text: &str, tokens: &[Token], at: usize, value: f64) -> Option<(Measure, usize)> {
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
                _ => money_sign(token.kind).map(|code| (Measure::Money { code, cents: c == '¢' }, at + 1)),
            }
        }
        Piece::Word => {
            let norm = token.norm.as_str();
            let next_mark = tokens.get(at + 1).map(|t| t.kind);
            let one = |unit| Some((Measure::Unit(unit), at + 1));
            if matches!(norm, "gauge" | "ga" | "swg" | "awg" | "guage" | "gage") {
                return Some((Measure::Gauge, at + 1));
            }
            if norm == "percent" {
                return Some((Measure::Percent, at + 1));
            }
            if let Some(measure) = SPELLINGS.money_after(norm) {
                return Some((measure, at + 1));
            }
            if norm == "pounds" && next_word(at + 1) == "sterling" {
                return SPELLINGS.money_after("gbp").map(|measure| (measure, at + 2));
            }
            if norm == "us"
                && let Some(measure) = SPELLINGS.money_after(next_word(at + 1))
            {
                return Some((measure, at + 2));
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
                // "T 5" is a thickness.
                "T" if value <= 3.0 || !glued && !matches!(next_mark, Some(Piece::Number { .. })) => {
                    return one(Unit::TESLA);
                }
                "K" if value >= 200.0 => return one(Unit::KELVIN),
                "m" | "M" if value <= 100.0 => return one(Unit::METRE),
                "C" | "c" => return one(Unit::CELSIUS),
                "F" | "f" if value > 0.0 => return one(Unit::FAHRENHEIT),
                _ => {}
            }
            if norm == "in" || norm == "in." {
                let word = next_word(at + 1);
                let inch = (word.is_empty() && !matches!(next_mark, Some(Piece::Number { .. })))
                    || SPELLINGS.after_in.iter().any(|w| w == word);
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
            if matches!(norm, "ka" | "a") && matches!(next_mark, Some(Piece::Mark('/'))) && next_word(at + 2) == "m" {
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
