//! Forces and torques between bodies at any place and turn.

use std::f64::consts::PI;

use magnetics::arc::Arc;
use magnetics::force;
use magnetics::load::{load, plate_pull};
use magnetics::overlap::overlapping;
use magnetics::profile::Profile;
use magnetics::{Body, Load, Placed, Polarisation, Scene, Shape, Solid};
use materials::MU_0;

const MM: f64 = 1e-3;

type V = [f64; 3];

fn length(v: V) -> f64 {
    v.iter().map(|c| c * c).sum::<f64>().sqrt()
}

fn cross(a: V, b: V) -> V {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn sum(vectors: &[V]) -> V {
    [0, 1, 2].map(|i| vectors.iter().map(|v| v[i]).sum())
}

fn placed(solid: Solid, polarisation: Polarisation, centre_mm: V, rotation: V) -> Placed {
    Placed::new(solid, polarisation, centre_mm.map(|c| c * MM), rotation).expect("valid")
}

fn disc(diameter: f64, thickness: f64) -> Shape {
    Shape::Disc {
        diameter: diameter * MM,
        thickness: thickness * MM,
    }
}

/// The same disc as a turned profile, for which no closed form of the force exists.
fn turned_disc(diameter: f64, thickness: f64) -> Solid {
    let (r, h) = (0.5 * diameter * MM, 0.5 * thickness * MM);
    Solid::Turned(Profile::new(&[[0.0, -h], [r, -h], [r, h], [0.0, h]]).expect("valid"))
}

const UP: Polarisation = Polarisation::Along([0.0, 0.0, 1.0]);

/// Computed, two routes (Bessel integrals and elliptic integrals): attraction of coaxial discs at 1 T.
#[test]
fn quadrature_gives_the_known_forces_between_discs() {
    for ((d1, l1), (d2, l2), gap, expected) in [
        ((10.0, 5.0), (10.0, 5.0), 1.0, 11.242024755),
        ((8.0, 6.0), (16.0, 3.0), 2.0, 3.937288260),
        ((5.0, 2.0), (20.0, 10.0), 3.0, 0.954217014),
    ] {
        let lower = placed(turned_disc(d1, l1), UP, [1.0, 2.0, 3.0], [0.0; 3]);
        let upper = placed(
            turned_disc(d2, l2),
            UP,
            [1.0, 2.0, 3.0 + 0.5 * (l1 + l2) + gap],
            [0.0; 3],
        );
        let got = load(&upper, &[lower]).expect("apart");
        assert!((got.force[2] + expected).abs() <= 2e-9 * expected, "{got:?} {expected}");
        assert!(got.error <= 1e-8 * expected && length(got.torque) <= 1e-10, "{got:?}");
    }
}

/// Closed forms serve in any frame: turned together, the force turns with the pair.
#[test]
fn closed_forms_serve_turned_pairs() {
    // A half turn about (1, 0, 1) / sqrt 2 takes z to x.
    let half_turn = [PI / 2.0_f64.sqrt(), 0.0, PI / 2.0_f64.sqrt()];
    let lower = placed(Solid::Plain(disc(10.0, 5.0)), UP, [0.0; 3], half_turn);
    let upper = placed(Solid::Plain(disc(10.0, 5.0)), UP, [6.0, 0.0, 0.0], half_turn);
    let got = load(&upper, &[lower]).expect("apart");
    assert!(length(sum(&[got.force, [11.242024755, 0.0, 0.0]])) <= 1e-8, "{got:?}");
    // Akoun and Yonnet's blocks, computed, two routes; the moving one given by its sides in another order and magnetised along x.
    let block = |l: f64, w: f64, t: f64| {
        Solid::Plain(Shape::Block {
            length: l * MM,
            width: w * MM,
            thickness: t * MM,
        })
    };
    let fixed = placed(block(20.0, 12.0, 6.0), UP, [0.0; 3], [0.0; 3]);
    let along_x = Polarisation::Along([1.0, 0.0, 0.0]);
    // Axes x, y, z of the body go to z, y, -x.
    let moving = placed(
        block(6.0, 20.0, 12.0),
        along_x,
        [-4.0, -4.0, 8.0],
        [0.0, -0.5 * PI, 0.0],
    );
    let got = load(&moving, std::slice::from_ref(&fixed)).expect("apart");
    assert!(
        length(sum(&[got.force, [-4.0744863, -4.0744863, 12.2828282]])) <= 2e-7,
        "{got:?}"
    );
    // A polarisation with a trace of another component goes by quadrature.
    let near = Polarisation::Along([1.0, 1e-13, 0.0]);
    let other = placed(block(6.0, 20.0, 12.0), near, [-4.0, -4.0, 8.0], [0.0, -0.5 * PI, 0.0]);
    let summed = load(&other, &[fixed]).expect("apart");
    assert!(
        length(sum(&[got.force, summed.force.map(|f| -f)])) <= 1e-8 * length(got.force),
        "{got:?} {summed:?}"
    );
}

fn bodies() -> Vec<(Solid, Polarisation)> {
    let any = Polarisation::Along([0.5, -0.8, 1.1]);
    let arc = Arc {
        outer_diameter: 20.0 * MM,
        inner_diameter: 14.0 * MM,
        angle: 1.1,
        thickness: 5.0 * MM,
    };
    vec![
        (Solid::Plain(disc(10.0, 5.0)), any),
        (
            Solid::Plain(Shape::Block {
                length: 12.0 * MM,
                width: 6.0 * MM,
                thickness: 4.0 * MM,
            }),
            any,
        ),
        (Solid::Plain(Shape::Sphere { diameter: 8.0 * MM }), any),
        (
            Solid::Turned(Profile::frustum(12.0 * MM, 6.0 * MM, 5.0 * MM).expect("valid")),
            UP,
        ),
        (Solid::Arc(arc), any),
        (Solid::Arc(arc), Polarisation::Radial(1.2)),
    ]
}

/// Newton's third law for forces and for torques, over all pairs of forms.
#[test]
fn action_is_reaction() {
    for (i, (first, p)) in bodies().into_iter().enumerate() {
        for (second, q) in bodies().into_iter().skip(i) {
            let a = placed(first.clone(), p, [0.0; 3], [0.3, 0.2, -0.4]);
            let b = placed(second.clone(), q, [3.0, -2.0, 22.0], [-1.0, 0.4, 0.9]);
            let (on_a, on_b) = (
                load(&a, std::slice::from_ref(&b)).expect("apart"),
                load(&b, std::slice::from_ref(&a)).expect("apart"),
            );
            let size = length(on_a.force);
            assert!(
                length(sum(&[on_a.force, on_b.force])) <= 1e-8 * size,
                "{first:?} {second:?}: {on_a:?} {on_b:?}"
            );
            let arm = sum(&[b.centre(), a.centre().map(|c| -c)]);
            let balance = sum(&[on_a.torque, on_b.torque, cross(arm, on_b.force)]);
            assert!(
                length(balance) <= 1e-8 * size * 0.02,
                "{first:?} {second:?}: {balance:?}"
            );
            assert!(on_a.error <= 2e-7 * size, "{first:?} {second:?}: {on_a:?}");
        }
    }
}

/// A sphere is a dipole: its torque is `m x B` at its centre in any field, its force the slope of `m . B`.
#[test]
fn a_sphere_feels_the_field_at_its_centre() {
    let source = placed(
        Solid::Plain(disc(10.0, 5.0)),
        Polarisation::Along([0.7, 0.0, 1.0]),
        [0.0; 3],
        [0.0; 3],
    );
    let ball = placed(
        Solid::Plain(Shape::Sphere { diameter: 6.0 * MM }),
        Polarisation::Along([0.4, 1.0, -0.3]),
        [4.0, 2.0, 9.0],
        [0.0; 3],
    );
    let got = load(&ball, std::slice::from_ref(&source)).expect("apart");
    let scene = Scene::new(vec![source]);
    let m = ball.moment();
    let b = scene.flux_density(ball.centre()).expect("outside");
    assert!(
        length(sum(&[got.torque, cross(m, b).map(|t| -t)])) <= 1e-8 * length(got.torque),
        "{got:?}"
    );
    let step = 1e-5;
    let energy = |axis: usize, k: f64| {
        let mut p = ball.centre();
        p[axis] += k * step;
        let b = scene.flux_density(p).expect("outside");
        m[0] * b[0] + m[1] * b[1] + m[2] * b[2]
    };
    let slope = [0, 1, 2]
        .map(|i| (energy(i, -2.0) - 8.0 * energy(i, -1.0) + 8.0 * energy(i, 1.0) - energy(i, 2.0)) / (12.0 * step));
    assert!(
        length(sum(&[got.force, slope.map(|f| -f)])) <= 1e-8 * length(slope),
        "{got:?} {slope:?}"
    );
}

/// The image of a tilted dipole: `3 μ0 m² (1 + cos²) / (64 π d⁴)`, textbook, from memory.
#[test]
fn plate_pull_at_any_tilt() {
    for tilt in [0.0, 0.6, 0.5 * PI, 2.5] {
        let ball = placed(
            Solid::Plain(Shape::Sphere { diameter: 6.0 * MM }),
            UP,
            [0.0, 0.0, 1.0],
            [tilt, 0.0, 0.0],
        );
        let m = length(ball.moment());
        let (pull, _) = plate_pull(&[ball], 1.0 * MM).expect("valid");
        let expected = 3.0 * MU_0 * m * m * (1.0 + tilt.cos().powi(2)) / (64.0 * PI * 0.004_f64.powi(4));
        assert!((pull / expected - 1.0).abs() <= 1e-12, "{tilt}: {pull} {expected}");
    }
    // Upright bodies as by the closed forms, the turned profile by quadrature (computed, two routes).
    for (solid, tolerance) in [(Solid::Plain(disc(10.0, 5.0)), 1e-8), (turned_disc(10.0, 5.0), 1e-8)] {
        let (pull, error) = plate_pull(&[placed(solid, UP, [0.0; 3], [0.0; 3])], 1.0 * MM).expect("valid");
        let body = Body {
            shape: disc(10.0, 5.0),
            polarisation: 1.0,
            centre: [0.0; 3],
        };
        let expected = force::plate_pull(&[body], 1.0 * MM).expect("valid");
        assert!(
            (pull - expected).abs() <= tolerance * expected && error <= 1e-7 * expected,
            "{pull} {expected} {error}"
        );
    }
    // A frustum pulls the same hanging upside down over a plate as the plate under its other face.
    let frustum = |bottom, top| Solid::Turned(Profile::frustum(bottom, top, 0.005).expect("valid"));
    let pull = |solid, rotation| {
        plate_pull(&[placed(solid, UP, [0.0; 3], rotation)], 5e-4)
            .expect("valid")
            .0
    };
    let (one, other) = (
        pull(frustum(0.012, 0.006), [0.0; 3]),
        pull(frustum(0.006, 0.012), [PI, 0.0, 0.0]),
    );
    assert!((one / other - 1.0).abs() <= 1e-8, "{one} {other}");
    assert!(plate_pull(&[], 1e-3).is_err());
}

/// At contact the charge of a rim sits on a field that grows without limit, but its force does not.
#[test]
fn touching_bodies_have_a_force() {
    let lower = placed(turned_disc(10.0, 5.0), UP, [0.0; 3], [0.0; 3]);
    let upper = placed(turned_disc(10.0, 5.0), UP, [0.0, 0.0, 5.0], [0.0; 3]);
    let Load { force, error, .. } = load(&upper, &[lower]).expect("touching is not overlapping");
    assert!((force[2] + 19.658891).abs() <= error.max(1e-6), "{force:?} {error}");
    assert!(error <= 1e-4, "{error}");
}

#[test]
fn overlaps_are_found_and_touching_is_none() {
    let at = |solid: &Solid, centre: V, rotation: V| placed(solid.clone(), UP, centre, rotation);
    let block = Solid::Plain(Shape::Block {
        length: 20.0 * MM,
        width: 4.0 * MM,
        thickness: 4.0 * MM,
    });
    let ring = Solid::Plain(Shape::Ring {
        outer_diameter: 20.0 * MM,
        inner_diameter: 12.0 * MM,
        thickness: 5.0 * MM,
    });
    let plug = Solid::Plain(disc(12.0, 5.0));
    for (a, b, centre, rotation, expected) in [
        (&block, &block, [0.0; 3], [0.0, 0.0, 0.5 * PI], true),
        (&block, &block, [0.0, 0.0, 4.0], [0.0, 0.0, 0.5 * PI], false),
        (&block, &block, [0.0, 0.0, 3.999], [0.0, 0.0, 0.5 * PI], true),
        (&ring, &plug, [0.0; 3], [0.0; 3], false),
        (&ring, &plug, [0.01, 0.0, 0.0], [0.0; 3], true),
        (&ring, &block, [0.0; 3], [0.0; 3], true),
        (&plug, &plug, [0.0; 3], [0.0; 3], true),
        (&plug, &plug, [0.0, 0.0, 5.0], [0.0; 3], false),
    ] {
        let (a, b) = (at(a, [0.0; 3], [0.0; 3]), at(b, centre, rotation));
        assert_eq!(a.overlaps(&b), expected, "{centre:?} {rotation:?}");
        assert_eq!(load(&a, std::slice::from_ref(&b)).is_err(), expected);
        assert_eq!(overlapping(&[a, b]).is_empty(), !expected);
    }
}

/// Blocks that touch side by side or one behind the other pull as those a nanometre apart do, wherever they stand: rounding of their places may put touching faces a hair past each other.
#[test]
fn blocks_that_touch_pull_alike_wherever_they_stand() {
    let cube = Shape::Block {
        length: 10.0 * MM,
        width: 10.0 * MM,
        thickness: 10.0 * MM,
    };
    let one = |centre: V, j: f64| placed(Solid::Plain(cube), Polarisation::Along([0.0, 0.0, j]), centre, [0.0; 3]);
    for axis in 0..3 {
        for side in [-1.0, 1.0] {
            for start in [-15.0, -5.0, 0.0, 0.1, 0.3, 5.0, 7.7] {
                for j in [-1.2, 1.2] {
                    let at = |place: f64| {
                        let mut centre = [0.0; 3];
                        centre[axis] = place;
                        centre
                    };
                    let other = one(at(start), 1.2);
                    let felt = |apart: f64| {
                        load(&one(at(start + side * (10.0 + apart)), j), std::slice::from_ref(&other)).unwrap()
                    };
                    let [touching, near] = [felt(0.0), felt(1e-6)].map(|load| load.force[axis]);
                    assert!(
                        (touching / near - 1.0).abs() < 1e-5,
                        "along {axis} on side {side} of {start} mm: {touching} N for {near} N"
                    );
                }
            }
        }
    }
}
