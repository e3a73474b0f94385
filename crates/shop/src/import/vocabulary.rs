//! The word lists of data/cells.toml, ready for look-up.

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use advice::goods::GoodsKind;
use advice::part::PartKind;
use quantity::Unit;
use serde::Deserialize;

use super::text::folded;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Lists {
    shapes: HashMap<ShapeWord, Vec<String>>,
    parts: HashMap<PartKind, Vec<String>>,
    directions: HashMap<DirectionWord, Vec<String>>,
    sides: HashMap<Side, Vec<String>>,
    coatings: HashMap<String, Vec<String>>,
    units: HashMap<String, Vec<String>>,
    marks: HashMap<Mark, Vec<String>>,
    stock: HashMap<StockWord, Vec<String>>,
    minor: HashMap<String, Vec<String>>,
    steels: HashMap<String, Vec<String>>,
    one_piece: Vec<String>,
    no_price: Vec<String>,
    beside_a_price: Vec<String>,
    about: Vec<String>,
    materials: Vec<String>,
    goods: HashMap<GoodsKind, Vec<String>>,
    pulls: Vec<String>,
    of_one_piece: Vec<String>,
    coating_words: Vec<String>,
    goes_with: Vec<String>,
    steel_parts: Vec<String>,
    steel_words: Vec<String>,
    steel_forms: Vec<String>,
    in_headings: Vec<String>,
    through: HashMap<ThroughWord, Vec<String>>,
}

/// What words in a column of stock say.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum StockWord {
    /// There are none.
    Out,
    /// How many there are is not said.
    Unsaid,
}

/// What a word says about the numbers beside it in a description, beyond sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Mark {
    /// After a number: it is an amount that is no size.
    Amount,
    /// Pieces, packs, sets: after a number it counts them, before *of* and a number too.
    Pieces,
    /// Between pieces and their number.
    Of,
    /// Before a number: it is no size.
    Before,
    /// A word for *without* that says nothing of a coating by itself.
    NoCoatingByItself,
    /// A word that says nothing of the magnetisation by itself.
    NoDirectionByItself,
}

/// What a word says of the size that a magnetisation goes through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ThroughWord {
    /// It is of the magnetisation.
    Magnetised,
    /// Before the size that it goes through.
    Way,
    /// Says nothing by itself.
    Article,
    /// It is of the poles.
    Poles,
    /// Before the faces that they are on.
    On,
}

/// What a cell can call a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ShapeWord {
    Disc,
    Ring,
    Block,
    /// A block of equal sides.
    Cube,
    Sphere,
}

impl ShapeWord {
    /// Whether it has a length, a width and a thickness.
    pub(crate) fn is_block(self) -> bool {
        matches!(self, ShapeWord::Block | ShapeWord::Cube)
    }

    /// The shape in a word.
    pub(crate) fn name(self) -> &'static str {
        match self {
            ShapeWord::Disc => "disc",
            ShapeWord::Ring => "ring",
            ShapeWord::Block => "block",
            ShapeWord::Cube => "cube",
            ShapeWord::Sphere => "sphere",
        }
    }
}

/// What a cell can say about the direction of magnetisation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum DirectionWord {
    /// Along the axis, or through the thickness.
    Axial,
    Width,
    Length,
    /// A known way that cannot be computed.
    Unsupported,
}

/// A size of a shape.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Side {
    Diameter,
    InnerDiameter,
    Length,
    Width,
    Thickness,
}

/// Folded words to what they mean.
pub(crate) struct Vocabulary {
    shapes: HashMap<String, ShapeWord>,
    parts: HashMap<String, PartKind>,
    directions: HashMap<String, DirectionWord>,
    sides: HashMap<String, Side>,
    coatings: HashMap<String, String>,
    units: HashMap<String, Unit>,
    marks: HashMap<String, Mark>,
    stock: HashMap<String, StockWord>,
    /// Words for a hundredth of the money, to its code.
    minor: Vec<(String, String)>,
    steels: HashMap<String, String>,
    one_piece: Vec<String>,
    no_price: Vec<String>,
    beside_a_price: Vec<String>,
    about: Vec<String>,
    materials: Vec<String>,
    /// The beginnings of words that name goods.
    goods: Vec<(String, GoodsKind)>,
    pulls: Vec<String>,
    of_one_piece: Vec<String>,
    coating_words: Vec<String>,
    goes_with: Vec<String>,
    steel_parts: Vec<String>,
    steel_words: Vec<String>,
    steel_forms: Vec<String>,
    in_headings: HashSet<String>,
    through: HashMap<String, ThroughWord>,
}

