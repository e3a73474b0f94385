//! Magnets with an edge of the plate or an equal magnet beside them, against what has another solution.

use std::sync::Arc;

use magnetics::Shape;
use magnetics::load::plate_pull;
use magnetics::placed::Placed;
use magnetics::solid::{Polarisation, Solid};
use spatial::solve::SolveError;
use spatial::{Beside, Face, OnPlate, Side};
use steel::SteelTable;
use steel::beside::side_by_side;
use steel::drawing::{Drawing, Material, Part};
use steel::edge::Edge;
use steel::setups::{Piece, Size};
use steel::solve::{Options, solve};

const DIAMETER: f64 = 20e-3;
const HEIGHT: f64 = 5e-3;

fn disc(gap: f64, thickness: f64) -> OnPlate {
    OnPlate {
        face: Face::Circle(DIAMETER),
        height: HEIGHT,
        polarisation: 1.3,
        permeability: 1.0,
        gap,
        thickness,
        plate: Face::Circle(100e-3),
        steel: Arc::clone(
            &SteelTable::builtin()
                .expect("the table")
                .curve("team13")
                .expect("its curve")
                .curve,
        ),
    }
}

/// Pull of discs at these places with these signs on thick ideal steel, by the mirror image in closed form, N.
fn mirror(gap: f64, discs: &[(f64, f64)]) -> f64 {
    let shape = Shape::Disc {
        diameter: DIAMETER,
        thickness: HEIGHT,
    };
    let placed = |&(x, sign): &(f64, f64)| {
        let along = Polarisation::Along([0.0, 0.0, 1.3 * sign]);
        Placed::new(Solid::Plain(shape), along, [x, 0.0, 0.0], [0.0; 3]).expect("a place")
    };
    plate_pull(&discs.iter().map(placed).collect::<Vec<_>>(), gap)
        .expect("a pull")
        .0
}

fn share(on: OnPlate, sides: [Side; 2]) -> f64 {
    Beside { on, sides }.share_of_ideal().expect("a solution").value
}

/// In the middle of its plate a disc on straight lines pulls as the body of revolution does.
#[test]
fn alone_a_disc_pulls_as_a_body_of_revolution() {
    for (gap, thickness) in [(1e-3, 10e-3), (1e-3, 1e-3), (3e-3, 0.5e-3)] {
        let on = disc(gap, thickness);
        let magnet = Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.0,
        };
        let plate = Material::Steel(Arc::clone(&on.steel));
        let drawing = Drawing::new(vec![
            Part::ring("magnet", [0.0, 0.5 * DIAMETER], [gap, gap + HEIGHT], magnet),
            Part::ring("plate", [0.0, 50e-3], [-thickness, 0.0], plate),
        ]);
        let wanted = solve(&drawing, &Options::force_on("plate")).unwrap();
        let wanted = wanted.force_on("plate").unwrap();
        let got = share(on, [Side::Plate; 2]) * mirror(gap, &[(0.0, 1.0)]);
        assert!(
            (got / wanted - 1.0).abs() <= 0.01,
            "{gap} over {thickness}: {got} {wanted}"
        );
    }
}

/// The estimate of `steel::beside` against pairs that are solved, on thin plates, where it is no closed form. Distances are those of the middles over the diameter.
#[test]
fn two_side_by_side_pull_as_estimated() {
    let gap = 1e-3;
    for (thickness, apart, alternating) in [
        (1e-3, 1.0, false),
        (1e-3, 1.0, true),
        (1e-3, 1.5, false),
        (0.5e-3, 1.5, false),
        (3e-3, 1.05, true),
    ] {
        let (pitch, sign) = (apart * DIAMETER, if alternating { -1.0 } else { 1.0 });
        let neighbour = if alternating {
            Side::Alternating(pitch)
        } else {
            Side::Alike(pitch)
        };
        let piece = |size: Size, material: Material| Piece { size, material };
        let magnet = Material::Magnet {
            polarisation: 1.3,
            recoil_permeability: 1.0,
        };
        let found = side_by_side(
            &piece(Size::disc(DIAMETER, HEIGHT), magnet),
            &piece(
                Size::disc(100e-3, thickness),
                Material::Steel(disc(gap, thickness).steel),
            ),
            gap,
            pitch - DIAMETER,
        )
        .unwrap();
        let estimate = if alternating { found.alternating } else { found.alike };
        let pair = mirror(gap, &[(0.0, 1.0), (pitch, sign)]);
        let got = pair * share(disc(gap, thickness), [Side::Plate, neighbour]);
        assert!(
            (estimate.low..=estimate.high).contains(&got),
            "{thickness} {apart} {alternating}: {got} {estimate:?}"
        );
        assert!(estimate.high / estimate.low <= 1.35, "{estimate:?}");
    }
}

