//! The pots, hooks and strips of the demo shop.

use advice::Goods;
use advice::goods::GoodsSizes;
use quantity::{Force, Length, Mass};

use super::data::data;
use super::{code, price};
use crate::exact;

/// Pieces on hand of each.
const STOCK: u64 = 150;

/// The goods of the demo shop.
pub fn goods() -> Vec<Goods> {
    let all = &data().goods;
    let lines = all.of.iter().enumerate();
    lines
        .map(|(at, line)| Goods {
            code: code(all.cabinet, at),
            name: line.name.clone(),
            goods: line.kind,
            sizes: sizes(&line.size),
            grade: String::new(),
            coating: String::new(),
            stated_pull: line.stated_pull.map(Force),
            tolerance: exact::length(Length::from_mm(all.tolerance)),
            mass: Some(exact::mass(Mass(line.mass * 1e-3))),
            stock: Some(STOCK),
            prices: price::falling(line.price),
            link: None,
            note: None,
        })
        .collect()
}

fn sizes(mm: &[f64]) -> GoodsSizes {
    let metres: Vec<f64> = mm.iter().map(|mm| exact::length(Length::from_mm(*mm)).0).collect();
    match *metres {
        [diameter, thickness] => GoodsSizes {
            diameter: Some(diameter),
            thickness: Some(thickness),
            ..GoodsSizes::default()
        },
        [length, width, thickness] => GoodsSizes {
            length: Some(length),
            width: Some(width),
            thickness: Some(thickness),
            ..GoodsSizes::default()
        },
        _ => GoodsSizes::default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_have_sizes_and_prices() {
        for goods in goods() {
            assert!(
                goods.sizes.widest().is_some() && goods.sizes.thickness.is_some(),
                "{}",
                goods.name
            );
            assert!(goods.prices.len() > 3, "{}", goods.name);
        }
    }
}
