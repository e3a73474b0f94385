//! Which field each column of a price list is, by its heading.

use std::collections::HashMap;
use std::sync::LazyLock;

use quantity::{Currency, Kind, Unit};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::field::Field;
use super::table::{Cell, HEADING_LINES, Line, Table};
use super::text::{excerpt, folded, words};

/// A column of a price list, as recognised. May be changed before an import.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct Column {
    /// The heading as it stands in the file.
    pub heading: String,
    /// What it holds; `None` for a column that is not read.
    #[schema(value_type = Option<String>)]
    pub field: Option<Field>,
    /// The unit that the heading states, for sizes and masses.
    #[schema(value_type = Option<String>)]
    #[serde(serialize_with = "unit_label")]
    pub unit: Option<Unit>,
    /// The currency that the heading states, for prices.
    #[schema(value_type = Option<String>)]
    pub currency: Option<Currency>,
    /// What the reader may want to know about the recognition.
    pub remark: Option<String>,
    /// Whether somebody has said what it holds.
    pub chosen: bool,
    /// The first different texts below it, at most three.
    pub examples: Vec<String>,
}

/// So many different texts of a column are shown.
const MOST_EXAMPLES: usize = 3;
/// They are looked for in so many lines.
const EXAMPLE_LINES: usize = 200;

fn unit_label<S: serde::Serializer>(unit: &Option<Unit>, serializer: S) -> Result<S::Ok, S::Error> {
    unit.map(Unit::label).serialize(serializer)
}

/// Recognises each column of a table by its heading, in the order of the headings.
pub fn recognise(table: &Table) -> Vec<Column> {
    let mut columns = columns(&table.headings);
    for (at, column) in columns.iter_mut().enumerate() {
        for line in table.lines.iter().take(EXAMPLE_LINES) {
            let text = excerpt(&line.cell(at).shown());
            if !text.is_empty() && !column.examples.contains(&text) {
                column.examples.push(text);
            }
            if column.examples.len() == MOST_EXAMPLES {
                break;
            }
        }
    }
    settle_texts(&mut columns);
    settle_units(&mut columns, &table.titles);
    columns
}

/// A list without a name has it in the first column of words that is not read: its heading may be one of codes, too.
fn settle_texts(columns: &mut [Column]) {
    if columns
        .iter()
        .any(|column| matches!(column.field, Some(Field::Name | Field::Description)))
    {
        return;
    }
    let is_text = |text: &String| text.contains(' ') && text.contains(char::is_alphabetic);
    let is_of_texts = |column: &&mut Column| {
        let texts = column.examples.iter().filter(|text| is_text(text)).count();
        column.field.is_none() && texts * 2 > column.examples.len()
    };
    if let Some(column) = columns.iter_mut().find(is_of_texts) {
        column.field = Some(Field::Name);
        column.remark = Some("read as the name, since it holds words".to_owned());
    }
}

/// Units that a line above the headings names for a column: `Haftkraft in kg`, `weight in g`.
fn settle_units(columns: &mut [Column], titles: &[(u32, String)]) {
    for (line, title) in titles {
        let title = words(title);
        for column in columns.iter_mut().filter(|column| column.unit.is_none()) {
            let heading = words(&column.heading);
            let named = |field: Field| {
                let at = title
                    .windows(heading.len().max(1))
                    .position(|window| *window == *heading)?;
                let [is, unit] = title.get(at + heading.len()..at + heading.len() + 2)? else {
                    return None;
                };
                let unit = Unit::named(unit).filter(|_| is == "in")?;
                field.takes(unit).then_some(unit)
            };
            if let Some(unit) = column.field.and_then(named) {
                column.unit = Some(unit);
                column.remark = Some(format!("in {} by line {line}", unit.label()));
            }
        }
    }
}

/// Recognises headings.
pub(crate) fn columns(headings: &[String]) -> Vec<Column> {
    let mut columns: Vec<Column> = headings.iter().map(|heading| column(heading)).collect();
    settle_letters(&mut columns);
    settle_packs(&mut columns);
    drop_repeated(&mut columns);
    columns
}

#[derive(Deserialize)]
struct Names {
    names: Vec<String>,
}

