//! A magnet that a message names, as an item that can be reckoned with: from the shelf where it is there, made to size
//! where it is not, and with what had to be assumed.

use magnetics::Shape;
use materials::grade::{Family, GradeRow};

use crate::answer::Stack;
use crate::catalogue::{Catalogue, Wanted};
use crate::check::{MOST_STACKED, QuestionError};
use crate::enquiry::NamedMagnet;
use crate::item::Item;
use crate::predict::{Prediction, Task};
use crate::question::ShapeKind;
use crate::rules::{is_coating, kind_of};

/// Sizes that differ by less than this name the same magnet, m: a price list in inches rounds to a tenth of a millimetre.
const SAME_SIZE: f64 = 0.06e-3;
/// The grade and the coating of a magnet of which neither is said; common practice, no source.
pub(crate) const USUAL_GRADE: &str = "N42";
/// The usual coating of neodymium.
pub(crate) const USUAL_COATING: &str = "nickel-copper-nickel";

/// A magnet that is given.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The item, or one made to size.
    pub item: Item,
    /// Whether the shelf has it.
    pub stocked: bool,
    /// How its pieces are put together.
    pub build: Stack,
    /// What was assumed of it.
    pub assumed: Vec<AssumedOfMagnet>,
}

/// Something taken for granted of a magnet that a message names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AssumedOfMagnet {
    /// Its grade.
    Grade(String),
    /// Its coating.
    Coating(String),
    /// Its shape.
    Shape(ShapeKind),
    /// A block magnetised through its last size.
    ThroughThickness,
}

impl Given {
    /// A value of it, at that temperature; `None` where its grade or coating is not known.
    pub fn prediction<'a>(&'a self, catalogue: &'a Catalogue, task: Task, celsius: f64) -> Option<Prediction<'a>> {
        let grade = catalogue.grade_of(&self.item)?;
        let coating = catalogue.coatings.get(&self.item.coating)?;
        let lot = catalogue.read_pieces(&self.item);
        Some(Prediction::new(&self.item, grade, coating, task, celsius).of_lot(lot))
    }
}

impl Given {
    /// It as a message would name it.
    pub fn named(&self) -> NamedMagnet {
        let mm = |sizes: &[f64]| sizes.iter().map(|m| (m * 1e6).round() / 1e3).collect();
        NamedMagnet {
            shape: Some(kind_of(&self.item.shape)),
            size_mm: match self.item.shape {
                Shape::Disc { diameter, thickness } => mm(&[diameter, thickness]),
                Shape::Ring {
                    outer_diameter,
                    inner_diameter,
                    thickness,
                } => mm(&[outer_diameter, inner_diameter, thickness]),
                Shape::Block {
                    length,
                    width,
                    thickness,
                } => mm(&[length, width, thickness]),
                Shape::Sphere { diameter } => mm(&[diameter]),
            },
            grade: Some(self.item.grade.clone()),
            coating: Some(self.item.coating.clone()),
            code: self.stocked.then(|| self.item.code.clone()),
            count: (self.build.pieces > 1).then_some(self.build.pieces),
            pair: self.build.pair,
        }
    }
}

