//! Single cells: lengths, masses, counts, texts, links.

use quantity::{Convention, Force, Kind, Length, Load, Mass, ParseError, Quantity, Unit, parse_with_default};

use super::decimal;
use super::table::Cell;
use super::vocabulary::{StockWord, vocabulary};
use crate::exact;

/// Why a cell does not fit: what is wrong, what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Misfit {
    pub(crate) wrong: String,
    pub(crate) right: String,
}

impl Misfit {
    pub(crate) fn new(wrong: impl Into<String>, right: impl Into<String>) -> Self {
        Self {
            wrong: wrong.into(),
            right: right.into(),
        }
    }

    fn parse(error: &ParseError, right: &str) -> Self {
        Self::new(
            error.to_string(),
            error.hint.clone().unwrap_or_else(|| right.to_owned()),
        )
    }
}

/// The outcome of reading a cell; `None` for an empty one.
pub(crate) type Read<T> = Result<Option<T>, Misfit>;

/// Refuses what a workbook could not make sense of.
pub(crate) fn sound<'a>(cell: &'a Cell, what: &str) -> Result<&'a Cell, Misfit> {
    match cell {
        Cell::Date(_) => Err(Misfit::new(
            format!("the spreadsheet program has turned this {what} into a date"),
            "format the cells as text and type it again",
        )),
        Cell::Error(_) => Err(Misfit::new(
            format!("the {what} is an error of the spreadsheet"),
            "put the formula right, or type the value",
        )),
        cell => Ok(cell),
    }
}

/// Refuses text that a spreadsheet program would run, where a number is due.
pub(crate) fn number_text<'a>(text: &'a str, what: &str) -> Result<&'a str, Misfit> {
    if text.starts_with(['=', '@']) {
        return Err(Misfit::new(
            format!("the {what} is the text of a formula"),
            "the number that the formula gives",
        ));
    }
    Ok(text)
}

/// Whether an empty-looking text stands for nothing.
pub(crate) fn is_blank(text: &str) -> bool {
    matches!(
        text.to_lowercase().as_str(),
        "" | "-" | "–" | "—" | "--" | "n/a" | "na" | "n.a." | "none" | "?" | "." | "/"
    )
}

/// A length, snapped; 0 where a list puts that for a side that a shape does not have.
pub(crate) fn length(cell: &Cell, what: &str, unit: Unit, convention: Convention) -> Read<Length> {
    // "Ø 12" in a column of diameters.
    let bare = match cell {
        Cell::Text(text) => &Cell::text(text.trim_start_matches(['ø', 'Ø', '⌀', '∅', ' '])),
        other => other,
    };
    let read = quantity::<Length>(bare, what, unit, convention, "a size such as 3 mm")?;
    if let Some(length) = read
        && length.0 < 0.0
    {
        return Err(Misfit::new(
            format!("{what} must be greater than 0"),
            "a size such as 3 mm",
        ));
    }
    Ok(read.map(exact::length))
}

/// A tolerance: `0.1`, `±0.1 mm`, `+/- 0.1`; positive or zero.
pub(crate) fn tolerance(cell: &Cell, unit: Unit, convention: Convention) -> Read<Length> {
    let right = "plus or minus a length, such as ±0.1 mm";
    let bare = match cell {
        Cell::Text(text) => Cell::text(text.trim_start_matches(['±', '+', '/', '-', '−', ' '])),
        other => other.clone(),
    };
    match quantity::<Length>(&bare, "tolerance", unit, convention, right)?.map(exact::length) {
        Some(tolerance) if !(0.0..=0.01).contains(&tolerance.0) => {
            Err(Misfit::new("the tolerance must lie between 0 and 10 mm", right))
        }
        tolerance => Ok(tolerance),
    }
}

/// The heaviest magnet that is believed, kg.
const HEAVIEST: f64 = 1e4;

/// A mass, positive and snapped.
pub(crate) fn mass(cell: &Cell, unit: Unit, convention: Convention) -> Read<Mass> {
    let right = "a mass such as 4.5 g, or nothing";
    match quantity::<Mass>(cell, "mass", unit, convention, right)?.map(exact::mass) {
        Some(mass) if mass.0 > 0.0 && mass.0 <= HEAVIEST => Ok(Some(mass)),
        Some(_) => Err(Misfit::new("the mass must be greater than 0 and at most 10 t", right)),
        None => Ok(None),
    }
}

/// The strongest pull of goods that is believed, N.
const STRONGEST: f64 = 1e5;

