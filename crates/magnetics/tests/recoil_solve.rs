//! Finite recoil permeability: exact answers, one body cut in two, balance of forces, and both kinds of panels.

use std::f64::consts::PI;

use magnetics::arc::Arc;
use magnetics::profile::Profile;
use magnetics::{Placed, Polarisation, Scene, SettleError, Shape, Solid, load};
use materials::MU_0;

const MM: f64 = 1e-3;

fn body(solid: Solid, along: [f64; 3], centre: [f64; 3], permeability: f64) -> Placed {
    turned(solid, along, centre, [0.0; 3], permeability)
}

fn turned(solid: Solid, along: [f64; 3], centre: [f64; 3], rotation: [f64; 3], permeability: f64) -> Placed {
    Placed::new(solid, Polarisation::Along(along), centre, rotation)
        .expect("valid")
        .with_recoil_permeability(permeability)
        .expect("valid")
}

fn disc(diameter: f64, thickness: f64) -> Solid {
    Solid::Plain(Shape::Disc { diameter, thickness })
}

fn settled(bodies: Vec<Placed>) -> Scene {
    Scene::new(bodies).settled().expect("they do not overlap")
}

/// A body of no polarisation far away, off the axis: with it no scene is taken as turned about one axis.
fn aside() -> Placed {
    body(disc(MM, MM), [0.0; 3], [1.0, 0.0, 0.0], 1.0)
}

fn difference(a: [f64; 3], b: [f64; 3]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1]).hypot(a[2] - b[2])
}

/// A ball stays uniform: J = J0 / (1 + χ / 3), from no permeability to that of soft iron.
#[test]
fn a_ball_is_exact() {
    let ball = || Solid::Plain(Shape::Sphere { diameter: 20.0 * MM });
    for permeability in [1.05, 1.2, 7.0, 100.0] {
        // What the documentation of `Scene::settled` promises where cells stand for the surface.
        let tolerance = 4e-4 * (permeability - 1.0);
        let strength = 1.0 / (1.0 + (permeability - 1.0) / 3.0);
        for (along, more) in [
            ([0.0, 0.0, 1.0], None),
            ([0.0, 0.0, 1.0], Some(aside())),
            ([0.6, 0.0, 0.8], None),
        ] {
            let mut bodies = vec![body(ball(), along, [0.0; 3], permeability)];
            bodies.extend(more);
            let scene = settled(bodies);
            let rigid = Scene::new(vec![body(ball(), along.map(|j| j * strength), [0.0; 3], 1.0)]);
            for point in [
                [1.0, 2.0, 3.0],
                [0.0, 0.0, 0.0],
                [0.0, 0.0, 15.0],
                [12.0, -9.0, 3.0],
                [0.0, 0.0, 1e4],
            ] {
                let point = point.map(|c| c * MM);
                let (b, expected) = (scene.flux_density(point).unwrap(), rigid.flux_density(point).unwrap());
                // Near the body errors are shares of its polarisation, 1 T; far away, of what is left there.
                let size = difference(expected, [0.0; 3]);
                let scale = if point[2] < 1.0 { 1.0 } else { 10.0 * size };
                assert!(
                    difference(b, expected) <= tolerance * scale,
                    "{permeability} {along:?} {point:?}: {b:?} {expected:?}"
                );
                let (h, expected) = (
                    scene.field_strength(point).unwrap(),
                    rigid.field_strength(point).unwrap(),
                );
                assert!(
                    difference(h, expected) <= tolerance * scale / MU_0,
                    "{permeability} {along:?} {point:?}: {h:?} {expected:?}"
                );
            }
        }
    }
}

/// A soft ball without polarisation of its own, far from a magnet: the moment 4 π r³ (μ - 1) / (μ + 2) H0.
#[test]
fn a_soft_ball_takes_its_moment_from_the_field() {
    let permeability = 50.0;
    let magnet = body(disc(10.0 * MM, 10.0 * MM), [0.0, 0.0, 1.0], [0.0; 3], 1.0);
    let place = [0.0, 0.0, 300.0 * MM];
    let soft = body(
        Solid::Plain(Shape::Sphere { diameter: 4.0 * MM }),
        [0.0; 3],
        place,
        permeability,
    );
    let field = Scene::new(vec![magnet.clone()]).field_strength(place).unwrap()[2];
    let moment = 4.0 * PI * (2.0 * MM).powi(3) * (permeability - 1.0) / (permeability + 2.0) * field;
    let at = [0.0, 0.0, 320.0 * MM];
    let alone = Scene::new(vec![magnet.clone()]).flux_density(at).unwrap()[2];
    let with = settled(vec![magnet, soft]).flux_density(at).unwrap()[2];
    let expected = MU_0 * 2.0 * moment / (4.0 * PI * (20.0 * MM).powi(3));
    assert!(
        ((with - alone) / expected - 1.0).abs() <= 2e-3,
        "{} {expected}",
        with - alone
    );
}