/// The magnet that a message names as number `place` of its magnets.
///
/// # Errors
/// Where no such magnet can be told or made: pointers are `/magnets/0/size_mm` and the like.
pub fn given(named: &NamedMagnet, place: usize, shelf: &[Item], catalogue: &Catalogue) -> Result<Given, QuestionError> {
    let wrong = |key: &str, message: String, hint: String| QuestionError {
        field: format!("/magnets/{place}/{key}"),
        message,
        hint,
    };
    let build = Stack {
        pieces: named.pieces(),
        pair: named.pair,
    };
    if build.pieces > MOST_STACKED {
        return Err(wrong(
            "count",
            format!("a stack has 1 to {MOST_STACKED} pieces, got {}", build.pieces),
            "more pieces than that give hardly more: ask about the tallest stack".into(),
        ));
    }
    if let Some(code) = &named.code {
        let item = shelf.iter().find(|item| item.code.eq_ignore_ascii_case(code.trim()));
        let item = item.ok_or_else(|| {
            wrong(
                "code",
                format!("the shelf has no item {code:?}"),
                "give its sizes and grade".into(),
            )
        })?;
        return Ok(Given {
            item: item.clone(),
            stocked: true,
            build,
            assumed: Vec::new(),
        });
    }
    let mut assumed = Vec::new();
    let kind = named.shape.or(match named.size_mm.len() {
        2 => Some(ShapeKind::Disc),
        3 => Some(ShapeKind::Block),
        _ => None,
    });
    let kind = kind.ok_or_else(|| {
        let message = "neither the shape nor all sizes of the magnet are said".into();
        wrong("shape", message, "say disc, ring, block or ball".into())
    })?;
    if named.shape.is_none() {
        assumed.push(AssumedOfMagnet::Shape(kind));
    }
    let shape = shape_of(kind, &named.size_mm).ok_or_else(|| {
        let sizes = match kind {
            ShapeKind::Disc => "diameter and thickness, such as 20 x 5 mm",
            ShapeKind::Ring => "outer and inner diameter and thickness, such as 20 / 10 x 5 mm",
            ShapeKind::Block => "length, width and thickness, such as 20 x 10 x 5 mm",
            ShapeKind::Sphere => "its diameter, such as 10 mm",
        };
        let known = named.size_mm.len();
        wrong(
            "size_mm",
            format!("a {} needs {sizes}; {known} of its sizes are said", kind.name()),
            format!("give {sizes}"),
        )
    })?;
    if let Err(error) = shape.validate() {
        return Err(wrong("size_mm", error.to_string(), error.hint().into()));
    }
    if let Some(name) = named.grade.as_deref().filter(|name| catalogue.wanted(name).is_none()) {
        let near = catalogue.like(name);
        let hint = if near.is_empty() {
            "name a grade such as N42 or a family such as ferrite".into()
        } else {
            format!("did you mean {}?", near.join(", "))
        };
        return Err(wrong("grade", format!("no grade is known by the name {name:?}"), hint));
    }
    if let Some(name) = named
        .coating
        .as_deref()
        .filter(|name| catalogue.coatings.get(name).is_none())
    {
        let names: Vec<&str> = catalogue.coatings.rows().iter().map(|c| c.name.as_str()).collect();
        return Err(wrong(
            "coating",
            format!("no coating is known by the name {name:?}"),
            format!("known are {}", names.join(", ")),
        ));
    }
    let wanted = named.grade.as_deref().and_then(|name| catalogue.wanted(name));
    let fits = |item: &&Item| {
        same_size(&item.shape, &shape)
            && wanted
                .as_ref()
                .is_none_or(|w| catalogue.grade_of(item).is_some_and(|g| w.admits(g)))
            && named.coating.as_deref().is_none_or(|name| {
                let coating = catalogue.coatings.get(&item.coating);
                coating.is_some_and(|c| is_coating(c, name))
            })
    };
    // Of several that are called the same, the one in the usual grade, and then the cheapest.
    let order = |item: &&Item| {
        let price = item.prices.first().map_or(i64::MAX, |p| p.each.parts());
        (item.grade != USUAL_GRADE, price, item.code.clone())
    };
    let on_shelf = shelf.iter().filter(fits).min_by_key(order);
    let item = match on_shelf {
        Some(item) => item.clone(),
        None => {
            let (grade, coating) = materials(named, wanted.as_ref(), catalogue);
            Item::made(shape, &grade, &coating)
        }
    };
    if !matches!(wanted, Some(Wanted::Grade(_))) {
        assumed.push(AssumedOfMagnet::Grade(item.grade.clone()));
    }
    if named.coating.is_none() && on_shelf.is_none() {
        assumed.push(AssumedOfMagnet::Coating(item.coating.clone()));
    }
    if on_shelf.is_none() && matches!(shape, Shape::Block { .. }) {
        assumed.push(AssumedOfMagnet::ThroughThickness);
    }
    Ok(Given {
        stocked: on_shelf.is_some(),
        item,
        build,
        assumed,
    })
}

/// Grade and coating of a magnet that is made to size.
fn materials(named: &NamedMagnet, wanted: Option<&Wanted>, catalogue: &Catalogue) -> (String, String) {
    let row = match wanted {
        Some(Wanted::Grade(name)) => catalogue.grades.get(name),
        Some(Wanted::Family(family)) => usual_of(*family, catalogue),
        None => catalogue.grades.get(USUAL_GRADE),
    };
    let grade = row.map_or(USUAL_GRADE, |row| row.name.as_str()).to_string();
    let coating = named.coating.clone().unwrap_or_else(|| {
        let needs_none = row.is_some_and(|row| !matches!(row.family, Family::NdFeB | Family::BondedNdFeB));
        if needs_none { "none" } else { USUAL_COATING }.into()
    });
    (grade, coating)
}

/// The grade of a family that stands in the middle by its remanence.
pub(crate) fn usual_of(family: Family, catalogue: &Catalogue) -> Option<&GradeRow> {
    if family == Family::NdFeB {
        return catalogue.grades.get(USUAL_GRADE);
    }
    let mut rows: Vec<&GradeRow> = catalogue
        .grades
        .rows()
        .iter()
        .filter(|row| row.family == family)
        .collect();
    rows.sort_by(|a, b| a.br_typical.total_cmp(&b.br_typical));
    rows.get(rows.len() / 2).copied()
}

