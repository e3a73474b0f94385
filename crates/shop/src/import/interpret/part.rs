//! A steel part, out of the columns that a magnet has and a few of its own.

use advice::Part;
use advice::part::{Form, PartKind, steel_named};
use quantity::Length;

use super::shape::SIDES;
use super::{Interpreter, Noted};
use crate::import::field::Field;
use crate::import::problem::Severity;
use crate::import::size::{self, Sizes};
use crate::import::table::Line;
use crate::import::text::{excerpt, words};
use crate::import::told;
use crate::import::value::{self, Misfit};
use crate::import::vocabulary::{ShapeWord, Side, vocabulary};
use crate::product::Product;

/// The steel of a part whose list does not say; common practice, no source.
const USUAL_STEEL: &str = "mild steel";
/// What a shape may be called.
const KINDS: &str = "steel disc, steel washer, steel cup, cone tip or dome tip";

impl Interpreter<'_> {
    /// Whether a line is of a steel part: by its shape, else by its material, else by its text, else as the shelf has it.
    pub(super) fn is_part(&self, line: &Line, base: Option<&Product>) -> bool {
        if self
            .words_in(line, Field::Shape)
            .is_some_and(|shape| vocabulary().part(&shape).is_some())
        {
            return true;
        }
        match self.words_in(line, Field::Grade) {
            Some(material) => {
                self.grades.get(&material).is_none() && self.steels.find(steel_words(&material)).is_some()
            }
            None => matches!(base, Some(Product::Part(_))) || self.is_steel(line),
        }
    }

    /// Whether the text of a line, or the heading above it, names steel that goes with magnets.
    pub(super) fn is_steel(&self, line: &Line) -> bool {
        let text = self.text_field().and_then(|field| self.words_in(line, field));
        let named = text.is_some_and(|text| vocabulary().is_steel_part(&text)) || self.section.steel;
        named && self.is_silent(line, &[Field::Grade]) && self.told(line).grade.is_none()
    }

    /// Whether a line is of such steel in a form that is not reckoned with, such as a plate with corners, or of unknown sizes.
    pub(super) fn is_odd_steel(&self, line: &Line) -> bool {
        let shaped = self
            .words_in(line, Field::Shape)
            .is_some_and(|shape| vocabulary().part(&shape).is_some());
        if shaped || !self.is_steel(line) {
            return false;
        }
        let sizes = self.sizes_of_steel(line);
        let has_side = |side| sizes.iter().any(|part| part.side == Some(side));
        let is_sided = has_side(Side::Length) || has_side(Side::Width);
        let drilled = self.countersink(line).is_sunk() || self.is_self_adhesive(line, "");
        let round = match self.kind_of_steel(line) {
            Some(PartKind::Disc) => sizes.len() == 2,
            Some(PartKind::Washer) => sizes.len() == 3,
            _ => false,
        };
        drilled || is_sided || !round
    }

    /// The kind that the words of a text name: a washer, a disc or another round plate, a cup.
    fn kind_of_steel(&self, line: &Line) -> Option<PartKind> {
        let text = self.words_in(line, self.text_field()?)?;
        let all = words(&text);
        let two = all.windows(2).map(|pair| pair.join(" "));
        let by_phrase = two
            .chain(all.iter().cloned())
            .find_map(|phrase| vocabulary().part(&phrase));
        let by_word = || {
            all.iter().find_map(|word| match vocabulary().shape_of_word(word)? {
                ShapeWord::Disc => Some(PartKind::Disc),
                ShapeWord::Ring => Some(PartKind::Washer),
                _ => None,
            })
        };
        by_phrase.or_else(by_word)
    }

    /// The sizes of steel, out of its column of sizes or its text.
    fn sizes_of_steel(&self, line: &Line) -> Vec<size::Part> {
        let field = if self.is_silent(line, &[Field::Size]) {
            self.text_field()
        } else {
            Some(Field::Size)
        };
        let text = field.and_then(|field| self.words_in(line, field)).unwrap_or_default();
        told::told(&text, &self.tables()).sizes
    }

    /// Reads every field before giving up, so that one pass reports all that is wrong with a line.
    pub(super) fn part(&mut self, line: &Line, code: String, base: Option<&Part>) -> Result<Part, Noted> {
        let name = self.name(line, base.map(|part| part.name.as_str()));
        let form = self.form(line, base);
        let steel = self.steel(line, base);
        let before = base.cloned().map(|part| Product::Part(part).listed());
        let listed = self.listed(line, before)?;
        let part = Part {
            code,
            name: name?,
            form: form?,
            steel: steel?,
            tolerance: listed.tolerance,
            mass: None,
            stock: listed.stock,
            prices: listed.prices,
            link: listed.link,
            note: listed.note,
        };
        self.doubt_mass(line, listed.mass, part.mass_each(), &part.steel);
        Ok(Part {
            mass: listed.mass,
            ..part
        })
    }

    fn steel(&mut self, line: &Line, base: Option<&Part>) -> Result<String, Noted> {
        let before = base.map(|part| part.steel.clone());
        let written = self.kept(line, Field::Grade, before, |cell| value::text(cell, "steel"))?;
        let written = written.filter(|text| !value::is_blank(text));
        let written = written.as_deref().map_or(USUAL_STEEL, steel_words);
        if let Some(name) = steel_named(&self.steels, written) {
            return Ok(name.to_owned());
        }
        let wrong = if self.steels.find(written).is_some() {
            format!("{} does not hold a magnet", excerpt(written))
        } else {
            format!("no steel is known by the name \"{}\"", excerpt(written))
        };
        let known = self
            .steels
            .all()
            .iter()
            .filter_map(|s| steel_named(&self.steels, &s.name));
        let right = format!("one of: {}", known.collect::<Vec<_>>().join(", "));
        Err(self.note(line, Some(Field::Grade), Misfit::new(wrong, right), Severity::Error))
    }

    /// The kind that the shape names; a plain disc and a plain ring go with a magnet's back.
    fn kind(&mut self, line: &Line, sizes: &Sizes, base: Option<&Part>) -> Result<PartKind, Noted> {
        let written = self.read(line, Field::Shape, |cell| value::text(cell, "shape"))?;
        let Some(text) = written.filter(|text| !value::is_blank(text)) else {
            let named = self.kind_of_steel(line).filter(|_| self.is_steel(line));
            return Ok(match base {
                Some(part) => part.form.kind(),
                None if named.is_some() => named.unwrap_or(PartKind::Disc),
                None if sizes.inner_diameter.is_some_and(|d| d > 0.0) => PartKind::Washer,
                None => PartKind::Disc,
            });
        };
        let plain = || match vocabulary().shape(&text)? {
            ShapeWord::Disc => Some(PartKind::Disc),
            ShapeWord::Ring => Some(PartKind::Washer),
            _ => None,
        };
        vocabulary().part(&text).or_else(plain).ok_or_else(|| {
            let wrong = format!("\"{}\" is no kind of steel part", excerpt(&text));
            self.note(line, Some(Field::Shape), Misfit::new(wrong, KINDS), Severity::Error)
        })
    }

    /// Its form. A file without any size keeps that of the shelf.
    fn form(&mut self, line: &Line, base: Option<&Part>) -> Result<Form, Noted> {
        let own = [Field::CavityDepth, Field::FloorHole, Field::EndDiameter];
        let sized = self.has(Field::Size) || SIDES.iter().any(|(field, _)| self.has(*field));
        let in_text = self.is_unsized(line) && self.is_steel(line);
        if !sized && !in_text && !own.iter().any(|field| self.has(*field)) {
            return match base {
                Some(part) => Ok(part.form),
                None => Err(self.lacks("size")),
            };
        }
        let columns = self.sides(line);
        let combined = self.combined(line, None);
        let [depth, hole, end] = own.map(|field| {
            let (unit, convention) = (self.unit(field, self.length_unit), self.convention);
            let before = base.and_then(|part| own_size(&part.form, field)).map(Length);
            self.kept(line, field, before, |cell| {
                value::length(cell, &field.to_string(), unit, convention)
            })
        });
        let (mut sizes, mut combined) = (columns?, combined?);
        if in_text {
            combined = Some(self.sizes_of_steel(line));
        }
        let kind = self.kind(line, &sizes, base)?;
        let as_magnet = match kind {
            PartKind::Disc | PartKind::Dome => ShapeWord::Disc,
            PartKind::Washer | PartKind::Cup | PartKind::Cone => ShapeWord::Ring,
        };
        if let Some(combined) = combined
            && let Err(misfit) = sizes.add(&combined, Some(as_magnet))
        {
            return Err(self.note(line, Some(Field::Size), misfit, Severity::Error));
        }
        let [depth, hole, end] = [depth?, hole?, end?].map(|size| size.map(|length| length.0));
        let needed = |size: Option<f64>| size.unwrap_or(0.0);
        let (across, inner, along) = (
            needed(sizes.diameter),
            needed(sizes.inner_diameter),
            needed(sizes.thickness.or(sizes.length)),
        );
        let form = match kind {
            PartKind::Disc => Form::Disc {
                diameter: across,
                thickness: along,
            },
            PartKind::Washer => Form::Washer {
                outer_diameter: across,
                inner_diameter: inner,
                thickness: along,
            },
            PartKind::Cup => Form::Cup {
                outer_diameter: across,
                inner_diameter: inner,
                height: along,
                depth: needed(depth),
                hole: needed(hole),
            },
            PartKind::Cone => Form::Cone {
                base: across,
                end: end.unwrap_or(inner),
                height: along,
            },
            PartKind::Dome => Form::Dome {
                base: across,
                height: along,
            },
        };
        let missing = self.missing(&form, kind);
        if let Some((field, misfit)) = missing {
            return Err(self.note(line, field, misfit, Severity::Error));
        }
        match form.fault() {
            None => Ok(form),
            Some((wrong, right)) => Err(self.note(line, Some(Field::Size), Misfit::new(wrong, right), Severity::Error)),
        }
    }

    /// The first size that a form cannot be without and that is not there.
    fn missing(&self, form: &Form, kind: PartKind) -> Option<(Option<Field>, Misfit)> {
        let inner = match *form {
            Form::Washer { inner_diameter, .. } | Form::Cup { inner_diameter, .. } => Some(inner_diameter),
            _ => None,
        };
        let depth = match *form {
            Form::Cup { depth, .. } => Some(depth),
            _ => None,
        };
        let needed = [
            (Field::Diameter, Some(form.widest())),
            (Field::InnerDiameter, inner),
            (Field::Thickness, Some(form.height())),
            (Field::CavityDepth, depth),
        ];
        let (field, _) = needed.into_iter().find(|(_, size)| *size == Some(0.0))?;
        let word = if field == Field::Thickness {
            "height"
        } else {
            &field.to_string()
        };
        let misfit = Misfit::new(
            format!("the {word} is missing"),
            format!("a {word} such as 3 mm: a {} needs one", kind.name()),
        );
        Some((self.has(field).then_some(field), misfit))
    }
}

/// A steel by the name that the steel table has for it.
fn steel_words(written: &str) -> &str {
    vocabulary().steel(written).unwrap_or(written)
}

/// The size of a form that has a column of its own.
fn own_size(form: &Form, field: Field) -> Option<f64> {
    match (*form, field) {
        (Form::Cup { depth, .. }, Field::CavityDepth) => Some(depth),
        (Form::Cup { hole, .. }, Field::FloorHole) => Some(hole),
        (Form::Cone { end, .. }, Field::EndDiameter) => Some(end),
        _ => None,
    }
}