/// One body cut in two that touch is the same body: discs by rings, blocks by cells.
#[test]
fn a_body_cut_in_two_is_the_same_body() {
    let block = |z: f64| {
        Solid::Plain(Shape::Block {
            length: 20.0 * MM,
            width: 12.0 * MM,
            thickness: z,
        })
    };
    let cases: [(Solid, Solid, f64, f64); 2] = [
        (disc(20.0 * MM, 10.0 * MM), disc(20.0 * MM, 5.0 * MM), 2.5 * MM, 2e-6),
        (block(10.0 * MM), block(5.0 * MM), 2.5 * MM, 1e-4),
    ];
    for (whole, half, up, tolerance) in cases {
        let along = [0.0, 0.0, 1.0];
        let one = settled(vec![body(whole, along, [0.0; 3], 1.1)]);
        let two = settled(vec![
            body(half.clone(), along, [0.0, 0.0, up], 1.1),
            body(half, along, [0.0, 0.0, -up], 1.1),
        ]);
        for point in [
            [0.0, 0.0, 5.0],
            [3.0, 1.0, 7.0],
            [0.0, 0.0, 25.0],
            [2.0, 1.0, 1.0],
            [15.0, 2.0, 0.5],
        ] {
            let point = point.map(|c| c * MM);
            let (a, b) = (one.flux_density(point).unwrap(), two.flux_density(point).unwrap());
            assert!(difference(a, b) <= tolerance, "{point:?}: {a:?} {b:?}");
            let (a, b) = (one.field_strength(point).unwrap(), two.field_strength(point).unwrap());
            assert!(difference(a, b) * MU_0 <= tolerance, "{point:?}: {a:?} {b:?}");
        }
    }
}

/// The field at the ends of a long side is not missed, near or far.
#[test]
fn a_tall_block_cut_in_two_is_the_same_body() {
    let block = |thickness: f64| {
        Solid::Plain(Shape::Block {
            length: 22.4 * MM,
            width: 17.9 * MM,
            thickness,
        })
    };
    let (height, along) = (230.0 * MM, [0.0, 0.0, 1.0]);
    let part = |z: f64| body(block(0.5 * height), along, [0.0, 0.0, z], 1.05);
    let one = settled(vec![body(block(height), along, [0.0; 3], 1.05)]);
    let two = settled(vec![part(0.25 * height), part(-0.25 * height)]);
    for distance in [0.0, 20.0 * MM, 2000.0 * MM] {
        let point = [0.0, 0.0, 0.5 * height + distance];
        let [a, b] = [&one, &two].map(|scene| scene.flux_density(point).unwrap()[2]);
        assert!((a / b - 1.0).abs() <= 3e-4, "{distance}: {a} {b}");
    }
}

/// Rings and cells are two ways to the same charge.
#[test]
fn rings_and_cells_agree() {
    let sunk = Profile::countersunk(20.0 * MM, 5.0 * MM, 9.0 * MM, 2.0 * MM, 5.0 * MM).expect("valid");
    let ring = Shape::Ring {
        outer_diameter: 20.0 * MM,
        inner_diameter: 8.0 * MM,
        thickness: 6.0 * MM,
    };
    for solid in [disc(20.0 * MM, 6.0 * MM), Solid::Plain(ring), Solid::Turned(sunk)] {
        let magnet = body(solid, [0.0, 0.0, 1.2], [0.0; 3], 1.1);
        let rings = settled(vec![magnet.clone()]);
        let cells = settled(vec![magnet, aside()]);
        for point in [[0.0, 0.0, 5.0], [6.0, 2.0, 4.0], [7.0, 0.0, 1.0], [30.0, 10.0, 20.0]] {
            let point = point.map(|c| c * MM);
            let (a, b) = (rings.flux_density(point).unwrap(), cells.flux_density(point).unwrap());
            assert!(difference(a, b) <= 1e-4, "{point:?}: {a:?} {b:?}");
        }
    }
}

