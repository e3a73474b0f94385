//! Grade and coating of an item, by the tables.

use advice::Item;
use materials::coating::CoatingTable;
use materials::grade::{Family, GradeTable};

use super::{Interpreter, Noted};
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::table::Line;
use crate::import::text::{excerpt, folded, nearest};
use crate::import::told::Told;
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::vocabulary;

impl Interpreter<'_> {
    /// The grade's name, family and density.
    pub(super) fn grade(
        &mut self,
        line: &Line,
        told: &Told,
        base: Option<&Item>,
    ) -> Result<(String, Family, f64), Noted> {
        let written = self.read(line, Field::Grade, |cell| value::text(cell, "grade"))?;
        let written = match written
            .filter(|written| !value::is_blank(written))
            .filter(|written| told.grade.is_none() || !vocabulary().is_material(written))
            .or_else(|| told.grade.clone())
        {
            Some(written) => Some(written),
            None => {
                if let Some(misfit) = told.unclear_grade.clone() {
                    return Err(self.note(line, self.text_field(), misfit, Severity::Error));
                }
                match base {
                    Some(item) if !self.has(Field::Grade) => Some(item.grade.clone()),
                    None if !self.has(Field::Grade) && self.text_field().is_none() => return Err(self.lacks("grade")),
                    _ => None,
                }
            }
        };
        let Some(written) = written else {
            if !self.has(Field::Grade) {
                let misfit = Misfit::new(
                    "no grade is read out of the text",
                    "a grade such as N42 or Y30 in it, or a column for the grade",
                );
                return Err(self.note(line, self.text_field(), misfit, Severity::Error));
            }
            let misfit = Misfit::new("the grade is missing", "a grade such as N42, Y30 or SmCo 26");
            return Err(self.note(line, Some(Field::Grade), misfit, Severity::Error));
        };
        let grades = self.grades;
        let found = self
            .known_grades
            .entry(written)
            .or_insert_with_key(|written| find_grade(grades, written))
            .clone();
        found.map_err(|misfit| self.note(line, Some(Field::Grade), misfit, Severity::Error))
    }

    /// The coating's name; the usual one of the family where the list does not say.
    pub(super) fn coating(
        &mut self,
        line: &Line,
        family: Option<Family>,
        told: &Told,
        base: Option<&Item>,
    ) -> Result<String, Noted> {
        let written = self.read(line, Field::Coating, |cell| value::text(cell, "coating"))?;
        let coatings = self.coatings;
        if let Some(written) = written.filter(|written| !value::is_blank(written) || coatings.get(written).is_some()) {
            let known = self.known_coatings.entry(written);
            let found = known
                .or_insert_with_key(|written| find_coating(coatings, written))
                .clone();
            return found.map_err(|misfit| self.note(line, Some(Field::Coating), misfit, Severity::Error));
        }
        match (&told.coating, base) {
            (Some(coating), _) => return Ok(coating.clone()),
            (None, Some(item)) if !self.has(Field::Coating) => return Ok(item.coating.clone()),
            _ => {}
        }
        let texts = [Field::Description, Field::Name].into_iter();
        let mut texts = texts.filter_map(|field| self.words_in(line, field));
        if let Some(word) = texts.find_map(|text| vocabulary().coating_word(&text)) {
            let wrong = format!("the text says \"{word}\", and no coating that is known: the usual one is taken");
            let misfit = Misfit::new(wrong, "a coating of the coating table");
            self.note(line, self.text_field(), misfit, Severity::Warning);
        }
        // Sintered neodymium rusts and is hardly ever sold bare. Common practice, no source.
        let usual = if family == Some(Family::NdFeB) {
            "Ni-Cu-Ni"
        } else {
            "none"
        };
        Ok(coatings
            .get(usual)
            .map_or_else(|| usual.to_owned(), |coating| coating.name.clone()))
    }
}

fn find_grade(grades: &GradeTable, written: &str) -> Result<(String, Family, f64), Misfit> {
    // "NdFeB N42": the material before the grade says no more.
    let behind_material = || {
        let (material, grade) = written.trim().split_once(char::is_whitespace)?;
        grades.get(grade.trim()).filter(|_| vocabulary().is_material(material))
    };
    if let Some(row) = grades.get(written).or_else(behind_material) {
        return Ok((row.name.clone(), row.family, row.density));
    }
    let near = nearest(written, grades.rows().iter().map(|row| row.name.as_str()));
    let right = match near.as_slice() {
        [] => "a grade of the grade table; add the shop's own grades to it first".to_owned(),
        near => format!(
            "perhaps {}; or add it to the shop's own grades first",
            near.join(" or ")
        ),
    };
    Err(Misfit::new(format!("unknown grade \"{}\"", excerpt(written)), right))
}

fn find_coating(coatings: &CoatingTable, written: &str) -> Result<String, Misfit> {
    let other_name = || coatings.get(vocabulary().coating(written)?);
    let without_accents = || coatings.get(&folded(written));
    if let Some(coating) = coatings.get(written).or_else(other_name).or_else(without_accents) {
        return Ok(coating.name.clone());
    }
    let names = || coatings.rows().iter().map(|row| row.name.as_str());
    let near = match nearest(written, names()) {
        near if near.is_empty() => names().collect(),
        near => near,
    };
    let wrong = format!("unknown coating \"{}\"", excerpt(written));
    Err(Misfit::new(wrong, format!("one of: {}", near.join(", "))))
}
