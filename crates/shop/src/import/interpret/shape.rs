//! The shape of an item, out of the columns that say something about it.

use advice::{Item, Magnetised};
use magnetics::Shape;

use super::countersink::Countersink;
use super::{Interpreter, Noted};
use crate::exact;
use crate::import::direction;
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::size::{self, Sizes};
use crate::import::table::{Cell, Line};
use crate::import::text::{excerpt, words};
use crate::import::told::{self, Tables, Through, Told};
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{ShapeWord, Side, vocabulary};

/// Sizes within this are the same, m.
const SAME_SIZE: f64 = 1e-6;

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
        countersink: &Countersink,
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
        let named = self.named_shape(line, told);
        let in_column = self
            .position
            .get(&Field::Magnetised)
            .and_then(|at| direction::through(line.cell(*at), self.length_unit));
        let in_text = || told.through.filter(|_| self.is_silent(line, &[Field::Magnetised]));
        let through = in_column.map(|length| Through::Size(length.0)).or_else(in_text);
        let along = match through {
            Some(_) => Ok(None),
            None => self.read(line, Field::Magnetised, direction::read),
        };
        let columns = self.sides(line);
        let parts = self.combined(line, told.shape);
        let (named, along, mut sizes, parts) = (named?, along?, columns?, parts?);
        let along = along.or(told.direction);
        let fits = |sizes: &Sizes, word: &ShapeWord| sizes.may_be(*word);
        let mut named = named.or_else(|| vocabulary().shape_within(name).filter(|word| fits(&sizes, word)));
        if from_text {
            named = told.shape.or(named);
        }
        // A cube is a block of which one edge may stand for all.
        if named == Some(ShapeWord::Block) && told.shape == Some(ShapeWord::Cube) {
            named = told.shape;
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
        if !from_text && !told.sizes.is_empty() {
            sizes = self.completed(sizes, told, named);
        }
        if countersink.is_sunk() {
            named = self.with_hole(line, &mut sizes, countersink, named);
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
                let wrong = match through {
                    Through::Size(size) => format!("no side is {} mm long", exact::millimetres(size)),
                    Through::Faces([one, other]) => {
                        let [one, other] = [one, other].map(exact::millimetres);
                        format!("it has no faces of {one} x {other} mm")
                    }
                };
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

    /// The shape that the column of shapes names; a word there that is not known says nothing where the text names one.
    fn named_shape(&mut self, line: &Line, told: &Told) -> Result<Option<ShapeWord>, Noted> {
        let Some(at) = self.position.get(&Field::Shape).copied() else {
            return Ok(None);
        };
        match (shape_word(line.cell(at)), told.shape) {
            (Ok(word), _) => Ok(word),
            (Err(misfit), Some(word)) => {
                let wrong = format!("{}: it is a {} by its text", misfit.wrong, word.name());
                self.note_at(line, at, Misfit::new(wrong, misfit.right), Severity::Warning);
                Ok(Some(word))
            }
            (Err(misfit), None) => Err(self.note_at(line, at, misfit, Severity::Error)),
        }
    }

    /// Sizes of columns with those of the text for what no column says, where the two agree in what both say.
    fn completed(&self, sizes: Sizes, told: &Told, named: Option<ShapeWord>) -> Sizes {
        let mut by_text = Sizes::default();
        let shape = named.or(told.shape);
        if by_text.add(&told.sizes, shape).is_err() {
            return sizes;
        }
        let pairs = SIDES.map(|(_, side)| {
            let (mut sizes, mut by_text) = (sizes, by_text);
            (side, *sizes.get_mut(side), *by_text.get_mut(side))
        });
        let agree = |(_, one, other): &(Side, Option<f64>, Option<f64>)| {
            one.zip(*other)
                .is_none_or(|(one, other)| (one - other).abs() <= SAME_SIZE)
        };
        if !pairs.iter().all(agree) {
            return sizes;
        }
        let mut whole = sizes;
        for (side, one, other) in pairs {
            *whole.get_mut(side) = one.or(other);
        }
        whole
    }

    /// The shape of a countersunk piece, with the hole that its screw passes through where none is said: what is round has a hole,
    /// and a block is reckoned without.
    fn with_hole(
        &mut self,
        line: &Line,
        sizes: &mut Sizes,
        countersink: &Countersink,
        named: Option<ShapeWord>,
    ) -> Option<ShapeWord> {
        let is_block = named.is_some_and(ShapeWord::is_block) || (sizes.length.is_some() && sizes.width.is_some());
        if is_block {
            sizes.inner_diameter = None;
            return Some(ShapeWord::Block);
        }
        if matches!(named, None | Some(ShapeWord::Disc | ShapeWord::Ring)) {
            if sizes.inner_diameter.is_none()
                && let Some(hole) = countersink.hole()
            {
                sizes.inner_diameter = Some(hole);
                let hole = exact::millimetres(hole);
                let wrong = format!(
                    "its hole is not said: {hole} mm is taken, which its screw passes through (ISO 273, medium, from memory)"
                );
                let misfit = Misfit::new(wrong, "the hole beside the other sizes");
                self.note(line, self.text_field(), misfit, Severity::Warning);
            }
            return Some(ShapeWord::Ring);
        }
        named
    }

    /// The numbers of a combined size; what is not written as one is read as a text of that shape is.
    pub(super) fn combined(&mut self, line: &Line, shape: Option<ShapeWord>) -> Result<Option<Vec<size::Part>>, Noted> {
        let (unit, convention) = (self.unit(Field::Size, self.length_unit), self.convention);
        let tables = Tables { unit, ..self.tables() };
        let in_words = |text: &str| {
            if text.trim_end().ends_with(['x', 'X', '×', '*', '/']) {
                return None;
            }
            let told = told::told_of(text, shape, &tables);
            (!told.sizes.is_empty()).then_some(told.sizes)
        };
        let Some(at) = self.position.get(&Field::Size).copied() else {
            return Ok(None);
        };
        let cell = line.cell(at);
        let read = value::sound(cell, "size").and_then(|cell| match cell {
            Cell::Empty => Ok(None),
            cell => {
                let text = cell.shown();
                let text = value::number_text(&text, "size")?;
                let split = size::split(text, unit, convention);
                split.or_else(|misfit| in_words(text).ok_or(misfit)).map(Some)
            }
        });
        read.map_err(|misfit| self.note_at(line, at, misfit, Severity::Error))
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
