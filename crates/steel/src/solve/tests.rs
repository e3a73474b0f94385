use std::f64::consts::PI;
use std::sync::Arc;

use magnetics::{Body, Shape};
use materials::MU_0;
use proptest::prelude::*;

use super::space::RULE;
use super::*;
use crate::curve::BhCurve;
use crate::drawing::{Drawing, DrawingError, Material, Part};
use crate::setups::{Piece, Size, on_plate, with_back};

mod knee;
mod nearby;

fn linear(mu_r: f64) -> Material {
    let curve = BhCurve::new(&[1.0], &[1.0 / (MU_0 * mu_r)], MU_0 * mu_r);
    Material::Steel(Arc::new(curve.unwrap()))
}

fn mild_steel() -> Material {
    let table = crate::SteelTable::builtin().unwrap();
    Material::Steel(Arc::clone(&table.curve("team13").unwrap().curve))
}

fn magnetic(polarisation: f64) -> Material {
    Material::Magnet {
        polarisation,
        recoil_permeability: 1.0,
    }
}

fn disc(diameter: f64, thickness: f64, material: Material) -> Piece {
    Piece {
        size: Size::disc(diameter, thickness),
        material,
    }
}

fn two_discs(gap: f64) -> Drawing {
    let piece = disc(10e-3, 5e-3, magnetic(1.0));
    let mut drawing = on_plate(&piece, gap, &piece);
    drawing.parts[1].name = "other".into();
    drawing
}

fn force(drawing: &Drawing, name: &str) -> f64 {
    let solution = solve(drawing, &Options::force_on(name)).unwrap();
    solution.force_on(name).unwrap()
}

/// Two discs of 10 x 5 mm and 1 T; forces by Bessel integrals and by Maxwell stress, which agree to all digits.
#[test]
fn discs_in_air_pull_as_in_closed_form() {
    for (gap, wanted) in [(0.0, 19.658891), (1e-3, 11.242024755), (5e-3, 2.912118094)] {
        let solution = solve(&two_discs(gap), &Options::force_on("magnet")).unwrap();
        for (name, sign) in [("magnet", -1.0), ("other", 1.0)] {
            let got = solution.force_on(name).unwrap();
            assert!(
                (got - sign * wanted).abs() <= 1e-3 * wanted,
                "{name} at {gap} m: {got} N"
            );
        }
    }
}

/// On thick soft steel a disc pulls like two discs at twice the gap: 19.658 891 N in contact, 7.6027 N at 1 mm. The plate is finite here.
#[test]
fn thick_soft_steel_mirrors_the_magnet() {
    let plate = disc(120e-3, 30e-3, linear(1e5));
    for (gap, wanted) in [(0.0, 19.658891), (1e-3, 7.6027)] {
        let got = force(&on_plate(&disc(10e-3, 5e-3, magnetic(1.0)), gap, &plate), "plate");
        assert!((got - wanted).abs() <= 3e-3 * wanted, "at {gap} m: {got} N");
    }
}

/// The pull near contact falls as g ln g: three micrometres cost a few thousandths, thirty about eight times as much.
#[test]
fn contact_is_the_limit_of_small_gaps() {
    let lost = |gap: f64| 1.0 - force(&two_discs(gap), "other") / 19.658891;
    let (near, far) = (lost(6e-6), lost(60e-6));
    assert!((3e-3..1.2e-2).contains(&near), "{near}");
    assert!((5.0..10.0).contains(&(far / near)), "{near} {far}");
}

