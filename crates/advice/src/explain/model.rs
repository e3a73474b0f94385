//! The magnets that stand for a shelf in its texts: a reference disc, and others that differ from it in one thing.

use magnetics::Shape;
use materials::grade::Family;

use crate::answer::Stack;
use crate::catalogue::Catalogue;
use crate::given::{Given, USUAL_COATING, usual_of};
use crate::item::Item;

/// Sizes are made to a tenth of a millimetre.
const STEP: f64 = 0.1e-3;
/// A grade below and one above the usual one, and one that stands more heat.
const WEAK: &str = "N35";
const STRONG: &str = "N52";
const HOT: &str = "N42SH";

fn rounded(metres: f64) -> f64 {
    ((metres / STEP).round() * STEP).max(STEP)
}

/// The magnet of that name beside the reference; `None` for a name that is not known.
pub(super) fn model(name: &str, reference: &Item, stocked: bool, catalogue: &Catalogue) -> Option<Given> {
    let (diameter, thickness) = (reference.shape.widest(), reference.shape.height());
    let disc = |across: f64, along: f64| Shape::Disc {
        diameter: rounded(diameter * across),
        thickness: rounded(thickness * along),
    };
    let made = |shape: Shape| Item::made(shape, &reference.grade, USUAL_COATING);
    let of_grade = |grade: &str| Item {
        grade: grade.into(),
        ..made(reference.shape)
    };
    let of_family = |family: Family, shape: Shape| {
        let grade = usual_of(family, catalogue)?;
        Some(Item::made(shape, &grade.name, "none"))
    };
    let (item, pieces) = match name {
        "reference" => {
            return Some(Given {
                item: reference.clone(),
                stocked,
                build: Stack { pieces: 1, pair: false },
                assumed: Vec::new(),
            });
        }
        "twice" => (made(disc(1.0, 2.0)), 1),
        "thrice" => (made(disc(1.0, 3.0)), 1),
        "half" => (made(disc(1.0, 0.5)), 1),
        "stack" => (made(disc(1.0, 0.5)), 2),
        "wide" => (made(disc(2.0_f64.sqrt(), 0.5)), 1),
        "tall" => (made(disc(0.5_f64.sqrt(), 2.0)), 1),
        "small" => (made(disc(0.25, 0.6)), 1),
        "small_ferrite" => (of_family(Family::Ferrite, disc(0.25, 0.6))?, 1),
        "weak" => (of_grade(WEAK), 1),
        "strong" => (of_grade(STRONG), 1),
        "hot_grade" => (of_grade(HOT), 1),
        "smco" => (of_family(Family::SmCo, reference.shape)?, 1),
        "ferrite" => (of_family(Family::Ferrite, reference.shape)?, 1),
        "alnico" => (of_family(Family::AlNiCo, reference.shape)?, 1),
        "epoxy" => (
            Item {
                coating: "epoxy".into(),
                ..made(reference.shape)
            },
            1,
        ),
        "rubber" => (
            Item {
                coating: "rubber cover".into(),
                ..made(reference.shape)
            },
            1,
        ),
        "ball" => {
            let volume = reference.shape.volume();
            let diameter = rounded((6.0 * volume / std::f64::consts::PI).cbrt());
            (made(Shape::Sphere { diameter }), 1)
        }
        "ring" => {
            let shape = Shape::Ring {
                outer_diameter: diameter,
                inner_diameter: rounded(diameter * 0.3),
                thickness,
            };
            (made(shape), 1)
        }
        _ => return None,
    };
    Some(Given {
        item,
        stocked: false,
        build: Stack { pieces, pair: false },
        assumed: Vec::new(),
    })
}
