//! Fifty predictions of every verb, shape and use, and what random draws make of their bands.

use advice::item::Item;
use advice::predict::{Prediction, Task};
use advice::{Catalogue, Question, search};
use magnetics::Shape;
use quantity::Length;
use rayon::prelude::*;
use uncertainty::Band;

/// Random draws of one case.
pub const DRAWS: usize = 100_000;

/// A magnet: shape, grade, coating, tolerance in mm, pieces.
type Magnet = (Shape, &'static str, &'static str, f64, u32);

/// What random draws say about a band.
pub struct Checked {
    /// The magnet and its use.
    pub name: String,
    /// The band.
    pub band: Band,
    /// Width of the band over that of the middle 95 % of the draws.
    pub width: f64,
    /// Part of the draws inside the band.
    pub inside: f64,
    /// Part of the draws above the middle of the band.
    pub above_mid: f64,
    /// The largest difference between chance and part of the draws at three levels between the ends.
    pub chance_off: f64,
}

fn disc(diameter: f64, thickness: f64) -> Shape {
    Shape::Disc {
        diameter: diameter * 1e-3,
        thickness: thickness * 1e-3,
    }
}

fn ring(outer: f64, inner: f64, thickness: f64) -> Shape {
    Shape::Ring {
        outer_diameter: outer * 1e-3,
        inner_diameter: inner * 1e-3,
        thickness: thickness * 1e-3,
    }
}

fn block(length: f64, width: f64, thickness: f64) -> Shape {
    Shape::Block {
        length: length * 1e-3,
        width: width * 1e-3,
        thickness: thickness * 1e-3,
    }
}

fn ball(diameter: f64) -> Shape {
    Shape::Sphere {
        diameter: diameter * 1e-3,
    }
}

const NI: &str = "Ni-Cu-Ni";

