//! Of a thousand pieces drawn through their whole history, 93 to 97 in a hundred lie in the band: near a magnet and between
//! pairs, with coercivity, place and gap drawn too.

use advice::exposure::Exposure;
use advice::stacked::Stacked;
use advice::{Item, Question, search};
use magnetics::Shape;
use magnetics::inside::{Detail, Facing, Inside};
use materials::curve::Material;
use quantity::Length;

use crate::shelf::{Draws, catalogue, disc, made_of};

/// Draws of each case.
const PIECES: usize = 1000;

/// What is asked of the magnets, m.
#[derive(Clone, Copy)]
enum Use {
    Field(f64),
    Pull(f64),
    Push(f64),
}

impl Use {
    fn question(self) -> String {
        match self {
            Self::Field(x) => format!(r#"{{"need": {{"verb": "reach_field", "field": "1 mT", "distance": {x}}}}}"#),
            Self::Pull(x) => format!(r#"{{"need": {{"verb": "pull_together", "force": "1 N", "gap": {x}}}}}"#),
            Self::Push(x) => format!(r#"{{"need": {{"verb": "push_apart", "force": "1 N", "gap": {x}}}}}"#),
        }
    }
}

/// The part of the pieces that lie in the band.
fn covered(item: &Item, pieces: u32, task: Use) -> f64 {
    let catalogue = catalogue();
    let question: Question = serde_json::from_str(&task.question()).expect("written above");
    let delivered = search::prediction(&question, item, &catalogue).expect("its materials are known");
    let in_use = delivered
        .in_use(pieces, &Exposure::of(&question))
        .expect("its grade has a curve");
    assert!(in_use.wear().kept < 0.99, "nothing is lost: {:?}", in_use.wear());
    let band = in_use.band().expect("it is a magnet");
    let (grade, plating) = (delivered.grade, delivered.coating.thickness);
    let Shape::Disc { diameter, thickness } = item.shape else {
        panic!("discs only")
    };
    let limits =
        |u: f64, [low, mid, high]: [f64; 3]| mid + (2.0 * u - 1.0) * if u < 0.5 { mid - low } else { high - mid };
    let around = |u: f64, half: f64| (2.0 * u - 1.0) * half;
    let tolerance = item.tolerance.si();
    // A place is kept to 0.1 mm or 2 %, faces of a pair seat with 0 to 0.05 mm between, its model is right to 5 %.
    let value = |u: [f64; 10]| {
        let outer = Shape::Disc {
            diameter: diameter + around(u[0], tolerance),
            thickness: thickness + around(u[1], tolerance),
        };
        let coat = limits(u[2], [plating.min, plating.typical, plating.max]);
        let br = limits(u[3], [grade.br_min, grade.br_typical, grade.br_max]);
        let most = grade.hcj_max.expect("listed");
        let hcj = limits(u[4], [grade.hcj_min, grade.hcj_typical(), most]);
        let celsius = 20.0 + around(u[5], 2.0);
        let place = |x: f64| x + around(u[6], (0.02 * x).max(0.1e-3).min(x));
        let facing = match task {
            Use::Push(gap) => Facing::Opposing { gap },
            _ => Facing::Nothing,
        };
        let magnet = outer.shrunk(coat).expect("more than its plating");
        let body = Inside::new(&magnet, pieces as usize, facing, Detail::Coarse).expect("a magnet");
        let heated = body
            .heated(&Material::with(grade, br, hcj), &[celsius])
            .expect("a curve");
        let now = (1.0 - heated.short) * br * (1.0 + grade.alpha_br_per_k * (celsius - 20.0));
        let stack = Stacked::new(outer, coat, pieces, now, grade.recoil_permeability).expect("a magnet");
        match task {
            Use::Field(x) => stack.flux_density(0.0, place(x)).expect("outside")[1],
            Use::Pull(x) | Use::Push(x) => {
                let seat = limits(u[7], [0.0, 0.015e-3, 0.05e-3]);
                let model = limits(u[8], [0.95, 1.0, 1.05]);
                model * stack.pair_force(place(x) + seat).expect("apart").abs()
            }
        }
    };
    // What all of them have alike, such as uneven recoil, is none of a band's.
    let middle = value([0.5; 10]);
    let mut draws = Draws(7);
    let inside = (0..PIECES)
        .filter(|_| {
            let drawn = value(std::array::from_fn(|_| draws.part()));
            (band.low..=band.high).contains(&(band.mid * drawn / middle))
        })
        .count();
    inside as f64 / PIECES as f64
}

#[test]
fn nineteen_of_twenty_lie_in_the_band() {
    let within = |mm: f64, item: Item| Item {
        tolerance: Length(mm * 1e-3),
        ..item
    };
    let ferrite = || within(0.2, made_of(disc(30.0, 3.0), "Y30", "none"));
    let n52 = |diameter: f64, thickness: f64| within(0.05, made_of(disc(diameter, thickness), "N52", "Ni-Cu-Ni"));
    let mut wrong = Vec::new();
    for (name, item, pieces, task) in [
        ("field of thin ferrite", ferrite(), 1, Use::Field(10e-3)),
        ("field of thin N52", n52(10.0, 1.0), 1, Use::Field(4e-3)),
        ("field of a stack of N52", n52(12.0, 1.0), 4, Use::Field(4e-3)),
        ("pair of thin ferrite", ferrite(), 1, Use::Pull(6e-3)),
        ("pair of thin N52", n52(10.0, 1.0), 1, Use::Pull(3e-3)),
        ("pair of stacks of N52", n52(12.0, 1.0), 3, Use::Pull(4e-3)),
        ("opposed thin N52", n52(10.0, 1.0), 1, Use::Push(5e-3)),
    ] {
        let covered = covered(&item, pieces, task);
        println!("{name}: {covered}");
        if !(0.93..=0.97).contains(&covered) {
            wrong.push(format!("{name}: {covered}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}