/// Field on the axis of a disc of 10 x 5 mm and 1 T, by its closed form.
#[test]
fn field_of_a_disc_is_that_of_the_closed_form_inside_and_outside_the_meshed_ball() {
    let drawing = Drawing::new(vec![Part::ring("magnet", [0.0, 5e-3], [0.0, 5e-3], magnetic(1.0))]);
    let heights = [2.5e-3, 7e-3, 10e-3, 30e-3];
    let options = Options {
        points: heights.map(|z| [0.0, z]).to_vec(),
        ..Options::default()
    };
    let solution = solve(&drawing, &options).unwrap();
    for z in heights {
        let along = |z: f64| z / (z * z + 25e-6f64).sqrt();
        let wanted = 0.5 * (along(z) - along(z - 5e-3));
        let [br, bz] = solution.flux_density(0.0, z);
        assert!(
            (bz - wanted).abs() <= 2e-3 * wanted && br.abs() <= 1e-9,
            "{z}: {bz} {wanted}"
        );
        let small = 1e-5;
        let flux = solution.flux(small, z);
        assert!((flux - PI * small * small * wanted).abs() <= 3e-3 * flux, "{z}");
    }
}

/// Half the outline of a ball.
fn arc(radius: f64) -> Vec<[f64; 2]> {
    let count = 100;
    let corner = |k: usize| {
        let (sin, cos) = (PI * k as f64 / count as f64).sin_cos();
        [radius * sin, -radius * cos]
    };
    let mut arc: Vec<_> = (0..=count).map(corner).collect();
    arc[0][0] = 0.0;
    arc[count][0] = 0.0;
    arc
}

/// Inside a ball of permeability mu in a uniform field B the field is 3 mu / (mu + 2) B; outside, that of a dipole is added.
#[test]
fn a_permeable_ball_gathers_a_uniform_field() {
    let mu = 10.0;
    let drawing = Drawing {
        parts: vec![Part::new("ball", arc(5e-3), linear(mu))],
        applied: 0.1,
    };
    let solution = solve(&drawing, &Options::default()).unwrap();
    let inside = 3.0 * mu / (mu + 2.0) * 0.1;
    for [r, z] in [[0.0, 0.0], [2e-3, 1e-3], [1e-3, -3e-3]] {
        let [br, bz] = solution.flux_density(r, z);
        assert!(
            (bz - inside).abs() <= 1e-3 * inside && br.abs() <= 1e-3 * inside,
            "{br} {bz}"
        );
    }
    let pole = 0.1 * (1.0 + 2.0 * (mu - 1.0) / (mu + 2.0) / 8.0);
    let [_, bz] = solution.flux_density(0.0, 10e-3);
    assert!((bz - pole).abs() <= 1e-3 * pole, "{bz} {pole}");
}

/// Shielding of a shell: H inside over H outside is 9 mu / ((2 mu + 1)(mu + 2) - 2 (a/b)^3 (mu - 1)^2) (J. D. Jackson, Classical Electrodynamics, section 5.12).
#[test]
fn a_spherical_shell_shields_its_hollow() {
    let (mu, a, b) = (200.0, 4e-3, 5e-3f64);
    let mut profile = arc(b);
    profile.extend(arc(a).into_iter().rev());
    let drawing = Drawing {
        parts: vec![Part::new("shell", profile, linear(mu))],
        applied: 0.1,
    };
    let solution = solve(&drawing, &Options::default()).unwrap();
    let wanted = 0.1 * 9.0 * mu / ((2.0 * mu + 1.0) * (mu + 2.0) - 2.0 * (a / b).powi(3) * (mu - 1.0) * (mu - 1.0));
    for [r, z] in [[0.0, 0.0], [2e-3, 1e-3]] {
        let [br, bz] = solution.flux_density(r, z);
        assert!(
            (bz - wanted).abs() <= 5e-3 * wanted && br.abs() <= 5e-3 * wanted,
            "{br} {bz} {wanted}"
        );
    }
}