/// A pull: a force, or the mass that it lifts, in the unit of its heading where it states none itself.
pub(crate) fn pull(cell: &Cell, unit: Option<Unit>, convention: Convention) -> Read<Force> {
    let right = "a pull such as 180 N, 18 kg or 40 lb, or its unit in the heading";
    let newtons = |si: f64| match unit.map(Unit::kind) {
        Some(Kind::Force) => Some(Force(si)),
        Some(Kind::Mass) => Some(Mass(si).weight()),
        _ => None,
    };
    let no_unit = || Misfit::new("the stated pull has no unit", right);
    let read = match sound(cell, "stated pull")? {
        Cell::Number(number) => unit
            .and_then(|unit| newtons(unit.to_si(*number)))
            .map(Some)
            .ok_or_else(no_unit)?,
        Cell::FormulaZero => return Err(not_computed()),
        Cell::Text(text) if !is_blank(text) => {
            let text = decimal::pointed(number_text(text, "stated pull")?, convention);
            // A pull for each square centimetre is none of the piece.
            if text.contains("/cm") {
                return Ok(None);
            }
            let bare = vocabulary().without_about(&text);
            let in_unit = || {
                let unit = unit?;
                match unit.kind() {
                    Kind::Force => parse_with_default::<Force>(bare, unit).ok(),
                    Kind::Mass => parse_with_default::<Mass>(bare, unit).ok().map(|mass| mass.weight()),
                    _ => None,
                }
            };
            match (Load::parse(bare), in_unit()) {
                (Ok(load), _) => Some(load.force()),
                (Err(_), Some(force)) => Some(force),
                (Err(_), None) if bare.parse::<f64>().is_ok() => return Err(no_unit()),
                // "12 kg / 118 N" says it twice.
                (Err(error), None) => Some(one_pull(bare, true).ok_or_else(|| Misfit::parse(&error, right))?),
            }
        }
        _ => None,
    };
    match read {
        Some(force) if !(force.0 > 0.0 && force.0 <= STRONGEST) => Err(Misfit::new(
            "the stated pull must be greater than 0 and at most 100 kN",
            right,
        )),
        read => Ok(read),
    }
}

/// The one pull that a text names: a force, or a mass where the text says that it is pulled.
pub(crate) fn pull_within(text: &str) -> Option<Force> {
    one_pull(text, vocabulary().names_a_pull(text))
}

/// The one pull that a text of a pot or a hook names, a mass too.
pub(crate) fn pull_or_mass_within(text: &str) -> Option<Force> {
    one_pull(text, true)
}

/// The one pull in a text, where a mass may be one.
fn one_pull(text: &str, is_pull: bool) -> Option<Force> {
    // "7 KG" in a text of capitals.
    pull_as_written(text, is_pull).or_else(|| pull_as_written(&text.to_lowercase(), is_pull))
}

fn pull_as_written(text: &str, is_pull: bool) -> Option<Force> {
    let begins = text.char_indices().filter(|(at, c)| {
        let before = text[..*at].chars().next_back();
        c.is_ascii_digit()
            && before.is_none_or(|before| !before.is_alphanumeric() && !matches!(before, '.' | ',' | '/'))
    });
    let mut found = begins.filter_map(|(at, _)| match Load::scan(&text[at..])?.ok()?.0 {
        Load::Force(force) => Some(force),
        Load::Mass(mass) if is_pull => Some(mass.weight()),
        Load::Mass(_) => None,
    });
    let first = found.next()?;
    let is_one = found.all(|other| (other.0 / first.0 - 1.0).abs() < SAME_PULL);
    (is_one && first.0 > 0.0 && first.0 <= STRONGEST).then_some(first)
}

/// A text that states a pull twice, in newtons and in kilograms, rounds it by less than this part.
const SAME_PULL: f64 = 0.05;

fn quantity<Q: Quantity>(cell: &Cell, what: &str, unit: Unit, convention: Convention, right: &str) -> Read<Q> {
    match sound(cell, what)? {
        Cell::Number(number) => Ok(Some(Q::from_si(unit.to_si(*number)))),
        Cell::FormulaZero => Err(not_computed()),
        Cell::Text(text) if !is_blank(text) => {
            let text = decimal::pointed(number_text(text, what)?, convention);
            parse_with_default(&text, unit)
                .map(Some)
                .map_err(|error| Misfit::parse(&error, right))
        }
        _ => Ok(None),
    }
}