static VOCABULARY: LazyLock<Vocabulary> = LazyLock::new(|| {
    let lists: Lists = toml::from_str(include_str!("../../data/cells.toml"))
        .unwrap_or_else(|error| unreachable!("the embedded word lists are read by a test: {error}"));
    Vocabulary {
        shapes: turned(lists.shapes),
        parts: turned(lists.parts),
        directions: turned(lists.directions),
        sides: turned(lists.sides),
        coatings: turned(lists.coatings),
        units: turned(lists.units)
            .into_iter()
            .filter_map(|(word, unit)| Some((word, Unit::named(&unit)?)))
            .collect(),
        marks: turned(lists.marks),
        stock: turned(lists.stock),
        goods: beginnings(lists.goods),
        pulls: all_folded(&lists.pulls),
        of_one_piece: all_folded(&lists.of_one_piece),
        coating_words: all_folded(&lists.coating_words),
        goes_with: all_folded(&lists.goes_with),
        steel_parts: all_folded(&lists.steel_parts),
        steel_words: all_folded(&lists.steel_words),
        steel_forms: all_folded(&lists.steel_forms),
        in_headings: all_folded(&lists.in_headings).into_iter().collect(),
        through: turned(lists.through),
        minor: lists
            .minor
            .into_iter()
            .flat_map(|(code, words)| words.into_iter().map(move |word| (word, code.clone())))
            .collect(),
        steels: turned(lists.steels),
        one_piece: all_folded(&lists.one_piece),
        no_price: all_folded(&lists.no_price),
        beside_a_price: all_folded(&lists.beside_a_price),
        about: all_folded(&lists.about),
        materials: all_folded(&lists.materials),
    }
});

fn all_folded(words: &[String]) -> Vec<String> {
    words.iter().map(|word| folded(word)).collect()
}

fn turned<M: Clone>(lists: HashMap<M, Vec<String>>) -> HashMap<String, M> {
    lists
        .into_iter()
        .flat_map(|(meaning, words)| words.into_iter().map(move |word| (folded(&word), meaning.clone())))
        .collect()
}

/// The beginnings of words that name goods, folded; a number at the end stays marked.
fn beginnings(lists: HashMap<GoodsKind, Vec<String>>) -> Vec<(String, GoodsKind)> {
    let folded_to = |word: &str| match word.strip_suffix(NUMBER) {
        Some(word) => format!("{} {NUMBER}", folded(word)),
        None => folded(word),
    };
    let of_kind = |(kind, words): (GoodsKind, Vec<String>)| words.into_iter().map(move |word| (folded_to(&word), kind));
    lists.into_iter().flat_map(of_kind).collect()
}

/// The word lists that come with the program.
pub(crate) fn vocabulary() -> &'static Vocabulary {
    &VOCABULARY
}

/// Stands in the place of a number at the end of words that are known.
const NUMBER: char = '#';

/// The place and the words of folded text that begin like some that are known, as the text has them; `pot #` is `pot` and a number.
fn begun_by(known: &str, text: &str) -> Option<(usize, String)> {
    let begins = known.trim_end_matches(NUMBER).trim_end();
    let numbered = known.ends_with(NUMBER);
    let is_number = |rest: &str| {
        let number = rest.strip_prefix(' ').unwrap_or_default();
        number.starts_with(|letter: char| letter.is_ascii_digit())
    };
    let within = format!(" {text}");
    let (from, _) = within
        .match_indices(&format!(" {begins}"))
        .find(|(at, found)| !numbered || is_number(&within[at + found.len()..]))?;
    // The blank before the number is one of them.
    let length = begins.len() + usize::from(numbered);
    let ends = text[from + length..]
        .find(' ')
        .map_or(text.len(), |at| from + length + at);
    Some((from, text[from..ends].to_owned()))
}

/// Steel is named within so many words of the start of a text, or it is what the magnet goes with.
const STEEL_WITHIN: usize = 3;
/// Endings of words in the plural.
const ENDINGS: [&str; 6] = ["", "n", "en", "e", "es", "s"];
/// A shorter word is not taken for another with two letters turned about.
const LEAST_TURNED: usize = 5;

/// A word with two letters beside each other turned about, as a slip of the pen may have left it; none for short words.
fn turned_about(word: &str) -> impl Iterator<Item = String> + use<> {
    let letters: Vec<char> = word.chars().collect();
    let swaps = if letters.len() < LEAST_TURNED {
        0
    } else {
        letters.len() - 1
    };
    (0..swaps).map(move |at| {
        let mut letters = letters.clone();
        letters.swap(at, at + 1);
        letters.into_iter().collect()
    })
}

