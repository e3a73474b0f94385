//! What the texts of a line say where no column does.

use super::Interpreter;
use super::shape::SIDES;
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::table::{Cell, Line};
use crate::import::told::{self, Tables, Told};
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::vocabulary;

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

    /// The column of the text that a magnet is described in: the description, or else the name.
    pub(super) fn text_field(&self) -> Option<Field> {
        [Field::Description, Field::Name]
            .into_iter()
            .find(|field| self.has(*field))
    }

    /// Warns where the text of a line says that its hole is countersunk; whether it does.
    pub(super) fn warn_of_countersink(&mut self, line: &Line) -> bool {
        for field in TEXTS {
            let Some(at) = self.position.get(&field) else { continue };
            if let Some(word) = vocabulary().countersink(&line.cell(*at).shown()) {
                let wrong = format!("the text says \"{word}\": it is reckoned as a ring with a plain hole");
                let right = "what it really pulls is somewhat less";
                self.note(line, Some(field), Misfit::new(wrong, right), Severity::Warning);
                return true;
            }
        }
        false
    }

    /// What the description and the name of a line say; nothing where its columns say all.
    pub(super) fn told(&self, line: &Line) -> Told {
        let whole = !self.is_unsized(line)
            && !self.is_silent(line, &[Field::Grade])
            && !self.is_silent(line, &[Field::Coating])
            && !self.has(Field::Description);
        if whole {
            return Told::default();
        }
        let tables = Tables {
            grades: self.grades,
            coatings: self.coatings,
            unit: self.length_unit,
            convention: self.convention,
        };
        let texts = [Field::Description, Field::Name].map(|field| match self.position.get(&field) {
            Some(at) => told::told(&line.cell(*at).shown(), &tables),
            None => Told::default(),
        });
        let [description, name] = texts;
        description.or(name)
    }
}