/// A formula whose stored result may be none.
pub(crate) fn not_computed() -> Misfit {
    Misfit::new(
        "the formula has the result 0, or was never computed",
        "open the file in a spreadsheet program and save it, or type the value",
    )
}

/// A whole number of pieces.
pub(crate) fn count(cell: &Cell, what: &str) -> Read<u64> {
    let wrong = |got: &str| {
        Misfit::new(
            format!("{what} must be a whole number, got \"{got}\""),
            "a number of pieces such as 40, or nothing",
        )
    };
    match sound(cell, what)? {
        Cell::FormulaZero => Ok(Some(0)),
        // Beyond 2^53 a float no longer counts single pieces.
        Cell::Number(number) if *number >= 0.0 && number.fract() == 0.0 && *number < 9e15 => Ok(Some(*number as u64)),
        Cell::Number(number) => Err(wrong(&number.to_string())),
        Cell::Text(text) if !is_blank(text) => {
            let text = number_text(text, what)?;
            // "> 100", "100+": at least so many.
            let bare = vocabulary()
                .without_about(text)
                .trim_start_matches(['>', '≥', '=', '~'])
                .trim_end_matches('+')
                .trim();
            decimal::whole(without_pieces(bare))
                .filter(|count| *count < 9_000_000_000_000_000)
                .map(Some)
                .ok_or_else(|| wrong(&super::text::excerpt(text)))
        }
        _ => Ok(None),
    }
}

/// Pieces on hand: a number as for [`count`], one in brackets behind words, or words that say that there are none; words such
/// as *in stock* or *ask* leave the number unsaid.
pub(crate) fn stock(cell: &Cell) -> Read<u64> {
    let Cell::Text(text) = cell else {
        return count(cell, "stock");
    };
    let inside = text
        .split_once(['(', '['])
        .and_then(|(_, rest)| rest.split_once([')', ']']));
    let bracket = inside.and_then(|(number, _)| decimal::whole(without_pieces(number.trim())));
    let before = text.split(['(', '[']).next().unwrap_or_default();
    match vocabulary().stock(before) {
        Some(StockWord::Out) => Ok(Some(0)),
        Some(StockWord::Unsaid) => Ok(bracket),
        None => count(cell, "stock"),
    }
}

