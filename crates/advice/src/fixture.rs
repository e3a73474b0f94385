//! Small hand-made shelves and questions for tests.

use magnetics::Shape;
use quantity::{Currency, Length, Money};

use crate::answer::{RuledOut, ShelfStamp};
use crate::catalogue::Catalogue;
use crate::item::{Item, Magnetised, PriceBreak};
use crate::limits::{self, Has};
use crate::part::{Form, Part};
use crate::question::Question;
use crate::{Answer, search};

/// A question from its JSON.
pub(crate) fn question(json: &str) -> Question {
    serde_json::from_str(json).unwrap()
}

/// The limit of that field, missed by what is had.
pub(crate) fn broken(field: &str, has: Has) -> RuledOut {
    RuledOut::Limit {
        limit: limits::at(field).unwrap(),
        has,
    }
}

/// An item of that shape in nickel-plated N42, at 1.00 a piece.
pub(crate) fn item(code: &str, shape: Shape) -> Item {
    Item {
        code: code.into(),
        name: String::new(),
        shape,
        magnetised: Magnetised::Thickness,
        grade: "N42".into(),
        coating: "Ni-Cu-Ni".into(),
        tolerance: Length(0.1e-3),
        mass: None,
        stock: Some(1000),
        prices: breaks(&[(1, 10_000)]),
        link: None,
        note: None,
    }
}

/// A disc, sizes in mm.
pub(crate) fn disc(code: &str, diameter: f64, thickness: f64) -> Item {
    item(
        code,
        Shape::Disc {
            diameter: diameter * 1e-3,
            thickness: thickness * 1e-3,
        },
    )
}

/// A ring, sizes in mm.
pub(crate) fn ring(code: &str, outer: f64, inner: f64, thickness: f64) -> Item {
    let (outer_diameter, inner_diameter, thickness) = (outer * 1e-3, inner * 1e-3, thickness * 1e-3);
    item(
        code,
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        },
    )
}

/// A block, sizes in mm.
pub(crate) fn block(code: &str, length: f64, width: f64, thickness: f64) -> Item {
    item(
        code,
        Shape::Block {
            length: length * 1e-3,
            width: width * 1e-3,
            thickness: thickness * 1e-3,
        },
    )
}

/// A ball, diameter in mm.
pub(crate) fn ball(code: &str, diameter: f64) -> Item {
    item(
        code,
        Shape::Sphere {
            diameter: diameter * 1e-3,
        },
    )
}

/// A part of mild steel, sizes of its form in m, at 0.50 a piece.
pub(crate) fn part(code: &str, form: Form) -> Part {
    Part {
        code: code.into(),
        name: String::new(),
        form,
        steel: "mild steel".into(),
        tolerance: Length(0.1e-3),
        mass: None,
        stock: Some(1000),
        prices: breaks(&[(1, 5_000)]),
        link: None,
        note: None,
    }
}

/// A back-plate, sizes in mm.
pub(crate) fn plate(code: &str, diameter: f64, thickness: f64) -> Part {
    let (diameter, thickness) = (diameter * 1e-3, thickness * 1e-3);
    part(code, Form::Disc { diameter, thickness })
}

/// A cup without a hole: outer and inner diameter, height and depth in mm.
pub(crate) fn cup(code: &str, [outer, inner, height, depth]: [f64; 4]) -> Part {
    part(
        code,
        Form::Cup {
            outer_diameter: outer * 1e-3,
            inner_diameter: inner * 1e-3,
            height: height * 1e-3,
            depth: depth * 1e-3,
            hole: 0.0,
        },
    )
}

/// A cone: diameter at the magnet and at the end, and height, in mm.
pub(crate) fn cone(code: &str, [base, end, height]: [f64; 3]) -> Part {
    part(
        code,
        Form::Cone {
            base: base * 1e-3,
            end: end * 1e-3,
            height: height * 1e-3,
        },
    )
}

/// Price breaks, in ten-thousandths.
pub(crate) fn breaks(rows: &[(u64, i64)]) -> Vec<PriceBreak> {
    rows.iter()
        .map(|&(from, parts)| PriceBreak {
            from,
            each: Money::from_parts(parts),
        })
        .collect()
}