#[derive(Deserialize)]
struct PriceWords {
    names: Vec<String>,
    pieces: Vec<String>,
    per: Vec<String>,
}

#[derive(Deserialize)]
struct Headings {
    price: PriceWords,
    pack: Names,
    #[serde(flatten)]
    fields: HashMap<Field, Names>,
}

struct Lexicon {
    /// Folded names with the number of letters that decides between two in one heading.
    fields: Vec<(Vec<String>, Field)>,
    price: Vec<Vec<String>>,
    pieces: Vec<Vec<String>>,
    per: Vec<String>,
    pack: Vec<Vec<String>>,
}

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let headings: Headings = toml::from_str(include_str!("../../data/headings.toml"))
        .unwrap_or_else(|error| unreachable!("the embedded word lists are read by a test: {error}"));
    let split = |names: Vec<String>| names.iter().map(|name| words(name)).collect::<Vec<_>>();
    Lexicon {
        fields: headings
            .fields
            .into_iter()
            .flat_map(|(field, list)| split(list.names).into_iter().map(move |name| (name, field)))
            .collect(),
        pack: split(headings.pack.names),
        price: split(headings.price.names),
        pieces: split(headings.price.pieces),
        per: headings.price.per.iter().map(|word| folded(word)).collect(),
    }
});

/// A longer text is not a heading, bytes.
const LONGEST_HEADING: usize = 200;

fn column(heading: &str) -> Column {
    if heading.len() > LONGEST_HEADING {
        return Column {
            heading: excerpt(heading),
            field: None,
            unit: None,
            currency: None,
            remark: None,
            chosen: false,
            examples: Vec::new(),
        };
    }
    let (bare, mut unit, mut currency) = without_unit(heading);
    let found = words(&bare);
    let lexicon = &*LEXICON;
    let exact = lexicon
        .fields
        .iter()
        .find(|(name, _)| *name == found)
        .map(|(_, field)| *field);
    let price = || price_field(heading, currency.is_some());
    let within = || {
        let inside = lexicon
            .fields
            .iter()
            .filter(|(name, _)| letters(name) >= 3 && contains(&found, name));
        inside
            .max_by_key(|(name, field)| (letters(name), folded_order(*field)))
            .map(|(_, field)| *field)
    };
    let (field, remark) = match exact {
        Some(field) => (Some(field), None),
        None => match price() {
            Some((field, remark)) => (Some(field), remark),
            None => (within(), None),
        },
    };
    if unit.is_some_and(|unit| !field.is_some_and(|field| field.takes(unit))) {
        unit = None;
    }
    if !matches!(field, Some(Field::Price { .. })) {
        currency = None;
    }
    Column {
        heading: heading.trim().to_owned(),
        field,
        unit,
        currency,
        remark,
        chosen: false,
        examples: Vec::new(),
    }
}

/// A fixed order among fields, so that a draw is always decided the same way.
fn folded_order(field: Field) -> std::cmp::Reverse<String> {
    std::cmp::Reverse(field.to_string())
}

fn letters(name: &[String]) -> usize {
    name.iter().map(|word| word.chars().count()).sum()
}

fn contains(words: &[String], name: &[String]) -> bool {
    words.windows(name.len()).any(|window| window == name)
}