/// For how many pieces a price is: `100`, `per 10`, `per 100 pcs`, `each`.
pub(crate) fn price_unit(cell: &Cell) -> Read<u64> {
    let Cell::Text(text) = cell else {
        return count(cell, "price unit");
    };
    let words = super::text::words(text);
    // "x25", "pk10": the letters before the number say that it counts.
    let bare = |word: &String| word.trim_start_matches(char::is_alphabetic).to_owned();
    let number = words
        .iter()
        .map(bare)
        .find(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    match number {
        None if vocabulary().is_one_piece(&words) => Ok(Some(1)),
        None => count(cell, "price unit"),
        Some(number) => decimal::whole(without_pieces(&number))
            .filter(|pieces| *pieces >= 1)
            .map(Some)
            .ok_or_else(|| {
                let wrong = format!("\"{}\" is no number of pieces", super::text::excerpt(text));
                Misfit::new(wrong, "a number such as 100, or each")
            }),
    }
}

/// Takes a word for pieces off the end: `40 pcs`.
pub(crate) fn without_pieces(text: &str) -> &str {
    let number = text.trim_end_matches(|c: char| c.is_alphabetic() || c == '.' || c.is_whitespace());
    let word = text[number.len()..].trim().trim_matches('.').to_lowercase();
    let words = [
        "", "pcs", "pc", "pieces", "piece", "stk", "st", "stück", "pz", "pièces", "uds", "stuks", "pk", "pks", "pkt",
        "packs", "m",
    ];
    if words.contains(&word.as_str()) { number } else { text }
}

/// Free text on one line; control characters become blanks.
pub(crate) fn text(cell: &Cell, what: &str) -> Read<String> {
    let text = sound(cell, what)?.shown();
    let clean: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let clean = clean.trim();
    Ok((!clean.is_empty()).then(|| clean.to_owned()))
}

/// The longest item code, characters.
const LONGEST_CODE: usize = 64;

/// The code of an item.
pub(crate) fn code(cell: &Cell) -> Read<String> {
    let Some(code) = text(cell, "code")? else {
        return Ok(None);
    };
    if code.starts_with(crate::export::FORMULA_STARTS) {
        return Err(Misfit::new(
            "a code must not start with =, +, - or @, because a spreadsheet program would run it as a formula",
            "a code that starts with a letter or digit, such as 14-07",
        ));
    }
    if code.chars().count() > LONGEST_CODE {
        return Err(Misfit::new(
            format!("the code has more than {LONGEST_CODE} characters"),
            "a shorter code, such as 14-07",
        ));
    }
    Ok(Some(code))
}

/// A web address; only such that are safe to follow.
pub(crate) fn link(cell: &Cell) -> Read<String> {
    let Some(link) = text(cell, "link")? else {
        return Ok(None);
    };
    let lower = link.to_ascii_lowercase();
    let host = lower.strip_prefix("https://").or_else(|| lower.strip_prefix("http://"));
    if host.is_none_or(str::is_empty) || link.contains(char::is_whitespace) {
        return Err(Misfit::new(
            "the link is not a web address",
            "an address that starts with https://",
        ));
    }
    Ok(Some(link))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> Read<Length> {
        length(&Cell::text(text), "thickness", Unit::MILLIMETRE, Convention::Auto)
    }

    #[test]
    fn lengths_with_and_without_units() {
        assert_eq!(mm("3"), Ok(Some(Length(0.003))));
        assert_eq!(mm("1/8 in"), Ok(Some(Length(0.003_175))));
        assert_eq!(mm("0,4"), Ok(Some(Length(0.0004))));
        assert_eq!(mm("-"), Ok(None));
        assert_eq!(mm(""), Ok(None));
        assert_eq!(
            mm("-3").unwrap_err(),
            Misfit::new("thickness must be greater than 0", "a size such as 3 mm")
        );
        assert_eq!(mm("0"), Ok(Some(Length(0.0))));
        assert!(mm("=3+4").unwrap_err().wrong.contains("formula"));
        assert!(mm("thick").is_err());
        assert!(
            length(
                &Cell::Date("2026-05-10".into()),
                "thickness",
                Unit::MILLIMETRE,
                Convention::Auto
            )
            .unwrap_err()
            .wrong
            .contains("date")
        );
        assert!(
            length(&Cell::FormulaZero, "thickness", Unit::MILLIMETRE, Convention::Auto)
                .unwrap_err()
                .wrong
                .contains("never computed")
        );
    }

    #[test]
    fn counts_are_whole() {
        let read = |text| count(&Cell::text(text), "stock");
        assert_eq!(read("1,240"), Ok(Some(1_240)));
        assert_eq!(read("40 pcs"), Ok(Some(40)));
        assert_eq!(read(">100"), Ok(Some(100)));
        assert_eq!(read("0"), Ok(Some(0)));
        assert_eq!(read("n/a"), Ok(None));
        assert_eq!(
            read("plenty").unwrap_err().wrong,
            "stock must be a whole number, got \"plenty\""
        );
        assert!(read("-4").is_err());
        assert!(read("99999999999999999999").is_err());
        assert!(count(&Cell::Number(2.5), "stock").is_err());
        assert_eq!(count(&Cell::Number(12.0), "stock"), Ok(Some(12)));
    }

    #[test]
    fn tolerances_masses_codes_and_links() {
        let tol = |text| tolerance(&Cell::text(text), Unit::MILLIMETRE, Convention::Auto);
        assert_eq!(tol("±0.1"), Ok(Some(Length(0.0001))));
        assert_eq!(tol("+/- 0.05 mm"), Ok(Some(Length(0.00005))));
        assert!(tol("±20 mm").is_err());
        assert_eq!(
            mass(&Cell::text("4,5"), Unit::GRAM, Convention::Auto),
            Ok(Some(Mass(0.0045)))
        );
        for wrong in [
            Cell::text("-4"),
            Cell::text("1e-9"),
            Cell::text("1e99"),
            Cell::Number(1e308),
        ] {
            assert!(mass(&wrong, Unit::GRAM, Convention::Auto).is_err(), "{wrong:?}");
        }
        assert_eq!(code(&Cell::text("14-07")), Ok(Some("14-07".into())));
        assert!(
            code(&Cell::text("=cmd|' /C calc'!A0"))
                .unwrap_err()
                .wrong
                .contains("formula")
        );
        assert!(code(&Cell::text(&"x".repeat(65))).is_err());
        assert!(link(&Cell::text("https://example.org/a")).is_ok());
        assert!(link(&Cell::text("javascript:alert(1)")).is_err());
        assert!(link(&Cell::text("https://")).is_err());
    }

    #[test]
    fn control_characters_in_text_become_blanks() {
        assert_eq!(text(&Cell::text("a\u{7}b\nc"), "note"), Ok(Some("a b c".into())));
    }
}
