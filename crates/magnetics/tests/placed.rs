//! Bodies placed anywhere, turned any way and magnetised along any direction.

use std::f64::consts::PI;

use magnetics::arc::Arc;
use magnetics::profile::Profile;
use magnetics::{Assembly, Body, FieldError, Placed, Polarisation, Scene, Shape, Solid};
use materials::MU_0;
use proptest::prelude::*;

const MM: f64 = 1e-3;
const DISC: Shape = Shape::Disc {
    diameter: 10.0 * MM,
    thickness: 10.0 * MM,
};

type V = [f64; 3];

fn length(v: V) -> f64 {
    v.iter().map(|c| c * c).sum::<f64>().sqrt()
}

fn sub(a: V, b: V) -> V {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn solids() -> Vec<(Solid, Polarisation)> {
    let any = Polarisation::Along([0.5, -0.8, 1.1]);
    let along = Polarisation::Along([0.0, 0.0, 1.2]);
    let arc = Arc {
        outer_diameter: 20.0 * MM,
        inner_diameter: 14.0 * MM,
        angle: 1.1,
        thickness: 5.0 * MM,
    };
    vec![
        (Solid::Plain(DISC), any),
        (
            Solid::Plain(Shape::Ring {
                outer_diameter: 12.0 * MM,
                inner_diameter: 6.0 * MM,
                thickness: 4.0 * MM,
            }),
            any,
        ),
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
            along,
        ),
        (
            Solid::Turned(Profile::countersunk(14.0 * MM, 4.5 * MM, 9.0 * MM, 2.2 * MM, 5.0 * MM).expect("valid")),
            along,
        ),
        (
            Solid::Turned(Profile::new(&[[0.0, 0.0], [6.0 * MM, 3.0 * MM], [2.0 * MM, 7.0 * MM]]).expect("valid")),
            along,
        ),
        (Solid::Arc(arc), any),
        (Solid::Arc(arc), Polarisation::Radial(1.2)),
    ]
}

fn scene(solid: &Solid, polarisation: Polarisation, centre: V, rotation: V) -> Scene {
    Scene::new(vec![
        Placed::new(solid.clone(), polarisation, centre, rotation).expect("valid"),
    ])
}

/// Caciagli, Baars, Philipse and Kuipers 2018; computed, two routes (their formulas and direct integration).
#[test]
fn a_disc_magnetised_across() {
    let scene = scene(
        &Solid::Plain(DISC),
        Polarisation::Along([1.0, 0.0, 0.0]),
        [0.0; 3],
        [0.0; 3],
    );
    for (rho, phi, z, expected) in [
        (7.5, 0.4_f64, 3.0, [0.1834705602, 0.0458956610, 0.0731853980]),
        (10.0, 0.4, 10.0, [0.0115591177, 0.0088439610, 0.0316077024]),
        (6.0, 1.0, 0.0, [0.2082387649, 0.2037316208, 0.0]),
    ] {
        let (sin, cos) = phi.sin_cos();
        let [x, y, bz] = scene
            .flux_density([rho * MM * cos, rho * MM * sin, z * MM])
            .expect("off the rim");
        let got = [x * cos + y * sin, y * cos - x * sin, bz];
        assert!(length(sub(got, expected)) <= 1e-10, "{rho} {phi} {z}: {got:?}");
    }
}

/// Bodies whose axes stay along z agree with the closed forms of an assembly.
#[test]
fn upright_bodies_are_those_of_an_assembly() {
    let shapes = solids().into_iter().filter_map(|(solid, _)| {
        if let Solid::Plain(shape) = solid {
            Some(shape)
        } else {
            None
        }
    });
    for shape in shapes {
        let centre = [1.0 * MM, -2.0 * MM, 3.0 * MM];
        let assembly = Assembly::new(vec![Body {
            shape,
            polarisation: 1.3,
            centre,
        }])
        .expect("valid");
        let placed = scene(
            &Solid::Plain(shape),
            Polarisation::Along([0.0, 0.0, 1.3]),
            centre,
            [0.0; 3],
        );
        for point in [
            [0.0, 0.0, 0.0],
            [0.003, 0.004, 0.005],
            [0.002, -0.001, 0.004],
            [0.3, 0.5, 0.7],
        ] {
            let (b, expected) = (placed.flux_density(point), assembly.flux_density(point));
            assert!(length(sub(b.expect("off edges"), expected.expect("off edges"))) <= 1e-15);
            let (h, expected) = (placed.field_strength(point), assembly.field_strength(point));
            assert!(length(sub(h.expect("off edges"), expected.expect("off edges"))) <= 1e-9);
        }
    }
}

