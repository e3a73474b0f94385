//! Drawings solved on the mesh of another.

use super::*;
use crate::setups::{Cup, in_cup};

fn go_on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

/// A disc in a cup above a plate of 3 mm: the gap, what the magnet is wider, how far the rim stands out, m, and T.
fn cupped(gap: f64, wider: f64, rim: f64, polarisation: f64) -> Drawing {
    let cup = Cup {
        outer: 25e-3,
        inner: 21e-3,
        floor: 2e-3,
        hole: 4e-3,
        rim,
        steel: mild_steel(),
    };
    let plate = disc(80e-3 + 6.0 * gap, 3e-3, mild_steel());
    in_cup(&disc(20e-3 + wider, 5e-3, magnetic(polarisation)), &cup, gap, &plate)
}

fn pull(solution: &Solution) -> f64 {
    solution.force_on("plate").unwrap()
}

fn rough() -> Options {
    Options {
        tolerance: 1.0,
        least_unknowns: 0,
        coarser: 8.0,
        ..Options::force_on("plate")
    }
}

/// What a change of size or strength does is known better than either force: from one rough mesh, as from two fine ones.
#[test]
fn a_rough_mesh_moved_along_tells_what_a_change_does() {
    let middle = cupped(0.1e-3, 0.0, 0.0, 1.3);
    let solved = solve(&middle, &rough()).unwrap();
    let fine = force(&middle, "plate");
    for (what, drawing) in [
        ("a wider gap", cupped(0.15e-3, 0.0, 0.0, 1.3)),
        ("a narrower gap", cupped(0.05e-3, 0.0, 0.0, 1.3)),
        ("a wider magnet", cupped(0.1e-3, 0.1e-3, 0.0, 1.3)),
        ("a rim that stands out", cupped(0.1e-3, 0.0, 0.1e-3, 1.3)),
        ("a face that stands out", cupped(0.1e-3, 0.0, -0.1e-3, 1.3)),
        ("a weaker magnet", cupped(0.1e-3, 0.0, 0.0, 1.25)),
    ] {
        let near = solved.nearby(&drawing, &mut go_on).unwrap();
        assert_eq!(near.unknowns(), solved.unknowns());
        let (got, wanted) = (pull(&near) / pull(&solved), force(&drawing, "plate") / fine);
        assert!((got / wanted - 1.0).abs() <= 0.003, "{what}: {got} for {wanted}");
        assert!((wanted - 1.0).abs() >= 0.005, "{what} does nothing");
    }
}

#[test]
fn the_same_drawing_comes_back_the_same() {
    let drawing = cupped(0.3e-3, 0.0, 0.0, 1.3);
    let solved = solve(&drawing, &rough()).unwrap();
    let again = solved.nearby(&drawing, &mut go_on).unwrap();
    assert!((pull(&again) / pull(&solved) - 1.0).abs() <= 1e-4);
    assert!((again.energy() / solved.energy() - 1.0).abs() <= 1e-6);
    assert!(again.iterations() <= 2);
}

#[test]
fn what_is_too_unlike_is_refused_and_what_is_stopped_stops() {
    let solved = solve(&cupped(0.1e-3, 0.0, 0.0, 1.3), &rough()).unwrap();
    let magnet = disc(20e-3, 5e-3, magnetic(1.3));
    let bare = on_plate(&magnet, 0.1e-3, &disc(80e-3, 3e-3, mild_steel()));
    let refused = |drawing: &Drawing| solved.nearby(drawing, &mut go_on).unwrap_err();
    assert_eq!(refused(&bare), SolveError::Apart);
    // In contact walls are joined that were apart.
    assert_eq!(refused(&cupped(0.0, 0.0, 0.0, 1.3)), SolveError::Apart);
    // A magnet that reaches into its cup meets other walls.
    assert_eq!(refused(&cupped(0.1e-3, 2e-3, 0.0, 1.3)), SolveError::Apart);
    assert!(matches!(
        refused(&cupped(0.1e-3, 0.0, 0.0, f64::NAN)),
        SolveError::Drawing(_)
    ));
    let stopped = solved.nearby(&cupped(0.1e-3, 0.0, 0.0, 1.2), &mut |_| ControlFlow::Break(()));
    assert_eq!(stopped.unwrap_err(), SolveError::Cancelled);
}

/// From a rough solution to the force of a fine one: on its mesh in a step, and past it as far as is asked.
#[test]
fn a_rough_solution_is_refined_to_the_force_of_a_fine_one() {
    let drawing = cupped(0.1e-3, 0.0, 0.0, 1.3);
    let solved = solve(&drawing, &rough()).unwrap();
    let same = solved.refined(&rough(), &mut go_on).unwrap();
    assert_eq!(same.unknowns(), solved.unknowns());
    assert!(same.iterations() <= 2, "{} steps", same.iterations());
    assert!((pull(&same) / pull(&solved) - 1.0).abs() <= 1e-4);
    let options = Options {
        tolerance: 5e-3,
        ..Options::force_on("plate")
    };
    let fine = solved.refined(&options, &mut go_on).unwrap();
    assert!(fine.unknowns() > solved.unknowns() && fine.error_estimate() <= options.tolerance);
    let closely = Options {
        tolerance: 5e-4,
        least_unknowns: 8000,
        ..Options::force_on("plate")
    };
    let wanted = pull(&solve(&drawing, &closely).unwrap());
    assert!((pull(&fine) / wanted - 1.0).abs() <= 1e-3, "{} {wanted}", pull(&fine));
    let stopped = solved.refined(&options, &mut |_| ControlFlow::Break(()));
    assert_eq!(stopped.unwrap_err(), SolveError::Cancelled);
}

/// Newton's method ends earlier where a greater decrement is allowed, here and for what goes on from here.
#[test]
fn a_greater_decrement_spares_steps_and_little_else() {
    let drawing = cupped(0.1e-3, 0.0, 0.0, 1.3);
    let to = |decrement: f64| {
        let options = Options { decrement, ..rough() };
        solve(&drawing, &options).unwrap()
    };
    let [loose, nearly, close] = [1e-2, 1e-5, 1e-8].map(to);
    assert!(loose.iterations() < close.iterations());
    assert!((pull(&nearly) / pull(&close) - 1.0).abs() <= 2e-3);
    let other = cupped(0.05e-3, 0.0, 0.0, 1.3);
    let [near, nearer] = [loose, close].map(|solved| solved.nearby(&other, &mut go_on).unwrap().iterations());
    assert!(near < nearer, "{near} {nearer}");
}
