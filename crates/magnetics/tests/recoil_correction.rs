//! The tabulated factors against the surface-charge solve, at shapes and distances between those they were made from.

use magnetics::demag;
use magnetics::recoil_correction::{Effect, RecoilCorrection};
use magnetics::{Placed, Polarisation, Scene, Shape, Solid, load};

const MM: f64 = 1e-3;

fn placed(shape: Shape, z: f64, along: f64, permeability: f64) -> Placed {
    let along = Polarisation::Along([0.0, 0.0, along]);
    let body = Placed::new(Solid::Plain(shape), along, [0.0, 0.0, z], [0.0; 3]).expect("valid");
    body.with_recoil_permeability(permeability).expect("valid")
}

fn disc(thickness: f64) -> Shape {
    Shape::Disc {
        diameter: 10.0 * MM,
        thickness: thickness * MM,
    }
}

fn ring(hole: f64, thickness: f64) -> Shape {
    Shape::Ring {
        outer_diameter: 10.0 * MM,
        inner_diameter: hole * MM,
        thickness: thickness * MM,
    }
}

fn block(length: f64, width: f64, thickness: f64) -> Shape {
    Shape::Block {
        length: length * MM,
        width: width * MM,
        thickness: thickness * MM,
    }
}

/// Solved over rigid, and as the table has it.
fn field(shape: Shape, permeability: f64, distance: f64) -> (f64, f64) {
    let radius = match shape {
        Shape::Ring {
            outer_diameter,
            inner_diameter,
            ..
        } => 0.25 * (outer_diameter + inner_diameter),
        _ => 0.0,
    };
    let at = [radius, 0.0, 0.5 * shape.height() + distance];
    let solved = Scene::new(vec![placed(shape, 0.0, 1.0, permeability)])
        .settled()
        .expect("alone");
    let rigid = Scene::new(vec![placed(shape, 0.0, 1.0, 1.0)]);
    let share = solved.flux_density(at).expect("off the edges")[2] / rigid.flux_density(at).expect("off the edges")[2];
    let uneven = RecoilCorrection::new(
        &shape,
        demag::of_shape(&shape).expect("a valid shape"),
        permeability,
        Effect::Field,
    );
    (share, uneven.share(distance))
}

fn force(shape: Shape, permeability: f64, gap: f64, effect: Effect) -> (f64, f64) {
    let apart = 0.5 * (shape.height() + gap);
    let along = if effect == Effect::Repulsion { -1.0 } else { 1.0 };
    let force = |permeability: f64| {
        let lower = placed(shape, -apart, 1.0, permeability);
        load::load(&placed(shape, apart, along, permeability), &[lower])
            .expect("apart")
            .force[2]
    };
    let uneven = RecoilCorrection::new(
        &shape,
        demag::of_shape(&shape).expect("a valid shape"),
        permeability,
        effect,
    );
    (force(permeability) / force(1.0), uneven.share(gap).powi(2))
}

#[test]
fn fields_are_those_of_the_solve() {
    for shape in [
        disc(0.5),
        disc(1.3),
        disc(5.0),
        disc(50.0),
        ring(4.3, 2.0),
        ring(7.1, 5.0),
        ring(2.2, 11.0),
        block(10.0, 10.0, 3.0),
        block(20.0, 8.0, 4.0),
        block(30.0, 7.0, 3.0),
        block(5.0, 5.0, 20.0),
    ] {
        for permeability in [1.05, 1.1] {
            for distance in [0.0, 0.7 * MM, 10.0 * MM] {
                let (solved, table) = field(shape, permeability, distance);
                assert!(
                    (table / solved - 1.0).abs() <= 1.5e-3,
                    "{shape:?} {permeability} {distance}: {table} {solved}"
                );
            }
        }
    }
}

#[test]
fn forces_are_those_of_the_solve() {
    for (shape, effects) in [
        (disc(1.3), &[Effect::Attraction, Effect::Repulsion][..]),
        (disc(5.0), &[Effect::Attraction, Effect::Repulsion]),
        (disc(20.0), &[Effect::Attraction]),
        (ring(4.3, 3.0), &[Effect::Attraction, Effect::Repulsion]),
        (block(12.0, 8.0, 4.0), &[Effect::Attraction]),
    ] {
        for gap in [0.05 * MM, 2.0 * MM] {
            for &effect in effects {
                let (solved, table) = force(shape, 1.1, gap, effect);
                assert!(
                    (table / solved - 1.0).abs() <= 3e-3,
                    "{shape:?} {effect:?} {gap}: {table} {solved}"
                );
            }
        }
    }
}

/// Blocks have the force's factor of the disc of their area.
#[test]
fn discs_stand_for_blocks() {
    for shape in [block(10.0, 10.0, 4.0), block(30.0, 10.0, 5.0), block(30.0, 10.0, 2.0)] {
        for effect in [Effect::Attraction, Effect::Repulsion] {
            let (solved, table) = force(shape, 1.05, 0.1 * MM, effect);
            assert!(
                (table / solved - 1.0).abs() <= 3e-3,
                "{shape:?} {effect:?}: {table} {solved}"
            );
        }
    }
}

#[test]
fn balls_and_rigid_magnets_have_the_mean_factor() {
    let ball = Shape::Sphere { diameter: MM };
    let share = RecoilCorrection::new(&ball, 1.0 / 3.0, 1.06, Effect::Field).share(MM);
    assert!((share - 1.0 / 1.02).abs() <= 1e-12);
    assert_eq!(
        RecoilCorrection::new(&disc(2.0), 0.5, 1.0, Effect::Field).share(0.0),
        1.0
    );
}
