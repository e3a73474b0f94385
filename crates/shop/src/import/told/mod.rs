//! What a description says of a magnet: `Ring magnet 40/20 x 10 mm N42 Ni`.

mod marks;
mod numbers;
mod pieces;

use materials::coating::CoatingTable;
use materials::grade::GradeTable;
use quantity::{Convention, Length, Unit};

use super::size::Part;
use super::value::Misfit;
use super::vocabulary::{DirectionWord, ShapeWord, vocabulary};
use pieces::{What, pieces};

/// What a text is read with.
#[derive(Clone, Copy)]
pub(crate) struct Tables<'a> {
    pub(crate) grades: &'a GradeTable,
    pub(crate) coatings: &'a CoatingTable,
    /// Unit of sizes that state none.
    pub(crate) unit: Unit,
    /// Which sign stands before decimals.
    pub(crate) convention: Convention,
}

/// What a text says; what it does not say is absent.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Told {
    /// The shape that it names.
    pub(crate) shape: Option<ShapeWord>,
    /// The sizes, in the order of the text.
    pub(crate) sizes: Vec<Part>,
    /// Why its numbers are not taken for sizes, where there are some that could be.
    pub(crate) unclear: Option<Misfit>,
    /// The grade's name in the table.
    pub(crate) grade: Option<String>,
    /// Why no grade is read, where something looks like one.
    pub(crate) unclear_grade: Option<Misfit>,
    /// The coating's name in the table.
    pub(crate) coating: Option<String>,
    /// The side that it is magnetised along.
    pub(crate) direction: Option<DirectionWord>,
    /// What it is magnetised through, where that is named by its size.
    pub(crate) through: Option<Through>,
    /// Plus or minus on each size.
    pub(crate) tolerance: Option<Length>,
}

/// What a magnetisation goes through, by sizes, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Through {
    /// The side of this size.
    Size(f64),
    /// The faces of these sides have the poles.
    Faces([f64; 2]),
}

impl Told {
    /// What a remark or a heading says of it: its coating and its direction, and of a heading its grade and its shape too.
    pub(crate) fn without_sizes(self) -> Told {
        Told {
            sizes: Vec::new(),
            unclear: None,
            tolerance: None,
            ..self
        }
    }

    /// What a remark says of it: its coating and its direction.
    pub(crate) fn of_a_remark(self) -> Told {
        Told {
            shape: None,
            grade: None,
            unclear_grade: None,
            ..self.without_sizes()
        }
    }

    /// Whether it says nothing.
    pub(crate) fn is_silent(&self) -> bool {
        *self == Told::default()
    }

    /// What this says, and what another text says where this is silent. Sizes are those of one text, with the shape that goes
    /// with them.
    pub(crate) fn or(self, other: Told) -> Told {
        let sizes_of = if self.sizes.is_empty() && self.unclear.is_none() {
            &other
        } else {
            &self
        };
        let (sizes, unclear) = (sizes_of.sizes.clone(), sizes_of.unclear.clone());
        let grade = self.grade.or(other.grade);
        Told {
            shape: self.shape.or(other.shape),
            sizes,
            unclear,
            unclear_grade: self.unclear_grade.or(other.unclear_grade).filter(|_| grade.is_none()),
            grade,
            coating: self.coating.or(other.coating),
            direction: self.direction.or(other.direction),
            through: self.through.or(other.through),
            tolerance: self.tolerance.or(other.tolerance),
        }
    }
}

/// Reads a text.
pub(crate) fn told(text: &str, tables: &Tables) -> Told {
    let pieces = pieces(text);
    marked(text, &pieces, None, tables).0
}

/// Reads the sizes of what is known to be of that shape, where it is.
pub(crate) fn told_of(text: &str, shape: Option<ShapeWord>, tables: &Tables) -> Told {
    let pieces = pieces(text);
    marked(text, &pieces, shape, tables).0
}

/// Reads a text that stands above lines of a list; `None` where it has words that headings do not have. `known` are words that
/// are known otherwise.
pub(crate) fn heading(text: &str, known: &[String], tables: &Tables) -> Option<Told> {
    let pieces = pieces(text);
    let (told, marks) = marked(text, &pieces, None, tables);
    (told.unclear_grade.is_none() && marks.is_heading(known)).then(|| told.without_sizes())
}

fn marked<'a>(
    text: &'a str,
    pieces: &'a [pieces::Piece],
    shape: Option<ShapeWord>,
    tables: &Tables,
) -> (Told, marks::Marks<'a>) {
    let mut marks = marks::Marks::new(text, pieces);
    let mut told = Told::default();
    match marks.grade(tables.grades) {
        Ok(grade) => told.grade = grade,
        Err(misfit) => told.unclear_grade = Some(misfit),
    }
    told.tolerance = marks.tolerance(tables);
    told.coating = marks.coating(tables.coatings);
    told.through = marks.through(tables);
    told.direction = marks.direction();
    marks.amounts();
    marks.names();
    let named = pieces.iter().find_map(|piece| match &piece.what {
        What::Word(word) => vocabulary().shape_of_word(word),
        _ => None,
    });
    told.shape = named.or(shape);
    match numbers::sizes(text, pieces, marks.taken(), told.shape, tables) {
        Ok(sizes) => told.sizes = sizes,
        Err(misfit) => told.unclear = Some(misfit),
    }
    // A disc with a hole is a ring.
    if matches!(told.shape, None | Some(ShapeWord::Disc)) && numbers::has_hole(&told.sizes) {
        told.shape = Some(ShapeWord::Ring);
    }
    (told, marks)
}

#[cfg(test)]
mod tests;