/// The middle of a body far away is its dipole; near the change of method nothing jumps.
#[test]
fn far_fields_are_dipoles() {
    for (solid, polarisation) in solids() {
        let placed = Placed::new(solid, polarisation, [0.0; 3], [0.3, 0.4, -0.2]).expect("valid");
        let (ball, radius) = placed.bounding_ball();
        let scene = Scene::new(vec![placed.clone()]);
        let m = placed.moment();
        for direction in [[0.6, 0.0, 0.8], [-0.48, 0.64, 0.6], [0.0, -1.0, 0.0]] {
            let at = |r: f64| {
                scene
                    .flux_density([0, 1, 2].map(|i| ball[i] + r * direction[i]))
                    .expect("far")
            };
            let r = 2e6 * radius;
            let along = m[0] * direction[0] + m[1] * direction[1] + m[2] * direction[2];
            let dipole = [0, 1, 2].map(|i| MU_0 / (4.0 * PI * r.powi(3)) * (3.0 * along * direction[i] - m[i]));
            assert!(
                length(sub(at(r), dipole)) <= 2e-6 * length(dipole),
                "{:?}",
                placed.solid()
            );
            for reach in [6.0, 8.0] {
                let (near, far) = (at(reach * radius * (1.0 - 1e-12)), at(reach * radius * (1.0 + 1e-12)));
                assert!(
                    length(sub(near, far)) <= 3e-10 * length(near),
                    "{:?} {reach}: {near:?} {far:?}",
                    placed.solid()
                );
            }
        }
    }
}

