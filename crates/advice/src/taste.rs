//! What is not put first where nobody asked for it: rules of taste, from a data file.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::item::Item;
use crate::question::{Limits, ShapeKind};
use crate::rules::kind_of;

/// What makes a build a second choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SecondChoice {
    /// Its shape is hard to use.
    Shape(ShapeKind),
    /// So many pieces are stacked.
    Stack(u32),
    /// The shelf cannot deliver all of it.
    OutOfStock,
}

/// The rules, as the data file has them.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Taste {
    shapes: Vec<ShapeKind>,
    most_stacked: u32,
    out_of_stock: bool,
}

fn taste() -> &'static Taste {
    static TASTE: OnceLock<Taste> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    TASTE.get_or_init(|| toml::from_str(include_str!("../data/taste.toml")).unwrap_or_default())
}

/// Why so many stacked pieces of an item, of which `bought` are bought, are not put first; `None` where they may be, or where
/// the limits of the question ask for them.
pub fn second_choice(limits: &Limits, item: &Item, pieces: u32, bought: u64) -> Option<SecondChoice> {
    let taste = taste();
    let kind = kind_of(&item.shape);
    if taste.shapes.contains(&kind) && !limits.shapes.contains(&kind) {
        return Some(SecondChoice::Shape(kind));
    }
    if pieces > taste.most_stacked && limits.stack.is_none() {
        return Some(SecondChoice::Stack(pieces));
    }
    let short = taste.out_of_stock && item.stock.is_some_and(|has| has < bought);
    short.then_some(SecondChoice::OutOfStock)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{ask, ball, breaks, disc};

    #[test]
    fn the_data_file_reads() {
        let read: Taste = toml::from_str(include_str!("../data/taste.toml")).unwrap();
        assert!(!read.shapes.is_empty() && read.most_stacked > 0 && read.out_of_stock);
    }

    #[test]
    fn balls_tall_stacks_and_what_is_out_of_stock_lead_only_where_they_are_asked_for() {
        let cheap = |item: Item| Item {
            prices: breaks(&[(1, 100)]),
            ..item
        };
        let usual = || disc("usual", 15.0, 8.0);
        let first = |limits: &str, item: Item| {
            let json = format!(r#"{{"need": {{"verb": "face_field", "field": "150 mT"}}, "limits": {{{limits}}}}}"#);
            ask(&json, &[item, usual()]).candidates[0].item.code.clone()
        };
        let ball = || cheap(ball("ball", 3.0));
        assert_eq!(first("", ball()), "usual");
        assert_eq!(first(r#""shapes": ["sphere", "disc"]"#, ball()), "ball");
        let gone = Item {
            stock: Some(0),
            ..cheap(disc("gone", 15.0, 8.0))
        };
        assert_eq!(first("", gone), "usual");
        let flat = || cheap(disc("flat", 15.0, 0.7));
        let stacked = |limits: &str| {
            let json = format!(r#"{{"need": {{"verb": "face_field", "field": "250 mT"}}, "limits": {{{limits}}}}}"#);
            let got = ask(&json, &[flat(), usual()]);
            assert!(
                got.candidates
                    .iter()
                    .any(|c| c.item.code == "flat" && c.build.pieces > 3),
                "{got:?}"
            );
            got.candidates[0].item.code.clone()
        };
        assert_eq!(stacked(""), "usual");
        assert_eq!(stacked(r#""stack": 8"#), "flat");
    }
}
