//! The sizes, grades and coatings that the demo shop sells, out of its data.

use advice::{Item, Magnetised};
use magnetics::Shape;
use materials::coating::CoatingTable;
use materials::grade::{GradeRow, GradeTable};
use quantity::{Length, Unit};

use super::data::{Data, Measure, Sizes};
use crate::exact;

/// What a magnet is, without code and price.
#[derive(Clone)]
pub(super) struct Kind {
    pub(super) shape: Shape,
    pub(super) magnetised: Magnetised,
    pub(super) grade: &'static GradeRow,
    pub(super) coating: &'static str,
}

/// A grade in a coating.
pub(super) type Variant = (&'static GradeRow, &'static str);

/// Every magnet of the data, family by family. What does not read is left out; a test sees that nothing is.
pub(super) fn families(data: &Data) -> Vec<Vec<Kind>> {
    let mut families = Vec::new();
    for discs in &data.disc {
        let shapes = discs.diameter.iter().flat_map(|diameter| {
            let sizes = discs.thickness.iter();
            sizes.map(|thickness| Shape::Disc {
                diameter: metres(*diameter, discs.unit),
                thickness: metres(*thickness, discs.unit),
            })
        });
        families.extend(kinds(shapes.collect(), Magnetised::Thickness, &discs.variant));
    }
    for rings in &data.ring {
        families.extend(kinds(
            rings.size.iter().filter_map(|size| ring(size, rings)).collect(),
            Magnetised::Thickness,
            &rings.variant,
        ));
    }
    for blocks in &data.block {
        families.extend(kinds(
            blocks.size.iter().filter_map(|size| block(size, blocks)).collect(),
            blocks.along,
            &blocks.variant,
        ));
    }
    for spheres in &data.sphere {
        let shapes = spheres.diameter.iter().map(|diameter| Shape::Sphere {
            diameter: metres(*diameter, spheres.unit),
        });
        families.extend(kinds(shapes.collect(), Magnetised::Thickness, &spheres.variant));
    }
    families
}

/// Every grade and coating of the data.
pub(super) fn variants(data: &Data) -> Vec<Variant> {
    let of = |lists: &[String]| lists.iter().filter_map(|text| variant(text)).collect::<Vec<_>>();
    let mut variants: Vec<Variant> = data.disc.iter().flat_map(|family| of(&family.variant)).collect();
    variants.extend(
        data.ring
            .iter()
            .chain(&data.block)
            .flat_map(|family| of(&family.variant)),
    );
    variants
}

/// A size of the data, snapped, m.
pub(super) fn metres(size: f64, unit: Measure) -> f64 {
    let unit = match unit {
        Measure::Millimetre => Unit::MILLIMETRE,
        Measure::Inch => Unit::INCH,
    };
    exact::length(Length(unit.to_si(size))).0
}

fn kinds(shapes: Vec<Shape>, magnetised: Magnetised, variants: &[String]) -> Vec<Vec<Kind>> {
    let family = |(grade, coating): Variant| {
        shapes
            .iter()
            .map(|shape| Kind {
                shape: *shape,
                magnetised,
                grade,
                coating,
            })
            .collect()
    };
    variants.iter().filter_map(|text| variant(text)).map(family).collect()
}

/// `grade/coating`.
fn variant(text: &str) -> Option<Variant> {
    let (grade, coating) = text.split_once('/')?;
    let grade = GradeTable::builtin().ok()?.get(grade)?;
    let coating = CoatingTable::builtin().ok()?.get(coating)?;
    Some((grade, coating.name.as_str()))
}

/// `outer/inner x thickness`.
fn ring(size: &str, family: &Sizes) -> Option<Shape> {
    let (outer, rest) = size.split_once('/')?;
    let (inner, thickness) = rest.split_once('x')?;
    let read = |text: &str| Some(metres(text.parse().ok()?, family.unit));
    Some(Shape::Ring {
        outer_diameter: read(outer)?,
        inner_diameter: read(inner)?,
        thickness: read(thickness)?,
    })
}

/// `length x width x thickness`, as listed.
fn block(size: &str, family: &Sizes) -> Option<Shape> {
    let sides: Option<Vec<f64>> = size
        .split('x')
        .map(|text| Some(metres(text.parse().ok()?, family.unit)))
        .collect();
    match sides?[..] {
        [length, width, thickness] => Some(Item::block_of([length, width, thickness], family.along)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo::data::data;

    #[test]
    fn every_entry_of_the_data_reads() {
        let data = data();
        let discs: usize = data
            .disc
            .iter()
            .map(|f| f.diameter.len() * f.thickness.len() * f.variant.len())
            .sum();
        let sized: usize = data
            .ring
            .iter()
            .chain(&data.block)
            .map(|f| f.size.len() * f.variant.len())
            .sum();
        let spheres: usize = data.sphere.iter().map(|f| f.diameter.len() * f.variant.len()).sum();
        let kinds: Vec<Kind> = families(data).into_iter().flatten().collect();
        assert_eq!(kinds.len(), discs + sized + spheres);
        assert!(kinds.iter().all(|kind| kind.shape.validate().is_ok()));
        assert!(kinds.iter().all(|kind| data.cost.contains_key(&kind.grade.family)));
        assert!(kinds.iter().all(|kind| data.coating.contains_key(kind.coating)));
        assert!(kinds.iter().all(|kind| data.tolerance.contains_key(&kind.grade.family)));
    }
}
