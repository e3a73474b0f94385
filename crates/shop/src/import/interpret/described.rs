//! What the texts of a line say where no column does.

use advice::said;
use magnetics::Shape;

use super::Interpreter;
use super::countersink::Countersink;
use super::shape::SIDES;
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::table::{Cell, Line};
use crate::import::told::{self, Tables, Told};
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{ShapeWord, vocabulary};

/// The columns whose texts say what is sold.
pub(super) const TEXTS: [Field; 4] = [Field::Description, Field::Name, Field::Shape, Field::Note];

impl Interpreter<'_> {
    /// Whether a line has nothing in any column of these fields.
    pub(super) fn is_silent(&self, line: &Line, fields: &[Field]) -> bool {
        let says = |field: &Field| match self.position.get(field).map(|at| line.cell(*at)) {
            None | Some(Cell::Empty) => false,
            Some(Cell::Text(text)) => !value::is_blank(text),
            Some(_) => true,
        };
        !fields.iter().any(says)
    }

    /// Whether a line has no size in any column.
    pub(super) fn is_unsized(&self, line: &Line) -> bool {
        self.is_silent(line, &[Field::Size]) && self.is_silent(line, &SIDES.map(|(field, _)| field))
    }

    /// Whether the columns of a line have all sizes that its shape can have.
    fn is_sized(&self, line: &Line) -> bool {
        let said = SIDES
            .iter()
            .filter(|(field, _)| !self.is_silent(line, &[*field]))
            .count();
        let is_disc = || {
            let shape = self.words_in(line, Field::Shape);
            shape.and_then(|shape| vocabulary().shape(&shape)) == Some(ShapeWord::Disc)
        };
        !self.is_silent(line, &[Field::Size]) || said > 2 || (said == 2 && is_disc())
    }

    /// The column of the text that a magnet is described in: the description, or else the name.
    pub(super) fn text_field(&self) -> Option<Field> {
        [Field::Description, Field::Name]
            .into_iter()
            .find(|field| self.has(*field))
    }

    /// What says that the hole of a line is countersunk: its column, its texts or the heading above.
    pub(super) fn countersink(&self, line: &Line) -> Countersink {
        let in_column = self.words_in(line, Field::Countersink).filter(|text| !is_no(text));
        let texts: Vec<String> = TEXTS
            .into_iter()
            .filter_map(|field| self.words_in(line, field))
            .collect();
        let said = texts.iter().find_map(|text| said::countersunk(text));
        let said = said.or_else(|| said::countersunk(self.section.text()));
        let word = match (&said, &in_column) {
            (Some(word), _) => Some(word.clone()),
            (None, Some(_)) => Some("countersunk".to_owned()),
            (None, None) => None,
        };
        let screw = in_column.iter().chain(&texts).find_map(|text| said::screw(text));
        word.map_or_else(Countersink::default, |word| Countersink::new(word, screw))
    }

    /// Warns of what is not reckoned of a countersink.
    pub(super) fn tell_of_countersink(&mut self, line: &Line, found: &Countersink, shape: &Shape) {
        let Some(word) = found.word() else { return };
        let reckoned = match shape {
            Shape::Ring { .. } => "a ring with a plain hole",
            _ => "a piece without a hole",
        };
        let wrong = format!("the text says \"{word}\": it is reckoned as {reckoned}");
        let right = "what it really pulls is somewhat less";
        self.note(line, self.text_field(), Misfit::new(wrong, right), Severity::Warning);
    }

    /// Whether a line says that one face has an adhesive: its column, its texts or the heading above; a coating that has one does.
    pub(super) fn is_self_adhesive(&self, line: &Line, coating: &str) -> bool {
        let in_column = self.words_in(line, Field::Adhesive).is_some_and(|text| !is_no(&text));
        let fields = TEXTS.into_iter().chain([Field::Coating]);
        let in_texts = || {
            fields
                .filter_map(|field| self.words_in(line, field))
                .any(|text| said::self_adhesive(&text).is_some())
        };
        let in_table = || self.coatings.get(coating).is_some_and(|coating| coating.pad.is_some());
        in_column || in_texts() || in_table() || said::self_adhesive(self.section.text()).is_some()
    }

    /// The coating with the adhesive that a line says it has; warns how that is reckoned.
    pub(super) fn with_pad(&mut self, line: &Line, coating: String, adhesive: bool) -> String {
        let padded = self.coatings.self_adhesive(&coating).filter(|_| adhesive);
        let Some(name) = padded.map(|padded| padded.name.clone()) else {
            return coating;
        };
        let wrong = "it is self-adhesive: its pad counts as a layer between magnet and steel";
        let right = "with its bare face on the steel it pulls more";
        self.note(line, self.text_field(), Misfit::new(wrong, right), Severity::Warning);
        name
    }

    /// Notes that the heading above holds for a line that does not name its grade or coating itself.
    pub(super) fn tell_of_section(&self, line: &Line) {
        let section = &self.section.told;
        if section.grade.is_none() && section.coating.is_none() {
            return;
        }
        let own = self.told_by_itself(line);
        let lacks = |field, own: &Option<String>| self.is_silent(line, &[field]) && own.is_none();
        let grade = section.grade.is_some() && lacks(Field::Grade, &own.grade);
        let coating = section.coating.is_some() && lacks(Field::Coating, &own.coating);
        if grade || coating {
            self.section.uses();
        }
    }

    /// What texts are read with.
    pub(super) fn tables(&self) -> Tables<'_> {
        Tables {
            grades: self.grades,
            coatings: self.coatings,
            unit: self.length_unit,
            convention: self.convention,
        }
    }

    /// What the texts of a line and the heading above it say; nothing where its columns say all.
    pub(super) fn told(&self, line: &Line) -> Told {
        self.told_by_itself(line).or(self.section.told.clone())
    }

    /// What the description, the name and the remark of a line say.
    fn told_by_itself(&self, line: &Line) -> Told {
        let says_all = self.is_sized(line)
            && !self.is_silent(line, &[Field::Grade])
            && !self.is_silent(line, &[Field::Coating])
            && !self.has(Field::Description);
        let texts = [Field::Description, Field::Name, Field::Note].map(|field| self.words_in(line, field));
        let speaks = |text: &String| vocabulary().speaks_of_magnetisation(text);
        if says_all && !texts.iter().flatten().any(speaks) {
            return Told::default();
        }
        let tables = self.tables();
        let [description, name, note] =
            texts.map(|text| text.map_or_else(Told::default, |text| told::told(&text, &tables)));
        description.or(name).or(note.of_a_remark())
    }
}

/// Whether a cell of a column that asks for yes or no says no.
fn is_no(text: &str) -> bool {
    matches!(
        text.trim().to_lowercase().as_str(),
        "no" | "nein" | "non" | "nee" | "0" | "ohne" | "keine" | "without"
    )
}