/// Moved and turned, a scene is the same scene.
#[test]
fn place_and_turn_do_not_matter() {
    let along = [0.3, 0.1, 1.0];
    let block = Solid::Plain(Shape::Block {
        length: 20.0 * MM,
        width: 10.0 * MM,
        thickness: 5.0 * MM,
    });
    let quarter = [0.0, 0.0, 0.5 * PI];
    let centre = [0.5, -0.2, 0.1];
    let here = settled(vec![body(block.clone(), along, [0.0; 3], 1.1)]);
    let there = settled(vec![turned(block, along, centre, quarter, 1.1)]);
    for point in [[1.0, 2.0, 6.0], [1.0, 2.0, 1.0], [20.0, 3.0, -4.0]] {
        let [x, y, z] = point.map(|c| c * MM);
        let [bx, by, bz] = here.flux_density([x, y, z]).unwrap();
        let moved = there
            .flux_density([centre[0] - y, centre[1] + x, centre[2] + z])
            .unwrap();
        assert!(difference(moved, [-by, bx, bz]) <= 1e-9, "{point:?}");
    }
}

/// Permeability next to none changes next to nothing, in proportion.
#[test]
fn the_effect_begins_in_proportion() {
    let at = [1.0 * MM, 0.0, 4.0 * MM];
    let solid = || disc(20.0 * MM, 6.0 * MM);
    let rigid = settled(vec![body(solid(), [0.0, 0.0, 1.0], [0.0; 3], 1.0)])
        .flux_density(at)
        .unwrap();
    let change = |chi: f64| {
        let scene = settled(vec![body(solid(), [0.0, 0.0, 1.0], [0.0; 3], 1.0 + chi)]);
        difference(scene.flux_density(at).unwrap(), rigid)
    };
    let (small, large) = (change(1e-6), change(1e-3));
    assert!(
        small > 0.0 && (large / small / 1e3 - 1.0).abs() <= 2e-3,
        "{small} {large}"
    );
}

/// B has no sources: its flux through a box that cuts the magnet is none; its steps end where the face is.
#[test]
fn the_flux_through_a_closed_surface_is_none() {
    let scene = settled(vec![body(disc(20.0 * MM, 10.0 * MM), [0.0, 0.0, 1.0], [0.0; 3], 1.2)]);
    // Upright cylinder of radius 6 mm from the middle of the disc to 9 mm above it, by Gauss-like midpoints.
    let steps = 450;
    let mut flux = 0.0;
    for k in 0..steps {
        let share = (k as f64 + 0.5) / f64::from(steps);
        let r = 6.0 * MM * share.sqrt();
        let area = PI * (6.0 * MM).powi(2) / f64::from(steps);
        flux += area * scene.flux_density([r, 0.0, 9.0 * MM]).unwrap()[2];
        flux -= area * scene.flux_density([r, 0.0, 0.0]).unwrap()[2];
        let z = 9.0 * MM * share;
        let area = 2.0 * PI * 6.0 * MM * 9.0 * MM / f64::from(steps);
        flux += area * scene.flux_density([6.0 * MM, 0.0, z]).unwrap()[0];
    }
    assert!(flux.abs() <= 1e-5 * PI * (6.0 * MM).powi(2), "{flux}");
}

/// The pull on a plate is that of the stress in the field at the plate, `B² / 2μ0`, with the image settled too.
#[test]
fn pull_is_the_stress_at_the_plate() {
    let gap = 1.0 * MM;
    let magnet = body(
        disc(20.0 * MM, 5.0 * MM),
        [0.0, 0.0, 1.2],
        [0.0, 0.0, 2.5 * MM + gap],
        1.1,
    );
    let image = body(
        disc(20.0 * MM, 5.0 * MM),
        [0.0, 0.0, 1.2],
        [0.0, 0.0, -2.5 * MM - gap],
        1.1,
    );
    let (pull, error) = load::plate_pull(std::slice::from_ref(&magnet), gap).expect("apart");
    let (rigid, _) =
        load::plate_pull(&[body(disc(20.0 * MM, 5.0 * MM), [0.0, 0.0, 1.2], [0.0; 3], 1.0)], gap).expect("apart");
    assert!(pull < 0.99 * rigid && error <= 1e-3 * pull, "{pull} {rigid} {error}");
    let scene = settled(vec![magnet.clone(), image.clone()]);
    let (steps, reach) = (4000, 400.0 * MM);
    let stress: f64 = (0..steps)
        .map(|k| {
            // Closer together near the rim.
            let t = (f64::from(k) + 0.5) / f64::from(steps);
            let r = reach * t * t * t;
            let b = scene.flux_density([r, 0.0, 0.0]).unwrap()[2];
            b * b / (2.0 * MU_0) * 2.0 * PI * r * reach * 3.0 * t * t / f64::from(steps)
        })
        .sum();
    assert!((pull / stress - 1.0).abs() <= 1e-5, "{pull} {stress}");
    let felt = load::load(&magnet, std::slice::from_ref(&image)).expect("apart");
    assert!((felt.force[2] + pull).abs() <= 1e-9 * pull);
}

