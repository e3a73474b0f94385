use super::*;
use crate::stuff::Stuff;
use crate::wish::Aim;

fn wish(goal: Goal, across: Area, height: f64) -> Wish {
    Wish {
        goal,
        space: Space {
            across,
            height,
            filled: false,
        },
        stuff: Stuff::given("one tesla", 1.0, 1e6, 1.0, 7500.0).unwrap(),
        aims: vec![Aim::Mass],
        families: Vec::new(),
        lot: 1,
    }
}

fn reach(distance: f64, spot: f64, across: Area, height: f64) -> Option<f64> {
    let goal = Goal::Reach {
        field: 1.0,
        distance,
        spot,
    };
    ceiling(&wish(goal, across, height), 1.0)
}

/// A thin, narrow space far away is one dipole, pointing at the spot: `2 J V / (4 π r³)`.
#[test]
fn a_small_space_far_away_is_one_dipole() {
    let limit = reach(0.5, 0.0, Area::Round(2e-3), 2e-3).unwrap();
    let dipole = 2.0 * PI * 1e-6 * 2e-3 / (4.0 * PI * 0.501_f64.powi(3));
    assert!((limit / dipole - 1.0).abs() < 1e-4, "{limit} {dipole}");
}

/// In a cone of directions the kernel has a closed form: all of a half space beyond a distance by spheres would be
/// `J/2 ∫₀¹ √(1 + 3c²) dc · ln(outer/inner)`; a wide, high cylinder doubled in size at the same distance adds that for `ln 2`.
#[test]
fn it_grows_with_the_logarithm_of_the_space() {
    let mean = 0.5 * (2.0 + (2.0_f64 + 3.0_f64.sqrt()).ln() / 3.0_f64.sqrt());
    let at = |scale: f64| reach(1e-3, 0.0, Area::Round(0.2 * scale), 0.1 * scale).unwrap();
    // The distance counts towards the height: both ends of the ratio far above it.
    let step = at(4.0) - at(2.0);
    assert!((step / (0.5 * mean * 2.0_f64.ln()) - 1.0).abs() < 0.02, "{step}");
}

/// Over a spot that shrinks the limit is that of the point.
#[test]
fn a_small_spot_is_a_point() {
    for across in [Area::Round(20e-3), Area::Box([20e-3, 12e-3])] {
        let point = reach(2e-3, 0.0, across, 10e-3).unwrap();
        let spot = reach(2e-3, 0.02e-3, across, 10e-3).unwrap();
        assert!((spot / point - 1.0).abs() < 1e-3, "{spot} {point}");
    }
}

/// A box that is nearly a square has nearly the limit of the circle of its area.
#[test]
fn a_square_is_much_like_the_circle_of_its_area() {
    let side = 20e-3;
    let square = reach(5e-3, 2e-3, Area::Box([side, side]), 10e-3).unwrap();
    let circle = reach(5e-3, 2e-3, Area::Round(side * (4.0 / PI).sqrt()), 10e-3).unwrap();
    assert!((square / circle - 1.0).abs() < 0.01, "{square} {circle}");
}

#[test]
fn there_is_none_at_a_point_on_the_face_and_in_contact() {
    assert_eq!(reach(0.0, 0.0, Area::Round(20e-3), 10e-3), None);
    assert!(reach(0.0, 1e-3, Area::Round(20e-3), 10e-3).is_some());
    let hold = |gap| {
        let goal = Goal::Hold {
            force: 1.0,
            gap,
            plate: None,
        };
        ceiling(&wish(goal, Area::Round(20e-3), 10e-3), 1.0)
    };
    assert_eq!(hold(0.0), None);
    assert!(hold(1e-3) > hold(2e-3));
}

/// For a very high space the pull is at most `J² V / (4 e μ0 g)`, by the maximum of `k e^{-2kg}` at `k = 1/2g`.
#[test]
fn the_pull_of_a_high_space_has_its_closed_form() {
    let gap = 2e-3;
    let goal = Goal::Hold {
        force: 1.0,
        gap,
        plate: None,
    };
    let limit = ceiling(&wish(goal, Area::Box([10e-3, 10e-3]), 0.5), 1.2).unwrap();
    let volume = 1e-4 * 0.5;
    let closed = 1.44 * volume / (4.0 * std::f64::consts::E * MU_0 * gap);
    assert!((limit / closed - 1.0).abs() < 1e-9, "{limit} {closed}");
}