impl Vocabulary {
    /// The shape that a cell names, as a whole.
    pub(crate) fn shape(&self, text: &str) -> Option<ShapeWord> {
        let text = folded(text);
        let shape = self
            .shapes
            .get(&text)
            .or_else(|| self.shapes.get(text.strip_suffix(" magnet")?));
        shape.copied()
    }

    /// The kind of steel part that a cell names, as a whole.
    pub(crate) fn part(&self, text: &str) -> Option<PartKind> {
        self.parts.get(&folded(text)).copied()
    }

    /// The first word of a longer text that names a shape.
    pub(crate) fn shape_within(&self, text: &str) -> Option<ShapeWord> {
        super::text::words(text)
            .iter()
            .find_map(|word| self.shape_of_word(word))
    }

    /// The shape that a single word of a text names, in its plural, as a part of a longer word (`Scheibenmagnete`, `Magnetring`) and
    /// with two letters turned about (`blcok`) too.
    pub(crate) fn shape_of_word(&self, word: &str) -> Option<ShapeWord> {
        let known = |word: &str| self.shapes.get(word).copied();
        let in_plural = |stem: &str| ENDINGS.iter().find_map(|ending| known(stem.strip_suffix(ending)?));
        let (before, behind) = word.split_once("magn").unwrap_or((word, ""));
        known(word)
            .or_else(|| in_plural(before))
            .or_else(|| in_plural(behind.strip_prefix("et").unwrap_or(behind)).filter(|_| before.is_empty()))
            .or_else(|| turned_about(word).find_map(|word| known(&word)))
    }

    /// The unit of length that a word of a text names.
    pub(crate) fn length_unit(&self, word: &str) -> Option<Unit> {
        self.units.get(word).copied()
    }

    /// What a word of a text says about the number beside it.
    pub(crate) fn mark(&self, word: &str) -> Option<Mark> {
        self.marks.get(&folded(word)).copied()
    }

    /// The goods that a text names, and the words that do: `diametrically`, `Topfmagnete`. What names a pull names none, nor does
    /// what stands behind `for`.
    pub(crate) fn goods(&self, text: &str) -> Option<(GoodsKind, String)> {
        let text = self
            .pulls
            .iter()
            .fold(folded(text), |text, pull| text.replace(pull, ""));
        let goes_with = |at: usize| {
            let before = text[..at].split_whitespace().next_back();
            before.is_some_and(|word| self.goes_with.iter().any(|known| known == word))
        };
        let found = self.goods.iter().filter_map(|(known, kind)| {
            let (at, words) = begun_by(known, &text)?;
            (!goes_with(at)).then_some((at, std::cmp::Reverse(known.len()), *kind, words))
        });
        found.min().map(|(.., kind, words)| (kind, words))
    }

    /// Whether a text is of a pot magnet by its first word: `Pot, flat, no hole`.
    pub(crate) fn begins_with_pot(&self, text: &str) -> bool {
        let all = super::text::words(text);
        let is_pot = all
            .first()
            .is_some_and(|first| matches!(first.as_str(), "pot" | "pots"));
        is_pot && all.len() > 1 && !all.iter().any(|word| self.steel_words.contains(word))
    }

    /// Whether a text names steel that goes with magnets and is none: `Strike plate 40 x 20`, `large steel washer`.
    pub(crate) fn is_steel_part(&self, text: &str) -> bool {
        let text = folded(text);
        let begins = |known: &String| {
            begun_by(known, &text).is_some_and(|(at, _)| text[..at].split(' ').count() <= STEEL_WITHIN)
        };
        if self.steel_parts.iter().any(begins) {
            return true;
        }
        let first = || text.split(' ').take(STEEL_WITHIN + 1);
        let has = |known: &[String]| first().any(|word| known.iter().any(|known| known == word));
        has(&self.steel_words) && has(&self.steel_forms) && !first().any(|word| word.starts_with("magn"))
    }

    /// The goods that a cell names as a whole, as an exported list does.
    pub(crate) fn goods_named(&self, text: &str) -> Option<GoodsKind> {
        let text = folded(text);
        GoodsKind::ALL.into_iter().find(|kind| folded(kind.name()) == text)
    }