/// The materials that come with the program.
pub(crate) fn catalogue() -> Catalogue {
    Catalogue::builtin().unwrap()
}

/// The answer to a question in JSON.
pub(crate) fn ask(json: &str, shelf: &[Item]) -> Answer {
    let stamp = ShelfStamp {
        revision: 1,
        version: "test".into(),
        currency: Currency::EUR,
    };
    search::answer(&question(json), shelf, &catalogue(), stamp, &|| true).unwrap()
}

mod random {
    use proptest::prelude::*;
    use proptest::sample::select;
    use quantity::{FluxDensity, Force, Load, Temperature};

    use super::*;
    use crate::question::{
        Conditions, Direction, FieldCeiling, Layer, Limits, Need, ShapeKind, SteelPart, Surroundings,
    };

    fn log(low: f64, high: f64) -> impl Strategy<Value = f64> {
        (low.ln()..high.ln()).prop_map(f64::exp)
    }

    fn length(low: f64, high: f64) -> impl Strategy<Value = Length> {
        log(low, high).prop_map(Length)
    }

    /// Contact in one case of three.
    fn gap() -> impl Strategy<Value = Length> {
        prop_oneof![1 => Just(Length(0.0)), 2 => length(0.1e-3, 30e-3)]
    }

    fn field() -> impl Strategy<Value = FluxDensity> {
        log(1e-4, 1.0).prop_map(FluxDensity)
    }

    fn load() -> impl Strategy<Value = Load> {
        log(0.1, 1000.0).prop_map(|n| Load::Force(Force(n)))
    }

    fn hold() -> impl Strategy<Value = Need> {
        let layer =
            (select(vec!["paint", "wood", "air"]), length(0.05e-3, 5e-3)).prop_map(|(material, thickness)| Layer {
                material: material.into(),
                thickness,
            });
        let direction = select(vec![
            Direction::StraightOff,
            Direction::HangingBelow,
            Direction::Sideways,
        ]);
        let steel = (
            select(vec!["mild steel", "grey cast iron"]),
            prop::option::of(length(0.2e-3, 20e-3)),
            prop::option::of(length(5e-3, 200e-3)),
        )
            .prop_map(|(material, thickness, across)| SteelPart {
                material: material.into(),
                thickness,
                across,
            });
        let rest = (prop::option::of(1.0..5.0_f64), 1..5_u32, prop::option::of(0.1..0.5_f64));
        (load(), direction, steel, prop::collection::vec(layer, 0..3), rest).prop_map(
            |(load, direction, steel, layers, (safety_factor, shared_by, friction))| Need::Hold {
                load,
                direction,
                steel,
                layers,
                safety_factor,
                shared_by,
                friction,
            },
        )
    }

    fn needs() -> impl Strategy<Value = Need> {
        let ceiling = (field(), length(1e-3, 0.2)).prop_map(|(field, distance)| FieldCeiling { field, distance });
        prop_oneof![
            3 => hold(),
            1 => (load(), gap()).prop_map(|(force, gap)| Need::PullTogether { force, gap }),
            1 => (load(), gap()).prop_map(|(force, gap)| Need::PushApart { force, gap }),
            2 => (field(), gap(), gap(), prop::option::of(ceiling)).prop_map(|(field, distance, off_axis, no_more_than)| {
                Need::ReachField { field, distance, off_axis, no_more_than }
            }),
            2 => (field(), 0.1..1.0_f64, prop::option::of(1.0..3.0_f64), length(1e-3, 20e-3), 1.1..6.0_f64).prop_map(
                |(operate, part, margin, near, times)| Need::SwitchSensor {
                    operate,
                    release: FluxDensity(operate.si() * part),
                    margin,
                    near,
                    far: Length(near.si() * times),
                }
            ),
            1 => (field(), prop::option::of(length(0.1e-3, 2e-3)))
                .prop_map(|(field, probe_depth)| Need::FaceField { field, probe_depth }),
        ]
    }

