//! What is not put first where nobody asked for it: rules of taste, from a data file.

use std::sync::OnceLock;

use quantity::STANDARD_GRAVITY;
use serde::Deserialize;

use crate::item::Item;
use crate::question::{Need, Question, ShapeKind};
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
    /// It is heavy for what it carries.
    Heavy,
}

/// The rules, as the data file has them.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Taste {
    shapes: Vec<ShapeKind>,
    most_stacked: u32,
    out_of_stock: bool,
    heaviest_of_load: f64,
}

fn taste() -> &'static Taste {
    static TASTE: OnceLock<Taste> = OnceLock::new();
    // A test reads the embedded data, so that it cannot be broken in a release.
    TASTE.get_or_init(|| toml::from_str(include_str!("../data/taste.toml")).unwrap_or_default())
}

/// A build as taste looks at it.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// Of which item.
    pub item: &'a Item,
    /// How many pieces are stacked.
    pub pieces: u32,
    /// How many must be bought.
    pub bought: u64,
    /// Mass of one build, kg.
    pub mass: f64,
}

/// Why a build is not put first; `None` where it may be, or where the question asks for it.
pub fn second_choice(question: &Question, look: Look) -> Option<SecondChoice> {
    let (taste, limits) = (taste(), &question.limits);
    let Look {
        item,
        pieces,
        bought,
        mass,
    } = look;
    let kind = kind_of(&item.shape);
    if taste.shapes.contains(&kind) && !limits.shapes.contains(&kind) {
        return Some(SecondChoice::Shape(kind));
    }
    if pieces > taste.most_stacked && limits.stack.is_none() {
        return Some(SecondChoice::Stack(pieces));
    }
    if taste.out_of_stock && item.stock.is_some_and(|has| has < bought) {
        return Some(SecondChoice::OutOfStock);
    }
    let Need::Hold { load, shared_by, .. } = &question.need else {
        return None;
    };
    let carries = load.force().si() / STANDARD_GRAVITY / f64::from((*shared_by).max(1));
    (mass > taste.heaviest_of_load * carries).then_some(SecondChoice::Heavy)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixture::{ask, ball, breaks, disc};

    #[test]
    fn the_data_file_reads() {
        let read: Taste = toml::from_str(include_str!("../data/taste.toml")).unwrap();
        assert!(!read.shapes.is_empty() && read.most_stacked > 0 && read.out_of_stock);
        assert!(read.heaviest_of_load > 0.0);
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

    /// A paper star does not hang on a magnet heavier than itself where a lighter one does.
    #[test]
    fn what_is_heavy_for_its_load_leads_only_where_nothing_else_does() {
        let json = r#"{"need": {"verb": "hold", "load": "40 g", "direction": "hanging_below",
            "steel": {"material": "mild steel", "thickness": "3 mm"}}}"#;
        let heavy = || Item {
            prices: breaks(&[(1, 100)]),
            ..disc("heavy", 20.0, 10.0)
        };
        let first = |shelf: &[Item]| ask(json, shelf).first().unwrap().item.code.clone();
        assert_eq!(first(&[heavy(), disc("light", 6.0, 3.0)]), "light");
        assert_eq!(first(&[heavy()]), "heavy");
        let more = json.replace("40 g", "400 g");
        assert_eq!(
            ask(&more, &[heavy(), disc("light", 12.0, 5.0)])
                .first()
                .unwrap()
                .item
                .code,
            "heavy"
        );
    }
}
