//! The data files of patterns.

use std::collections::{BTreeMap, HashMap};
use std::sync::LazyLock;

use serde::Deserialize;

use crate::pattern::{Beginning, Pattern, Words};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RowText {
    #[serde(alias = "reason")]
    is: Option<String>,
    weight: Option<f64>,
    patterns: Vec<String>,
}

/// What a message may say, the patterns that say it, and how surely.
pub(crate) struct Row {
    pub is: String,
    pub weight: f64,
    patterns: Vec<Pattern>,
}

/// Rows of patterns for one matter.
pub(crate) struct Rows {
    rows: Vec<Row>,
    /// Which patterns begin with a word, as row and place in it.
    exact: HashMap<String, Vec<Place>>,
    /// Which begin with any word that begins so.
    prefixes: Vec<(String, Vec<Place>)>,
    /// Which begin with an amount.
    amounts: Vec<Place>,
    /// Which may stand anywhere.
    any: Vec<Place>,
}

/// A pattern by its row and its place there.
type Place = (usize, usize);

/// What rows say of a text.
#[derive(Clone, Debug)]
pub(crate) struct Said<'r> {
    pub is: &'r str,
    pub score: f64,
    /// The items of the first pattern that was found.
    pub place: (usize, usize),
}

impl Rows {
    fn new(rows: Vec<RowText>) -> Self {
        let rows = rows
            .into_iter()
            .map(|row| Row {
                is: row.is.unwrap_or_default(),
                weight: row.weight.unwrap_or(1.0),
                patterns: row.patterns.iter().map(|p| Pattern::new(p)).collect(),
            })
            .collect();
        let mut out = Self {
            rows,
            exact: HashMap::new(),
            prefixes: Vec::new(),
            amounts: Vec::new(),
            any: Vec::new(),
        };
        out.index();
        out
    }

    /// Finds by what each pattern begins.
    fn index(&mut self) {
        let mut prefixes: BTreeMap<String, Vec<Place>> = BTreeMap::new();
        for (r, row) in self.rows.iter().enumerate() {
            for (p, pattern) in row.patterns.iter().enumerate() {
                for beginning in pattern.beginnings() {
                    match beginning {
                        Beginning::Exact(word) => self.exact.entry(word).or_default().push((r, p)),
                        Beginning::Prefix(prefix) => prefixes.entry(prefix).or_default().push((r, p)),
                        Beginning::Amount => self.amounts.push((r, p)),
                        Beginning::Any => self.any.push((r, p)),
                    }
                }
            }
        }
        self.prefixes = prefixes.into_iter().collect();
    }

    /// The patterns of which a beginning stands in a text, in the order of the rows.
    fn begun(&self, words: &Words) -> Vec<Place> {
        let mut out = self.any.clone();
        if words.has_amounts() {
            out.extend(&self.amounts);
        }
        out.extend(words.each().iter().filter_map(|w| self.exact.get(w)).flatten());
        out.extend(
            self.prefixes
                .iter()
                .filter(|(prefix, _)| words.any_begins(prefix))
                .flat_map(|(_, places)| places),
        );
        out.sort_unstable();
        out.dedup();
        out
    }

    /// What the text says, the surest first: the weight of a row once, and a quarter of it for each further pattern.
    pub(crate) fn said(&self, words: &Words) -> Vec<Said<'_>> {
        let mut out: Vec<Said> = Vec::new();
        let begun = self.begun(words);
        for of_row in begun.chunk_by(|a, b| a.0 == b.0) {
            let row = &self.rows[of_row[0].0];
            let found: Vec<(usize, usize)> = of_row.iter().filter_map(|p| row.patterns[p.1].find(words)).collect();
            let Some(place) = found.first() else { continue };
            let score = row.weight * (1.0 + 0.25 * (found.len() - 1) as f64);
            match out.iter_mut().find(|s| s.is == row.is) {
                Some(said) => said.score += score,
                None => out.push(Said {
                    is: &row.is,
                    score,
                    place: *place,
                }),
            }
        }
        out.sort_by(|a, b| b.score.total_cmp(&a.score));
        out
    }
}

/// All the patterns.
pub(crate) struct Data {
    pub verb: Rows,
    pub switch: Rows,
    pub direction: Rows,
    pub surroundings: Rows,
    pub goal: Rows,
    pub coating: Rows,
    pub steelwork: Rows,
    pub flag: Rows,
    pub refuse: Rows,
    /// Beginnings of words of the trade.
    pub trade: Vec<String>,
    pub about: Rows,
    /// What says that a force is between two magnets.
    pub pair: Rows,
    pub topic: Rows,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct PatternFile {
    verb: Vec<RowText>,
    switch: Vec<RowText>,
    direction: Vec<RowText>,
    surroundings: Vec<RowText>,
    goal: Vec<RowText>,
    coating: Vec<RowText>,
    steelwork: Vec<RowText>,
    flag: Vec<RowText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RefusalFile {
    trade: Vec<String>,
    refuse: Vec<RowText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AboutFile {
    pair: Vec<RowText>,
    about: Vec<RowText>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TopicFile {
    topic: Vec<RowText>,
}

#[expect(
    clippy::expect_used,
    reason = "the data is part of the program and every test reads it"
)]
fn file<T: for<'de> Deserialize<'de>>(text: &str) -> T {
    toml::from_str(text).expect("the pattern data is well formed")
}

static DATA: LazyLock<Data> = LazyLock::new(|| {
    let patterns: PatternFile = file(include_str!("../data/patterns.toml"));
    let refusals: RefusalFile = file(include_str!("../data/refusals.toml"));
    let about: AboutFile = file(include_str!("../data/about.toml"));
    let topics: TopicFile = file(include_str!("../data/topics.toml"));
    Data {
        verb: Rows::new(patterns.verb),
        switch: Rows::new(patterns.switch),
        direction: Rows::new(patterns.direction),
        surroundings: Rows::new(patterns.surroundings),
        goal: Rows::new(patterns.goal),
        coating: Rows::new(patterns.coating),
        steelwork: Rows::new(patterns.steelwork),
        flag: Rows::new(patterns.flag),
        refuse: Rows::new(refusals.refuse),
        trade: refusals.trade,
        about: Rows::new(about.about),
        pair: Rows::new(about.pair),
        topic: Rows::new(topics.topic),
    }
});

impl Data {
    pub(crate) fn builtin() -> &'static Self {
        &DATA
    }
}
