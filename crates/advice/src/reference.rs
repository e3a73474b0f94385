//! The magnet that stands for a shelf where none is named.

use magnetics::Shape;
use materials::grade::Family;

use crate::catalogue::Catalogue;
use crate::given::{USUAL_COATING, USUAL_GRADE};
use crate::item::Item;

/// Diameter and thickness to which the reference comes nearest, m: a size that every customer has held.
const REFERENCE: [f64; 2] = [20e-3, 5e-3];

/// The neodymium disc of the shelf that is nearest to a middling one; one made to that size where there is none.
pub fn reference(shelf: &[Item], catalogue: &Catalogue) -> Item {
    let [diameter, thickness] = REFERENCE;
    let away = |item: &&Item| {
        let size = (item.shape.widest() / diameter).ln().abs() + (item.shape.height() / thickness).ln().abs();
        // Of equal sizes the usual grade and the cheapest.
        let price = item.prices.first().map_or(i64::MAX, |p| p.each.parts());
        ((size * 1e6) as i64, item.grade != USUAL_GRADE, price, item.code.clone())
    };
    let round = |item: &&Item| {
        let neodymium = catalogue
            .grade_of(item)
            .is_some_and(|grade| grade.family == Family::NdFeB);
        neodymium && matches!(item.shape, Shape::Disc { .. }) && catalogue.coatings.get(&item.coating).is_some()
    };
    shelf
        .iter()
        .filter(round)
        .min_by_key(away)
        .cloned()
        .unwrap_or_else(|| Item::made(Shape::Disc { diameter, thickness }, USUAL_GRADE, USUAL_COATING))
}
