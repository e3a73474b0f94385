//! Magnets past their knee.

use magnetics::inside::{Detail, Facing, Inside};
use materials::curve::Curve;

use super::*;
use crate::drawing::{Material, Part};

fn kneed(curve: Curve) -> Material {
    Material::Kneed {
        curve,
        downwards: false,
    }
}

fn straight(curve: Curve) -> Material {
    Material::Magnet {
        polarisation: curve.remanence(),
        recoil_permeability: 1.0 + curve.susceptibility(),
    }
}

/// Demagnetising factor of a spheroid along its axis, `m` times as long as wide (J. A. Osborn, Physical Review 67 (1945) 351).
fn spheroid(m: f64) -> f64 {
    if m > 1.0 {
        let e = (m * m - 1.0).sqrt();
        ((m + e).ln() * m / e - 1.0) / (e * e)
    } else if m < 1.0 {
        let e = (1.0 - m * m).sqrt();
        (1.0 - m / e * e.asin()) / (e * e)
    } else {
        1.0 / 3.0
    }
}

/// Inside a spheroid the field is uniform and lies where the curve meets the load line H = -N J / mu0: rods, balls and discs, before and past the knee, either way up.
#[test]
fn a_spheroid_settles_where_its_curve_meets_the_load_line() {
    for (m, coercivity) in [
        (4.0, 90e3),
        (4.0, 900e3),
        (1.0, 350e3),
        (1.0, 280e3),
        (0.25, 700e3),
        (0.25, 400e3),
    ] {
        let curve = Curve::with_knee(1.2, coercivity, 1.05, 0.8).unwrap();
        let (h, kept) = curve.settle(spheroid(m), 0.0, 1.0);
        let wanted = curve.recoiled(kept, h) - MU_0 * h;
        let profile = arc(5e-3).into_iter().map(|[r, z]| [r, m * z]).collect();
        for downwards in [false, true] {
            let material = Material::Kneed { curve, downwards };
            let drawing = Drawing::new(vec![Part::new("magnet", Vec::clone(&profile), material)]);
            let points = [[0.0, 0.0], [2e-3, 1e-3 * m], [1e-3, -3e-3 * m]];
            let options = Options {
                points: points.to_vec(),
                ..Options::default()
            };
            let solution = solve(&drawing, &options).unwrap();
            let sign = if downwards { -1.0 } else { 1.0 };
            for [r, z] in points {
                let [br, bz] = solution.flux_density(r, z);
                assert!(
                    (sign * bz - wanted).abs() <= 2e-3 && br.abs() <= 2e-3,
                    "{m} {coercivity}: {br} {bz} for {wanted}"
                );
            }
            let past = solution.past_knee("magnet").unwrap();
            let whole = if h > curve.knee() { 1.0 } else { 0.0 };
            assert!((past - whole).abs() <= 0.02, "{m} {coercivity}: {past} {h}");
        }
    }
}

/// A disc that is past its knee in its middle, against the cells of [`Inside`]: moment by the far field, and the volume past the knee.
#[test]
fn a_disc_partly_past_its_knee_agrees_with_its_cells() {
    let shape = Shape::Disc {
        diameter: 20e-3,
        thickness: 5e-3,
    };
    for coercivity in [900e3, 700e3, 600e3] {
        let curve = Curve::with_knee(1.3, coercivity, 1.0, 0.9).unwrap();
        let cells = Inside::new(&shape, 1, Facing::Nothing, Detail::Fine)
            .unwrap()
            .settle(&curve, None);
        let magnet = Part::ring("magnet", [0.0, 10e-3], [-2.5e-3, 2.5e-3], kneed(curve));
        let solution = solve(&Drawing::new(vec![magnet]), &Options::default()).unwrap();
        let far = 10.0;
        let volume = PI * 100e-6 * 5e-3;
        let polarisation = solution.flux_density(0.0, far)[1] * 2.0 * PI * far.powi(3) / volume;
        assert!(
            (polarisation / cells.polarisation - 1.0).abs() <= 3e-3,
            "{coercivity}: {polarisation} {}",
            cells.polarisation
        );
        let past = solution.past_knee("magnet").unwrap();
        assert!(
            (past - cells.past_knee).abs() <= 0.03 && (0.0..1.0).contains(&past),
            "{coercivity}: {past} {}",
            cells.past_knee
        );
    }
}

