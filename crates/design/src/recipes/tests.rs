use materials::grade::GradeTable;
use proptest::prelude::*;

use super::*;
use crate::stuff::Stuff;
use crate::wish::{Aim, Area, Goal, Space};

fn wish(goal: Goal, space: Space) -> Wish {
    let n42 = GradeTable::builtin().unwrap().get("N42").unwrap();
    Wish {
        goal,
        space,
        stuff: Stuff::of_grade(n42, 20.0).unwrap(),
        aims: vec![Aim::Mass],
        families: Vec::new(),
        lot: 100,
    }
}

fn goals() -> [Goal; 6] {
    let even = |distance| Goal::Even {
        field: 0.01,
        distance,
        area: Area::Round(5e-3),
        tolerance: 0.05,
    };
    [
        Goal::Reach {
            field: 0.3,
            distance: 2e-3,
            spot: 1e-3,
        },
        Goal::Hold {
            force: 10.0,
            gap: 1e-3,
            plate: None,
        },
        even(1e-3),
        even(0.0),
        Goal::Gap {
            field: 0.1,
            gap: 4e-3,
            spot: 0.0,
        },
        Goal::Turn { torque: 0.1, gap: 2e-3 },
    ]
}

#[test]
fn every_family_serves_a_goal() {
    let space = Space {
        across: Area::Round(40e-3),
        height: 30e-3,
        filled: false,
    };
    let served: std::collections::BTreeSet<Family> = goals()
        .into_iter()
        .flat_map(|goal| serving(&wish(goal, space)).collect::<Vec<_>>())
        .collect();
    assert_eq!(served.len(), ALL.len(), "{served:?}");
}

proptest! {
    /// Whatever is tried lies within the space and is made of bodies that can be.
    #[test]
    fn every_draft_fits_its_space(
        shares in prop::collection::vec(0.0..=1.0_f64, 6),
        across in 8e-3..80e-3_f64,
        aside in 0.5..2.0_f64,
        height in 8e-3..60e-3_f64,
        round in any::<bool>(),
    ) {
        let across = if round { Area::Round(across) } else { Area::Box([across, across * aside]) };
        let space = Space { across, height, filled: false };
        for goal in goals() {
            let wish = wish(goal, space);
            for family in serving(&wish) {
                let count = free(family, &wish).unwrap();
                let mut shares = shares[..count].to_vec();
                if choices(family) > 1 {
                    shares[count - 1] = ((choices(family) - 1) as f64 * shares[count - 1]).round();
                }
                let draft = draft(family, &wish, &shares).expect("it serves");
                prop_assert!(fits(&draft, &space), "{family:?} in {space:?}: {draft:?}");
                for piece in &draft.magnets {
                    prop_assert!(piece.placed(1.0).is_ok(), "{family:?}: {piece:?}");
                }
            }
        }
    }
}
