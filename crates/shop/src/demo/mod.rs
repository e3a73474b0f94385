//! An invented shop to try things on: a supplier to builders of museum exhibits and makers of instruments.
//!
//! Items lie in trays: `14-07` is the seventh tray of cabinet 14. Everything here is invented.

mod catalogue;
mod data;
mod goods;
mod parts;
mod price;
mod random;

use std::collections::HashSet;
use std::path::Path;

use advice::rules::kind_of;
use advice::{Item, Magnetised};
use magnetics::Shape;
use quantity::{Length, Mass};

use crate::error::Result;
use crate::settings::Settings;
use crate::{Product, Shop, exact};
use catalogue::{Kind, Variant};
use data::{Data, Measure, data};
use random::Random;

pub use goods::goods;
pub use parts::parts;

/// Trays in a cabinet.
const TRAYS: usize = 40;

/// The items of the demo shop. The same seed gives the same items; another seed other prices, stock and trays.
pub fn shelf(seed: u64) -> Vec<Item> {
    let mut random = Random::new(seed);
    let mut families = catalogue::families(data());
    random.shuffle(&mut families);
    let kinds: Vec<Kind> = families.into_iter().flatten().collect();
    stocked(kinds, &mut random)
}

/// `count` items of the same manner in random sizes, to measure speed on; all different as long as sizes last.
pub fn generate(count: usize, seed: u64) -> Vec<Item> {
    let mut random = Random::new(seed);
    let variants = catalogue::variants(data());
    let mut seen = HashSet::new();
    let kinds = (0..count).filter_map(|_| {
        let mut kind = random_kind(&variants, &mut random)?;
        for _ in 0..TRIES {
            if seen.insert(key(&kind)) {
                break;
            }
            kind = random_kind(&variants, &mut random)?;
        }
        Some(kind)
    });
    let kinds = kinds.collect();
    stocked(kinds, &mut random)
}

/// The demo shop in the file at `path`, filled if its shelf is empty.
///
/// # Errors
/// As [`Shop::open`].
pub fn open(path: impl AsRef<Path>) -> Result<Shop> {
    fill(Shop::open(path)?)
}

/// The demo shop in memory.
///
/// # Errors
/// As [`Shop::in_memory`].
pub fn in_memory() -> Result<Shop> {
    fill(Shop::in_memory()?)
}

/// The settings of the demo shop.
pub fn settings() -> Settings {
    let data = data();
    Settings {
        name: data.shop.clone(),
        currency: data.currency,
        demo: true,
        ..Settings::default()
    }
}

/// The seed of the demo shop that [`open`] and [`in_memory`] make.
const SEED: u64 = 2026;
/// A random size that is taken already is drawn again so often.
const TRIES: usize = 30;

fn fill(shop: Shop) -> Result<Shop> {
    if shop.revision()? == 0 {
        let magnets = shelf(SEED).into_iter().map(Product::Magnet);
        let parts = parts().into_iter().map(Product::Part);
        let goods = goods().into_iter().map(Product::Goods);
        shop.fill(magnets.chain(parts).chain(goods), Some(&settings()))?;
    }
    Ok(shop)
}

/// Puts magnets into trays, with prices and stock.
fn stocked(kinds: Vec<Kind>, random: &mut Random) -> Vec<Item> {
    let data = data();
    let item = |(at, kind): (usize, Kind)| item(code(at / TRAYS + 1, at % TRAYS), &kind, data, random);
    kinds.into_iter().enumerate().map(item).collect()
}

/// The tray in this place of a cabinet.
fn code(cabinet: usize, at: usize) -> String {
    format!("{cabinet:02}-{:02}", at + 1)
}

fn item(code: String, kind: &Kind, data: &Data, random: &mut Random) -> Item {
    let kilograms = kind.shape.volume() * kind.grade.density;
    let grams = kilograms * 1e3;
    let names = data.names.get(kind_of(&kind.shape).name());
    let name = names.and_then(|names| names.iter().find(|name| grams <= name.up_to));
    let tolerance = data.tolerance.get(&kind.grade.family).copied().unwrap_or(0.1);
    Item {
        code,
        name: name.map(|name| name.name.clone()).unwrap_or_default(),
        shape: kind.shape,
        magnetised: kind.magnetised,
        grade: kind.grade.name.clone(),
        coating: kind.coating.to_owned(),
        tolerance: exact::length(Length::from_mm(tolerance)),
        mass: Some(three_digits(kilograms)),
        stock: stock(grams, random),
        prices: price::breaks(kind, data, random),
        link: None,
        note: data.notes.get(&kind.grade.family).cloned(),
    }
}

/// A mass as a list prints it.
fn three_digits(kilograms: f64) -> Mass {
    let step = 10f64.powi(kilograms.log10().floor() as i32 - 2);
    exact::mass(Mass((kilograms / step).round() * step))
}

/// Fewer of what is large; some out of stock, some not counted.
fn stock(grams: f64, random: &mut Random) -> Option<u64> {
    let usual = 2_400.0 / (1.0 + grams).powf(0.6);
    match random.share() {
        share if share < 0.05 => Some(0),
        share if share < 0.08 => None,
        _ => Some((usual * random.between(-1.6, 1.6).exp()).round() as u64),
    }
}

/// A magnet in a random size of half millimetres or sixteenths of an inch.
fn random_kind(variants: &[Variant], random: &mut Random) -> Option<Kind> {
    let (grade, coating) = *random.pick(variants)?;
    let unit = if random.share() < 0.2 {
        Measure::Inch
    } else {
        Measure::Millimetre
    };
    let step = match unit {
        Measure::Inch => 0.0625,
        Measure::Millimetre => 0.5,
    };
    // Small sizes are more frequent than large ones.
    let mut size = |from: f64, to: f64| {
        let steps = (to / from).powf(random.share()) * from;
        catalogue::metres(steps.round() * step, unit)
    };
    let (shape, magnetised) = match (size(1.0, 21.0), size(4.0, 100.0), size(2.0, 60.0), size(2.0, 60.0)) {
        (_, diameter, thickness, other) if other > thickness => {
            (Shape::Disc { diameter, thickness }, Magnetised::Thickness)
        }
        (_, outer_diameter, thickness, inner) if inner < 0.7 * outer_diameter && inner < thickness => (
            Shape::Ring {
                outer_diameter,
                inner_diameter: inner,
                thickness,
            },
            Magnetised::Thickness,
        ),
        (least, length, width, thickness) => {
            let along = if least > thickness {
                Magnetised::Length
            } else {
                Magnetised::Thickness
            };
            (Item::block_of([length, width, thickness], along), along)
        }
    };
    Some(Kind {
        shape,
        magnetised,
        grade,
        coating,
    })
}

/// Two magnets with the same key are the same.
fn key(kind: &Kind) -> String {
    format!(
        "{:?} {:?} {} {}",
        kind.shape, kind.magnetised, kind.grade.name, kind.coating
    )
}

#[cfg(test)]
#[path = "tests.rs"]
mod tests;