/// Inside a ball of polarisation J the flux density is 2/3 J, outside that of a dipole, however far.
#[test]
fn a_magnet_ball_is_a_dipole_however_far() {
    let drawing = Drawing::new(vec![Part::new("ball", arc(5e-3), magnetic(1.2))]);
    let solution = solve(&drawing, &Options::default()).unwrap();
    let [br, bz] = solution.flux_density(1e-3, 2e-3);
    assert!((bz - 0.8).abs() <= 8e-4 && br.abs() <= 8e-4, "{br} {bz}");
    for rho in [8e-3, 50e-3, 10.0] {
        let dipole = 0.4 * (5e-3f64 / rho).powi(3);
        let [_, pole] = solution.flux_density(0.0, rho);
        let [_, equator] = solution.flux_density(rho, 0.0);
        assert!((pole - 2.0 * dipole).abs() <= 1e-3 * pole, "{rho}: {pole} {dipole}");
        assert!((equator + dipole).abs() <= 1e-3 * dipole, "{rho}: {equator} {dipole}");
    }
    // Energy of its field, counted from its remanence: J^2 / (2 mu0) times the demagnetising factor times its volume.
    let wanted = 1.44 / (2.0 * MU_0) / 3.0 * 4.0 / 3.0 * PI * 125e-9;
    assert!(
        (solution.energy() - wanted).abs() <= 1e-3 * wanted,
        "{} {wanted}",
        solution.energy()
    );
}

/// A field that vanishes with its slope on the ball: u = c (1 - rho^2/R^2)^3.
fn invented([r, z]: [f64; 2], radius: f64) -> (f64, [f64; 2]) {
    let s = 1.0 - (r * r + z * z) / (radius * radius);
    let slope = -6.0 / (radius * radius) * s * s;
    let c = 0.6;
    (
        c * s.powi(3),
        [-c * r * slope * z, c * (2.0 * s.powi(3) + r * r * slope)],
    )
}

/// The load that makes the invented field the solution is put on; the solution must come back with the order of the elements: 2 in the field, 3 in the potential. The
/// steel is that of a curve, so Newton's method is on trial too.
#[test]
fn an_invented_solution_comes_back_with_the_order_of_the_elements() {
    let drawing = Drawing {
        parts: vec![
            Part::ring("steel", [0.0, 5e-3], [-5e-3, 5e-3], mild_steel()),
            Part::ring("ring", [5e-3, 8e-3], [-5e-3, 5e-3], linear(3.0)),
        ],
        applied: 1.0,
    };
    let outline = outline::outline(&drawing).unwrap();
    let cut = size::pieces(&outline, &[], 1.0).unwrap();
    let mut mesh = crate::mesh::build(&drawing, &outline, &cut).unwrap();
    let mut errors: Vec<[f64; 2]> = Vec::new();
    for _ in 0..4 {
        let space = Space::new(mesh.clone());
        let exterior = Exterior::new(&space, 0.0);
        let structure = Structure::new(&space, &exterior).unwrap();
        let mut system = System::new(&drawing, &space, &exterior, &structure);
        let mut load = vec![0.0; space.len()];
        // The points of an element: what it is there, where that is, and what they weigh.
        let points = |t: usize| {
            let p = space.mesh.corners(t);
            let space = &space;
            RULE.map(|(l, weight)| {
                let at = space.at(t, l);
                let z = l[0] * p[0][1] + l[1] * p[1][1] + l[2] * p[2][1];
                (at, l, weight * at.area * at.r, [at.r, z])
            })
        };
        for (t, nodes) in space.nodes.iter().enumerate() {
            let material = system::material(&drawing, space.mesh.region[t]);
            for (at, _, measure, place) in points(t) {
                let h = response::response(material, invented(place, mesh.radius).1).h;
                for (id, b) in nodes.iter().zip(at.b) {
                    load[*id as usize] += measure * (b[0] * h[0] + b[1] * h[1]);
                }
            }
        }
        system.push(&load);
        let mut u = vec![0.0; space.len()];
        let ended = system
            .newton(&mut u, true, Stop::from(&Options::default()), &mut |_, _| true)
            .unwrap();
        assert!(matches!(ended, Newton::Ended(_, Some(_))));
        let mut sums = [0.0; 2];
        for t in 0..space.nodes.len() {
            let values = space.values(t, &u);
            for (at, l, measure, place) in points(t) {
                let (wanted, field) = invented(place, mesh.radius);
                let b = at.flux(&values);
                let got: f64 = shapes(l).iter().zip(values).map(|(n, v)| n * v).sum();
                sums[0] += measure * ((b[0] - field[0]).powi(2) + (b[1] - field[1]).powi(2));
                sums[1] += measure * at.r * at.r * (got - wanted).powi(2);
            }
        }
        errors.push(sums.map(f64::sqrt));
        let twice = vec![2; mesh.triangles.len()];
        refine(&mut mesh, &twice);
    }
    // The first mesh is too coarse to show an order.
    for pair in errors.windows(2).skip(1) {
        let order = [0, 1].map(|i| (pair[0][i] / pair[1][i]).log2());
        assert!(
            (1.9..2.4).contains(&order[0]) && (2.8..3.6).contains(&order[1]),
            "{order:?} {errors:?}"
        );
    }
}

