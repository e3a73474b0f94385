//! Sizes: one combined text, or a column a side, to a shape.

use advice::{Item, Magnetised};
use magnetics::Shape;
use quantity::{Convention, Length, Unit, parse, parse_with_default};

use super::decimal::pointed;
use super::value::Misfit;
use super::vocabulary::{ShapeWord, Side, vocabulary};
use crate::exact;

/// What a combined size may look like, for messages.
const EXAMPLES: &str = "a size such as 10 x 5, 20 x 10 x 5 mm, 20/10 x 5 or 1/2 x 1/8 in";

/// The sizes of one item that are known, m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Sizes {
    pub(crate) diameter: Option<f64>,
    pub(crate) inner_diameter: Option<f64>,
    pub(crate) length: Option<f64>,
    pub(crate) width: Option<f64>,
    pub(crate) thickness: Option<f64>,
}

impl Sizes {
    pub(crate) fn get_mut(&mut self, side: Side) -> &mut Option<f64> {
        match side {
            Side::Diameter => &mut self.diameter,
            Side::InnerDiameter => &mut self.inner_diameter,
            Side::Length => &mut self.length,
            Side::Width => &mut self.width,
            Side::Thickness => &mut self.thickness,
        }
    }

    /// Adds the sizes of a combined text. Those without a letter fill the sides of the shape in the usual order:
    /// diameter, hole, thickness; length, width, thickness.
    pub(crate) fn add(&mut self, parts: &[Part], shape: Option<ShapeWord>) -> Result<(), Misfit> {
        for part in parts {
            if let Some(side) = part.side {
                self.set(side, part.metres)?;
            }
        }
        let free: Vec<f64> = parts
            .iter()
            .filter(|part| part.side.is_none())
            .map(|part| part.metres)
            .collect();
        let round = self.diameter.is_some() || self.inner_diameter.is_some();
        let shape = shape.or(match (free.len(), round) {
            (3, false) => Some(ShapeWord::Block),
            (2, false) => Some(ShapeWord::Disc),
            _ if self.length.is_some() && self.width.is_some() => Some(ShapeWord::Block),
            (_, true) => Some(ShapeWord::Ring),
            _ => None,
        });
        let order: &[Side] = match shape {
            Some(ShapeWord::Disc) => &[Side::Diameter, Side::Thickness],
            Some(ShapeWord::Ring) => &[Side::Diameter, Side::InnerDiameter, Side::Thickness],
            Some(ShapeWord::Block) => &[Side::Length, Side::Width, Side::Thickness],
            Some(ShapeWord::Cube) => match free.len() {
                1 => &[Side::Thickness],
                _ => &[Side::Length, Side::Width, Side::Thickness],
            },
            Some(ShapeWord::Sphere) => &[Side::Diameter],
            None => &[],
        };
        let mut sides: Vec<Side> = order
            .iter()
            .copied()
            .filter(|side| self.get_mut(*side).is_none())
            .collect();
        // "Ø20 x 5": what is left of a round shape with one number is its thickness, not a hole.
        if free.len() < sides.len() {
            sides.retain(|side| *side != Side::InnerDiameter);
        }
        if free.len() > sides.len() || (free.len() < sides.len() && !free.is_empty()) {
            return Err(Misfit::new(
                format!("{} numbers do not make a size of this shape", parts.len()),
                EXAMPLES,
            ));
        }
        for (side, metres) in sides.into_iter().zip(free) {
            self.set(side, metres)?;
        }
        Ok(())
    }

    fn set(&mut self, side: Side, metres: f64) -> Result<(), Misfit> {
        match self.get_mut(side).replace(metres) {
            Some(before) if before != metres => Err(Misfit::new(
                format!(
                    "the {} is {} mm here and {} mm elsewhere in the line",
                    side_words(side),
                    exact::millimetres(metres),
                    exact::millimetres(before)
                ),
                "one value for each side",
            )),
            _ => Ok(()),
        }
    }

    /// The shape that is named, or else the one whose sides are filled.
    pub(crate) fn shape_word(&self, named: Option<ShapeWord>) -> Option<ShapeWord> {
        let has = |size: Option<f64>| size.is_some_and(|metres| metres > 0.0);
        named.or(match () {
            () if has(self.inner_diameter) => Some(ShapeWord::Ring),
            () if has(self.diameter) => Some(ShapeWord::Disc),
            () if has(self.length) || has(self.width) => Some(ShapeWord::Block),
            () => None,
        })
    }

    /// Whether no size is given that the shape does not have, and a ring has its hole.
    pub(crate) fn may_be(&self, word: ShapeWord) -> bool {
        let hole_missing = word == ShapeWord::Ring && self.diameter.is_some() && self.inner_diameter.is_none();
        self.alien(word).is_none() && !hole_missing
    }