/// A heading without the unit and currency in it: in brackets, or as its last word.
fn without_unit(heading: &str) -> (String, Option<Unit>, Option<Currency>) {
    let mut bare = String::with_capacity(heading.len());
    let (mut unit, mut currency) = (None, None);
    let measure = |text: &str| {
        let text = text.trim().trim_start_matches("in ");
        let text = if text == "zoll" || text == "Zoll" { "in" } else { text };
        let named = |text: &str| {
            Unit::named(text).filter(|unit| matches!(unit.kind(), Kind::Length | Kind::Mass | Kind::Force))
        };
        named(text).or_else(|| named(&text.to_lowercase()))
    };
    let mut rest = heading;
    while let Some(open) = rest.find(['(', '[', '{']) {
        let (before, bracket) = rest.split_at(open);
        bare.push_str(before);
        let end = bracket.find([')', ']', '}']).unwrap_or(bracket.len());
        let inside = bracket.get(1..end).unwrap_or("");
        // "(kg unless stated)": a unit of force or mass with a remark.
        let first = inside.split_whitespace().next();
        let remarked = || first.and_then(measure).filter(|unit| unit.kind() != Kind::Length);
        if let Some(found) = measure(inside).or_else(remarked) {
            unit = Some(found);
        } else if let Some(found) = currency_named(inside) {
            currency = Some(found);
        } else {
            bare.push(' ');
            bare.push_str(inside);
        }
        bare.push(' ');
        rest = bracket.get(end + 1..).unwrap_or("");
    }
    bare.push_str(rest);
    if currency.is_none() {
        currency = bare
            .split(|c: char| c.is_whitespace() || "/,;:-".contains(c))
            .find_map(currency_named);
    }
    if unit.is_none() {
        let at = bare
            .trim_end()
            .rfind(|c: char| c.is_whitespace() || "/,;:_".contains(c));
        let last = at.map(|at| at + bare[at..].chars().next().map_or(1, char::len_utf8));
        if let Some((start, found)) = last.and_then(|start| Some((start, measure(&bare[start..])?))) {
            unit = Some(found);
            bare.truncate(start);
            let kept = bare
                .trim_end_matches(|c: char| !c.is_alphanumeric() && c != 'ø' && c != 'Ø' && c != '⌀')
                .len();
            let kept = bare[..kept].strip_suffix(" in").map_or(kept, str::len);
            bare.truncate(kept);
        }
    }
    (bare, unit, currency)
}

/// A code in capitals or a symbol: `EUR`, `€`. A word in small letters is not a code.
fn currency_named(text: &str) -> Option<Currency> {
    let text = text.trim();
    let is_code = text.len() == 3 && text.chars().all(|c| c.is_ascii_uppercase());
    let currency: Currency = text.parse().ok()?;
    let is_symbol = !text.chars().all(char::is_alphanumeric);
    let known = currency.symbol() != currency.code() || currency.code() == "CHF";
    ((is_code && known) || is_symbol).then_some(currency)
}

/// The price that a heading stands for: `price 10+`, `ab 100 Stk`, `€/100`, `1-9 pcs`, `100+`.
fn price_field(heading: &str, has_currency: bool) -> Option<(Field, Option<String>)> {
    let lexicon = &*LEXICON;
    let found = words(&spaced(heading));
    let has = |names: &[Vec<String>]| names.iter().any(|name| contains(&found, name));
    let is_price = has_currency || heading.contains(['€', '$', '£', '¥']) || has(&lexicon.price);
    let numbers = numbers(heading);
    let number = numbers.first().copied();
    let open_ended = number.is_some() && heading.trim_end().ends_with('+');
    let only_number = !heading.trim().is_empty() && heading.trim().chars().all(|c| c.is_ascii_digit());
    if !(is_price || open_ended || only_number || (number.is_some() && has(&lexicon.pieces))) {
        return None;
    }
    let Some(number) = number.filter(|number| *number >= 1) else {
        return is_price.then_some((Field::Price { from: 1, per: 1 }, None));
    };
    let per = found
        .iter()
        .position(|word| word.parse() == Ok(number))
        .and_then(|at| at.checked_sub(1));
    if per
        .and_then(|at| found.get(at))
        .is_some_and(|word| lexicon.per.contains(word))
        && number > 1
    {
        let remark = format!("read as the price of {number} pieces together");
        return Some((Field::Price { from: 1, per: number }, Some(remark)));
    }
    let remark =
        (!is_price || heading.contains('/')).then(|| format!("read as the price of one piece from {number} on"));
    Some((Field::Price { from: number, per: 1 }, remark))
}

/// A blank between digits and letters: `10pcs`, `ab100`.
fn spaced(text: &str) -> String {
    let mut spaced = String::with_capacity(text.len() + 4);
    let mut before: Option<char> = None;
    for c in text.chars() {
        let turns = before
            .is_some_and(|b| (b.is_ascii_digit() && c.is_alphabetic()) || (b.is_alphabetic() && c.is_ascii_digit()));
        if turns {
            spaced.push(' ');
        }
        // A separator of thousands inside a number: "1,000+".
        if !(matches!(c, ',' | '.' | '\'') && before.is_some_and(|b| b.is_ascii_digit())) {
            spaced.push(c);
        }
        before = Some(c);
    }
    spaced
}