/// On a thick plate a like neighbour takes and one of the other pole adds, by as much as their mirror images do.
#[test]
fn a_like_neighbour_takes_what_one_of_the_other_pole_adds() {
    let (gap, pitch) = (0.5e-3, 1.05 * DIAMETER);
    let beside = Beside {
        on: disc(gap, 8e-3),
        sides: [Side::Plate, Side::Alike(pitch)],
    };
    let pair = |sign: f64| mirror(gap, &[(0.0, 1.0), (pitch, sign)]);
    let by_image = pair(1.0) / pair(-1.0);
    assert!(by_image < 0.9, "{by_image}");
    let got = beside.share_of_alternating().expect("a solution").value;
    assert!((got - by_image).abs() < 0.02, "{got}, {by_image} by the mirror image");
    assert!(matches!(beside.share_of_middle(), Err(SolveError::Sizes)));
}

/// Like discs that touch in a row without end: on thin plates they take more from each other than on thick ones. What answers count for rows of up to six rests on it.
#[test]
fn a_row_without_end_keeps_two_thirds_on_thin_plates_and_more_on_thick_ones() {
    let gap = 1e-3;
    let row = |count: usize| -> f64 {
        let all: Vec<(f64, f64)> = (0..count).map(|k| (k as f64 * DIAMETER, 1.0)).collect();
        mirror(gap, &all)
    };
    // Two more in the middle of a long row.
    let more = 0.5 * (row(42) - row(40)) / row(1);
    let kept = |thickness: f64| {
        let on = disc(gap, thickness);
        more * share(on.clone(), [Side::Alike(DIAMETER); 2]) / share(on, [Side::Plate; 2])
    };
    let [thin, thick] = [1e-3, 3e-3].map(kept);
    assert!((0.62..=0.67).contains(&thin), "{thin}");
    assert!((0.70..=0.74).contains(&thick), "{thick}");
}

/// What discs keep near a straight edge of their plate is in the kept table: the disc that it was solved with, and others.
#[test]
fn discs_keep_near_an_edge_what_the_table_says() {
    let flat = OnPlate {
        height: 2.5e-3,
        ..disc(0.5e-3, 1.2e-3)
    };
    let tall = OnPlate {
        height: 15e-3,
        ..disc(1e-3, 5e-3)
    };
    let weak = OnPlate {
        polarisation: 0.4,
        ..disc(1e-3, 0.35e-3)
    };
    for (on, enough) in [
        (disc(1e-3, 3e-3), true),
        (disc(1e-3, 1e-3), false),
        (flat, true),
        (tall, true),
        (weak, false),
    ] {
        let edge = Edge::of(enough).unwrap();
        for (at, [least, most]) in [(0.25 * DIAMETER, edge.quarter), (0.0, edge.middle)] {
            let sides = [Side::Plate, Side::Edge(at)];
            let got = Beside { on: on.clone(), sides }.share_of_middle().unwrap().value;
            assert!((least..=most).contains(&got), "{on:?} {at}: {got}");
        }
    }
}

#[test]
fn magnets_that_overlap_or_stand_beside_the_plate_are_refused() {
    for side in [
        Side::Alike(0.9 * DIAMETER),
        Side::Alternating(f64::NAN),
        Side::Edge(-0.5 * DIAMETER),
    ] {
        let beside = Beside {
            on: disc(1e-3, 1e-3),
            sides: [Side::Plate, side],
        };
        assert_eq!(beside.share_of_ideal(), Err(SolveError::Sizes), "{side:?}");
    }
}
