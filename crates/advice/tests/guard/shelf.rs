//! Items and answers for the tests beside it.

use advice::answer::{Answer, ShelfStamp};
use advice::{Catalogue, Item, PriceBreak, search};
use magnetics::Shape;
use quantity::{Currency, Length, Money};

/// An item of that shape in nickel-plated N42 at 1.00 a piece, of which there are a thousand.
pub fn item(shape: Shape) -> Item {
    Item {
        code: "a".into(),
        stock: Some(1000),
        prices: breaks(&[(1, 10_000)]),
        tolerance: Length(0.1e-3),
        ..Item::made(shape, "N42", "Ni-Cu-Ni")
    }
}

/// A disc, sizes in mm.
pub fn disc(diameter: f64, thickness: f64) -> Item {
    item(Shape::Disc {
        diameter: diameter * 1e-3,
        thickness: thickness * 1e-3,
    })
}

/// A ring, sizes in mm.
pub fn ring(outer: f64, inner: f64, thickness: f64) -> Item {
    item(Shape::Ring {
        outer_diameter: outer * 1e-3,
        inner_diameter: inner * 1e-3,
        thickness: thickness * 1e-3,
    })
}

/// The same item in another grade and coating.
pub fn made_of(item: Item, grade: &str, coating: &str) -> Item {
    Item {
        grade: grade.into(),
        coating: coating.into(),
        ..item
    }
}

/// Price breaks, in ten-thousandths.
pub fn breaks(rows: &[(u64, i64)]) -> Vec<PriceBreak> {
    rows.iter()
        .map(|&(from, parts)| PriceBreak {
            from,
            each: Money::from_parts(parts),
        })
        .collect()
}

/// The materials that come with the program.
pub fn catalogue() -> Catalogue {
    Catalogue::builtin().expect("the materials are embedded")
}

/// The answer to a question in JSON.
pub fn ask(json: &str, shelf: &[Item]) -> Answer {
    let question = serde_json::from_str(json).unwrap_or_else(|error| panic!("{json}: {error}"));
    let stamp = ShelfStamp {
        revision: 1,
        version: "test".into(),
        currency: Currency::EUR,
    };
    search::answer(&question, shelf, &catalogue(), stamp, &|| true).unwrap_or_else(|error| panic!("{json}: {error}"))
}

/// By which rule a lone item is out, a limit by its field; `None` where it is a candidate.
pub fn ruled_out(json: &str, item: &Item) -> Option<String> {
    let answer = ask(json, std::slice::from_ref(item));
    if !answer.candidates.is_empty() {
        return None;
    }
    let rules = answer.near_misses.iter().map(|miss| {
        let rule = serde_json::to_value(&miss.ruled_out_by).expect("a rule is data");
        let limit = rule["limit"].as_str().and_then(|path| path.rsplit('/').next());
        let name = limit.or(rule["rule"].as_str());
        name.expect("a rule has a name").to_owned()
    });
    Some(rules.collect::<Vec<_>>().join(" "))
}

/// Draws that are the same each time: Steele, Lea and Flood, Fast splittable pseudorandom number generators (2014).
pub struct Draws(pub u64);

impl Draws {
    /// From 0 to 1.
    pub fn part(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}
