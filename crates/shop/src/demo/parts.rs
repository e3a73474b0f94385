//! The steel parts of the demo shop.

use advice::Part;
use advice::part::{Form, PartKind};
use quantity::Length;

use super::data::data;
use super::{code, price};
use crate::exact;

/// Pieces on hand at first, and what there are fewer of each.
const STOCK: [usize; 2] = [900, 45];

/// The steel parts of the demo shop. What does not read is left out; a test sees that nothing is.
pub fn parts() -> Vec<Part> {
    let data = &data().parts;
    let listed = data.of.iter().flat_map(|family| {
        let sizes = family.sizes.iter().zip(&family.price);
        sizes.filter_map(|(sizes, price)| Some((form(family.kind, sizes)?, family.name.clone(), *price)))
    });
    let part = |(at, (form, name, first)): (usize, (Form, String, f64))| Part {
        code: code(data.cabinet, at),
        name,
        form,
        steel: data.steel.clone(),
        tolerance: exact::length(Length::from_mm(data.tolerance)),
        mass: None,
        stock: u64::try_from(STOCK[0].saturating_sub(at * STOCK[1])).ok(),
        prices: price::falling(first),
        link: None,
        note: None,
    };
    listed.enumerate().map(part).collect()
}

fn form(kind: PartKind, sizes: &[f64]) -> Option<Form> {
    let metres: Vec<f64> = sizes.iter().map(|mm| exact::length(Length::from_mm(*mm)).0).collect();
    Some(match (kind, metres.as_slice()) {
        (PartKind::Disc, &[diameter, thickness]) => Form::Disc { diameter, thickness },
        (PartKind::Washer, &[outer_diameter, inner_diameter, thickness]) => Form::Washer {
            outer_diameter,
            inner_diameter,
            thickness,
        },
        (PartKind::Cup, &[outer_diameter, inner_diameter, height, depth, hole]) => Form::Cup {
            outer_diameter,
            inner_diameter,
            height,
            depth,
            hole,
        },
        (PartKind::Cone, &[base, end, height]) => Form::Cone { base, end, height },
        (PartKind::Dome, &[base, height]) => Form::Dome { base, height },
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_part_of_the_data_reads_and_has_a_price() {
        let listed: usize = data().parts.of.iter().map(|family| family.sizes.len()).sum();
        let parts = parts();
        assert_eq!(parts.len(), listed);
        assert!(
            data()
                .parts
                .of
                .iter()
                .all(|family| family.sizes.len() == family.price.len())
        );
        assert!(
            parts
                .iter()
                .all(|part| part.form.fault().is_none() && part.prices.len() > 3)
        );
        assert!(parts.iter().all(|part| part.stock.is_some_and(|n| n > 0)));
    }
}