/// Each body pulls as it is pulled, and torques balance, by cells at odd places.
#[test]
fn forces_and_torques_balance() {
    let a = turned(
        disc(20.0 * MM, 6.0 * MM),
        [0.4, 0.0, 1.0],
        [0.0; 3],
        [0.3, 0.2, 0.0],
        1.1,
    );
    let block = Solid::Plain(Shape::Block {
        length: 12.0 * MM,
        width: 8.0 * MM,
        thickness: 5.0 * MM,
    });
    let b = body(block, [0.2, 0.5, 1.0], [4.0 * MM, 2.0 * MM, 14.0 * MM], 1.05);
    let (on_a, on_b) = (
        load::load(&a, std::slice::from_ref(&b)).expect("apart"),
        load::load(&b, std::slice::from_ref(&a)).expect("apart"),
    );
    let sum = [0, 1, 2].map(|i| on_a.force[i] + on_b.force[i]);
    let size = difference(on_a.force, [0.0; 3]);
    assert!(difference(sum, [0.0; 3]) <= 1e-4 * size, "{on_a:?} {on_b:?}");
    let arm = b.centre();
    let moved =
        [0, 1, 2].map(|i| arm[(i + 1) % 3] * on_b.force[(i + 2) % 3] - arm[(i + 2) % 3] * on_b.force[(i + 1) % 3]);
    let torque = [0, 1, 2].map(|i| on_a.torque[i] + on_b.torque[i] + moved[i]);
    assert!(difference(torque, [0.0; 3]) <= 1e-4 * size * 20.0 * MM, "{torque:?}");
}

/// A radially polarised arc closed to a ring: far away its field is that of its moment, none along its axis by symmetry.
#[test]
fn radial_arcs_settle_too() {
    let arc = Arc {
        outer_diameter: 20.0 * MM,
        inner_diameter: 12.0 * MM,
        angle: 1.2,
        thickness: 8.0 * MM,
    };
    let magnet = Placed::new(Solid::Arc(arc), Polarisation::Radial(1.0), [0.0; 3], [0.0; 3])
        .expect("valid")
        .with_recoil_permeability(1.1)
        .expect("valid");
    let scene = settled(vec![magnet]);
    // B is continuous through every face along its normal: the curved one, and an end.
    for (place, normal) in [
        ([10.0 * MM, 0.0, 1.0 * MM], [1.0, 0.0, 0.0]),
        (
            [8.0 * MM * 0.6_f64.cos(), 8.0 * MM * 0.6_f64.sin(), 1.0 * MM],
            [-0.6_f64.sin(), 0.6_f64.cos(), 0.0],
        ),
    ] {
        let through = |off: f64| {
            let b = scene
                .flux_density([0, 1, 2].map(|i| place[i] + off * normal[i]))
                .unwrap();
            (0..3).map(|i| b[i] * normal[i]).sum::<f64>()
        };
        let (out, within) = (through(1e-7), through(-1e-7));
        assert!((out - within).abs() <= 5e-4, "{place:?}: {out} {within}");
    }
}

#[test]
fn overlaps_and_odd_permeabilities_are_refused() {
    let a = body(disc(20.0 * MM, 6.0 * MM), [0.0, 0.0, 1.0], [0.0; 3], 1.05);
    let b = body(disc(20.0 * MM, 6.0 * MM), [0.0, 0.0, 1.0], [0.0, 0.0, MM], 1.0);
    assert_eq!(
        Scene::new(vec![a.clone(), b]).settled(),
        Err(SettleError::Overlap { first: 0, second: 1 })
    );
    for odd in [0.99, 100.1, f64::NAN, -1.0] {
        assert!(a.clone().with_recoil_permeability(odd).is_err(), "{odd}");
    }
}