/// The shape of so many millimetres; `None` where sizes are missing.
fn shape_of(kind: ShapeKind, size_mm: &[f64]) -> Option<Shape> {
    let metres: Vec<f64> = size_mm.iter().map(|mm| mm * 1e-3).collect();
    Some(match (kind, metres.as_slice()) {
        (ShapeKind::Disc, &[diameter, thickness]) => Shape::Disc { diameter, thickness },
        (ShapeKind::Ring, &[outer_diameter, inner_diameter, thickness]) => Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        },
        (ShapeKind::Block, &[length, width, thickness]) => Shape::Block {
            length,
            width,
            thickness,
        },
        (ShapeKind::Sphere, &[diameter]) => Shape::Sphere { diameter },
        _ => return None,
    })
}

/// Whether two shapes are the same magnet; the pole face of a block may be named either way round.
pub(crate) fn same_size(a: &Shape, b: &Shape) -> bool {
    let sizes = |shape: &Shape| match *shape {
        Shape::Disc { diameter, thickness } => [diameter, 0.0, thickness],
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => [outer_diameter, inner_diameter, thickness],
        Shape::Block {
            length,
            width,
            thickness,
        } => [length.max(width), length.min(width), thickness],
        Shape::Sphere { diameter } => [diameter, 0.0, 0.0],
    };
    kind_of(a) == kind_of(b)
        && sizes(a)
            .iter()
            .zip(sizes(b))
            .all(|(one, other)| (one - other).abs() <= SAME_SIZE)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{catalogue, disc, ring};

    fn named(json: &str) -> NamedMagnet {
        serde_json::from_str(json).unwrap()
    }

    #[test]
    fn a_magnet_of_the_shelf_is_found_by_code_and_by_size() {
        let shelf = [disc("a", 20.0, 5.0), ring("b", 20.0, 10.0, 5.0)];
        let catalogue = catalogue();
        for json in [
            r#"{"code":"A"}"#,
            r#"{"shape":"disc","size_mm":[20,5]}"#,
            r#"{"size_mm":[20,5],"grade":"neodymium","count":2}"#,
        ] {
            let found = given(&named(json), 0, &shelf, &catalogue).unwrap();
            assert!(found.stocked && found.item.code == "a", "{json}: {found:?}");
        }
        let ring = given(
            &named(r#"{"shape":"ring","size_mm":[20,10,5],"grade":"N42"}"#),
            0,
            &shelf,
            &catalogue,
        )
        .unwrap();
        assert!(ring.stocked && ring.assumed.is_empty(), "{ring:?}");
    }

    #[test]
    fn another_is_made_and_what_is_assumed_is_said() {
        let catalogue = catalogue();
        let made = |json: &str| given(&named(json), 0, &[disc("a", 20.0, 5.0)], &catalogue).unwrap();
        let n52 = made(r#"{"shape":"disc","size_mm":[20,5],"grade":"N52"}"#);
        assert!(!n52.stocked && n52.item.grade == "N52", "{n52:?}");
        let ferrite = made(r#"{"shape":"block","size_mm":[40,20,10],"grade":"ferrite"}"#);
        assert_eq!(catalogue.grade_of(&ferrite.item).unwrap().family, Family::Ferrite);
        assert_eq!(ferrite.item.coating, "none");
        assert!(ferrite.assumed.contains(&AssumedOfMagnet::ThroughThickness));
        let plain = made(r#"{"shape":"sphere","size_mm":[8]}"#);
        assert!(plain.assumed.contains(&AssumedOfMagnet::Grade(USUAL_GRADE.into())));
    }

    #[test]
    fn what_cannot_be_told_is_pointed_at() {
        let field = |json: &str| given(&named(json), 1, &[], &catalogue()).unwrap_err().field;
        assert_eq!(field("{}"), "/magnets/1/shape");
        assert_eq!(field(r#"{"shape":"disc","size_mm":[20]}"#), "/magnets/1/size_mm");
        assert_eq!(field(r#"{"shape":"ring","size_mm":[10,20,5]}"#), "/magnets/1/size_mm");
        assert_eq!(field(r#"{"size_mm":[20,5],"grade":"N99"}"#), "/magnets/1/grade");
        assert_eq!(field(r#"{"size_mm":[20,5],"coating":"jam"}"#), "/magnets/1/coating");
        assert_eq!(field(r#"{"code":"zz"}"#), "/magnets/1/code");
        assert_eq!(field(r#"{"size_mm":[20,5],"count":900}"#), "/magnets/1/count");
    }
}