/// Force by the energy of two solves at displaced places.
#[test]
fn force_is_the_slope_of_the_energy() {
    let drawing = |gap| on_plate(&disc(20e-3, 5e-3, magnetic(1.3)), gap, &disc(60e-3, 1e-3, mild_steel()));
    let energy = |gap| {
        let options = Options {
            tolerance: 3e-6,
            ..Options::default()
        };
        solve(&drawing(gap), &options).unwrap().energy()
    };
    let step = 0.25e-3;
    let wanted = (energy(1e-3 + step) - energy(1e-3 - step)) / (2.0 * step);
    let solution = solve(&drawing(1e-3), &Options::force_on("plate")).unwrap();
    let got = solution.force_on("plate").unwrap();
    assert!((got - wanted).abs() <= 1e-2 * wanted, "{got} {wanted}");
    let layer = solution.layer_force_on("plate").unwrap();
    assert!((got - layer).abs() <= 1e-2 * wanted, "{got} {layer}");
    let saturation = solution.saturation("plate").unwrap();
    assert!(
        saturation.peak > 1.5 && saturation.share > 0.0 && saturation.share < 0.5,
        "{saturation:?}"
    );
    assert!(saturation.mean < saturation.peak && solution.saturation("magnet").is_none());
}

#[test]
fn forces_on_all_parts_balance() {
    let magnet = disc(15e-3, 4e-3, magnetic(1.3));
    let drawing = with_back(
        &magnet,
        &disc(15e-3, 3e-3, mild_steel()),
        0.5e-3,
        &disc(60e-3, 4e-3, mild_steel()),
    );
    let solution = solve(&drawing, &Options::force_on("plate")).unwrap();
    let [plate, magnet, back] = ["plate", "magnet", "back"].map(|name| solution.force_on(name).unwrap());
    assert!(
        plate > 20.0 && (plate + magnet + back).abs() <= 5e-2 * plate,
        "{plate} {magnet} {back}"
    );
}

#[test]
fn thin_gaps_beside_wide_plates_are_resolved() {
    let plate = disc(60e-3, 15e-3, linear(1e5));
    let magnet = disc(10e-3, 5e-3, magnetic(1.0));
    let body = |z| Body {
        shape: Shape::Disc {
            diameter: 10e-3,
            thickness: 5e-3,
        },
        polarisation: 1.0,
        centre: [0.0, 0.0, z],
    };
    for gap in [0.2e-3, 0.05e-3] {
        // The mirror image: two discs at twice the gap, in closed form.
        let wanted = -magnetics::force::axial_force(&[body(5e-3 + 2.0 * gap)], &[body(0.0)]).unwrap();
        let got = force(&on_plate(&magnet, gap, &plate), "plate");
        assert!(
            (got - wanted).abs() <= 3e-3 * wanted,
            "at {gap} m: {got} N, wanted {wanted}"
        );
    }
}

