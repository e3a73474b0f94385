//! The shape of an item, out of the columns that say something about it.

use advice::{Item, Magnetised};
use magnetics::Shape;

use super::{Interpreter, Noted};
use crate::import::direction;
use crate::import::heading::Field;
use crate::import::problem::Severity;
use crate::import::size::{self, Sizes};
use crate::import::table::{Cell, Line};
use crate::import::text::excerpt;
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
    /// The shape and the side that it is magnetised along. A file without any size keeps those of the shelf.
    pub(super) fn shape(&mut self, line: &Line, name: &str, base: Option<&Item>) -> Result<(Shape, Magnetised), Noted> {
        if !self.has(Field::Size) && !SIDES.iter().any(|(field, _)| self.has(*field)) {
            return match base {
                Some(item) => Ok((item.shape, item.magnetised)),
                None => Err(self.lacks("size")),
            };
        }
        let named = self.read(line, Field::Shape, shape_word);
        let along = self.read(line, Field::Magnetised, direction::read);
        let columns = self.sides(line);
        let parts = self.combined(line);
        let (named, along, mut sizes, parts) = (named?, along?, columns?, parts?);
        let named = named.or_else(|| vocabulary().shape_within(name).filter(|word| sizes.may_be(*word)));
        if let Some(parts) = parts
            && let Err(misfit) = sizes.add(&parts, named)
        {
            return Err(self.note(line, Some(Field::Size), misfit, Severity::Error));
        }
        let is_block = sizes.shape_word(named).is_some_and(ShapeWord::is_block);
        let along = match along.map_or(Ok(Magnetised::Thickness), |word| direction::side(word, is_block)) {
            Ok(along) => along,
            Err(misfit) => return Err(self.note(line, Some(Field::Magnetised), misfit, Severity::Error)),
        };
        sizes
            .shape(named, along)
            .map(|shape| (shape, along))
            .map_err(|(side, misfit)| {
                let own = SIDES
                    .iter()
                    .find(|(field, its)| Some(*its) == side && self.has(*field))
                    .map(|(field, _)| *field);
                self.note(line, own.or(Some(Field::Size)), misfit, Severity::Error)
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
    vocabulary().shape(&text).map(Some).ok_or_else(|| {
        Misfit::new(
            format!("unknown shape \"{}\"", excerpt(&text)),
            "disc, ring, block or sphere; or steel disc, steel washer, steel cup, cone tip or dome tip",
        )
    })
}
