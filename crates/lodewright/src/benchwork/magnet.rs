//! Magnets of the shelf as lots of the bench.

use advice::Item;
use advice::catalogue::Catalogue;
use bench::lot::LOT_SPREAD;
use bench::session::{LotEntry, Sizes};
use magnetics::Shape;
use quantity::{Length, Quantity, Units};

/// An item as a lot of which nobody has read anything.
pub fn lot_entry(item: &Item, catalogue: &Catalogue) -> LotEntry {
    let coating = catalogue.coatings.get(&item.coating);
    let grade = catalogue.grades.get(&item.grade);
    let certified = catalogue
        .certificate_of(item)
        .zip(grade)
        .map(|(lot, grade)| lot.br.si() / grade.br_typical);
    LotEntry {
        name: String::new(),
        sizes: sizes_of(&item.shape),
        grade: item.grade.clone(),
        coating: coating.map_or_else(|| "none".into(), |coating| coating.name.clone()),
        tolerance: item.tolerance,
        measured_thickness: None,
        scale: [certified.unwrap_or(1.0), LOT_SPREAD],
    }
}

/// The sizes of a magnet as a lot has them, in words.
pub fn sizes_text(entry: &LotEntry, units: &Units) -> String {
    let join = |sizes: &[Length]| {
        let shown: Vec<_> = sizes.iter().map(|l| l.show(units)).collect();
        let numbers: Vec<&str> = shown.iter().map(|s| s.number.as_str()).collect();
        let unit = shown.first().map_or("", |s| s.unit);
        format!("{}\u{a0}{unit}", numbers.join("\u{a0}×\u{a0}"))
    };
    match entry.sizes {
        Sizes::Disc { diameter, thickness } => join(&[diameter, thickness]),
        Sizes::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => {
            let outer = outer_diameter.show(units).number;
            format!("{outer}\u{a0}/\u{a0}{}", join(&[inner_diameter, thickness]))
        }
        Sizes::Block {
            length,
            width,
            thickness,
        } => join(&[length, width, thickness]),
        Sizes::Sphere { diameter } => join(&[diameter]),
    }
}

/// From the axis to the edge of the face, along the length of a block; `None` for a ball.
pub fn edge(sizes: Sizes) -> Option<Length> {
    let across = match sizes {
        Sizes::Disc { diameter, .. } => diameter,
        Sizes::Ring { outer_diameter, .. } => outer_diameter,
        Sizes::Block { length, .. } => length,
        Sizes::Sphere { .. } => return None,
    };
    Some(Length(across.si() / 2.0))
}

/// The sizes of a shape as a session keeps them.
fn sizes_of(shape: &Shape) -> Sizes {
    let length = |m: f64| Length(m);
    match *shape {
        Shape::Disc { diameter, thickness } => Sizes::Disc {
            diameter: length(diameter),
            thickness: length(thickness),
        },
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => Sizes::Ring {
            outer_diameter: length(outer_diameter),
            inner_diameter: length(inner_diameter),
            thickness: length(thickness),
        },
        Shape::Block {
            length: l,
            width,
            thickness,
        } => Sizes::Block {
            length: length(l),
            width: length(width),
            thickness: length(thickness),
        },
        Shape::Sphere { diameter } => Sizes::Sphere {
            diameter: length(diameter),
        },
    }
}