    /// A size that is given and that the shape does not have. Lists put 0 where there is none.
    fn alien(&self, word: ShapeWord) -> Option<Side> {
        let is_rod = word != ShapeWord::Sphere && self.thickness.is_none();
        let all = [
            (Side::Diameter, self.diameter, !word.is_block()),
            (Side::InnerDiameter, self.inner_diameter, word == ShapeWord::Ring),
            (Side::Length, self.length, word.is_block() || is_rod),
            (Side::Width, self.width, word.is_block()),
            (
                Side::Thickness,
                self.thickness,
                word != ShapeWord::Sphere || self.thickness == self.diameter,
            ),
        ];
        all.into_iter()
            .find(|(_, size, fits)| !fits && size.is_some_and(|metres| metres > 0.0))
            .map(|(side, ..)| side)
    }

    /// The shape that the sizes make; where they make none, the side that is to blame and what is wrong with it.
    pub(crate) fn shape(&self, named: Option<ShapeWord>, along: Magnetised) -> Result<Shape, (Option<Side>, Misfit)> {
        let word = self
            .shape_word(named)
            .ok_or_else(|| (None, Misfit::new("the size is missing", EXAMPLES)))?;
        if let Some(side) = self.alien(word) {
            let wrong = format!("a {} has no {}", word.name(), side_words(side));
            return Err((Some(side), Misfit::new(wrong, "nothing here, or another shape")));
        }
        let diameter = || need(Side::Diameter, self.diameter);
        // The length of a rod is its thickness.
        let axial = || need(Side::Thickness, self.thickness.or(self.length));
        let block = |length, width, thickness| {
            let length = need(Side::Length, length)?;
            let width = need(Side::Width, width)?;
            let thickness = need(Side::Thickness, thickness)?;
            Ok(Item::block_of([length, width, thickness], along))
        };
        let shape = match word {
            ShapeWord::Disc => Shape::Disc {
                diameter: diameter()?,
                thickness: axial()?,
            },
            ShapeWord::Ring => Shape::Ring {
                outer_diameter: diameter()?,
                inner_diameter: need(Side::InnerDiameter, self.inner_diameter)?,
                thickness: axial()?,
            },
            ShapeWord::Sphere => Shape::Sphere { diameter: diameter()? },
            ShapeWord::Block => block(self.length, self.width, self.thickness)?,
            ShapeWord::Cube => {
                let edge = self.thickness.or(self.length).or(self.width);
                block(self.length.or(edge), self.width.or(edge), self.thickness.or(edge))?
            }
        };
        if let Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } = shape
            && inner_diameter >= outer_diameter
        {
            let (hole, body) = (exact::millimetres(inner_diameter), exact::millimetres(outer_diameter));
            let wrong = format!("the hole of {hole} mm is not smaller than the body of {body} mm");
            let right = "an inner diameter below the outer diameter; perhaps they are swapped";
            return Err((Some(Side::InnerDiameter), Misfit::new(wrong, right)));
        }
        shape
            .validate()
            .map_err(|error| (None, Misfit::new(error.to_string(), error.hint())))?;
        Ok(shape)
    }
}

/// A size that a shape cannot be without.
fn need(side: Side, size: Option<f64>) -> Result<f64, (Option<Side>, Misfit)> {
    let word = side_words(side);
    match size {
        Some(metres) if metres > 0.0 => Ok(metres),
        Some(_) => Err((
            Some(side),
            Misfit::new(format!("{word} must be greater than 0"), "a size such as 3 mm"),
        )),
        None => {
            let right = format!("a {word} such as 3 mm, or another shape");
            Err((Some(side), Misfit::new(format!("the {word} is missing"), right)))
        }
    }
}

fn side_words(side: Side) -> &'static str {
    match side {
        Side::Diameter => "diameter",
        Side::InnerDiameter => "inner diameter",
        Side::Length => "length",
        Side::Width => "width",
        Side::Thickness => "thickness",
    }
}

/// One number of a combined size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Part {
    /// The side that a letter beside it names.
    pub(crate) side: Option<Side>,
    /// The size, m.
    pub(crate) metres: f64,
}

/// Splits a combined size such as `20 x 10 x 5 mm`, `Ø10×5`, `20/10x5` or `1/2 x 1/8 in`. A unit after the last
/// number holds for all that have none; without any it is `unit`.
pub(crate) fn split(text: &str, unit: Unit, convention: Convention) -> Result<Vec<Part>, Misfit> {
    let text = pointed(text, convention)
        .replace(['×', '✕', '*', 'X', 'х', 'Х', '╳'], "x")
        .replace(" by ", "x");
    let text = parted(&text);
    let pieces: Vec<&str> = pieces(&text);
    let unit = pieces.last().and_then(|last| trailing_unit(last)).unwrap_or(unit);
    let mut parts = Vec::with_capacity(pieces.len());
    for piece in pieces {
        match ring(piece, unit) {
            Some(pair) => parts.extend(pair),
            None => parts.push(part(piece, unit)?),
        }
    }
    smaller_is_hole(&mut parts);
    if parts.len() > 3 {
        return Err(Misfit::new(
            format!("{} numbers are too many for a size", parts.len()),
            EXAMPLES,
        ));
    }
    match parts.iter().find(|part| part.metres <= 0.0) {
        Some(_) => Err(Misfit::new("each size must be greater than 0", EXAMPLES)),
        None => Ok(parts),
    }
}