/// Questions and the magnets that they are asked of. The need itself plays no part in a band.
fn cases() -> Vec<(&'static str, Magnet)> {
    let hold = r#"{"need": {"verb": "hold", "load": "10 N"}}"#;
    let hold_thin =
        r#"{"need": {"verb": "hold", "load": "10 N", "steel": {"material": "mild steel", "thickness": "1 mm"}}}"#;
    let hold_knee =
        r#"{"need": {"verb": "hold", "load": "10 N", "steel": {"material": "mild steel", "thickness": "2.5 mm"}}}"#;
    let hold_paint =
        r#"{"need": {"verb": "hold", "load": "10 N", "layers": [{"material": "paint", "thickness": "0.4 mm"}]}}"#;
    let hold_wood =
        r#"{"need": {"verb": "hold", "load": "10 N", "layers": [{"material": "wood", "thickness": "3 mm"}]}}"#;
    let hold_warm = r#"{"need": {"verb": "hold", "load": "10 N", "layers": [{"material": "paint", "thickness": "0.1 mm"},
        {"material": "glass", "thickness": "1 mm"}]}, "conditions": {"warmest": "75 °C"}}"#;
    let slide = r#"{"need": {"verb": "hold", "load": "5 N", "direction": "sideways"}}"#;
    let slide_known = r#"{"need": {"verb": "hold", "load": "5 N", "direction": "sideways", "friction": 0.3,
        "layers": [{"material": "paint", "thickness": "0.2 mm"}]}}"#;
    let pull = r#"{"need": {"verb": "pull_together", "force": "10 N", "gap": "3 mm"}}"#;
    let pull_touching = r#"{"need": {"verb": "pull_together", "force": "10 N"}}"#;
    let push =
        r#"{"need": {"verb": "push_apart", "force": "10 N", "gap": "5 mm"}, "conditions": {"warmest": "60 °C"}}"#;
    let field = r#"{"need": {"verb": "reach_field", "field": "50 mT", "distance": "5 mm"}}"#;
    let field_off = r#"{"need": {"verb": "reach_field", "field": "50 mT", "distance": "4 mm", "off_axis": "6 mm"}}"#;
    let field_cold = r#"{"need": {"verb": "reach_field", "field": "5 mT", "distance": "20 mm"}, "conditions": {"warmest": "-40 °C", "coldest": "-40 °C"}}"#;
    let field_hot = r#"{"need": {"verb": "reach_field", "field": "5 mT", "distance": "10 mm"}, "conditions": {"warmest": "150 °C"}}"#;
    let switch =
        r#"{"need": {"verb": "switch_sensor", "operate": "5 mT", "release": "2 mT", "near": "8 mm", "far": "30 mm"}}"#;
    let face = r#"{"need": {"verb": "face_field", "field": "0.3 T"}}"#;
    let face_probe = r#"{"need": {"verb": "face_field", "field": "0.3 T", "probe_depth": "0.5 mm"}}"#;
    let face_deep = r#"{"need": {"verb": "face_field", "field": "0.3 T", "probe_depth": "1.2 mm"}}"#;
    vec![
        (hold, (disc(10.0, 5.0), "N42", NI, 0.1, 1)),
        (hold, (disc(20.0, 2.0), "N35", NI, 0.1, 1)),
        (hold, (disc(5.0, 1.0), "N52", NI, 0.05, 1)),
        (hold, (block(40.0, 20.0, 10.0), "N45", "epoxy", 0.1, 1)),
        (hold, (ring(30.0, 10.0, 5.0), "Y30", "none", 0.2, 1)),
        (hold, (ball(10.0), "N38", NI, 0.05, 1)),
        (hold, (disc(8.0, 0.5), "N42", "zinc", 0.1, 3)),
        (hold_thin, (disc(15.0, 5.0), "N42", NI, 0.1, 1)),
        (hold_thin, (block(20.0, 10.0, 3.0), "N52", NI, 0.1, 1)),
        (hold_thin, (disc(6.0, 2.0), "N35", "zinc", 0.1, 1)),
        (hold_knee, (disc(20.0, 5.0), "N38", NI, 0.1, 1)),
        (hold_knee, (disc(15.0, 4.0), "N42", NI, 0.1, 1)),
        (hold_knee, (disc(18.0, 3.0), "N42", NI, 0.1, 2)),
        (hold_paint, (disc(10.0, 2.0), "N42", NI, 0.1, 1)),
        (hold_paint, (disc(4.0, 2.0), "N48", NI, 0.05, 2)),
        (hold_paint, (block(10.0, 5.0, 1.0), "N35", "gold", 0.05, 1)),
        (hold_wood, (disc(25.0, 10.0), "N42", NI, 0.1, 1)),
        (hold_wood, (disc(6.0, 3.0), "N42", NI, 0.1, 4)),
        (hold_wood, (block(50.0, 25.0, 10.0), "Y35", "none", 0.5, 1)),
        (hold_warm, (disc(12.0, 6.0), "N42", NI, 0.1, 1)),
        (hold_warm, (ring(20.0, 8.0, 4.0), "N35", NI, 0.1, 2)),
        (slide, (disc(20.0, 5.0), "N42", NI, 0.1, 1)),
        (slide, (block(30.0, 10.0, 2.0), "N35", NI, 0.1, 1)),
        (slide_known, (disc(20.0, 5.0), "N42", NI, 0.1, 1)),
        (pull, (disc(15.0, 5.0), "N42", NI, 0.1, 1)),
        (pull, (disc(3.0, 1.0), "N52", NI, 0.1, 5)),
        (pull, (block(20.0, 10.0, 5.0), "N42", NI, 0.1, 1)),
        (pull, (ball(5.0), "N42", NI, 0.1, 1)),
        (pull_touching, (disc(15.0, 5.0), "N42", NI, 0.1, 1)),
        (pull_touching, (ring(15.0, 5.0, 3.0), "N42", "epoxy", 0.1, 1)),
        (push, (disc(20.0, 10.0), "N42SH", NI, 0.1, 1)),
        (push, (block(25.0, 10.0, 5.0), "Y30", "none", 0.3, 2)),
        (field, (disc(10.0, 3.0), "N42", NI, 0.1, 1)),
        (field, (disc(3.0, 0.5), "N42", NI, 0.1, 1)),
        (field, (block(20.0, 20.0, 5.0), "N48", NI, 0.1, 1)),
        (field, (ring(20.0, 12.0, 3.0), "N42", NI, 0.1, 1)),
        (field_off, (disc(10.0, 4.0), "N42", NI, 0.1, 1)),
        (field_off, (block(12.0, 12.0, 6.0), "N35", NI, 0.1, 2)),
        (field_off, (ring(16.0, 10.0, 4.0), "N42", NI, 0.1, 1)),
        (field_cold, (disc(10.0, 10.0), "N42", NI, 0.1, 1)),
        (field_cold, (block(25.0, 10.0, 5.0), "Y30", "none", 0.3, 1)),
        (field_hot, (disc(10.0, 10.0), "N38EH", NI, 0.1, 1)),
        (field_hot, (ball(12.0), "N35SH", NI, 0.1, 1)),
        (switch, (disc(6.0, 3.0), "N42", NI, 0.1, 1)),
        (switch, (block(8.0, 4.0, 2.0), "N42", NI, 0.1, 3)),
        (face, (disc(10.0, 1.0), "N42", NI, 0.1, 1)),
        (face, (ring(20.0, 10.0, 5.0), "N42", NI, 0.1, 1)),
        (face_probe, (disc(10.0, 5.0), "N42", NI, 0.05, 1)),
        (face_probe, (disc(5.0, 0.8), "N42", NI, 0.1, 1)),
        (face_deep, (disc(4.0, 2.0), "N42", NI, 0.1, 2)),
    ]
}