    /// Whether a text names a pull: `Haftkraft`, `holding force`.
    pub(crate) fn names_a_pull(&self, text: &str) -> bool {
        let text = folded(text);
        self.pulls.iter().any(|pull| begun_by(pull, &text).is_some())
    }

    /// The first word of a text that is of a coating without naming it: `painted`.
    pub(crate) fn coating_word(&self, text: &str) -> Option<String> {
        super::text::words(text)
            .into_iter()
            .find(|word| self.coating_words.contains(word))
    }

    /// What a word says of the size that a magnetisation goes through.
    pub(crate) fn through(&self, word: &str) -> Option<ThroughWord> {
        self.through.get(word).copied()
    }

    /// Whether a text says something of the way of a magnetisation beyond words for it in a column: `mag. thru 5 mm`.
    pub(crate) fn speaks_of_magnetisation(&self, text: &str) -> bool {
        let of_it = |word: &String| matches!(self.through(word), Some(ThroughWord::Magnetised | ThroughWord::Poles));
        super::text::words(text).iter().any(of_it)
    }

    /// Whether a word may stand beside shapes and materials in a heading within a list.
    pub(crate) fn is_in_headings(&self, word: &str) -> bool {
        self.in_headings.contains(word) || self.materials.iter().any(|material| material == word)
    }

    /// Whether the words beside a price say that it is that of one piece: `0.92 ea`.
    pub(crate) fn is_of_one_piece(&self, text: &str) -> bool {
        let text = folded(text);
        self.of_one_piece
            .iter()
            .any(|words| text.ends_with(&format!(" {words}")))
    }

    /// What the words of a cell say of the stock, numbers of weeks and days aside.
    pub(crate) fn stock(&self, text: &str) -> Option<StockWord> {
        let all = super::text::words(text);
        let words: Vec<&str> = all
            .iter()
            .map(String::as_str)
            .filter(|word| word.parse::<u64>().is_err())
            .collect();
        // What begins with a number is that number.
        let begins = all
            .first()
            .is_some_and(|word| word.starts_with(|c: char| c.is_ascii_digit()));
        // "ask Jo": whom to ask says no more.
        let asks = || {
            words
                .first()
                .filter(|first| **first == "ask")
                .map(|_| StockWord::Unsaid)
        };
        self.stock
            .get(&words.join(" "))
            .copied()
            .or_else(asks)
            .filter(|_| !begins)
    }

    /// Whether a cell says that there is no price, only one on request.
    pub(crate) fn is_no_price(&self, text: &str) -> bool {
        self.no_price.contains(&folded(text))
    }