/// Fields without divergence and, outside currents, without curl, by differences of fourth order.
#[test]
fn divergence_of_b_and_curl_of_h_vanish() {
    for (solid, polarisation) in solids() {
        let scene = scene(&solid, polarisation, [0.0; 3], [0.0; 3]);
        // Outside, in the hollow of a ring or arc, inside.
        for point in [
            [4.0, 5.0, 3.5],
            [1.0, 0.7, 0.4],
            [8.2, 0.6, 0.5],
            [-9.0, 1.0, -2.0],
            [0.4, 0.5, 4.6],
        ] {
            let point = point.map(|c: f64| c * MM);
            let step = 2e-5;
            let slope = |axis: usize, field: &dyn Fn(V) -> V| {
                let at = |k: f64| {
                    let mut p = point;
                    p[axis] += k * step;
                    field(p)
                };
                let (a, b, c, d) = (at(-2.0), at(-1.0), at(1.0), at(2.0));
                [0, 1, 2].map(|i| (a[i] - 8.0 * b[i] + 8.0 * c[i] - d[i]) / (12.0 * step))
            };
            let b = |p| scene.flux_density(p).expect("off edges");
            let h = |p| scene.field_strength(p).expect("off edges").map(|h| h * MU_0);
            let (db, dh) = ([0, 1, 2].map(|i| slope(i, &b)), [0, 1, 2].map(|i| slope(i, &h)));
            let size = db.iter().map(|&row| length(row)).fold(1.0, f64::max);
            assert!(
                (db[0][0] + db[1][1] + db[2][2]).abs() <= 3e-5 * size,
                "{solid:?} {point:?}: {db:?}"
            );
            let curl = [dh[1][2] - dh[2][1], dh[2][0] - dh[0][2], dh[0][1] - dh[1][0]];
            assert!(length(curl) <= 3e-5 * size, "{solid:?} {point:?}: {curl:?}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Turning and moving body and point together turns the field.
    #[test]
    fn the_field_turns_with_the_body(
        rotation in prop::array::uniform3(-3.0..3.0_f64),
        centre in prop::array::uniform3(-0.02..0.02_f64),
        point in prop::array::uniform3(-0.012..0.012_f64),
        which in 0..9_usize,
    ) {
        let (solid, polarisation) = solids().swap_remove(which);
        let still = scene(&solid, polarisation, [0.0; 3], [0.0; 3]);
        let moved = scene(&solid, polarisation, centre, rotation);
        // The turn of a point, by the same vector on a point dipole: Rodrigues.
        let angle = length(rotation);
        let axis = rotation.map(|c| c / angle);
        let turn = |v: V| {
            let cross = [axis[1] * v[2] - axis[2] * v[1], axis[2] * v[0] - axis[0] * v[2], axis[0] * v[1] - axis[1] * v[0]];
            let along = axis[0] * v[0] + axis[1] * v[1] + axis[2] * v[2];
            [0, 1, 2].map(|i| v[i] * angle.cos() + cross[i] * angle.sin() + axis[i] * along * (1.0 - angle.cos()))
        };
        let there = turn(point);
        let there = [0, 1, 2].map(|i| there[i] + centre[i]);
        if let (Ok(b), Ok(other)) = (still.flux_density(point), moved.flux_density(there)) {
            prop_assert!(length(sub(turn(b), other)) <= 1e-9 * length(b).max(0.01), "{solid:?} {b:?} {other:?}");
        }
    }
}

/// A sphere carries 2/3 of its polarisation inside, a cube at its centre too.
#[test]
fn sphere_and_cube_inside() {
    let j = [0.3, -0.4, 1.2];
    let cube = Shape::Block {
        length: 0.01,
        width: 0.01,
        thickness: 0.01,
    };
    for (shape, point) in [
        (Shape::Sphere { diameter: 0.008 }, [0.001, 0.002, -0.003]),
        (cube, [0.0; 3]),
    ] {
        let b = scene(&Solid::Plain(shape), Polarisation::Along(j), [0.0; 3], [0.0; 3])
            .flux_density(point)
            .expect("inside");
        assert!(length(sub(b, j.map(|j| 2.0 / 3.0 * j))) <= 1e-14, "{b:?}");
    }
}

#[test]
fn what_cannot_be_is_refused() {
    let frustum = Solid::Turned(Profile::frustum(0.01, 0.005, 0.004).expect("valid"));
    let new = |solid: &Solid, p, c, r| Placed::new(solid.clone(), p, c, r);
    let along = Polarisation::Along([0.0, 0.0, 1.0]);
    assert!(new(&frustum, Polarisation::Along([0.1, 0.0, 1.0]), [0.0; 3], [0.0; 3]).is_err());
    assert!(new(&frustum, Polarisation::Radial(1.0), [0.0; 3], [0.0; 3]).is_err());
    assert!(new(&frustum, along, [f64::NAN, 0.0, 0.0], [0.0; 3]).is_err());
    assert!(new(&frustum, along, [0.0; 3], [f64::INFINITY, 0.0, 0.0]).is_err());
    assert!(new(&frustum, Polarisation::Along([0.0, 0.0, f64::NAN]), [0.0; 3], [0.0; 3]).is_err());
    for (solid, polarisation) in solids() {
        let scene = scene(&solid, polarisation, [0.0; 3], [0.0; 3]);
        assert!(scene.flux_density([f64::NAN, 0.0, 0.0]).is_err());
    }
    let disc = scene(
        &Solid::Plain(DISC),
        Polarisation::Along([1.0, 0.0, 0.0]),
        [0.0; 3],
        [0.0; 3],
    );
    assert!(disc.flux_density([0.005, 0.0, 0.005]).is_err());
}

/// Many points together are the same points one by one, also in special places.
#[test]
fn points_together_are_points_one_by_one() {
    let mut points: Vec<V> = (0..3000)
        .map(|i| {
            let t = f64::from(i);
            [
                (t * 0.618).fract() - 0.5,
                (t * 0.414).fract() - 0.5,
                (t * 0.732).fract() - 0.5,
            ]
            .map(|c| c * 0.04)
        })
        .collect();
    points.extend((0..50).map(|i| [0.0, 0.0, 0.001 * f64::from(i)]));
    points.extend((0..50).map(|i| [0.006, 0.0, 0.0031 * f64::from(i)]));
    points.extend((0..50).map(|i| [0.006, 0.001 * f64::from(i), 0.002 + 1e-9]));
    points.extend((0..50).map(|i| [0.003, 0.0007 * f64::from(i), 0.002]));
    points.extend((0..50).map(|i| [0.1 * f64::from(i), 0.02, 0.03]));
    for (solid, polarisation) in solids() {
        for polarisation in [polarisation, Polarisation::Along([0.0, 0.0, -1.2])] {
            let Ok(body) = Placed::new(solid.clone(), polarisation, [0.0; 3], [0.0; 3]) else {
                continue;
            };
            let scene = Scene::new(vec![body]);
            let good: Vec<V> = points
                .iter()
                .copied()
                .filter(|&p| scene.flux_density(p).is_ok())
                .collect();
            for (point, b) in good.iter().zip(scene.flux_densities(&good).expect("all good")) {
                let one = scene.flux_density(*point).expect("good");
                assert!(
                    length(sub(b, one)) <= 2e-13 * length(one).max(1e-3),
                    "{solid:?} {point:?}: {b:?} {one:?}"
                );
            }
        }
    }
    let disc = scene(
        &Solid::Plain(DISC),
        Polarisation::Along([0.0, 0.0, 1.0]),
        [0.0; 3],
        [0.0; 3],
    );
    let mut points = vec![[0.01, 0.0, 0.0]; 5000];
    points[4321] = [0.005, 0.0, 0.005];
    assert!(matches!(disc.flux_densities(&points), Err((4321, _))));
}

/// Gradients against differences of fourth order; they are symmetric and without trace.
#[test]
fn gradients_are_the_slopes_of_the_field() {
    for (solid, polarisation) in solids() {
        let scene = scene(&solid, polarisation, [1.0 * MM, 0.0, 0.0], [0.3, -0.5, 0.2]);
        let points = [
            [4.0, 5.0, 3.5],
            [1.0, 0.7, 0.4],
            [8.2, 0.6, 0.5],
            [-9.0, 1.0, -2.0],
            [0.4, 0.5, 9.6],
            [1.0, 0.0, 0.0],
            [90.0, 40.0, -30.0],
        ];
        for point in points.map(|p| p.map(|c: f64| c * MM)) {
            // The tip of a cone has none.
            let tip = matches!(&solid, Solid::Turned(profile) if profile.corners().contains(&[0.0, 0.0]));
            if tip && point == [1.0 * MM, 0.0, 0.0] {
                assert!(matches!(
                    scene.gradient(point),
                    Err(FieldError::OnSurface { body: 0, .. })
                ));
                continue;
            }
            let got = scene.gradient(point).expect("off surfaces");
            let step = 2e-5 * (length(point) / 0.01).max(1.0);
            let size = got.iter().map(|row| length(*row)).fold(1e-3, f64::max);
            for j in 0..3 {
                let at = |k: f64| {
                    let mut p = point;
                    p[j] += k * step;
                    scene.flux_density(p).expect("off edges")
                };
                let (a, b, c, d) = (at(-2.0), at(-1.0), at(1.0), at(2.0));
                for i in 0..3 {
                    let slope = (a[i] - 8.0 * b[i] + 8.0 * c[i] - d[i]) / (12.0 * step);
                    assert!(
                        (slope - got[i][j]).abs() <= 3e-6 * size,
                        "{solid:?} {point:?} {i} {j}: {slope} {got:?}"
                    );
                    assert!(
                        (got[i][j] - got[j][i]).abs() <= 1e-8 * size,
                        "{solid:?} {point:?}: {got:?}"
                    );
                }
            }
            assert!(
                (got[0][0] + got[1][1] + got[2][2]).abs() <= 1e-8 * size,
                "{solid:?} {point:?}: {got:?}"
            );
        }
    }
}
