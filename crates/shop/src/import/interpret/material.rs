//! Grade and coating of an item, by the tables.

use advice::Item;
use magnetics::grade::Family;

use super::{Interpreter, Noted};
use crate::import::heading::Field;
use crate::import::problem::Severity;
use crate::import::table::Line;
use crate::import::text::{excerpt, nearest};
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::vocabulary;

impl Interpreter<'_> {
    /// The grade's name, family and density.
    pub(super) fn grade(&mut self, line: &Line, base: Option<&Item>) -> Result<(String, Family, f64), Noted> {
        let written = match (self.has(Field::Grade), base) {
            (false, Some(item)) => Some(item.grade.clone()),
            (false, None) => return Err(self.lacks("grade")),
            (true, _) => self.read(line, Field::Grade, |cell| value::text(cell, "grade"))?,
        };
        let Some(written) = written else {
            let misfit = Misfit::new("the grade is missing", "a grade such as N42, Y30 or SmCo 26");
            return Err(self.note(line, Some(Field::Grade), misfit, Severity::Error));
        };
        let grades = self.grades;
        let found = self.known_grades.entry(written.clone()).or_insert_with(|| {
            grades
                .get(&written)
                .map(|row| (row.name.clone(), row.family, row.density))
        });
        if let Some(found) = found {
            return Ok(found.clone());
        }
        let near = nearest(&written, grades.rows().iter().map(|row| row.name.as_str()));
        let right = match near.as_slice() {
            [] => "a grade of the grade table; add the shop's own grades to it first".to_owned(),
            near => format!(
                "perhaps {}; or add it to the shop's own grades first",
                near.join(" or ")
            ),
        };
        let misfit = Misfit::new(format!("unknown grade \"{}\"", excerpt(&written)), right);
        Err(self.note(line, Some(Field::Grade), misfit, Severity::Error))
    }

    /// The coating's name; the usual one of the family where the list does not say.
    pub(super) fn coating(
        &mut self,
        line: &Line,
        family: Option<Family>,
        base: Option<&Item>,
    ) -> Result<String, Noted> {
        let written = match (self.has(Field::Coating), base) {
            (false, Some(item)) => return Ok(item.coating.clone()),
            (false, None) => None,
            (true, _) => self.read(line, Field::Coating, |cell| value::text(cell, "coating"))?,
        };
        let coatings = self.coatings;
        let find = |text: &str| {
            let name = coatings.get(text).or_else(|| coatings.get(vocabulary().coating(text)?));
            name.map(|coating| coating.name.clone())
        };
        if let Some(written) = written {
            let found = self
                .known_coatings
                .entry(written.clone())
                .or_insert_with(|| find(&written))
                .clone();
            if let Some(found) = found {
                return Ok(found);
            }
            if !value::is_blank(&written) {
                let near = nearest(&written, coatings.rows().iter().map(|row| row.name.as_str()));
                let names: Vec<&str> = match near.as_slice() {
                    [] => coatings.rows().iter().map(|row| row.name.as_str()).collect(),
                    near => near.to_vec(),
                };
                let misfit = Misfit::new(
                    format!("unknown coating \"{}\"", excerpt(&written)),
                    format!("one of: {}", names.join(", ")),
                );
                return Err(self.note(line, Some(Field::Coating), misfit, Severity::Error));
            }
        }
        // Sintered neodymium rusts and is hardly ever sold bare. Common practice, no source.
        let usual = if family == Some(Family::NdFeB) {
            "Ni-Cu-Ni"
        } else {
            "none"
        };
        Ok(find(usual).unwrap_or_else(|| usual.to_owned()))
    }
}