/// `Ø 16 h 4` with an `x` before each letter of a side that stands between two numbers.
fn parted(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_letter = |word: &str| {
        let word = word.trim_end_matches('.').to_lowercase();
        matches!(word.as_str(), "h" | "t" | "ép" | "ep" | "ø")
    };
    let ends = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    let mut parted = String::with_capacity(text.len() + 8);
    for (at, word) in words.iter().enumerate() {
        let before = at.checked_sub(1).and_then(|at| words.get(at));
        let is_between = before.is_some_and(ends) && words[at + 1..].iter().any(ends);
        let parts = is_letter(word) && is_between;
        parted.push_str(if parts { " x " } else { " " });
        parted.push_str(if parts { word.trim_end_matches('.') } else { word });
    }
    parted.trim_start().to_owned()
}

/// `Ø20 x Ø10 x 5`: the smaller of two diameters is the hole.
pub(crate) fn smaller_is_hole(parts: &mut [Part]) {
    let mut diameters = parts.iter_mut().filter(|part| part.side == Some(Side::Diameter));
    if let (Some(first), Some(second), None) = (diameters.next(), diameters.next(), diameters.next()) {
        let hole = if first.metres < second.metres { first } else { second };
        hole.side = Some(Side::InnerDiameter);
    }
}

/// The text between the `x`s that stand between numbers.
fn pieces(text: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut start = 0;
    for (at, _) in text.match_indices('x') {
        let has_number = text[start..at].contains(|c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞".contains(c));
        let next = text[at + 1..].trim_start();
        let begins_number = next.starts_with(|c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞Øø⌀.-−".contains(c))
            || vocabulary()
                .side(next.split(|c: char| !c.is_alphabetic()).next().unwrap_or(""))
                .is_some();
        if has_number && begins_number {
            pieces.push(text[start..at].trim());
            start = at + 1;
        }
    }
    pieces.push(text[start..].trim());
    pieces
}

/// `20/10`: outer over inner diameter, unless it is a fraction: below 1 and in inches.
fn ring(piece: &str, unit: Unit) -> Option<[Part; 2]> {
    let unit = trailing_unit(piece).unwrap_or(unit);
    let (outer, inner) = piece.split_once('/')?;
    let (outer, inner) = (part(outer, unit).ok()?, part(inner, unit).ok()?);
    let is_fraction = outer.metres <= inner.metres && unit == Unit::INCH;
    let is_ring = !is_fraction && matches!(outer.side, None | Some(Side::Diameter));
    is_ring.then_some([
        Part {
            side: Some(Side::Diameter),
            ..outer
        },
        Part {
            side: Some(Side::InnerDiameter),
            ..inner
        },
    ])
}

/// A number with a unit or without, and a letter or word for its side before or after it.
fn part(piece: &str, unit: Unit) -> Result<Part, Misfit> {
    let piece = piece.trim();
    let starts = |c: char| c.is_ascii_digit() || "½¼¾⅛⅜⅝⅞.,-−".contains(c);
    let begin = piece.find(starts).unwrap_or(piece.len());
    let (before, rest) = piece.split_at(begin);
    let before = before.trim().trim_end_matches(['=', ':', '.']);
    let (number, after) = match rest.rsplit_once(char::is_whitespace) {
        Some((number, word)) if vocabulary().side(word).is_some() => (number, word),
        _ => (rest, ""),
    };
    let word = if before.is_empty() { after } else { before };
    let side = match word {
        "" => None,
        word => Some(vocabulary().side(word).ok_or_else(|| {
            Misfit::new(
                format!("\"{}\" is not the name of a side", super::text::excerpt(word)),
                EXAMPLES,
            )
        })?),
    };
    parse_with_default::<Length>(number, unit)
        .map(|length| Part {
            side,
            metres: exact::length(length).0,
        })
        .map_err(|error| Misfit::new(error.to_string(), error.hint.unwrap_or_else(|| EXAMPLES.to_owned())))
}

/// The unit at the end of the last number.
fn trailing_unit(piece: &str) -> Option<Unit> {
    let mut words = piece
        .split_whitespace()
        .filter(|word| vocabulary().side(word).is_none() || Unit::named(word).is_some());
    let last = words.next_back()?;
    let unit = last.trim_start_matches(|c: char| !(c.is_alphabetic() || "\"″”'′’".contains(c)));
    let unit = unit.trim_start_matches(['Ø', 'ø']);
    let named = Unit::named(unit).or_else(|| Unit::named(&unit.to_lowercase()))?;
    // Only a unit that makes sense with a length is one.
    parse::<Length>(&format!("1 {}", named.label())).ok().map(|_| named)
}

#[cfg(test)]
#[path = "size_tests.rs"]
mod tests;