    /// A price without the words beside it that change nothing: `each`, `net`, `HT`.
    pub(crate) fn bare_price<'t>(&self, text: &'t str) -> &'t str {
        let mut text = text.trim();
        while let Some((before, last)) = text.rsplit_once(char::is_whitespace) {
            if !self.beside_a_price.contains(&folded(last)) {
                break;
            }
            text = before.trim_end();
        }
        text
    }

    /// A price in hundredths of the money of this code, without their word: the `10` of `10p`.
    pub(crate) fn hundredths<'t>(&self, text: &'t str, code: &str) -> Option<&'t str> {
        let own = self.minor.iter().filter(|(_, of)| of == code);
        let mut bare = own.filter_map(|(word, _)| text.strip_suffix(word.as_str()));
        bare.find(|bare| bare.trim_end().ends_with(|c: char| c.is_ascii_digit()))
            .map(str::trim_end)
    }

    /// A text without a word before it that says that it is only about so much: `ca. 18 kg`.
    pub(crate) fn without_about<'t>(&self, text: &'t str) -> &'t str {
        let text = text.trim().trim_start_matches(['≈', '~', '±', ' ']);
        match text.split_once([' ', '\u{a0}']) {
            Some((first, rest)) if self.about.contains(&folded(first)) => rest.trim_start(),
            _ => text,
        }
    }

    /// Whether every word of a text names the material of magnets alone, as *Neodymium* before a grade does.
    pub(crate) fn is_material(&self, text: &str) -> bool {
        let words = super::text::words(text);
        !words.is_empty() && words.iter().all(|word| self.materials.contains(word))
    }

    /// The steel in the steel table that a cell calls something else.
    pub(crate) fn steel(&self, text: &str) -> Option<&str> {
        self.steels.get(&folded(text)).map(String::as_str)
    }

    /// Whether the words of a cell say that a price is for one piece.
    pub(crate) fn is_one_piece(&self, words: &[String]) -> bool {
        self.one_piece.contains(&words.join(" "))
    }

    /// The direction that a cell names.
    pub(crate) fn direction(&self, text: &str) -> Option<DirectionWord> {
        let named = |text: &str| self.directions.get(&folded(text)).copied();
        // "axial (height)": what stands in brackets says it again.
        named(text).or_else(|| named(text.split('(').next()?))
    }

    /// The name in the coating table of a coating that a cell calls something else.
    pub(crate) fn coating(&self, text: &str) -> Option<&str> {
        self.coatings.get(&folded(text)).map(String::as_str)
    }

    /// The side that a letter or word beside a number names.
    pub(crate) fn side(&self, text: &str) -> Option<Side> {
        let text = folded(text);
        let known = |word: &str| self.sides.get(word).copied();
        known(&text).or_else(|| turned_about(&text).find_map(|word| known(&word)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_shapes_in_several_languages() {
        for (text, shape) in [
            ("Disc", ShapeWord::Disc),
            ("Scheibe", ShapeWord::Disc),
            ("CYLINDRE", ShapeWord::Disc),
            ("anneau", ShapeWord::Ring),
            ("Würfel", ShapeWord::Cube),
            ("bloque", ShapeWord::Block),
            ("sfera", ShapeWord::Sphere),
            ("kogel", ShapeWord::Sphere),
            ("ring magnet", ShapeWord::Ring),
        ] {
            assert_eq!(vocabulary().shape(text), Some(shape), "{text}");
        }
        assert_eq!(vocabulary().shape("horseshoe"), None);
    }

    #[test]
    fn reads_directions() {
        assert_eq!(vocabulary().direction("Through the width"), Some(DirectionWord::Width));
        assert_eq!(vocabulary().direction("diametral"), Some(DirectionWord::Unsupported));
        assert_eq!(vocabulary().direction("axial"), Some(DirectionWord::Axial));
        assert_eq!(vocabulary().direction("axial (Höhe)"), Some(DirectionWord::Axial));
        assert_eq!(vocabulary().direction("durch Höhe"), Some(DirectionWord::Axial));
        assert_eq!(vocabulary().direction("sideways"), None);
    }

    #[test]
    fn coatings_are_in_the_coating_table() {
        let table = materials::coating::CoatingTable::builtin().unwrap();
        let lists: Lists = toml::from_str(include_str!("../../data/cells.toml")).unwrap();
        for name in lists.coatings.keys() {
            assert_eq!(table.get(name).map(|coating| &coating.name), Some(name));
        }
        assert_eq!(vocabulary().coating("vernickelt"), Some("nickel-copper-nickel"));
        assert_eq!(vocabulary().coating("chocolate"), None);
    }

    #[test]
    fn a_pot_and_a_number_is_a_pot_magnet() {
        for (text, kind) in [
            ("Pot 20mm M4", Some(GoodsKind::Pot)),
            ("POT 9", Some(GoodsKind::Pot)),
            ("steel pot, pot 0.5 in", Some(GoodsKind::Pot)),
            ("pot of steel 20 mm", None),
            ("jackpot 20", None),
        ] {
            let found = vocabulary().goods(text).map(|(kind, _)| kind);
            assert_eq!(found, kind, "{text}");
        }
        let named = vocabulary().goods("a pot 25 x 7").map(|(_, words)| words);
        assert_eq!(named.as_deref(), Some("pot 25"));
    }

    #[test]
    fn every_unit_is_one_of_length() {
        let lists: Lists = toml::from_str(include_str!("../../data/cells.toml")).unwrap();
        for unit in lists.units.keys() {
            assert_eq!(
                Unit::named(unit).map(Unit::kind),
                Some(quantity::Kind::Length),
                "{unit}"
            );
        }
    }

    #[test]
    fn no_word_means_two_things() {
        let lists: Lists = toml::from_str(include_str!("../../data/cells.toml")).unwrap();
        fn check<M: PartialEq + std::fmt::Debug + Clone>(lists: HashMap<M, Vec<String>>) {
            let mut seen: HashMap<String, M> = HashMap::new();
            for (meaning, words) in lists {
                for word in words {
                    let before = seen.insert(folded(&word), meaning.clone());
                    assert!(
                        before.as_ref().is_none_or(|before| *before == meaning),
                        "{word}: {before:?} and {meaning:?}"
                    );
                }
            }
        }
        check(lists.shapes);
        check(lists.parts);
        check(lists.directions);
        check(lists.sides);
        check(lists.coatings);
        check(lists.units);
        check(lists.marks);
        check(lists.stock);
        check(lists.through);
    }
}
