//! The shape of an item, out of the columns that say something about it.

use advice::{Item, Magnetised};
use magnetics::Shape;

use super::{Interpreter, Noted};
use crate::exact;
use crate::import::direction;
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::size::{self, Sizes};
use crate::import::table::{Cell, Line};
use crate::import::text::{excerpt, words};
use crate::import::told::Told;
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{ShapeWord, Side, vocabulary};

pub(super) const SIDES: [(Field, Side); 5] = [
    (Field::Diameter, Side::Diameter),
    (Field::InnerDiameter, Side::InnerDiameter),
    (Field::Length, Side::Length),
    (Field::Width, Side::Width),
    (Field::Thickness, Side::Thickness),
];

impl Interpreter<'_> {
    /// The shape and the side that it is magnetised along. What no column of sizes says is read out of the text; where that
    /// says nothing and the file has no column of sizes, those of the shelf are kept.
    pub(super) fn shape(
        &mut self,
        line: &Line,
        name: &str,
        told: &Told,
        base: Option<&Item>,
    ) -> Result<(Shape, Magnetised), Noted> {
        let has_columns = self.has(Field::Size) || SIDES.iter().any(|(field, _)| self.has(*field));
        let from_text = self.is_unsized(line);
        if from_text && told.sizes.is_empty() {
            if let Some(misfit) = told.unclear.clone() {
                return Err(self.note(line, self.text_field(), misfit, Severity::Error));
            }
            match base {
                Some(item) if !has_columns => return Ok((item.shape, item.magnetised)),
                None if !has_columns && self.text_field().is_none() => return Err(self.lacks("size")),
                _ if !has_columns => {
                    let right = "a size such as 20 x 10 x 5 mm in it, or columns for the sizes";
                    let misfit = Misfit::new("no size is read out of the text", right);
                    return Err(self.note(line, self.text_field(), misfit, Severity::Error));
                }
                _ => {}
            }
        }
        let named = self.read(line, Field::Shape, shape_word);
        let through = self
            .position
            .get(&Field::Magnetised)
            .and_then(|at| direction::through(line.cell(*at), self.length_unit));
        let along = match through {
            Some(_) => Ok(None),
            None => self.read(line, Field::Magnetised, direction::read),
        };
        let columns = self.sides(line);
        let parts = self.combined(line);
        let (named, along, mut sizes, parts) = (named?, along?, columns?, parts?);
        let along = along.or(told.direction);
        let fits = |sizes: &Sizes, word: &ShapeWord| sizes.may_be(*word);
        let mut named = named.or_else(|| vocabulary().shape_within(name).filter(|word| fits(&sizes, word)));
        if from_text {
            named = told.shape.or(named);
        }
        let (parts, place) = match parts {
            Some(parts) => (Some(parts), Some(Field::Size)),
            None if from_text => (Some(told.sizes.clone()), self.text_field()),
            None => (None, Some(Field::Size)),
        };
        if let Some(parts) = parts
            && let Err(misfit) = sizes.add(&parts, named)
        {
            return Err(self.note(line, place, misfit, Severity::Error));
        }
        if from_text && named.is_none() && told.sizes.len() == 3 && told.sizes.iter().all(|part| part.side.is_none()) {
            let misfit = Misfit::new(
                "three sizes without a word for the shape are read as a block",
                "block or ring in the text, or a column for the shape",
            );
            self.note(line, place, misfit, Severity::Warning);
        }
        let is_block = sizes.shape_word(named).is_some_and(ShapeWord::is_block);
        let sided = match (through, along) {
            (Some(through), _) => direction::side_of(&sizes, through).ok_or_else(|| {
                let wrong = format!("no side is {} mm long", exact::millimetres(through.0));
                Misfit::new(wrong, "a side that it is magnetised through, such as thickness")
            }),
            (None, Some(word)) => direction::side(word, is_block),
            (None, None) => Ok(Magnetised::Thickness),
        };
        let along = match sided {
            Ok(along) => along,
            Err(misfit) => {
                let place = Some(Field::Magnetised)
                    .filter(|field| self.has(*field))
                    .or(self.text_field());
                return Err(self.note(line, place, misfit, Severity::Error));
            }
        };
        sizes
            .shape(named, along)
            .map(|shape| (shape, along))
            .map_err(|(side, misfit)| {
                let own = SIDES
                    .iter()
                    .find(|(field, its)| Some(*its) == side && self.has(*field))
                    .map(|(field, _)| *field);
                self.note(line, own.filter(|_| !from_text).or(place), misfit, Severity::Error)
            })
    }

    /// The numbers of a combined size.
    pub(super) fn combined(&mut self, line: &Line) -> Result<Option<Vec<size::Part>>, Noted> {
        let (unit, convention) = (self.unit(Field::Size, self.length_unit), self.convention);
        self.read(line, Field::Size, |cell| match value::sound(cell, "size")? {
            Cell::Empty => Ok(None),
            cell => size::split(&cell.shown(), unit, convention).map(Some),
        })
    }

    /// The sizes that have columns of their own; all of them are read before giving up.
    pub(super) fn sides(&mut self, line: &Line) -> Result<Sizes, Noted> {
        let mut sizes = Ok(Sizes::default());
        for (field, side) in SIDES {
            let (unit, convention) = (self.unit(field, self.length_unit), self.convention);
            let read = self.read(line, field, |cell| {
                value::length(cell, &field.to_string(), unit, convention)
            });
            match (read, &mut sizes) {
                (Ok(length), Ok(sizes)) => *sizes.get_mut(side) = length.map(|length| length.0),
                (Ok(_), Err(Noted)) => {}
                (Err(Noted), _) => sizes = Err(Noted),
            }
        }
        sizes
    }
}

/// The shape that a cell names.
fn shape_word(cell: &Cell) -> value::Read<ShapeWord> {
    let Some(text) = value::text(cell, "shape")?.filter(|text| !value::is_blank(text)) else {
        return Ok(None);
    };
    let within = || words(&text).iter().find_map(|word| vocabulary().shape_of_word(word));
    vocabulary().shape(&text).or_else(within).map(Some).ok_or_else(|| {
        Misfit::new(
            format!("unknown shape \"{}\"", excerpt(&text)),
            "disc, ring, block or sphere; or steel disc, steel washer, steel cup, cone tip or dome tip",
        )
    })
}
