//! Halbach arrangements against their closed forms. K. Halbach, Design of permanent multipole magnets with oriented rare earth cobalt material, Nuclear Instruments and Methods 169, 1980, 1-10:
//! with `M` pieces to a wavelength the fundamental of an endless row is `J (1 - exp(-k d)) sin(π/M) / (π/M) exp(-k z)` on its strong side, and the pieces add harmonics `1 + ν M`, each with its own
//! `sin(nπ/M) / (nπ/M)`: that of `1 - M` lies on the weak side. A ring of `M` pieces has `J ln(ro/ri) sin(2π/M) / (2π/M)` within.

use std::f64::consts::PI;

use magnetics::arc::Arc;
use magnetics::{Scene, Solid};
use numerics::stop::Stop;
use numerics::vector::Vector;

use super::{air, tests};
use crate::draft::{Draft, Piece};
use crate::family::Family;
use crate::recipes;
use crate::wish::{Area, Goal, Space, Wish};

/// Pieces to a wavelength of the family.
const QUARTER: f64 = 4.0;
/// Places over a wavelength: harmonics up to the 16th stay apart.
const PLACES: usize = 32;

fn wish() -> Wish {
    let goal = Goal::Reach {
        field: 0.1,
        distance: 1e-3,
        spot: 0.0,
    };
    let space = Space {
        across: Area::Box([0.5, 0.4]),
        height: 12e-3,
        filled: false,
    };
    Wish {
        space,
        ..tests::wish(goal, tests::rigid())
    }
}

/// The family's own five blocks, gone on with in their order for so many wavelengths and as deep as long; a block is this long, m, and so high.
fn row(wavelengths: usize, long: f64, high: f64) -> Draft {
    let one = recipes::draft(Family::HalbachRow, &wish(), &[0.5, 0.5, 0.5]).expect("it serves");
    let count = 4 * wavelengths + 1;
    let block = magnetics::Shape::Block {
        length: long,
        width: count as f64 * long,
        thickness: high,
    };
    let piece = |k: usize| {
        let centre = [(k as f64 - 0.5 * (count as f64 - 1.0)) * long, 0.0, -0.5 * high];
        Piece::new(Solid::Plain(block), one.magnets[k % 4].along, centre)
    };
    Draft {
        magnets: (0..count).map(piece).collect(),
        ..one
    }
}

/// Size of the harmonic of that order of the field across the row's plane, over the wavelength in its middle at a height, T.
fn harmonic(scene: &Scene, order: f64, wavelength: f64, height: f64) -> f64 {
    let (mut even, mut odd) = (0.0, 0.0);
    for k in 0..PLACES {
        let phase = (k as f64 + 0.5) / PLACES as f64;
        let [_, _, b] = scene.flux_density([(phase - 0.5) * wavelength, 0.0, height]).unwrap();
        let (sin, cos) = (2.0 * PI * order * phase).sin_cos();
        even += b * cos;
        odd += b * sin;
    }
    2.0 / PLACES as f64 * f64::hypot(even, odd)
}

/// What is left of the error falls as the row grows: at each doubling the value moves by less than a quarter of the move before, so that the closed form lies within the last move.
fn approaches(values: [f64; 3], closed: f64, what: &str) {
    let [first, second, third] = values;
    let [before, last] = [(second - first).abs(), (third - second).abs()];
    assert!(last < 0.25 * before, "{what}: {values:?} does not settle");
    assert!((third - closed).abs() <= last, "{what}: {values:?} for {closed}");
}

#[test]
fn long_rows_approach_the_endless_halbach_row_on_both_sides() {
    let (long, high) = (5e-3, 6e-3);
    let wavelength = QUARTER * long;
    let scenes = [8, 16, 32].map(|count| air::rigid(&wish(), &row(count, long, high), &Stop::new()).unwrap());
    let closed = |order: f64, away: f64| {
        let k = 2.0 * PI * order / wavelength;
        let turn = order * PI / QUARTER;
        1.2 * (1.0 - (-k * high).exp()) * (turn.sin() / turn).abs() * (-k * away).exp()
    };
    let at = |order: f64, height: f64| [0, 1, 2].map(|k| harmonic(&scenes[k], order, wavelength, height));
    // Strong side, above.
    let (near, far) = (2e-3, 5e-3);
    approaches(at(1.0, near), closed(1.0, near), "strong, near");
    approaches(at(1.0, far), closed(1.0, far), "strong, far");
    // Weak side: the third harmonic alone.
    let weak = at(3.0, -high - near);
    approaches(weak, closed(3.0, near), "weak");
    let ratio = at(1.0, near)[2] / weak[2];
    let expected = closed(1.0, near) / closed(3.0, near);
    assert!((ratio / expected - 1.0).abs() < 1e-3, "{ratio} for {expected}");
    // The fundamental does not come through to the weak side, but for what the ends leave.
    let through = at(1.0, -high - near).map(|b| b / closed(1.0, near));
    assert!(through[2] < 1e-3 && through[2] < 0.25 * through[1], "{through:?}");
}

/// A ring of a length reaches the endless one as the square of that: from two lengths the endless one follows to the fourth power, and from three the error of that.
#[test]
fn long_rings_approach_the_endless_halbach_cylinder() {
    let (inner, outer) = (20e-3, 36e-3);
    for pieces in [8_usize, 12] {
        let middle = |length: f64| {
            let count = pieces as f64;
            let arc = Arc {
                outer_diameter: outer,
                inner_diameter: inner,
                angle: 2.0 * PI / count,
                thickness: length,
            };
            let piece = |k: usize| {
                // The polarisation turns twice as far as the place: once with the piece, once in its own frame.
                let turn = 2.0 * PI * k as f64 / count;
                let along: Vector = [turn.cos(), turn.sin(), 0.0];
                Piece {
                    turn,
                    ..Piece::new(Solid::Arc(arc), along, [0.0; 3])
                }
            };
            let draft = Draft {
                family: Family::Coupling,
                sizes: Vec::new(),
                magnets: (0..pieces).map(piece).collect(),
                steel: Vec::new(),
            };
            let scene = air::rigid(&wish(), &draft, &Stop::new()).unwrap();
            scene.flux_density([0.0; 3]).unwrap()
        };
        let lengths = [1.0, 2.0, 4.0].map(|times| 4.0 * outer * times);
        let fields = lengths.map(middle);
        for [_, y, z] in fields {
            assert!(y.abs() < 1e-9 && z.abs() < 1e-9);
        }
        let [short, long, longest] = fields.map(|[x, _, _]| x);
        let endless = |short: f64, long: f64| long + (long - short) / 3.0;
        let [rough, fine] = [endless(short, long), endless(long, longest)];
        let turn = 2.0 * PI / pieces as f64;
        let closed = 1.2 * (outer / inner).ln() * turn.sin() / turn;
        let left = (fine - rough).abs().max(1e-9 * closed);
        assert!(
            (fine - closed).abs() <= left,
            "{pieces}: {fine} T for {closed} T, {left}"
        );
        assert!(
            (longest / closed - 1.0).abs() < 1e-3,
            "{pieces}: {longest} T for {closed} T"
        );
    }
}