/// All cases, each against [`DRAWS`] random draws of its inputs.
pub fn check_all() -> Vec<Checked> {
    let catalogue = Catalogue::builtin().expect("the materials are embedded");
    let cases = cases();
    (0..cases.len())
        .into_par_iter()
        .map(|k| {
            let (text, (shape, grade, coating, tolerance, pieces)) = &cases[k];
            let question: Question = serde_json::from_str(text).expect("the question is written above");
            let item = Item {
                tolerance: Length::from_mm(*tolerance),
                ..Item::made(*shape, grade, coating)
            };
            let prediction = search::prediction(&question, &item, &catalogue)
                .unwrap_or_else(|| panic!("{grade} or {coating} is not known"));
            let name = name(&prediction, grade, *pieces);
            check(name, &prediction, *pieces, 0x9E37_79B9_7F4A_7C15 ^ k as u64)
        })
        .collect()
}

/// The band of a prediction against random draws.
pub fn check(name: String, prediction: &Prediction, pieces: u32, seed: u64) -> Checked {
    let whole = prediction.undiminished(pieces);
    let value = |at: &_| whole.value_with(at).expect("the magnet is written above");
    let band = whole.band().expect("the magnet is written above");
    let inputs = prediction.inputs();
    let mut state = seed;
    // A generator of its own: Steele, Lea and Flood, Fast splittable pseudorandom number generators (2014).
    let mut uniform = || {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    };
    let mut values: Vec<f64> = (0..DRAWS)
        .map(|_| value(&inputs.map(|i| i.distribution.quantile(uniform()))))
        .collect();
    values.sort_by(f64::total_cmp);
    let part_above = |y: f64| values.iter().filter(|v| **v >= y).count() as f64 / DRAWS as f64;
    let width = values[DRAWS - DRAWS / 40] - values[DRAWS / 40];
    let off = |part: f64| {
        let y = band.low + (band.high - band.low) * part;
        (band.chance_of_at_least(y) - part_above(y)).abs()
    };
    Checked {
        name,
        width: (band.high - band.low) / width,
        inside: values.iter().filter(|v| (band.low..=band.high).contains(v)).count() as f64 / DRAWS as f64,
        above_mid: part_above(band.mid),
        chance_off: [0.25, 0.5, 0.75].map(off).into_iter().fold(0.0, f64::max),
        band,
    }
}

fn name(prediction: &Prediction, grade: &str, pieces: u32) -> String {
    let mm = |x: f64| (x * 1e7).round() / 1e4;
    let shape = match prediction.item.shape {
        Shape::Disc { diameter, thickness } => format!("disc {} × {}", mm(diameter), mm(thickness)),
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            thickness,
        } => format!("ring {}/{} × {}", mm(outer_diameter), mm(inner_diameter), mm(thickness)),
        Shape::Block {
            length,
            width,
            thickness,
        } => format!("block {} × {} × {}", mm(length), mm(width), mm(thickness)),
        Shape::Sphere { diameter } => format!("ball {}", mm(diameter)),
    };
    let stack = if pieces > 1 {
        format!("{pieces} × ")
    } else {
        String::new()
    };
    let task = match prediction.task {
        Task::Plate {
            layers,
            thickness,
            friction,
            ..
        } => format!(
            "{} {}steel{}",
            if friction.is_some() { "sliding on" } else { "pull on" },
            thickness.map_or_else(String::new, |t| format!("{} mm ", mm(t))),
            if layers[1] > 0.0 {
                format!(" through {} mm", mm(layers[1]))
            } else {
                String::new()
            }
        ),
        Task::Pair { gap, .. } => format!("pair, {} mm apart", mm(gap)),
        Task::Spot {
            distance,
            off_axis,
            axial_only,
            ..
        } => format!(
            "{} at {} mm{}",
            if axial_only { "face field" } else { "field" },
            mm(distance),
            if off_axis > 0.0 {
                format!(", {} mm off the axis", mm(off_axis))
            } else {
                String::new()
            }
        ),
        Task::Dipole { distance } => format!("parcel field at {} m", distance),
    };
    let warm = if prediction.celsius == 20.0 {
        String::new()
    } else {
        format!(", {} °C", prediction.celsius)
    };
    format!("{stack}{shape}, {grade}: {task}{warm}")
}