/// The whole numbers in a heading.
fn numbers(heading: &str) -> Vec<u64> {
    spaced(heading)
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|run| run.parse().ok())
        .collect()
}

/// Letters whose meaning depends on the other columns: `ID` and `d` are the hole where another column is the outer
/// diameter; else `ID` is the code and `d` the diameter.
fn settle_letters(columns: &mut [Column]) {
    let bare = |column: &Column| without_unit(&column.heading).0.trim().to_owned();
    let is_letter = |column: &Column| matches!(bare(column).as_str(), "ID" | "id" | "Id" | "d");
    let has_outer = columns
        .iter()
        .any(|column| column.field == Some(Field::Diameter) && !is_letter(column));
    let has_hole = columns.iter().any(|column| column.field == Some(Field::InnerDiameter));
    for column in columns.iter_mut() {
        let letter = bare(column);
        let has_unit = column.unit.is_some() || without_unit(&column.heading).1.is_some();
        match letter.as_str() {
            "ID" | "id" | "Id" if (has_outer || has_unit) && !has_hole => column.field = Some(Field::InnerDiameter),
            "d" if has_outer && !has_hole => column.field = Some(Field::InnerDiameter),
            _ => continue,
        }
        column.unit = without_unit(&column.heading).1;
    }
}

/// A column of packs says how many pieces the prices are for where the heading of a price is that of a pack.
fn settle_packs(columns: &mut [Column]) {
    let pack = &LEXICON.pack;
    let has_pack = |column: &Column| {
        let found = words(&column.heading);
        pack.iter().any(|name| contains(&found, name))
    };
    let is_price = |column: &Column| matches!(column.field, Some(Field::Price { .. }));
    if !columns.iter().any(|column| is_price(column) && has_pack(column)) {
        return;
    }
    let free = columns
        .iter_mut()
        .find(|column| column.field.is_none() && has_pack(column));
    if let Some(column) = free {
        column.field = Some(Field::PricePer);
        column.remark = Some("read as the number of pieces that the prices are for".to_owned());
    }
    let of_stock = columns
        .iter_mut()
        .find(|column| column.field == Some(Field::Stock) && has_pack(column));
    if let Some(column) = of_stock {
        column.remark = Some("packs are counted as pieces: there are at least so many".to_owned());
    }
}

/// A field is read from its first column only; a second name is a text to read from.
fn drop_repeated(columns: &mut [Column]) {
    let mut seen: Vec<(Field, String)> = Vec::new();
    for column in columns.iter_mut() {
        let Some(field) = column.field else { continue };
        let same = |(other, _): &&(Field, String)| other.is_same_as(field);
        match seen.iter().find(same) {
            None => seen.push((field, column.heading.clone())),
            Some(_) if field == Field::Name && !seen.iter().any(|(other, _)| *other == Field::Description) => {
                seen.push((Field::Description, column.heading.clone()));
                column.field = Some(Field::Description);
            }
            Some((_, first)) => {
                column.remark = Some(format!("not read, because \"{first}\" is the {field} already"));
                column.field = None;
            }
        }
    }
}

#[cfg(test)]
#[path = "heading_tests.rs"]
mod tests;

/// Which of the first lines is the headings, if any has at least two that are recognised.
pub(crate) fn heading_line(lines: &[Line]) -> Option<usize> {
    let scores = lines
        .iter()
        .take(HEADING_LINES)
        .enumerate()
        .map(|(at, line)| (heading_score(line), at));
    let (score, at) = scores.max_by_key(|(score, at)| (*score, std::cmp::Reverse(*at)))?;
    (score >= 2).then_some(at)
}

/// How many different fields are recognised in a line.
pub(crate) fn heading_score(line: &Line) -> usize {
    let headings: Vec<String> = line.cells.iter().map(Cell::shown).collect();
    columns(&headings)
        .iter()
        .filter(|column| column.field.is_some())
        .count()
}
