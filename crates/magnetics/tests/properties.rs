//! What holds for the field and the forces of every body.

use magnetics::arc::Arc;
use magnetics::profile::Profile;
use magnetics::stream::Stream;
use magnetics::{Element, Placed, Polarisation, Scene, Shape, Solid, load};
use materials::MU_0;
use proptest::prelude::*;

const MM: f64 = 1e-3;

type V = [f64; 3];

fn length(v: V) -> f64 {
    v.iter().map(|c| c * c).sum::<f64>().sqrt()
}

fn sub(a: V, b: V) -> V {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn add(a: V, b: V) -> V {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

/// Any body of about a centimetre.
fn solid() -> impl Strategy<Value = (Solid, Polarisation)> {
    let size = || 2.0..12.0_f64;
    let any = || prop::array::uniform3(-1.3..1.3_f64).prop_map(Polarisation::Along);
    let along = || (-1.3..1.3_f64).prop_map(|j| Polarisation::Along([0.0, 0.0, j]));
    let disc = (size(), size()).prop_map(|(d, t)| {
        Solid::Plain(Shape::Disc {
            diameter: d * MM,
            thickness: t * MM,
        })
    });
    let ring = (size(), 0.1..0.9, size()).prop_map(|(d, hole, t)| {
        Solid::Plain(Shape::Ring {
            outer_diameter: d * MM,
            inner_diameter: hole * d * MM,
            thickness: t * MM,
        })
    });
    let block = (size(), size(), size()).prop_map(|(l, w, t)| {
        Solid::Plain(Shape::Block {
            length: l * MM,
            width: w * MM,
            thickness: t * MM,
        })
    });
    let ball = size().prop_map(|d| Solid::Plain(Shape::Sphere { diameter: d * MM }));
    let frustum = (size(), 0.0..12.0_f64, size())
        .prop_map(|(b, t, h)| Solid::Turned(Profile::frustum(b * MM, t * MM, h * MM).expect("valid")));
    let sunk = (0.1..0.5, 0.55..0.95, 0.1..1.0, 6.0..12.0_f64, size()).prop_map(|(hole, sink, depth, d, t)| {
        let profile = Profile::countersunk(d * MM, hole * d * MM, sink * d * MM, depth * t * MM, t * MM);
        Solid::Turned(profile.expect("valid"))
    });
    let arc = (size(), 0.2..0.9, 0.2..6.2, size()).prop_map(|(d, hole, angle, t)| {
        Solid::Arc(Arc {
            outer_diameter: d * MM,
            inner_diameter: hole * d * MM,
            angle,
            thickness: t * MM,
        })
    });
    prop_oneof![
        (disc, any()),
        (ring, any()),
        (block, any()),
        (ball, any()),
        (frustum, along()),
        (sunk, along()),
        (arc.clone(), any()),
        (arc, (-1.3..1.3_f64).prop_map(Polarisation::Radial)),
    ]
}

fn body() -> impl Strategy<Value = Placed> {
    let turn = prop::array::uniform3(-2.0..2.0_f64);
    let centre = prop::array::uniform3(-3.0..3.0_f64);
    (solid(), centre, turn).prop_map(|((solid, polarisation), centre, turn)| {
        Placed::new(solid, polarisation, centre.map(|c| c * MM), turn).expect("valid")
    })
}

fn point() -> impl Strategy<Value = V> {
    prop::array::uniform3(-10.0..10.0_f64).prop_map(|p| p.map(|c| c * MM))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Divergence of B and curl of H are zero: the gradient has no trace and is symmetric.
    #[test]
    fn no_divergence_and_no_curl(body in body(), point in point()) {
        let scene = Scene::new(vec![body]);
        if let Ok(g) = scene.gradient(point) {
            // Beside its slopes, the field over a centimetre.
            let size = g.iter().map(|row| length(*row)).fold(10.0, f64::max);
            prop_assert!((g[0][0] + g[1][1] + g[2][2]).abs() <= 1e-8 * size, "{g:?}");
            for (i, j) in [(0, 1), (1, 2), (2, 0)] {
                prop_assert!((g[i][j] - g[j][i]).abs() <= 1e-8 * size, "{g:?}");
            }
        }
    }

    /// The gradient is the slope of the field, by differences of fourth order.
    #[test]
    fn the_gradient_is_the_slope(body in body(), point in point(), axis in 0..3_usize) {
        let scene = Scene::new(vec![body]);
        let step = 2e-6;
        let at = |k: f64| {
            let mut p = point;
            p[axis] += k * step;
            scene.flux_density(p)
        };
        if let (Ok(a), Ok(b), Ok(c), Ok(d), Ok(g)) = (at(-2.0), at(-1.0), at(1.0), at(2.0), scene.gradient(point)) {
            let slope = [0, 1, 2].map(|i| (a[i] - 8.0 * b[i] + 8.0 * c[i] - d[i]) / (12.0 * step));
            let column = [0, 1, 2].map(|i| g[i][axis]);
            // Differences across a surface, or beside an edge, say nothing.
            let rough = length(sub(sub(d, c), sub(c, b))) + length(sub(sub(c, b), sub(b, a)));
            if rough <= 1e-6 {
                prop_assert!(length(sub(slope, column)) <= 1e-4 * length(column).max(1.0), "{slope:?} {column:?}");
            }
        }
    }

    /// B less μ0 H is J inside and nothing outside.
    #[test]
    fn b_is_h_and_polarisation(body in body(), point in point()) {
        let scene = Scene::new(vec![body.clone()]);
        if let (Ok(b), Ok(h)) = (scene.flux_density(point), scene.field_strength(point)) {
            let rest = sub(b, h.map(|h| MU_0 * h));
            let j = match body.polarisation() {
                Polarisation::Along(j) => length(j),
                Polarisation::Radial(j) => j.abs(),
            };
            let expected = if body.contains(point) { j } else { 0.0 };
            prop_assert!((length(rest) - expected).abs() <= 1e-14, "{rest:?} {expected}");
        }
    }

    /// The field of two is the sum of their fields.
    #[test]
    fn fields_add_up(one in body(), other in body(), point in point()) {
        let b = |bodies: Vec<Placed>| Scene::new(bodies).flux_density(point);
        if let (Ok(a), Ok(c), Ok(both)) = (b(vec![one.clone()]), b(vec![other.clone()]), b(vec![one, other])) {
            prop_assert!(length(sub(add(a, c), both)) <= 1e-15);
        }
    }

    /// Turned over along its axis a body has the mirrored field: B(-p) = B(p) for a centred body that is alike both ways up.
    #[test]
    fn a_body_alike_both_ways_has_an_even_field(size in 2.0..12.0_f64, j in prop::array::uniform3(-1.0..1.0_f64), point in point()) {
        for shape in [
            Shape::Disc { diameter: size * MM, thickness: 5.0 * MM },
            Shape::Block { length: size * MM, width: 4.0 * MM, thickness: 7.0 * MM },
            Shape::Sphere { diameter: size * MM },
        ] {
            let scene = Scene::new(vec![Placed::new(Solid::Plain(shape), Polarisation::Along(j), [0.0; 3], [0.0; 3]).expect("valid")]);
            if let (Ok(here), Ok(there)) = (scene.flux_density(point), scene.flux_density(point.map(|c| -c))) {
                prop_assert!(length(sub(here, there)) <= 1e-14, "{shape:?}");
            }
        }
    }

    /// The field a thousand bounding radii away is the dipole's.
    #[test]
    fn far_away_a_body_is_a_dipole(body in body(), way in prop::array::uniform3(-1.0..1.0_f64)) {
        let (middle, radius) = body.bounding_ball();
        let m = body.moment();
        prop_assume!(length(way) > 0.1 && length(m) > 0.01 * radius.powi(3) / MU_0);
        let unit = way.map(|c| c / length(way));
        let r = 1e6 * radius;
        let got = Scene::new(vec![body]).flux_density(add(middle, unit.map(|c| r * c))).expect("far off");
        let along = unit[0] * m[0] + unit[1] * m[1] + unit[2] * m[2];
        let dipole = [0, 1, 2].map(|i| MU_0 / (4.0 * std::f64::consts::PI * r.powi(3)) * (3.0 * along * unit[i] - m[i]));
        prop_assert!(length(sub(got, dipole)) <= 1e-3 * length(dipole), "{got:?} {dipole:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    /// What one does to the other, the other does to it; and what both feel together has no torque left.
    #[test]
    fn action_and_reaction(one in body(), other in body(), lift in 13.0..20.0_f64) {
        let other = other.moved([0.0, 0.0, lift * MM]).expect("in range");
        let arc = |body: &Placed| matches!(body.solid(), Solid::Arc(_));
        prop_assume!(!one.overlaps(&other) && !arc(&one) && !arc(&other));
        let (up, down) = (load(&one, std::slice::from_ref(&other)), load(&other, std::slice::from_ref(&one)));
        let (up, down) = (up.expect("apart"), down.expect("apart"));
        let room = 2.0 * (up.error + down.error) + 1e-9 * length(up.force) + 1e-12;
        prop_assert!(length(add(up.force, down.force)) <= room, "{up:?} {down:?}");
        let arm = sub(other.centre(), one.centre());
        let f = down.force;
        let cross = [arm[1] * f[2] - arm[2] * f[1], arm[2] * f[0] - arm[0] * f[2], arm[0] * f[1] - arm[1] * f[0]];
        let torque = add(add(up.torque, down.torque), cross);
        prop_assert!(length(torque) <= 0.05 * room + 1e-12, "{torque:?} {up:?} {down:?}");
    }
}

/// A round element that covers rim and jump, against the flux through its circle in closed form.
#[test]
fn the_mean_over_an_element_that_straddles_edges() {
    let along = Polarisation::Along([0.0, 0.0, 1.2]);
    let disc = Solid::Plain(Shape::Disc {
        diameter: 10.0 * MM,
        thickness: 5.0 * MM,
    });
    let ring = Solid::Plain(Shape::Ring {
        outer_diameter: 10.0 * MM,
        inner_diameter: 4.0 * MM,
        thickness: 5.0 * MM,
    });
    let frustum = Solid::Turned(Profile::frustum(12.0 * MM, 8.0 * MM, 5.0 * MM).expect("valid"));
    let over = [(12.0, 2.5), (10.5, 2.5001), (12.0, 1.0), (3.0, 2.5), (11.0, 4.0)];
    for (solid, elements) in [(disc, &over[..]), (ring, &over[..]), (frustum, &over[3..])] {
        let scene = Scene::new(vec![
            Placed::new(solid.clone(), along, [0.0; 3], [0.0; 3]).expect("valid"),
        ]);
        let stream = Stream::new(&scene).expect("turned");
        for &(diameter, height) in elements {
            let (radius, height) = (0.5 * diameter * MM, height * MM);
            let element = Element::Disc { diameter: 2.0 * radius };
            let got = scene.mean_flux_density([0.0, 0.0, height], element).expect("in range");
            let expected = stream.flux(radius, height) / (std::f64::consts::PI * radius * radius);
            assert!(
                (got[2] - expected).abs() <= 1e-6 && got[0].abs() <= 1e-6,
                "{solid:?} {diameter} {height}: {got:?} {expected}"
            );
        }
    }
    // A square over the corner of a block, against its four quarters.
    let block = Solid::Plain(Shape::Block {
        length: 20.0 * MM,
        width: 10.0 * MM,
        thickness: 5.0 * MM,
    });
    let scene = Scene::new(vec![
        Placed::new(block, Polarisation::Along([0.3, 0.0, 1.2]), [0.0; 3], [0.0; 3]).expect("valid"),
    ]);
    let mean = |x: f64, y: f64, side: f64| {
        let element = Element::Square { side: side * MM };
        scene
            .mean_flux_density([x * MM, y * MM, 2.5 * MM], element)
            .expect("in range")
    };
    let whole = mean(10.1, 4.8, 1.0);
    let quarters = [(9.85, 4.55), (10.35, 4.55), (9.85, 5.05), (10.35, 5.05)].map(|(x, y)| mean(x, y, 0.5));
    for i in 0..3 {
        let sum: f64 = quarters.iter().map(|b| 0.25 * b[i]).sum();
        assert!((whole[i] - sum).abs() <= 1e-6, "{whole:?} {quarters:?}");
    }
}