    fn limits() -> impl Strategy<Value = Limits> {
        let sometimes = |low, high| prop::option::weighted(0.15, length(low, high));
        let sizes = (
            sometimes(5e-3, 60e-3),
            sometimes(1e-3, 20e-3),
            sometimes(2e-3, 60e-3),
            sometimes(1e-3, 20e-3),
        );
        let shapes = prop_oneof![
            3 => Just(Vec::new()),
            1 => Just(vec![ShapeKind::Disc]),
            1 => Just(vec![ShapeKind::Block, ShapeKind::Ring])
        ];
        let grades = prop_oneof![3 => Just(Vec::new()), 1 => Just(vec!["neodymium".to_string()])];
        let money = || prop::option::weighted(0.15, (1_000..1_000_000_i64).prop_map(Money::from_parts));
        let rest = (
            prop::option::weighted(0.3, 1..9_u32),
            money(),
            money(),
            any::<bool>(),
            prop::bool::weighted(0.2),
        );
        (sizes, shapes, grades, rest).prop_map(
            |(
                (widest, narrowest, tallest, shortest),
                shapes,
                grades,
                (stack, budget_each, budget_total, in_stock, ships_by_air),
            )| Limits {
                widest,
                narrowest,
                tallest,
                shortest,
                shapes,
                hole: None,
                grades,
                stack,
                mass: None,
                budget_each,
                budget_total,
                in_stock,
                ships_by_air,
                steelwork: None,
                ..Limits::default()
            },
        )
    }

    /// Questions of every verb; some contradict themselves.
    pub(crate) fn questions() -> impl Strategy<Value = Question> {
        let celsius =
            |low: f64, high: f64| prop::option::weighted(0.3, (low..high).prop_map(Temperature::from_celsius));
        let place = prop::option::weighted(
            0.2,
            select(vec![
                Surroundings::Dry,
                Surroundings::Damp,
                Surroundings::Outdoors,
                Surroundings::Food,
            ]),
        );
        let conditions =
            (celsius(10.0, 400.0), celsius(-60.0, 40.0), place).prop_map(|(warmest, coldest, surroundings)| {
                Conditions {
                    warmest,
                    coldest,
                    surroundings,
                }
            });
        (needs(), conditions, limits(), 1..2000_u32).prop_map(|(need, conditions, limits, pieces)| Question {
            need,
            conditions,
            limits,
            pieces,
        })
    }

    fn items() -> impl Strategy<Value = Item> {
        let size = || log(1.0, 50.0);
        let made = prop_oneof![
            3 => (size(), size()).prop_map(|(d, t)| disc("", d, t)),
            2 => (size(), 0.1..0.9_f64, size()).prop_map(|(d, part, t)| ring("", d, part * d, t)),
            2 => (size(), size(), size()).prop_map(|(l, w, t)| block("", l, w, t)),
            1 => size().prop_map(|d| ball("", d)),
            // Hardly more than its coating.
            1 => (size(), 0.02..0.06_f64).prop_map(|(d, t)| disc("", d, t)),
        ];
        let grade = select(vec!["N35", "N42", "N52", "N42SH", "Y30", "no such grade"]);
        let coating = select(vec!["Ni-Cu-Ni", "epoxy", "none", "zinc"]);
        let prices = prop_oneof![
            1 => Just(Vec::new()),
            4 => (1..50_u64, 100..100_000_i64).prop_map(|(from, each)| breaks(&[(from, each), (from * 10, each * 7 / 10)]))
        ];
        (made, grade, coating, prices, prop::option::of(0..5000_u64)).prop_map(
            |(item, grade, coating, prices, stock)| Item {
                grade: grade.into(),
                coating: coating.into(),
                prices,
                stock,
                ..item
            },
        )
    }

    /// Shelves of a few items of any kind, some of which make no magnet.
    pub(crate) fn shelves() -> impl Strategy<Value = Vec<Item>> {
        prop::collection::vec(items(), 0..10).prop_map(|items| {
            items
                .into_iter()
                .enumerate()
                .map(|(k, item)| Item {
                    code: format!("{k:02}"),
                    ..item
                })
                .collect()
        })
    }
}

pub(crate) use random::{questions, shelves};
