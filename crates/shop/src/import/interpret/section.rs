//! What stands above lines of a list and holds for them: headings within it, and the lines above its columns.

use std::cell::Cell as Counter;

use advice::goods::GoodsKind;
use advice::said;

use super::Interpreter;
use crate::import::field::Field;
use crate::import::problem::{Problem, Severity};
use crate::import::table::{Cell, Line};
use crate::import::text::{excerpt, words};
use crate::import::told::{self, Told};
use crate::import::vocabulary::vocabulary;

/// With so many columns, a line of one cell says nothing of an item.
const HEADED_COLUMNS: usize = 3;
/// A line of so many words that names no magnet is a remark, not a heading.
const REMARK_WORDS: usize = 5;
/// A word of so many letters is one.
const WORD_LETTERS: usize = 3;

/// A heading within a list, with what holds for the lines below that do not say it themselves.
#[derive(Default)]
pub(super) struct Section {
    line: u32,
    text: String,
    pub(super) told: Told,
    pub(super) goods: Option<GoodsKind>,
    /// The lines below are of steel.
    pub(super) steel: bool,
    /// How many lines it has held for.
    used: Counter<usize>,
}

impl Section {
    /// The text of the heading, for what its words say beside sizes.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Notes that it has held for one line more.
    pub(super) fn uses(&self) {
        self.used.set(self.used.get() + 1);
    }
}

impl Interpreter<'_> {
    /// Takes what the lines above the columns say: units of columns are theirs already, a grade and a coating hold for all lines.
    pub(crate) fn begin(&mut self) {
        for (line, text) in &self.table.titles {
            let told = told::told(text, &self.tables());
            if told.grade.is_some() && self.section.told.grade.is_none() {
                self.section = Section {
                    line: *line,
                    text: excerpt(text),
                    told: Told {
                        shape: None,
                        ..told.without_sizes()
                    },
                    ..Section::default()
                };
            }
        }
    }

    /// Whether a line is a heading within the list, a remark, or the headings once more; what it says is taken over and noted.
    pub(crate) fn is_heading(&mut self, line: &Line) -> bool {
        if self.is_headings_again(line) {
            let wrong = "these are the headings once more";
            self.note_of_list(line.number, "", wrong.into());
            return true;
        }
        let Some(text) = self.heading_within(line) else {
            return false;
        };
        let found = self.section_of(line.number, &text);
        let names_more = || {
            let told = told::told(&text, &self.tables());
            told.shape.is_some() || told.grade.is_some() || vocabulary().goods(&text).is_some()
        };
        let is_remark = words(&text).len() >= REMARK_WORDS || text.contains([':', '!']);
        match found {
            Some(section) => self.end_section(section),
            None if is_remark && !names_more() => self.note_heading(line.number, &text),
            None => {
                self.end_section(Section {
                    line: line.number,
                    text,
                    ..Section::default()
                });
            }
        }
        true
    }

    /// What a heading says where all its words are known.
    fn section_of(&self, line: u32, text: &str) -> Option<Section> {
        let named = vocabulary().goods(text);
        let steel = vocabulary().is_steel_part(text);
        let by_words = [
            named.as_ref().map(|(_, words)| words.clone()),
            said::countersunk(text),
            said::self_adhesive(text),
        ];
        let known: Vec<String> = by_words
            .into_iter()
            .flatten()
            .flat_map(|phrase| words(&phrase))
            .collect();
        let told = told::heading(text, &known, &self.tables());
        let told = match told {
            Some(told) => told,
            None if steel => Told::default(),
            None => return None,
        };
        let goods = named.map(|(kind, _)| kind).filter(|_| !steel);
        (steel || goods.is_some() || !told.is_silent() || !known.is_empty()).then(|| Section {
            line,
            text: text.to_owned(),
            told,
            goods,
            steel,
            used: Counter::new(0),
        })
    }

    /// Says for how many lines the section held, and begins the next one.
    pub(crate) fn end_sections(&mut self) {
        self.end_section(Section::default());
    }

    fn end_section(&mut self, next: Section) {
        let ended = std::mem::replace(&mut self.section, next);
        if ended.line == 0 {
            return;
        }
        let said = [ended.told.grade.as_deref(), ended.told.coating.as_deref()];
        let mut said: Vec<&str> = said.into_iter().flatten().collect();
        said.extend(ended.goods.map(GoodsKind::name));
        match ended.used.get() {
            0 => self.note_heading(ended.line, &ended.text),
            lines => {
                let what = if said.is_empty() {
                    "what it says".into()
                } else {
                    said.join(", ")
                };
                let line = if lines == 1 {
                    "1 line".into()
                } else {
                    format!("{lines} lines")
                };
                let wrong = format!("taken for a heading: {what} holds for {line} below that say nothing else");
                self.note_of_list(ended.line, &ended.text, wrong);
            }
        }
    }

    fn note_heading(&mut self, line: u32, text: &str) {
        let wrong = "a line with one cell only is taken for a heading within the list";
        self.note_of_list(line, text, wrong.into());
    }

    fn note_of_list(&mut self, line: u32, text: &str, wrong: String) {
        self.problems.add(Problem {
            line,
            column: String::new(),
            value: excerpt(text),
            wrong,
            right: "more cells, if it is an item".into(),
            severity: Severity::Warning,
        });
    }

    /// Whether a line repeats the headings of the columns.
    fn is_headings_again(&self, line: &Line) -> bool {
        let mut filled = line.cells.iter().enumerate().filter(|(_, cell)| !cell.is_empty());
        let same = |(at, cell): (usize, &Cell)| {
            let heading = self.columns.get(at).map(|column| column.heading.as_str());
            heading == Some(cell.shown().trim())
        };
        line.cells.iter().filter(|cell| !cell.is_empty()).count() >= 2 && filled.all(same)
    }

    /// The text of a line that has one cell of words only, as headings within a list have.
    fn heading_within(&self, line: &Line) -> Option<String> {
        let mut filled = line.cells.iter().enumerate().filter(|(_, cell)| !cell.is_empty());
        let (Some((at, Cell::Text(text))), None) = (filled.next(), filled.next()) else {
            return None;
        };
        if self.columns.len() < HEADED_COLUMNS || !text.contains(char::is_alphabetic) {
            return None;
        }
        if text.contains(|c: char| c.is_ascii_digit()) {
            let told = told::told(text, &self.tables());
            let long = words(text)
                .iter()
                .filter(|word| word.chars().count() >= WORD_LETTERS && word.chars().all(char::is_alphabetic))
                .count();
            let is_code = self.position.get(&Field::Code) == Some(&at);
            // A code, or a magnet of which all else is missing.
            if !told.sizes.is_empty()
                || told.unclear.is_some()
                || (is_code && long < 2 && (long == 0 || told.grade.is_none()))
            {
                return None;
            }
        }
        Some(text.to_string())
    }
}