#[test]
fn a_solve_can_be_watched_and_stopped() {
    let drawing = two_discs(1e-3);
    let mut told = Vec::new();
    let stopped = solve_watched(&drawing, &Options::force_on("other"), &mut |progress| {
        told.push(progress);
        if told.len() == 3 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert_eq!(stopped.unwrap_err(), SolveError::Cancelled);
    assert_eq!(told.len(), 3);
    assert!(told[2].mesh == 1 && told[2].unknowns > told[0].unknowns && told[2].iterations == 3);
    assert!(told[1].residual < told[0].residual);
}

#[test]
fn what_cannot_be_solved_says_why() {
    let plate = || disc(60e-3, 2e-3, mild_steel());
    let drawing = on_plate(&disc(20e-3, 5e-3, magnetic(1.3)), 1e-3, &plate());
    let refused = |drawing: &Drawing, options: Options| solve(drawing, &options).unwrap_err();
    let few = Options {
        most_iterations: 1,
        ..Options::force_on("plate")
    };
    assert!(matches!(refused(&drawing, few), SolveError::Diverged { iterations: 1, residual } if residual > 1e-6));
    assert_eq!(
        refused(&drawing, Options::force_on("lid")),
        SolveError::NoPart("lid".into())
    );
    let no_tolerance = Options {
        tolerance: f64::NAN,
        ..Options::default()
    };
    assert!(refused(&drawing, no_tolerance).to_string().contains("tolerance"));
    for decrement in [0.0, f64::NAN] {
        let endless = Options {
            decrement,
            ..Options::default()
        };
        assert!(refused(&drawing, endless).to_string().contains("last step"));
    }
    let nowhere = Options {
        points: vec![[f64::NAN, 0.0]],
        ..Options::default()
    };
    assert!(refused(&drawing, nowhere).to_string().contains("points"));
    let overlap = on_plate(&disc(20e-3, 5e-3, magnetic(1.3)), -1e-3, &plate());
    assert!(
        refused(&overlap, Options::default())
            .to_string()
            .contains("magnet and plate overlap near")
    );
    let inside = on_plate(&disc(2e-3, 1e-3, magnetic(1.3)), -1.5e-3, &plate());
    assert!(refused(&inside, Options::default()).to_string().contains("overlap"));
    let flat = on_plate(&disc(20e-3, 5e-3, magnetic(1.3)), 1e-3, &disc(60e-3, 0.0, mild_steel()));
    assert!(refused(&flat, Options::default()).to_string().contains("plate"));
    let bad = on_plate(&disc(20e-3, 5e-3, magnetic(f64::NAN)), 1e-3, &plate());
    assert!(matches!(
        refused(&bad, Options::default()),
        SolveError::Drawing(DrawingError::Magnet { part: 0, .. })
    ));
    let dead = on_plate(&disc(20e-3, 5e-3, magnetic(0.0)), 1e-3, &plate());
    assert_eq!(
        refused(&dead, Options::default()),
        SolveError::Drawing(DrawingError::Empty)
    );
    let hair = on_plate(&disc(20e-3, 5e-3, magnetic(1.3)), 1e-9, &plate());
    assert!(matches!(
        refused(&hair, Options::default()),
        SolveError::Drawing(DrawingError::Narrow { .. })
    ));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]

    /// Outlines of any form, touching, overlapping or not: a solve ends in finite numbers or in an error.
    #[test]
    fn no_drawing_panics(
        profiles in prop::collection::vec(prop::collection::vec((0i8..6, -6i8..6), 3..6), 1..4),
        kinds in prop::collection::vec(0u8..3, 4),
    ) {
        let parts = profiles.iter().zip(kinds).enumerate().map(|(k, (profile, kind))| {
            let material = match kind {
                0 => magnetic(1.2),
                1 => mild_steel(),
                _ => Material::Air,
            };
            let profile = profile.iter().map(|&(r, z)| [f64::from(r) * 1e-3, f64::from(z) * 1e-3]).collect();
            Part::new(k.to_string(), profile, material)
        });
        let drawing = Drawing::new(parts.collect());
        let options = Options { most_unknowns: 500, ..Options::default() };
        match solve(&drawing, &options) {
            Ok(solution) => {
                prop_assert!(solution.energy().is_finite());
                for part in drawing.parts.iter().filter(|part| part.material != Material::Air) {
                    prop_assert!(solution.force_on(&part.name).unwrap().is_finite());
                }
                prop_assert!(solution.flux_density(1e-3, 1e-3).iter().all(|b| b.is_finite()));
            }
            Err(error) => prop_assert!(!error.hint().is_empty() && !error.to_string().is_empty()),
        }
    }
}
