//! An item in a few words.

use advice::{Item, Magnetised};
use magnetics::Shape;
use quantity::{Length, Quantity, Units};

use crate::listed::Listed;

/// The name of a shape, as in a price list: `disc`, `ring`, `block`, `sphere`.
pub fn shape_name(shape: &Shape) -> &'static str {
    match shape {
        Shape::Disc { .. } => "disc",
        Shape::Ring { .. } => "ring",
        Shape::Block { .. } => "block",
        Shape::Sphere { .. } => "sphere",
    }
}

/// The size of an item as listed, in the reader's units: `15 × 5 mm`, `20/10 × 5 mm`, `20 × 10 × 5 mm`.
pub fn size(shape: &Shape, magnetised: Magnetised, units: &Units) -> String {
    let show = |metres: f64| Length(metres).show(units);
    let (sizes, separators): (Vec<f64>, &[&str]) = match *shape {
        Shape::Disc { diameter, thickness } => (vec![diameter, thickness], &[" × "]),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => (vec![outer_diameter, inner_diameter, thickness], &["/", " × "]),
        Shape::Sphere { diameter } => (vec![diameter], &[]),
        Shape::Block { .. } => {
            let listed = Listed::of(shape, magnetised);
            (
                listed.map(|l| vec![l.length, l.width, l.thickness]).unwrap_or_default(),
                &[" × ", " × "],
            )
        }
    };
    let mut text = String::new();
    let mut unit = "";
    for (at, metres) in sizes.into_iter().enumerate() {
        if let Some(separator) = at.checked_sub(1).and_then(|before| separators.get(before)) {
            text.push_str(separator);
        }
        let shown = show(metres);
        text.push_str(&shown.number);
        unit = shown.unit;
    }
    format!("{text}\u{a0}{unit}")
}

/// An item in a few words: `disc 15 × 5 mm, N42`.
pub fn title(item: &Item, units: &Units) -> String {
    format!(
        "{} {}, {}",
        shape_name(&item.shape),
        size(&item.shape, item.magnetised, units),
        item.grade
    )
}

/// What a search looks through, in lower case.
pub(crate) fn search_words(item: &Item) -> String {
    let size = |units| {
        size(&item.shape, item.magnetised, units)
            .replace(" × ", "x")
            .replace('\u{a0}', " ")
    };
    let parts = [
        item.code.as_str(),
        item.name.as_str(),
        shape_name(&item.shape),
        &size(&Units::metric()),
        &size(&Units::inch()),
        &item.grade,
        &item.coating,
        item.note.as_deref().unwrap_or_default(),
    ];
    parts.join(" ").to_lowercase()
}
