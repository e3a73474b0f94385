use materials::grade::GradeTable;

use super::*;

fn wish(goal: Goal) -> Wish {
    let n42 = GradeTable::builtin().unwrap().get("N42").unwrap();
    Wish {
        goal,
        space: Space {
            across: Area::Round(20e-3),
            height: 10e-3,
            filled: false,
        },
        stuff: Stuff::of_grade(n42, 20.0).unwrap(),
        aims: vec![Aim::Mass],
        families: Vec::new(),
        lot: 1,
    }
}

#[test]
fn numbers_out_of_range_are_named_and_hinted_at() {
    let good = wish(Goal::Reach {
        field: 0.3,
        distance: 0.0,
        spot: 0.0,
    });
    assert_eq!(good.check(), Ok(()));
    for (goal, named) in [
        (
            Goal::Reach {
                field: f64::NAN,
                distance: 0.0,
                spot: 0.0,
            },
            "flux density",
        ),
        (
            Goal::Reach {
                field: 0.3,
                distance: -1e-3,
                spot: 0.0,
            },
            "distance",
        ),
        (
            Goal::Hold {
                force: 10.0,
                gap: 1e-3,
                plate: Some(0.0),
            },
            "thickness of the steel",
        ),
        (
            Goal::Even {
                field: 0.01,
                distance: 0.0,
                area: Area::Box([30e-3, f64::INFINITY]),
                tolerance: 0.05,
            },
            "area",
        ),
        (
            Goal::Gap {
                field: 0.1,
                gap: 0.0,
                spot: 0.0,
            },
            "gap",
        ),
        (Goal::Turn { torque: 0.0, gap: 1e-3 }, "torque"),
    ] {
        let error = wish(goal.clone()).check().unwrap_err();
        assert!(
            matches!(&error, WishError::Number { what, .. } if *what == named),
            "{goal:?}: {error}"
        );
        assert!(!error.hint().is_empty());
    }
    let aimless = Wish {
        aims: Vec::new(),
        ..good
    };
    assert_eq!(aimless.check(), Err(WishError::NoAim));
}