/// A knee that is far away changes nothing; one that is reached costs pull, and the force is still the slope of the energy.
#[test]
fn a_knee_that_is_not_reached_changes_nothing_and_one_that_is_costs_pull() {
    let plate = disc(60e-3, 2e-3, mild_steel());
    let on = |material: Material, gap| on_plate(&disc(20e-3, 5e-3, material), gap, &plate);
    let hard = Curve::with_knee(1.3, 2000e3, 1.05, 0.95).unwrap();
    let soft = Curve::with_knee(1.3, 500e3, 1.05, 0.9).unwrap();
    let options = Options::force_on("plate");
    let line = solve(&on(straight(hard), 1e-3), &options).unwrap();
    let far = solve(&on(kneed(hard), 1e-3), &options).unwrap();
    let [without, with] = [&line, &far].map(|solution| solution.force_on("plate").unwrap());
    assert!((with / without - 1.0).abs() <= 1e-6, "{with} {without}");
    assert_eq!((far.past_knee("magnet"), line.past_knee("magnet")), (Some(0.0), None));
    let past = solve(&on(kneed(soft), 1e-3), &options).unwrap();
    let got = past.force_on("plate").unwrap();
    assert!(got < 0.95 * with && past.past_knee("magnet").unwrap() > 0.05, "{got}");
    let energy = |gap| {
        let options = Options {
            tolerance: 3e-6,
            ..Options::default()
        };
        solve(&on(kneed(soft), gap), &options).unwrap().energy()
    };
    let step = 0.25e-3;
    let slope = (energy(1e-3 + step) - energy(1e-3 - step)) / (2.0 * step);
    assert!((got - slope).abs() <= 1e-2 * got, "{got} {slope}");
}

proptest! {
    /// The field strength is that of the curve, its slope the derivative and its energy the integral, from some field with the polarisation to past the coercivity.
    #[test]
    fn a_kneed_magnet_answers_as_its_curve_says(part in -0.3..1.3_f64, coercivity in 100e3..2000e3_f64, squareness in 0.7..0.98_f64, downwards: bool) {
        let curve = Curve::with_knee(1.2, coercivity, 1.05, squareness).unwrap();
        let material = Material::Kneed { curve, downwards };
        let sign = if downwards { -1.0 } else { 1.0 };
        let h = part * coercivity;
        let b = curve.flux_density(h);
        let answer = response::response(&material, [0.1, sign * b]);
        prop_assert!((answer.h[0] - 0.1 / (MU_0 * 1.05)).abs() <= 1e-6 * answer.h[0]);
        prop_assert!((-sign * answer.h[1] - h).abs() <= 1e-6 * coercivity, "{} {h}", -sign * answer.h[1]);
        let step = 1e-5 * coercivity;
        let rise = (curve.flux_density(h - step) - curve.flux_density(h + step)) / (2.0 * step);
        // At no field and where nothing is left the curve has corners.
        let smooth = h.abs() > step && (curve.retained(h - step) > 0.0) == (curve.retained(h + step) > 0.0);
        prop_assert!(!smooth || (rise * answer.slope[2] - 1.0).abs() <= 1e-3, "{rise} {}", answer.slope[2]);
        let pieces = 4000;
        let width = (b - 1.2) / f64::from(pieces);
        let bend = |k: i32| response::bend(&material, [0.0, sign * (1.2 + (f64::from(k) + 0.5) * width)]).h[1] * sign;
        let work: f64 = (0..pieces).map(|k| bend(k) * width).sum();
        let energy = response::bend_energy(&material, [0.0, sign * b]);
        prop_assert!((energy - work).abs() <= 2e-3 * work.abs() + 1.0, "{energy} {work}");
    }
}
